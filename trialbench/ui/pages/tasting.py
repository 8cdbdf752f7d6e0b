"""Tasting: who sits, codes under a sealed key, scores by code, the key opened at the end."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Slot

from trialbench.model.dates import said_day
from trialbench.model.errors import TrialbenchError
from trialbench.model.margin import Margin
from trialbench.model.message import Message, msg
from trialbench.model.records import Cook, Outcome, Sitting, Taster
from trialbench.model.scales import SCALES
from trialbench.notebook import views
from trialbench.notebook.acts import new_record
from trialbench.notebook.acts import sitting as sitting_acts
from trialbench.planning.tasting_margin import margin_of_tasting
from trialbench.ui.cells_table import CellsTable
from trialbench.ui.choices import Choice
from trialbench.ui.leaf import Leaf
from trialbench.ui.page import Desk, Page
from trialbench.ui.pages.numbered_days import NumberedDays
from trialbench.ui.pages.setting_aside import SettingAside
from trialbench.ui.pages.tasting_key import SittingKey
from trialbench.ui.pages.tasting_paper import TastingPapers
from trialbench.ui.pages.tasting_scores import ScoresModel, draft_place
from trialbench.ui.pages.tasting_table import HowServed, LeftEarly, Seats
from trialbench.ui.runs import Run
from trialbench.ui.text import Line
from trialbench.ui.verbs_table import VerbEntry

_NOTHING_YET = msg("Nothing to taste yet. A sitting tastes what one cook day gave.")
_NO_ATTRIBUTE = msg("Nothing is tasted in this trial. The Question page says what is looked at.")


class TastingPage(Page):
    """One sitting at a time; the sittings stand in one line under the title."""

    key, title = "tasting", msg("Tasting")

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self._trial_id = self._sitting_id = self._shown = ""

    # --- parts ---------------------------------------------------------------------------------

    def build(self, leaf: Leaf) -> None:
        leaf.set_title(self.title)
        self.days = NumberedDays(
            msg("Sitting"), lambda number: msg("Sitting {number}", number=number)
        )
        self.days.chosen.connect(self._choose_sitting)
        self.empty = Line("standing_sentence")
        self.sitting_key = SittingKey(self.desk)
        self.sitting_key.plates_shown.connect(self._plates_shown)
        self.paper = TastingPapers(self.desk, self.sitting_key.passphrase.text)
        self.seats = Seats(self.desk)
        self.showing = Choice(msg("showing"), (), role="sentence")
        self.showing.committed.connect(self._show_what)
        self.showing_line = Line("sentence", "", colour="pencil")
        self.showing_line.lend(self.showing)
        self.model = ScoresModel(self.desk)
        self.table = CellsTable(self.model, msg("Scores of this sitting"))
        self.served = HowServed(self.desk)
        self.early = LeftEarly(self.desk)
        self.aside = SettingAside(self.desk, "taster")
        for part, space in ((self.days, 0), (self.empty, 6), (self.seats, 4),
                            (self.sitting_key, 6), (self.paper, 6), (self.showing_line, 6),
                            (self.table, 0), (self.served, 12), (self.early, 8),
                            (self.aside, 4)):  # fmt: skip
            leaf.add(part, space_px=space)
        self.paper.papers.say_in(leaf)
        for name, part in (("key", self.sitting_key), ("tasters", self.seats),
                           ("samples", self.showing_line), ("orders", self.table),
                           ("served", self.served), ("allergens", self.served)):  # fmt: skip
            leaf.anchor(name, part)

    def verbs(self) -> tuple[VerbEntry, ...]:
        return (
            VerbEntry("next_due", msg("Next score that is due"), self._next_due, "Ctrl+G"),
            VerbEntry("new_sitting", msg("Begin a sitting"), self._begin, why=self._why_no_sitting),
            VerbEntry("seal_key", msg("Make codes and seal the key"), self._seal,
                      why=self._why_no_seal),
            *self.paper.verbs(),
        )  # fmt: skip

    # --- showing -------------------------------------------------------------------------------

    def refresh(self, kinds: frozenset[str]) -> None:
        if kinds == frozenset({"key_look"}):
            return
        book, trial_id = self.desk.notebook, self.desk.trial_id
        fresh = not kinds or trial_id != self._trial_id
        if trial_id != self._trial_id:
            self._trial_id, self._sitting_id, self._shown = trial_id, "", ""
        if kinds == frozenset({"score"}) and self._sitting_id:
            self._show_changed_scores(book.get(Sitting, self._sitting_id))
            return
        found = views.sittings(book, trial_id)
        if not any(s.id == self._sitting_id for s in found):
            self._sitting_id = self._first_open(found)
        self.days.show_days(found, self._sitting_id)
        self._show_verbs()
        sitting = book.find(Sitting, self._sitting_id)
        self._show_parts(sitting)
        if sitting is None:
            self._show_empty()
            return
        self._show_title(sitting)
        self.seats.show_sitting(sitting)
        self.served.show_sitting(sitting)
        self.early.show_sitting(sitting)
        named = [(t.id, t.alias) for t in self._tasters(sitting)]
        self.aside.show_named(trial_id, named)
        self._show_scores(sitting)
        if fresh:
            self._bring_back()

    def _first_open(self, found: Sequence[Sitting]) -> str:
        """The sitting with a score half written, else the first whose key is shut, else the
        last."""
        for sitting in found:
            draft = draft_place(self.desk.notebook, sitting)
            if draft is not None:
                self._shown = draft[1]
                return sitting.id
        shut = [s.id for s in found if s.key_state != "open"]
        return next(iter([*shut, *(s.id for s in reversed(found))]), "")

    def _tasters(self, sitting: Sitting) -> list[Taster]:
        book = self.desk.notebook
        return [book.get(Taster, seat.taster_id) for seat in views.seats(book, sitting.id)]

    def _show_parts(self, sitting: Sitting | None) -> None:
        state = sitting.key_state if sitting else ""
        self.empty.setVisible(sitting is None)
        self.paper.show_sitting(sitting)
        self.sitting_key.setVisible(sitting is not None)
        self.seats.setVisible(state == "none")
        self.served.setVisible(sitting is not None)
        for part in (self.showing_line, self.table):
            part.setVisible(state in ("sealed", "open"))
        self.early.setVisible(state == "sealed")
        self.aside.setVisible(state in ("sealed", "open"))

    def _show_empty(self) -> None:
        assert self.leaf is not None
        self.leaf.set_title(self.title, msg("Blind: by code, in balanced order, under a key."))
        self.empty.set_items(self._why_no_sitting() or _NOTHING_YET)

    def _show_title(self, sitting: Sitting) -> None:
        assert self.leaf is not None
        cook = self.desk.notebook.get(Cook, sitting.cook_id)
        day = said_day(sitting.date or cook.date)
        if day:
            says = msg("Sitting {n}, {day}, from cook day {cook}.", n=sitting.number, day=day,
                       cook=cook.number)  # fmt: skip
        else:
            says = msg("Sitting {n}, from cook day {cook}.", n=sitting.number, cook=cook.number)
        self.leaf.set_title(self.title, says)

    def _show_verbs(self) -> None:
        assert self.leaf is not None
        sitting = self.desk.notebook.find(Sitting, self._sitting_id)
        under_way = sitting is not None and sitting.key_state != "open"
        no_sitting, no_seal = self._why_no_sitting(), self._why_no_seal()
        self.leaf.set_verb(
            "begin",
            msg("Begin a sitting"),
            due=no_sitting is None and not under_way,
            why=no_sitting,
        )
        self.leaf.set_verb(
            "seal", msg("Make codes and seal the key"), due=no_seal is None, why=no_seal
        )

    def _show_changed_scores(self, sitting: Sitting) -> None:
        """With every score: nothing but its cell and the seam."""
        self.sitting_key.show_cards(sitting)
        self.model.show_scores()

    def _show_scores(self, sitting: Sitting) -> None:
        self.sitting_key.show_sitting(sitting)
        if sitting.key_state == "none":
            return
        book = self.desk.notebook
        attributes = views.attributes(book, sitting.trial_id)
        named: list[tuple[str, Message | str]] = [(o.id, o.name) for o in attributes]
        cards = [(t.id, msg("the cards of {alias}", alias=t.alias))
                 for t in self._tasters(sitting)]  # fmt: skip
        known = [key for key, _ in (*named, *cards)]
        if not known:
            self.table.hide()
            self.showing_line.set_items(_NO_ATTRIBUTE)
            return
        if self._shown not in known:
            deciding = views.deciding(book, sitting.trial_id)
            first = deciding.id if deciding is not None and deciding.id in known else known[0]
            self._shown = first
        self.showing.set_alternatives([*named, *cards])
        self.showing.show_kept(self._shown)
        self.showing_line.set_items(
            [Run(msg("Showing ")), self.showing, Run(self._showing_words(attributes))]
        )
        self.model.show_sitting(sitting, self._shown)
        self.table.measure()
        self._anchor_rows(sitting)

    def _showing_words(self, attributes: Sequence[Outcome]) -> Message:
        outcome = next((o for o in attributes if o.id == self._shown), None)
        if outcome is None:
            return msg(", a sample a row, as the cards have it")
        scale = SCALES.get(outcome.scale)
        on = scale.label if scale is not None else msg("its scale")
        deciding = views.deciding(self.desk.notebook, outcome.trial_id)
        if deciding is not None and deciding.id == outcome.id:
            return msg(", which decides, {scale}, in the order served", scale=on)
        return msg(", {scale}, in the order served", scale=on)

    def _anchor_rows(self, sitting: Sitting) -> None:
        assert self.leaf is not None
        for seat in views.seats(self.desk.notebook, sitting.id):
            row = self.model.row_of(seat.taster_id)
            if row is not None:
                line = f"taster:{seat.taster_id}"
                self.leaf.anchor(line, self.table, self.table.row_place(row))

    def _bring_back(self) -> None:
        if not self.table.isHidden():
            self.model.bring_back(self.table)

    def margin(self) -> Margin:
        if not self._sitting_id:
            return Margin(msg("Nobody at the table knows which is which."))
        return margin_of_tasting(self.desk.notebook, self._sitting_id)

    # --- what can be done ----------------------------------------------------------------------

    def do(self, name: str, args: tuple[str, ...]) -> None:
        if name == "begin":
            self._begin()
        elif name == "seal":
            self._seal()
        elif name == "come_back":
            self.desk.take(sitting_acts.come_back(self.desk.notebook, args[0]))
        elif name == "go_to" and args[0] == "allergens":
            self.served.values["allergens"].setFocus()
        elif name == "go_to" and self.leaf is not None:
            self.leaf.go_to_line(args[0])

    def _next_cook(self) -> Cook | None:
        """The first cook day that was not tasted and whose pieces have their methods."""
        book = self.desk.notebook
        for cook in views.cooks(book, self.desk.trial_id):
            drawn = all(p.method_id for p in views.pieces(book, cook.id))
            if drawn and views.pieces(book, cook.id) and not views.sittings_of_cook(book, cook.id):
                return cook
        return None

    def _why_no_sitting(self) -> Message | None:
        book, trial_id = self.desk.notebook, self.desk.trial_id
        if not views.attributes(book, trial_id):
            return _NO_ATTRIBUTE
        if not views.cooks(book, trial_id):
            return msg("There is no cook day yet. The Plan says how many there are to be.")
        if self._next_cook() is None:
            if any(p.method_id is None for p in views.all_pieces(book, trial_id)):
                return msg("Lots are not drawn yet. The Plan draws them.")
            return msg("Every cook day has its sitting.")
        return None

    def _why_no_seal(self) -> Message | None:
        sitting = self.desk.notebook.find(Sitting, self._sitting_id)
        if sitting is None:
            return msg("Begin a sitting first.")
        if sitting.key_state != "none":
            return msg("The key of this sitting was sealed already.")
        if not views.seats(self.desk.notebook, sitting.id):
            return msg("Nobody tastes at this sitting. Write who tastes.")
        return None

    def _begin(self) -> None:
        cook = self._next_cook()
        if cook is None:
            return
        try:
            step = sitting_acts.make_sitting(self.desk.notebook, cook.id)
        except TrialbenchError as refused:
            self.desk.trouble.emit(refused)
            return
        self._sitting_id = new_record(step, Sitting).id
        self.desk.take(step)
        self.desk.margin_changed.emit()
        self.seats.more.setFocus()

    def _seal(self) -> None:
        self.sitting_key.seal()
        self._next_due()

    def _next_due(self) -> None:
        found = None if self.table.isHidden() else self.model.first_due()
        if found is not None:
            self.table.go_to(*found)

    @Slot(object)
    def _choose_sitting(self, sitting_id: str) -> None:
        self._sitting_id = sitting_id
        self.refresh(frozenset())
        self.desk.margin_changed.emit()

    @Slot(object)
    def _show_what(self, key: str) -> None:
        self._shown = key
        self._show_scores(self.desk.notebook.get(Sitting, self._sitting_id))
        self._bring_back()

    @Slot(object)
    def _plates_shown(self, shown: bool) -> None:
        """While the list of plates is on the screen nothing is scored beside it."""
        for part in (self.showing_line, self.table):
            part.setVisible(not shown)

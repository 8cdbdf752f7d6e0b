"""Cook: the weights of each cook day, what is due, what was lost, who shared a vessel."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QApplication

from trialbench.model.dates import said_day
from trialbench.model.errors import Refused, TrialbenchError
from trialbench.model.margin import Margin
from trialbench.model.message import Message, msg
from trialbench.model.records import Cook, Piece, Stage
from trialbench.model.steps import Step
from trialbench.notebook import views
from trialbench.notebook.acts import checkpoints, cover, plan
from trialbench.planning.cook_margin import margin_of_cook
from trialbench.planning.draw import is_due
from trialbench.ui import theme
from trialbench.ui.cells_table import CellsTable
from trialbench.ui.choices import Choice
from trialbench.ui.leaf import Leaf
from trialbench.ui.page import Desk, Page
from trialbench.ui.pages.cook_amounts import AmountsOnPieces
from trialbench.ui.pages.cook_loads import SharedVessels
from trialbench.ui.pages.cook_weights import WeightsModel, sum_of
from trialbench.ui.pages.numbered_days import NumberedDays
from trialbench.ui.pages.setting_aside import SettingAside
from trialbench.ui.pages.writing import Writing
from trialbench.ui.runs import Item, Run
from trialbench.ui.signs import MethodSign
from trialbench.ui.text import Line
from trialbench.ui.values import Value
from trialbench.ui.verbs import TextVerb
from trialbench.ui.verbs_table import VerbEntry

_KINDS = frozenset(
    {"trial", "method", "stage", "part", "cook", "pair", "load", "piece", "checkpoint",
     "measurement", "amount", "addition", "left_out", "cover", "seal", "sitting"}
)  # fmt: skip
_NONE_YET = msg("There is no cook day yet. The Plan says how many there are to be.")


class CookPage(Page):
    """One cook day at a time; the days stand in one line under the title."""

    key, title = "cook", msg("Cook")

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self._cook_id = ""
        self._trial_id = ""

    # --- parts ---------------------------------------------------------------------------------

    def build(self, leaf: Leaf) -> None:
        leaf.set_title(self.title)
        self.empty = Line("standing_sentence")
        self.days = NumberedDays(
            msg("Cook day"), lambda number: msg("Cook day {number}", number=number)
        )
        self.days.chosen.connect(self._open_day)
        self.act = Line("next_act")
        self.unit = Choice(msg("weights in"), (("g", msg("g")), ("oz", msg("oz"))), role="cell")
        self.unit.committed.connect(self._choose_unit)
        self.weights_line = Line("cell")
        self.model = WeightsModel(self.desk)
        self.table = CellsTable(self.model, msg("Weights of this cook day"), rows="stove")
        self.table.column_ended.connect(self.go_on)
        self.amounts = AmountsOnPieces(self.desk)
        self.amounts.table.column_ended.connect(self.go_on)
        self.sums = Line("cell")
        self.date = Value(msg("day of this cook"), hint=msg("on which day"))
        self.date_writing = Writing(self.desk, self.date, "", self._write_date)
        self.happened = Value(msg("what happened"), hint=msg("what happened, if anything did"))
        self.happened_writing = Writing(self.desk, self.happened, "", self._write_happened)
        self.notes_line = Line(
            "body", [Run(msg("Cooked on ")), self.date, Run(".  "), Run(msg("What happened: ")),
                     self.happened]
        )  # fmt: skip
        self.shared = SharedVessels(self.desk)
        self.aside = SettingAside(self.desk, "piece")
        for part, space in ((self.empty, 0), (self.days, 0), (self.act, 6), (self.weights_line, 10),
                            (self.table, 4), (self.amounts, 16), (self.sums, 12),
                            (self.notes_line, 14), (self.shared, 8), (self.aside, 4)):  # fmt: skip
            leaf.add(part, space_px=space)
        for name, part in (("cook", self.act), ("loads", self.shared), ("amounts", self.amounts),
                           ("happened", self.notes_line), ("left out", self.aside)):  # fmt: skip
            leaf.anchor(name, part)
        theme.signals().theme_changed.connect(self._size_changed)

    @Slot()
    def _size_changed(self) -> None:
        if self.leaf is not None and self.leaf.isVisible() and self._trial_id:
            self.refresh(frozenset({"cover"}))

    def verbs(self) -> tuple[VerbEntry, ...]:
        return (
            VerbEntry(
                "next_due", msg("Next cell that is due"), self.weigh, "Ctrl+G", self._why_not
            ),
            VerbEntry(
                "lay_out_weighings",
                msg("Lay out the weighings from the stages"),
                self._lay_out,
            ),
            VerbEntry("onto_pieces", msg("Write what went onto the pieces"), self._onto_pieces),
            VerbEntry("add_cook", msg("Add a cook day to the plan"), self._add_cook),
            VerbEntry("next_day", msg("Next cook day"), partial(self.days.turn, 1), "Ctrl+PgDown"),
            VerbEntry(
                "day_before", msg("Cook day before"), partial(self.days.turn, -1), "Ctrl+PgUp"
            ),
        )

    # --- showing -------------------------------------------------------------------------------

    def refresh(self, kinds: frozenset[str]) -> None:
        if kinds and not kinds & _KINDS:
            return
        book, trial_id = self.desk.notebook, self.desk.trial_id
        fresh = not kinds or trial_id != self._trial_id
        if trial_id != self._trial_id:
            self._trial_id, self._cook_id = trial_id, ""
        days = views.cooks(book, trial_id)
        if not any(day.id == self._cook_id for day in days):
            self._cook_id = self._first_open(days)
        self._show_parts(bool(days))
        if not days:
            self._show_empty()
            return
        cook = book.get(Cook, self._cook_id)
        inner = QApplication.focusWidget()
        writing = inner is not None and (inner is self.table or self.table.isAncestorOf(inner))
        self.model.show_cook(cook.id, trial_id)
        self.amounts.show_cook(cook.id, trial_id)
        self._show_tables()
        if writing and not self.table.currentIndex().isValid():
            self.weigh()
        self._show_head(cook, days)
        self._show_weights_line()
        self._show_act()
        self._show_sums()
        self.date_writing.bind(f"cook:{cook.id}:date", cook.date)
        self.happened_writing.bind(f"cook:{cook.id}:remark", cook.remark)
        self.shared.show_cook(cook.id)
        self.aside.show_named(trial_id, [(p.id, p.label) for p in views.pieces(book, cook.id)])
        self._anchor_rows()
        if fresh:
            self.model.bring_back(self.table)
            self.amounts.model.bring_back(self.amounts.table)

    def _show_tables(self) -> None:
        """What goes onto the pieces stands under their weights; at counter size instead of them,
        while it is due."""
        wanted = self.amounts.is_wanted()
        first = theme.is_counter() and self._weighs_out()
        self.amounts.setVisible(wanted and (first or not theme.is_counter()))
        self.table.setVisible(not first)

    def _weighs_out(self) -> bool:
        """Whether something is to be weighed onto the pieces before the next weighing of them."""
        due = self.model.due_now()
        if due is None:
            return self.amounts.model.next_thing() is not None
        checkpoint, _ = due
        stage = self.desk.notebook.find(Stage, checkpoint.stage_id)
        if stage is not None:
            return self.amounts.comes_before(stage.position)
        return checkpoint.checkpoint_kind == "served" and self.amounts.comes_before(float("inf"))

    def _first_open(self, days: Sequence[Cook]) -> str:
        """The day with a weight half written, else the first that is not weighed to the end, else
        the last one."""
        book = self.desk.notebook
        for day in days:
            begun = [f"{what}:{piece.id}:" for piece in views.pieces(book, day.id)
                     for what in ("piece", "amount")]  # fmt: skip
            if any(place.startswith(tuple(begun)) for place in book.drafts if begun):
                return day.id
        open_days = [day.id for day in days if not views.cook_is_weighed(book, day)]
        return next(iter([*open_days, *(day.id for day in reversed(days))]), "")

    def _show_parts(self, on: bool) -> None:
        self.empty.setVisible(not on)
        for part in (self.days, self.act, self.weights_line, self.table, self.amounts, self.sums,
                     self.notes_line, self.shared, self.aside):  # fmt: skip
            # At counter size stand the next act and the pieces, and nothing else.
            part.setVisible(on and (part in (self.act, self.table) or not theme.is_counter()))

    def _show_empty(self) -> None:
        assert self.leaf is not None
        self.days.show_days((), "")
        self.leaf.set_title(self.title, msg("The record of each day at the stove."))
        to_plan = TextVerb(msg("Write the plan"))
        to_plan.clicked.connect(self._to_plan)
        self.empty.set_items([Run(_NONE_YET), Run("  "), to_plan])
        self.leaf.set_verb("weigh", msg("Weigh the pieces"), why=_NONE_YET, stove=True)

    def _show_head(self, cook: Cook, days: Sequence[Cook]) -> None:
        assert self.leaf is not None
        planned = max(views.planned_or_laid_out(self.desk.notebook, cook.trial_id), len(days))
        title = msg("Cook day {number} of {all}", number=cook.number, all=planned)
        self.leaf.set_title(title, said_day(cook.date) or msg("The day is not written yet."))
        why = self._why_not()
        self.leaf.set_verb("weigh", msg("Weigh the pieces"), due=why is None, why=why, stove=True)
        self.days.show_days(days, cook.id)
        if theme.is_counter():
            self.days.hide()

    def _show_weights_line(self) -> None:
        """The unit; and, when stages came or went, the verb that lays the weighings out anew."""
        self.unit.show_kept(views.cover(self.desk.notebook).mass_unit)
        items: list[Item] = [Run(msg("Weights"), weight=600), Run(msg("   in ")), self.unit,
                             Run(msg(", without the pan"))]  # fmt: skip
        if self.model.next_due() is not None and self._weighings_to_lay_out():
            verb = TextVerb(msg("Lay the weighings out from the stages"), weight=600)
            verb.clicked.connect(self._lay_out)
            items += [Run("     "), verb]
        self.weights_line.set_items(items)

    def _weighings_to_lay_out(self) -> bool:
        book = self.desk.notebook
        step = checkpoints.lay_out_checkpoints(book, self.desk.trial_id)
        new = [change for change in step.changes if change.before is None]
        return bool(views.stages(book, self.desk.trial_id)) and bool(new)

    def _show_act(self) -> None:
        if not views.checkpoints(self.desk.notebook, self.desk.trial_id):
            self.act.set_items(msg("Weigh the pieces: raw, trimmed, and after each stage."))
            return
        cook = self.desk.notebook.get(Cook, self._cook_id)
        if is_due(views.OneTrial(self.desk.notebook, cook.trial_id), cook):
            to_plan = TextVerb(msg("Draw them on the Plan"), weight=600)
            to_plan.clicked.connect(self._to_plan)
            parted = msg("Lots of day {number} are due: the weights are in.", number=cook.number)
            self.act.set_items([Run(parted), Run("   "), to_plan])
            return
        due = self.model.due_now()
        out = self.amounts.act() if self._weighs_out() else None
        if out is not None:
            self.act.set_items(out)
            return
        if due is None:
            self.act.set_items(msg("Every piece of this day is weighed."))
            return
        checkpoint, pieces = due
        self.act.set_items(
            msg("Weigh {pieces}, {checkpoint}.", pieces=_listed(pieces), checkpoint=checkpoint.name)
        )

    def _show_sums(self) -> None:
        """What each method lost so far, of raw and of trimmed weight; and what is left."""
        book = self.desk.notebook
        items: list[Item] = []
        for method in views.methods(book, self.desk.trial_id):
            said = sum_of(book, method, self._cook_id)
            if said is not None:
                items += [Run("\n")] if items else []
                items += [MethodSign(method.letter, method.name), Run("  "), Run(said)]
        self.sums.set_items(items)
        self.sums.setVisible(bool(items) and not theme.is_counter())

    def _anchor_rows(self) -> None:
        assert self.leaf is not None
        book = self.desk.notebook
        points = views.checkpoints(book, self.desk.trial_id)
        for row, piece in enumerate(views.pieces(book, self._cook_id)):
            place = self.table.row_place(row)
            lines = [f"piece:{piece.id}", *(f"piece:{piece.id}:{point.id}" for point in points)]
            if piece.pair_id:
                lines.append(f"pair:{piece.pair_id}")
            if piece.load_id:
                lines.append(f"load:{piece.load_id}")
            for line in lines:
                self.leaf.anchor(line, self.table, place)
            for thing in self.amounts.model.things:
                line = f"amount:{piece.id}:{thing.key}"
                self.leaf.anchor(line, self.amounts.table, self.amounts.place_in(row))

    def margin(self) -> Margin:
        if not self._cook_id:
            return Margin(_NONE_YET)
        return margin_of_cook(self.desk.notebook, self._cook_id)

    # --- what can be done ----------------------------------------------------------------------

    def do(self, name: str, args: tuple[str, ...]) -> None:
        if name == "weigh":
            self.weigh()
        elif name == "plan":
            self._to_plan()
        elif name == "go_to":
            self._go_to(args[0])
        elif name == "open_page":
            self.desk.go(args[0])

    def _go_to(self, line: str) -> None:
        """A cell of the table, or a line of the page."""
        assert self.leaf is not None
        kind, _, rest = line.partition(":")
        piece_id, _, checkpoint_id = rest.partition(":")
        table = self.amounts.table if kind == "amount" else self.table
        model = self.amounts.model if kind == "amount" else self.model
        at = model.place_of(piece_id, checkpoint_id) if kind in ("piece", "amount") else None
        if at is not None:
            table.go_to(*at)
        else:
            self.leaf.go_to_line(line)

    def _why_not(self) -> Message | None:
        if not self._cook_id:
            return _NONE_YET
        if not views.pieces(self.desk.notebook, self._cook_id):
            return msg("This day has no pieces. The Plan lays them out.")
        laid_out = views.checkpoints(self.desk.notebook, self.desk.trial_id)
        if laid_out and self.model.next_due() is None and not self.amounts.model.next_thing():
            return msg("Every piece of this day is weighed.")
        return None

    @Slot()
    def weigh(self) -> None:
        """Go to the next cell that is due; before the first, lay the weighings out."""
        if not views.checkpoints(self.desk.notebook, self.desk.trial_id):
            self._lay_out()
        self.go_on()

    @Slot()
    def go_on(self) -> None:
        """At the end of a column: where weighing goes on, onto the pieces or the pieces."""
        if self._weighs_out() and self.amounts.go_on():
            return
        found = self.model.next_due()
        if found is not None:
            self.table.go_to(*found)

    def _onto_pieces(self) -> None:
        if not self.amounts.ask():
            no_rate = msg("The methods write nothing in grams for each kilogram.")
            self.desk.trouble.emit(Refused(no_rate))

    @Slot(object)
    def _open_day(self, cook_id: str) -> None:
        self._cook_id = cook_id
        self.refresh(frozenset())
        self.desk.margin_changed.emit()

    @Slot(object)
    def _choose_unit(self, unit: str) -> None:
        self.desk.take(cover.show_in(self.desk.notebook, "mass_unit", unit))

    def _write_date(self, text: str) -> Step:
        return plan.set_cook(self.desk.notebook, self._cook_id, "date", text)

    def _write_happened(self, text: str) -> Step:
        return plan.set_cook(self.desk.notebook, self._cook_id, "remark", text)

    @Slot()
    def _to_plan(self) -> None:
        self.desk.go("plan")

    @Slot()
    def _lay_out(self) -> None:
        self.desk.take(checkpoints.lay_out_checkpoints(self.desk.notebook, self.desk.trial_id))

    def _add_cook(self) -> None:
        try:
            step = plan.add_cook(self.desk.notebook, self.desk.trial_id)
        except TrialbenchError as refused:
            self.desk.trouble.emit(refused)
            return
        self.desk.take(step)


def _listed(pieces: Sequence[Piece]) -> Message | str:
    """ "P05 to P08", or the labels one by one where they are few."""
    labels = [piece.label for piece in pieces]
    if len(labels) > 2:
        return msg("{first} to {last}", first=labels[0], last=labels[-1])
    return msg("{one} and {two}", one=labels[0], two=labels[1]) if len(labels) == 2 else labels[0]

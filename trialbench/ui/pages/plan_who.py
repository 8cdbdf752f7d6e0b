"""Who gets which method: places in turn, a row a cook day, the lots under them."""

from __future__ import annotations

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QVBoxLayout, QWidget

from trialbench.model.message import Message, msg
from trialbench.model.records import Trial
from trialbench.notebook import views
from trialbench.ui.leaf import Leaf
from trialbench.ui.page import Desk
from trialbench.ui.pages.plan_days import DayRow
from trialbench.ui.pages.plan_lots import Lots
from trialbench.ui.pages.plan_section import PlanSection
from trialbench.ui.runs import Item, Run
from trialbench.ui.text import Line
from trialbench.ui.values import Value
from trialbench.ui.verbs import TextVerb
from trialbench.ui.verbs_table import VerbEntry

_HIDE, _SHOW = msg("Hide who gets what"), msg("Show who gets what")


class WhoSection(PlanSection):
    """The pieces of every cook day with what lots gave them, and the verbs that draw and seal."""

    kinds = frozenset(
        {"trial", "method", "stage", "part", "addition", "checkpoint", "cook", "pair", "load",
         "piece", "draw", "lot", "seal", "measurement", "sitting"}
    )  # fmt: skip
    space_px = 14

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self.rows: list[DayRow] = []
        self.hidden = False
        self.places = Value(msg("places in the cooker"), hint=msg("upper rack, lower rack"),
                            role="cell")  # fmt: skip
        self.places.committed.connect(self._keep_places)
        self.places.typed.connect(self._draft_places)
        self.who = Line("cell", [Run(msg("Who gets which method"), weight=600)])
        self.hide_verb = TextVerb(_HIDE)
        self.hide_verb.clicked.connect(self._hide)
        self.who.lend(self.places, self.hide_verb)
        self.days = QWidget()
        self._days_column = QVBoxLayout(self.days)
        self._days_column.setContentsMargins(0, 0, 0, 0)
        self._days_column.setSpacing(0)
        self.lots = Lots(desk, self._places_given)
        self.column.addWidget(self.who)
        self.column.addSpacing(6)
        self.column.addWidget(self.days)
        self.column.addSpacing(10)
        self.column.addWidget(self.lots)

    def anchors(self) -> dict[str, QWidget]:
        rows: dict[str, QWidget] = {row.line: row for row in self.rows}
        return {"draw": self.lots, "seal": self.lots, **rows}

    def verbs(self) -> tuple[VerbEntry, ...]:
        return (VerbEntry("draw", msg("Draw lots"), self.lots.draw, why=self._why_no_draw),)

    def do(self, name: str, args: tuple[str, ...]) -> bool:
        if name != "draw":
            return False
        self.lots.draw()
        return True

    # --- showing -------------------------------------------------------------------------------

    def show_plan(self, trial: Trial, *, sealed: bool) -> None:
        self._show_days(trial)
        self._show_who(trial)
        self.lots.show_draws(trial.id)

    def show_head(self, leaf: Leaf, *, sealed: bool) -> None:
        coming = self.lots.coming or self.lots.next_draw()
        leaf.set_verb("draw", coming.label, due=coming.due, why=coming.why)

    def _why_no_draw(self) -> Message | str | None:
        return self.lots.next_draw().why

    def _show_days(self, trial: Trial) -> None:
        """A row a cook day; a row that only has other words stays, with the keyboard in it."""
        days = views.cooks(self.desk.notebook, trial.id)
        rows = [row if row.keeps(day, hidden=self.hidden) else None
                for row, day in zip(self.rows, days)]  # noqa: B905  # fmt: skip
        for row in set(self.rows) - set(rows):
            self._days_column.removeWidget(row)
            row.hide()
            row.deleteLater()
        rows += [None] * (len(days) - len(rows))
        self.rows = [
            row or DayRow(self.desk, day, hidden=self.hidden)
            for row, day in zip(rows, days, strict=True)
        ]
        for place, row in enumerate(self.rows):
            if self._days_column.indexOf(row) != place:
                self._days_column.insertWidget(place, row)

    def _show_who(self, trial: Trial) -> None:
        items: list[Item] = [Run(msg("Who gets which method"), weight=600)]
        if not self.rows:
            said = msg("   Write how many cook days and pieces; they are laid out here.")
            self.who.set_items([*items, Run(said, colour="pencil")])
            return
        if trial.paired:
            two = len(views.methods(self.desk.notebook, trial.id)) <= 2
            cut = msg("   the cut is inside a pair") if two else msg("   the cuts are inside a set")
            items.append(Run(cut, colour="pencil"))
        if views.seal(self.desk.notebook, trial.id) is None:
            draft = self.desk.notebook.draft(self._places_draft())
            if not self.places.hasFocus():
                self.places.keep(self._places_there() if draft is None else draft)
            items += [Run(msg("   places in turn: "), colour="pencil"), self.places]
        if views.latest_draw(self.desk.notebook, trial.id) is not None:
            items += [Run("   "), self.hide_verb]
        self.who.set_items(items)

    @Slot()
    def _hide(self) -> None:
        """Whoever trims and seasons need not know: the pieces without their methods, and back."""
        self.hidden = not self.hidden
        self.hide_verb.set_label(_SHOW if self.hidden else _HIDE)
        trial = self.desk.notebook.get(Trial, self.desk.trial_id)
        self._show_days(trial)
        self._show_who(trial)

    # --- places --------------------------------------------------------------------------------

    def _places_draft(self) -> str:
        return f"trial:{self.desk.trial_id}:places"

    @Slot(object)
    def _draft_places(self, text: str) -> None:
        self.desk.write_draft(self._places_draft(), text or None)

    @Slot(object)
    def _keep_places(self, text: str) -> None:
        self.places.keep(text)

    def _places_there(self) -> str:
        """The places that pieces have, each once, in their order."""
        pieces = views.all_pieces(self.desk.notebook, self.desk.trial_id)
        return ", ".join(dict.fromkeys(piece.place for piece in pieces if piece.place))

    def _places_given(self) -> list[str]:
        """The places that were written; none where pieces have them already."""
        if self.places.text() == self._places_there():
            return []
        return [place.strip() for place in self.places.text().split(",") if place.strip()]

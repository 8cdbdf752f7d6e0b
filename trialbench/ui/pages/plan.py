"""Plan: one sentence with figures, what it could find, who gets which method, the seal."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QVBoxLayout, QWidget

from trialbench.model.errors import TrialbenchError
from trialbench.model.margin import Margin
from trialbench.model.message import Message, msg, msg_n
from trialbench.model.records import Trial
from trialbench.notebook import views
from trialbench.notebook.acts import plan, question
from trialbench.planning.draw import why_no_draw
from trialbench.planning.feasibility import Feasibility, PlanFigures, feasibility_of, plan_figures
from trialbench.planning.plan_margin import margin_of_plan
from trialbench.planning.seal import lacks_for_seal
from trialbench.ui.figure_view import FigureTable, FigureView
from trialbench.ui.leaf import Leaf
from trialbench.ui.page import Desk, Page
from trialbench.ui.pages.plan_days import DayRow
from trialbench.ui.pages.plan_lots import Lots, wants_lots
from trialbench.ui.pages.plan_sentence import PlanSentence
from trialbench.ui.runs import Item, Run
from trialbench.ui.table import ReadingColumn
from trialbench.ui.text import Line
from trialbench.ui.values import Value
from trialbench.ui.verbs_table import VerbEntry

_KINDS = frozenset(
    {"trial", "method", "outcome", "cook", "pair", "load", "piece", "draw", "lot", "seal",
     "measurement", "sitting"}
)  # fmt: skip
_FIGURE_PX = 262
_SEALED = msg("The plan is sealed. Who gets which method stays as it was drawn.")


class PlanPage(Page):
    """The plan of a trial. Figures lay out cook days and pieces as they are written."""

    key, title = "plan", msg("Plan")

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self._found: Feasibility | None = None
        self._figures: PlanFigures | None = None
        self._rows: list[DayRow] = []

    # --- parts ---------------------------------------------------------------------------------

    def build(self, leaf: Leaf) -> None:
        self.sentence = PlanSentence(self.desk, self._try)
        self.finds = Line("cell")
        self.figure = FigureView(self.desk.background, "plan", _FIGURE_PX)
        self.finds.hide()
        self.figure.hide()
        self.places = Value(msg("places in the cooker"), hint=msg("upper rack, lower rack"),
                            role="cell")  # fmt: skip
        self.places.committed.connect(self._keep_places)
        self.places.typed.connect(self._draft_places)
        who = Run(msg("Who gets which method"), weight=600)
        self.who = Line("cell", [who])
        self.who.lend(self.places)
        self.days = QWidget()
        self._days_column = QVBoxLayout(self.days)
        self._days_column.setContentsMargins(0, 0, 0, 0)
        self._days_column.setSpacing(0)
        self.lots = Lots(self.desk, self._places_given)
        for part, space in ((self.sentence, 2), (self.finds, 10), (self.figure, 2), (self.who, 14),
                            (self.days, 6), (self.lots, 10)):  # fmt: skip
            leaf.add(part, space_px=space)
        self._anchor(leaf)

    def _anchor(self, leaf: Leaf) -> None:
        for name, part in (("figures", self.sentence), ("feasibility", self.figure),
                           ("draw", self.lots), ("seal", self.lots)):  # fmt: skip
            leaf.anchor(name, part)

    def verbs(self) -> tuple[VerbEntry, ...]:
        return (
            VerbEntry("draw", msg("Draw lots"), self.lots.draw, why=self._why_no_draw),
            VerbEntry("seal", msg("Seal the plan"), self.lots.seal, why=self._why_no_seal),
        )

    # --- showing -------------------------------------------------------------------------------

    def refresh(self, kinds: frozenset[str]) -> None:
        if kinds and not kinds & _KINDS:
            return
        trial = self.desk.notebook.get(Trial, self.desk.trial_id)
        sealed = views.seal(self.desk.notebook, trial.id) is not None
        self._show_head(sealed)
        self.sentence.show_plan(trial, sealed=sealed)
        self._show_days(trial)
        self.lots.show_draws(trial.id)
        self._reckon(trial)

    def _show_head(self, sealed: bool) -> None:
        assert self.leaf is not None
        says = _SEALED if sealed else msg("Change it freely until it is sealed. Then it stays.")
        self.leaf.set_title(self.title, says)
        drawn = views.latest_draw(self.desk.notebook, self.desk.trial_id) is not None
        new = wants_lots(self.desk.notebook, self.desk.trial_id)
        words = msg("Draw lots again, and say why") if drawn else msg("Draw lots")
        if new:
            words = msg("Draw lots for the new pieces")
        no_draw, no_seal = self._why_no_draw(), self._why_no_seal()
        due = no_draw is None and (new or not drawn)
        self.leaf.set_verb("draw", words, due=due, why=no_draw)
        due = drawn and not new and no_seal is None
        self.leaf.set_verb("seal", msg("Seal the plan"), due=due, why=no_seal)

    def _why_no_draw(self) -> Message | str | None:
        if wants_lots(self.desk.notebook, self.desk.trial_id):
            return None
        return why_no_draw(views.OneTrial(self.desk.notebook, self.desk.trial_id))

    def _why_no_seal(self) -> Message | None:
        records = views.OneTrial(self.desk.notebook, self.desk.trial_id)
        if views.seal(self.desk.notebook, self.desk.trial_id) is not None:
            return msg("The plan is sealed already.")
        return next(iter(lacks_for_seal(records)), None)

    def _show_days(self, trial: Trial) -> None:
        """A row a cook day; a row that only has other words stays, with the keyboard in it."""
        assert self.leaf is not None
        days = views.cooks(self.desk.notebook, trial.id)
        rows = [row if row.keeps(day) else None for row, day in zip(self._rows, days)]  # noqa: B905
        for row in set(self._rows) - set(rows):
            self._days_column.removeWidget(row)
            row.hide()
            row.deleteLater()
        self.leaf.drop_anchors()
        self._anchor(self.leaf)
        rows += [None] * (len(days) - len(rows))
        self._rows = [row or DayRow(self.desk, day) for row, day in zip(rows, days, strict=True)]
        for place, row in enumerate(self._rows):
            if self._days_column.indexOf(row) != place:
                self._days_column.insertWidget(place, row)
            self.leaf.anchor(row.line, row)
        self._show_who(trial)

    def _show_who(self, trial: Trial) -> None:
        items: list[Item] = [Run(msg("Who gets which method"), weight=600)]
        if not self._rows:
            said = msg("   Write how many cook days and pieces; they are laid out here.")
            self.who.set_items([*items, Run(said, colour="pencil")])
            return
        if trial.paired:
            items.append(Run(msg("   the cut is inside a pair"), colour="pencil"))
        if views.seal(self.desk.notebook, trial.id) is None:
            draft = self.desk.notebook.draft(self._places_draft())
            if draft is not None and not self.places.hasFocus():
                self.places.keep(draft)
            items += [Run(msg("   places in turn: "), colour="pencil"), self.places]
        self.who.set_items(items)

    # --- what it could find --------------------------------------------------------------------

    def _reckon(self, trial: Trial) -> None:
        figures = plan_figures(self.desk.notebook, trial.id)
        if figures == self._figures:
            return
        self._figures = figures
        self.desk.background.ask("plan", _Work(figures), self._show_found)

    def _show_found(self, answer: tuple[Feasibility, Any]) -> None:
        self._found, picture = answer
        curve = self._found.curve
        shown = curve is not None and bool(curve.points)
        self.finds.setVisible(shown)
        self.figure.setVisible(shown)
        if curve is not None and shown:
            outcome = views.deciding(self.desk.notebook, self.desk.trial_id)
            name = outcome.name if outcome else msg("what decides")
            label = msg("Smallest difference in {name} it would find", name=name)
            says = msg("   {unit}, eight times in ten", unit=curve.unit)
            self.finds.set_items([Run(label, weight=600), Run(says, colour="pencil")])
            columns = tuple(ReadingColumn(column) for column in picture.table.columns)
            self.figure.show_figure(
                _Drawn(self._found), picture.sentence, FigureTable(columns, picture.table.rows)
            )
        self.desk.margin_changed.emit()

    def margin(self) -> Margin:
        if self._found is None:
            return Margin(msg("Can this trial give an answer?"))
        return margin_of_plan(self.desk.notebook, self.desk.trial_id, self._found)

    # --- what can be done ----------------------------------------------------------------------

    def do(self, name: str, args: tuple[str, ...]) -> None:
        if name == "draw":
            self.lots.draw()
        elif name == "seal":
            self.lots.seal()
        elif name == "set_plan":
            self._try(lambda: plan.set_plan(self.desk.notebook, *args))
        elif name == "set_matters":
            self._try(lambda: question.set_matters(self.desk.notebook, *args))
        elif name == "go_to" and self.leaf is not None:
            self.leaf.go_to_line(args[0])

    def _try(self, act: Any) -> None:
        try:
            self.desk.take(act())
        except TrialbenchError as refused:
            self.desk.trouble.emit(refused)

    # --- places --------------------------------------------------------------------------------

    def _places_draft(self) -> str:
        return f"trial:{self.desk.trial_id}:places"

    @Slot(object)
    def _draft_places(self, text: str) -> None:
        self.desk.write_draft(self._places_draft(), text or None)

    @Slot(object)
    def _keep_places(self, text: str) -> None:
        self.places.keep(text)

    def _places_given(self) -> list[str]:
        return [place.strip() for place in self.places.text().split(",") if place.strip()]


class _Work:
    """What the worker does for this page: plain figures in, plain answer out."""

    def __init__(self, figures: PlanFigures) -> None:
        self._figures = figures

    def __call__(self) -> tuple[Feasibility, Any]:
        from trialbench.figures.feasibility import feasibility_figure

        found = feasibility_of(self._figures)
        return found, feasibility_figure(found.curve) if found.curve else None


class _Drawn:
    """Draws the curve for a look and a size."""

    def __init__(self, found: Feasibility) -> None:
        self._found = found

    def __call__(self, look: str, width_in: float, height_in: float) -> Any:
        from trialbench.figures.feasibility import feasibility_figure

        units = self._found.figures.units
        each = msg_n("cook days, {count} piece of each method a day",
                     "cook days, {count} pieces of each method a day", units.pieces)  # fmt: skip
        assert self._found.curve is not None
        picture = feasibility_figure(
            self._found.curve, look, below=each,  # type: ignore[arg-type]
            width_px=width_in * 96, height_px=height_in * 96,
        )  # fmt: skip
        return picture.figure

"""What the plan could find, as a picture: reckoned beside the typing, never in its way."""

from __future__ import annotations

from typing import Any

from PySide6.QtWidgets import QWidget

from trialbench.model.message import msg, msg_n
from trialbench.model.records import Trial
from trialbench.notebook import views
from trialbench.planning.feasibility import Feasibility, PlanFigures, feasibility_of, plan_figures
from trialbench.ui.figure_view import FigureTable, FigureView
from trialbench.ui.page import Desk
from trialbench.ui.pages.plan_section import PlanSection
from trialbench.ui.runs import Run
from trialbench.ui.table import ReadingColumn
from trialbench.ui.text import Line

_FIGURE_PX = 262


class FeasibilitySection(PlanSection):
    """The smallest difference that the plan would find. `found` is None until it is reckoned."""

    kinds = frozenset(
        {"trial", "method", "outcome", "cook", "pair", "load", "piece", "draw", "lot"}
    )

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self.found: Feasibility | None = None
        self._figures: PlanFigures | None = None
        self.finds = Line("cell")
        self.figure = FigureView(desk.background, "plan", _FIGURE_PX)
        self.column.addWidget(self.finds)
        self.column.addSpacing(2)
        self.column.addWidget(self.figure)
        self.finds.hide()
        self.figure.hide()

    def anchors(self) -> dict[str, QWidget]:
        return {"feasibility": self.figure}

    def show_plan(self, trial: Trial, *, sealed: bool) -> None:
        figures = plan_figures(self.desk.notebook, trial.id)
        if figures == self._figures:
            return
        self._figures = figures
        self.desk.background.ask("plan", _Work(figures), self._show_found)

    def _show_found(self, answer: tuple[Feasibility, Any]) -> None:
        self.found, picture = answer
        curve = self.found.curve
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
                _Drawn(self.found), picture.sentence, FigureTable(columns, picture.table.rows)
            )
        self.desk.margin_changed.emit()


class _Work:
    """What the worker does for this section: plain figures in, plain answer out."""

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

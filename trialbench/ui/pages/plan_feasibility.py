"""What the plan could find, as a picture: reckoned beside the typing, never in its way."""

from __future__ import annotations

from typing import Any

from PySide6.QtWidgets import QVBoxLayout, QWidget

from trialbench.model.message import Message, msg, msg_n
from trialbench.model.numbers import shortest
from trialbench.model.records import Method, Sitting, Trial
from trialbench.notebook import views
from trialbench.planning.claims import PlannedClaim
from trialbench.planning.design_margin import one_day_sentence, size_words, times_in
from trialbench.planning.feasibility import (
    Feasibility,
    PlanFigures,
    Shown,
    feasibility_of,
    plan_figures,
)
from trialbench.planning.spread import PastTrial
from trialbench.ui.figure_view import FigureTable, FigureView
from trialbench.ui.page import Desk
from trialbench.ui.pages.plan_section import PlanSection
from trialbench.ui.runs import Run
from trialbench.ui.table import ReadingColumn, ReadingTable
from trialbench.ui.text import Line

_FIGURE_PX = 262


class FeasibilitySection(PlanSection):
    """The smallest difference that the plan would find. `found` is None until it is reckoned.

    The kitchen's own scatter is read from its finished trials once, and again when a key was
    opened or another outcome decides; until it is there a borrowed one stands in.
    """

    kinds = frozenset(
        {"trial", "method", "outcome", "cook", "pair", "load", "piece", "draw", "lot", "price",
         "factor", "level", "setting", "sitting"}
    )  # fmt: skip

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self.found: Feasibility | None = None
        self._figures: PlanFigures | None = None
        self._past: tuple[PastTrial, ...] = ()
        self._past_of: tuple[Any, ...] = ()
        self.one_day = Line("body")
        self.finds = Line("cell")
        self.figure = FigureView(desk.background, "plan", _FIGURE_PX)
        self.claims: ReadingTable | None = None
        self._first = QWidget()
        first = QVBoxLayout(self._first)
        first.setContentsMargins(0, 0, 0, 10)
        first.addWidget(self.one_day)
        for part in (self._first, self.finds, self.figure):
            self.column.addWidget(part)
            part.hide()
        self.column.insertSpacing(2, 2)

    def anchors(self) -> dict[str, QWidget]:
        return {"feasibility": self.figure}

    def show_plan(self, trial: Trial, *, sealed: bool) -> None:
        self._ask_past(trial)
        figures = plan_figures(self.desk.notebook, trial.id, self._past, self._planned(trial))
        if figures == self._figures:
            return
        self._figures = figures
        self.desk.background.ask("plan", _Work(figures), self._show_found)

    def _planned(self, trial: Trial) -> tuple[PlannedClaim, ...]:
        """What more than two methods will be compared by."""
        if len(self.desk.notebook.all(Method, trial_id=trial.id)) < 3:
            return ()
        from trialbench.findings.planned_claims import planned_claims
        from trialbench.findings.snapshot import records_of

        return planned_claims(records_of(self.desk.notebook, trial.id))

    # --- the kitchen's own scatter ---------------------------------------------------------------

    def _ask_past(self, trial: Trial) -> None:
        book = self.desk.notebook
        outcome = views.deciding(book, trial.id)
        what = outcome and (outcome.name, outcome.source, outcome.scale, outcome.low, outcome.high)
        wanted = (trial.id, what, len(book.all(Sitting, key_state="open")))
        if wanted == self._past_of:
            return
        if wanted[:2] != self._past_of[:2]:
            self._past = ()
        self._past_of = wanted
        if len(views.trials(book)) > 1 and outcome is not None:
            self.desk.background.ask(
                "plan past", _Past(book.snapshot(), trial.id), self._take_past, trouble=self._fail
            )

    def _take_past(self, past: tuple[PastTrial, ...]) -> None:
        trial = self.desk.notebook.find(Trial, self._past_of[0])
        if trial is not None and trial.id == self.desk.trial_id and past != self._past:
            self._past = past
            self.show_plan(trial, sealed=False)

    def _fail(self, trouble: Exception) -> None:
        """A trial that cannot be read says so on its own page; here the borrowed scatter stays."""

    # --- showing -------------------------------------------------------------------------------

    def _show_found(self, found: Feasibility) -> None:
        from trialbench.figures.feasibility import curve_sentence, curve_table

        self.found, curve = found, found.curve
        shown = curve is not None and bool(curve.points)
        self.finds.setVisible(shown)
        self.figure.setVisible(shown)
        self._first.setVisible(found.one_day is not None)
        if found.one_day is not None:
            self.one_day.set_items(one_day_sentence(found.figures, found.one_day))
        if curve is not None and shown:
            self.finds.set_items(
                [Run(self._head(), weight=600), Run(self._unit(), colour="pencil")]
            )
            table = curve_table(curve)
            columns = tuple(ReadingColumn(column) for column in table.columns)
            self.figure.show_figure(
                _Drawn(found), curve_sentence(curve), FigureTable(columns, table.rows)
            )
        self._show_claims(found)
        self.desk.margin_changed.emit()

    def _head(self) -> Message:
        """What the picture is of."""
        outcome = views.deciding(self.desk.notebook, self.desk.trial_id)
        name = outcome.name if outcome else msg("what decides")
        assert self.found is not None
        if self.found.one_day is not None:
            return msg("Smallest difference in {name} that more cook days would find", name=name)
        return msg("Smallest difference in {name} it would find", name=name)

    def _unit(self) -> Message:
        assert self.found is not None
        leading = self.found.figures.leading
        if leading is None:
            return msg("   {unit}, eight times in ten", unit=self.found.figures.unit)
        return msg("   {unit}, eight times in ten, in {claim}", unit=self.found.figures.unit,
                   claim=leading.label)  # fmt: skip

    def _show_claims(self, found: Feasibility) -> None:
        """A line for each comparison of a plan of more than two methods."""
        if self.claims is not None:
            self.column.removeWidget(self.claims)
            self.claims.hide()
            self.claims.deleteLater()
            self.claims = None
        if len(found.shown) < 2:
            return
        self.claims = ReadingTable(_columns(found), [_row(each) for each in found.shown], row_px=28)
        self.column.addWidget(self.claims)


def _columns(found: Feasibility) -> tuple[ReadingColumn, ...]:
    days = msg_n("{count} cook day", "{count} cook days", found.figures.units.cooks)
    heads = [
        ReadingColumn(msg("compared"), share=3),
        ReadingColumn(msg("{days} find", days=days), 116, align="right"),
        ReadingColumn(msg("interval"), 92, align="right"),
    ]
    if found.figures.matters is not None:
        gap = msg("{size} is told apart", size=shortest(found.figures.matters))
        heads.append(ReadingColumn(gap, 132, align="right"))
    return tuple(heads)


def _row(shown: Shown) -> tuple[Message | str, ...]:
    assert shown.claim is not None
    row: list[Message | str] = [
        shown.claim.label, size_words(shown.smallest), f"± {size_words(shown.half_width)}",
    ]  # fmt: skip
    if shown.chance is not None:
        row.append(times_in(shown.chance))
    elif shown.claim.role == "bend":
        row.append("–")
    return tuple(row)


class _Past:
    """What the worker reads of the finished trials: a snapshot in, plain figures out."""

    def __init__(self, book: Any, trial_id: str) -> None:
        self._book, self._trial_id = book, trial_id

    def __call__(self) -> tuple[PastTrial, ...]:
        from trialbench.findings.past_trials import past_of

        return past_of(self._book, self._trial_id)


class _Work:
    """What the worker does for this section: plain figures in, plain answer out."""

    def __init__(self, figures: PlanFigures) -> None:
        self._figures = figures

    def __call__(self) -> Feasibility:
        return feasibility_of(self._figures)


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

"""The Plan page's papers: the plan, which piece goes where, the weighing list."""

from __future__ import annotations

from trialbench.model.message import msg
from trialbench.model.records import Trial
from trialbench.notebook import views
from trialbench.ui.page import Desk
from trialbench.ui.pages.paper_verbs import (
    PLACES,
    PLAN,
    WEIGHING,
    WEIGHING_WITHOUT,
    PaperVerbs,
)
from trialbench.ui.pages.plan_section import PlanSection
from trialbench.ui.verbs_table import VerbEntry


class PaperSection(PlanSection):
    """One line; away until something is laid out or written to print."""

    kinds = frozenset({"trial", "cook", "stage"})
    space_px = 14

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self._trial_id = ""
        self.papers = PaperVerbs(desk, (PLAN, PLACES, WEIGHING, WEIGHING_WITHOUT))
        self.column.addWidget(self.papers.line)
        self.papers.line.hide()

    def show_plan(self, trial: Trial, *, sealed: bool) -> None:
        if trial.id != self._trial_id:
            self._trial_id = trial.id
            self.papers.forget()
        book = self.desk.notebook
        there = bool(views.cooks(book, trial.id) or views.stages(book, trial.id))
        self.papers.why = None if there else msg("Nothing is planned yet that could be printed.")
        self.papers.line.setVisible(there)

    def verbs(self) -> tuple[VerbEntry, ...]:
        return self.papers.entries()

"""The sentence of the Plan as its first section; its figures can be set from the margin too."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QWidget

from trialbench.model.records import Trial
from trialbench.model.steps import Step
from trialbench.notebook.acts import plan, question
from trialbench.ui.page import Desk
from trialbench.ui.pages.plan_section import PlanSection
from trialbench.ui.pages.plan_sentence import PlanSentence


class FiguresSection(PlanSection):
    """Cook days, pieces, loads, tasters, servings: one sentence with figures to fill."""

    kinds = frozenset({"trial", "method", "seal"})
    space_px = 2

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self.sentence = PlanSentence(desk, self.take)
        self.column.addWidget(self.sentence)

    def anchors(self) -> dict[str, QWidget]:
        return {"figures": self.sentence}

    def show_plan(self, trial: Trial, *, sealed: bool) -> None:
        self.sentence.show_plan(trial, sealed=sealed)

    def do(self, name: str, args: tuple[str, ...]) -> bool:
        acts: dict[str, Callable[..., Step]] = {
            "set_plan": plan.set_plan,
            "set_matters": question.set_matters,
        }
        if name not in acts:
            return False
        self.take(lambda: acts[name](self.desk.notebook, *args))
        return True

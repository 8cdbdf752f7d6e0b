"""An invented trial on sample pages: what the kit is looked at with, and tested through."""

from __future__ import annotations

from collections.abc import Callable

from tests.ui.sample_pages import (
    CookSample,
    MethodsSample,
    PlanSample,
    QuestionSample,
    TastingSample,
)
from tests.ui.sample_reading import ContentsSample, FindingsSample
from trialbench.model.message import msg
from trialbench.model.steps import Step
from trialbench.ui.page import PageEntry
from trialbench.ui.settings import Settings
from trialbench.ui.spine import SpineText
from trialbench.ui.window import Window


class SampleNotebook:
    """Keeps the steps it was given; tells whoever listens."""

    def __init__(self) -> None:
        self.steps: list[Step] = []
        self.reverted: list[Step] = []
        self.listeners: list[Callable[[frozenset[str]], None]] = []
        self.trouble: Exception | None = None

    def apply(self, step: Step, clears_draft: str | None = None) -> int:
        if self.trouble is not None:
            raise self.trouble
        self.steps.append(step)
        for listener in tuple(self.listeners):
            listener(frozenset({"trial"}))
        return len(self.steps)

    def revert(self, step: Step) -> int:
        if self.trouble is not None:
            raise self.trouble
        self.reverted.append(step)
        return len(self.steps)

    def subscribe(self, listener: Callable[[frozenset[str]], None]) -> Callable[[], None]:
        self.listeners.append(listener)
        return lambda: self.listeners.remove(listener)


def sample_window(settings: Settings | None = None) -> Window:
    from tests.ui.parts_page import PartsPage

    entries = [
        PageEntry("contents", 0, msg("Contents"), ContentsSample),
        PageEntry("question", 1, msg("Question"), QuestionSample,
                  lambda n, t: ("juicier?", "sewn")),
        PageEntry("methods", 2, msg("Methods"), MethodsSample, lambda n, t: ("3 differ", "begun")),
        PageEntry("plan", 3, msg("Plan"), PlanSample, lambda n, t: ("4 cook days", "sealed")),
        PageEntry("cook", 4, msg("Cook"), CookSample, lambda n, t: ("2 of 4", "begun")),
        PageEntry("tasting", 5, msg("Tasting"), TastingSample),
        PageEntry("findings", 6, msg("Findings"), FindingsSample),
        PageEntry("recipe", 7, msg("Recipe note"), MethodsSample),
        PageEntry("parts", None, msg("Parts"), PartsPage, of="cook"),
    ]  # fmt: skip
    window = Window(
        SampleNotebook(),
        entries,
        lambda notebook, trial: SpineText(
            "Harbour Street kitchen", "19 trials since 2023", "Trial 14",
            "Pork shoulder: held dry or in its juices",
        ),
        settings,
        lambda notebook: "Last written: Rest of B, 20 min, 14:32",
    )  # fmt: skip
    window.desk.trial_id = "14"
    return window

"""The sentence of the Plan: cook days, pieces, loads, tasters, servings, each written in place."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import Slot

from trialbench.model.message import Message, msg, msg_n
from trialbench.model.records import Trial
from trialbench.model.steps import Step
from trialbench.notebook import views
from trialbench.notebook.acts import plan
from trialbench.planning.at_the_table import many_samples, warmth_matters
from trialbench.ui.blanks import Blank
from trialbench.ui.choices import Choice
from trialbench.ui.page import Desk
from trialbench.ui.pages.writing import Writing
from trialbench.ui.runs import Item, Run
from trialbench.ui.text import Line

_FIGURES: tuple[tuple[str, Message, Message], ...] = (
    ("planned_cooks", msg("cook days"), msg("how many")),
    ("pieces_each", msg("pieces of each method a day"), msg("how many")),
    ("planned_tasters", msg("tasters"), msg("how many")),
)
_LOADS = (("alone", msg("each by itself")), ("shared", msg("together in one vessel")))
_TIMES = (
    ("1", msg("once")), ("2", msg("twice")), ("3", msg("three times")), ("4", msg("four times")),
    ("5", msg("five times")), ("6", msg("six times")),
)  # fmt: skip


_SERVING = (
    ("all", msg("each in an order of their own")), ("rounds", msg("one product a round")),
)  # fmt: skip


class PlanSentence(Line):
    """ "4 cook days, 2 matched pairs a day, each by itself, 8 tasters, every sample tasted once."

    With more than two methods they are matched sets: one piece of each method in a set.
    Figures are written through `Writing`; choices go to `choose(act)`, which takes the step.
    """

    def __init__(self, desk: Desk, choose: Callable[[Callable[[], Step]], Any]) -> None:
        super().__init__("sentence")
        self._desk, self._take = desk, choose
        self.blanks = {
            field: Blank(name, hint=hint, role="sentence") for field, name, hint in _FIGURES
        }
        self._writings = {
            field: Writing(desk, blank, "", _Figure(desk, field))
            for field, blank in self.blanks.items()
        }
        self.paired = _choice(msg("how pieces are matched"))
        self.paired.committed.connect(self._choose_paired)
        self.loads = _choice(msg("how pieces of one method cook"), _LOADS)
        self.loads.committed.connect(self._choose_loads)
        self.servings = _choice(msg("how often every sample is tasted"), _TIMES)
        self.servings.committed.connect(self._choose_servings)
        self.serving = _choice(msg("how samples come to the table"), _SERVING)
        self.serving.committed.connect(self._choose_serving)
        self.most = Blank(msg("samples for a taster at most"), hint=msg("all"), role="sentence")
        self._most_writing = Writing(desk, self.most, "", _Figure(desk, "most_samples"))
        self.lend(self.serving, self.most)

    def show_plan(self, trial: Trial, *, sealed: bool) -> None:
        """The figures as they are planned; once sealed they are only read."""
        for field, writing in self._writings.items():
            value = getattr(trial, field)
            writing.bind(f"trial:{trial.id}:{field}", "" if value is None else str(value))
        each = trial.pieces_each
        two = len(views.methods(self._desk.notebook, trial.id)) <= 2
        matched = (
            msg_n("matched pair", "matched pairs", each)
            if two
            else msg_n("matched set", "matched sets", each)
        )
        alike = msg_n("piece of each method", "pieces of each method", each)
        self.paired.set_alternatives((("no", alike), ("yes", matched)))
        self.paired.keep("yes" if trial.paired else "no")
        self.loads.keep(trial.loads)
        self.servings.keep(str(trial.servings))
        self.serving.keep(trial.serving)
        most = trial.most_samples
        self._most_writing.bind(f"trial:{trial.id}:most_samples", "" if most is None else str(most))
        for blank in (*self.blanks.values(), self.most):
            blank.setReadOnly(sealed)
        for choice in (self.paired, self.loads, self.servings, self.serving):
            choice.setEnabled(not sealed)
        self.set_items(
            [self.blanks["planned_cooks"],
             Run(msg_n(" cook day, ", " cook days, ", trial.planned_cooks or 2)),
             self.blanks["pieces_each"], Run(" "), self.paired, Run(msg(" a day, ")), self.loads,
             Run(msg(", ")), self.blanks["planned_tasters"],
             Run(msg_n(" taster, every sample tasted ", " tasters, every sample tasted ",
                       trial.planned_tasters or 2)), self.servings, *self._at_the_table(trial),
             Run(".")]
        )  # fmt: skip

    def _at_the_table(self, trial: Trial) -> list[Item]:
        """How it is served, where warmth matters; how many a taster gets, where they are many."""
        records = views.OneTrial(self._desk.notebook, trial.id)
        items: list[Item] = []
        if warmth_matters(records):
            items += [Run(msg(", ")), self.serving]
        wanted = trial.serving != "rounds" and many_samples(records)
        if wanted or self.most.hasFocus() or self.most.is_refused():
            items += [Run(msg(", at most ")), self.most, Run(msg(" samples for each"))]
        return items

    @Slot(object)
    def _choose_paired(self, key: str) -> None:
        self._choose("paired", key)

    @Slot(object)
    def _choose_loads(self, key: str) -> None:
        self._choose("loads", key)

    @Slot(object)
    def _choose_serving(self, key: str) -> None:
        self._choose("serving", key)

    @Slot(object)
    def _choose_servings(self, key: str) -> None:
        self._choose("servings", key)

    def _choose(self, field: str, key: str) -> None:
        desk = self._desk
        self._take(lambda: plan.set_plan(desk.notebook, desk.trial_id, field, key))


def _choice(name: Message, alternatives: tuple[tuple[str, Message], ...] = ()) -> Choice:
    return Choice(name, alternatives, role="sentence", boxed=True)


class _Figure:
    """Writes one figure of the plan."""

    def __init__(self, desk: Desk, field: str) -> None:
        self._desk, self._field = desk, field

    def __call__(self, text: str) -> Step:
        return plan.set_plan(self._desk.notebook, self._desk.trial_id, self._field, text)

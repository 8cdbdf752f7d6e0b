"""The sentence of the Question page: what is cooked, my way, my idea, and what would settle it."""

from __future__ import annotations

from functools import partial

from PySide6.QtWidgets import QVBoxLayout, QWidget

from trialbench.model.message import Message, msg
from trialbench.model.records import Trial
from trialbench.model.steps import Step
from trialbench.notebook.acts import question
from trialbench.ui.blanks import Blank
from trialbench.ui.page import Desk
from trialbench.ui.pages.question_factors import FactorLines
from trialbench.ui.pages.question_ideas import IdeaLines
from trialbench.ui.pages.writing import Writing
from trialbench.ui.runs import Item
from trialbench.ui.text import Line

# field -> name, hint
_BLANKS: dict[str, tuple[Message, Message]] = {
    "food": (msg("What you cook"), msg("what food")),
    "usual": (msg("My way"), msg("as you do it now")),
    "idea": (msg("My idea"), msg("the one thing you would change")),
    "came_out": (msg("What it should come out"), msg("juicier, crisper, sooner")),
    "matters": (msg("By how much"), msg("how much")),
}


class Sentence(QWidget):
    """Five blanks in four lines; more lines where more is compared, or things are varied.

    `blanks` by field of the trial, `ideas` the further ideas, `factors` what is varied;
    `show_trial(trial)` fills them.
    """

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._kind = ""
        self.blanks = {
            field: Blank(name, "", hint, role="question") for field, (name, hint) in _BLANKS.items()
        }
        self._writings = {
            field: Writing(desk, blank, "", partial(self._step, field))
            for field, blank in self.blanks.items()
        }
        self._lines = {name: Line("question", "") for name in ("food", "usual", "idea", "settles")}
        self.ideas = IdeaLines(desk)
        self.factors = FactorLines(desk)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        lines = self._lines
        for part in (lines["food"], lines["usual"], lines["idea"], self.ideas, self.factors,
                     lines["settles"]):  # fmt: skip
            column.addWidget(part)
        self._say("better")

    def _say(self, kind: str) -> None:
        """Put the blanks between the words of this kind of question."""
        if kind == self._kind:
            return
        self._kind = kind
        blanks = self.blanks
        self._lines["food"].set_items([msg("I cook "), blanks["food"]])
        self._lines["usual"].set_items([msg("My way: "), blanks["usual"]])
        self._lines["idea"].set_items([msg("My idea: "), blanks["idea"], "  ", self.ideas.add])
        self._lines["idea"].setVisible(kind not in ("same_recipe", "which_setting"))
        self._lines["settles"].set_items(self._settles(kind))

    def _settles(self, kind: str) -> list[Item]:
        word, size, by = self.blanks["came_out"], self.blanks["matters"], msg(" by\u00a0")
        if kind == "at_least_as_good":
            return [
                msg("I want it "),
                word,
                msg(", and the easier way may fall short by less than "),
                size,
            ]
        if kind == "same_recipe":
            return [msg("I cook it twice and ask whether one comes out "), word, by, size]
        return [msg("I would change the recipe if it came out "), word, by, size]

    def show_trial(self, trial: Trial, *, sealed: bool) -> None:
        """Show what the notebook holds; half-typed text stays."""
        self._say(trial.question)
        kept = {
            "food": trial.food,
            "usual": trial.usual,
            "idea": trial.idea,
            "came_out": trial.came_out,
            "matters": trial.matters_typed,
        }
        for field, writing in self._writings.items():
            self.blanks[field].setReadOnly(sealed)
            writing.bind(f"{trial.id}:{field}", kept[field])
        self.ideas.show_trial(trial, sealed=sealed)
        self.factors.show_trial(trial, sealed=sealed)

    def stops(self) -> list[QWidget]:
        """What the Tab key visits, in order: what is written, then what can be added."""
        blanks = self.blanks
        first = [blanks["food"], blanks["usual"], blanks["idea"], *self.ideas.blanks()]
        last = [blanks["came_out"], blanks["matters"]]
        return [*first, *self.factors.blanks(), *last, self.ideas.add]

    def half_typed(self) -> Blank | None:
        """The blank in which something was being written, if any."""
        drafts = self._desk.notebook.drafts
        places = ((field, writing.place) for field, writing in self._writings.items())
        own = (self.blanks[field] for field, place in places if place in drafts)
        return next(own, None) or self.ideas.half_typed() or self.factors.half_typed()

    def first_empty(self) -> Blank:
        """The first blank with nothing in it, else the first."""
        empty = (blank for blank in self.blanks.values() if not blank.text())
        return next(empty, self.blanks["food"])

    def _step(self, field: str, typed: str) -> Step:
        book, trial_id = self._desk.notebook, self._desk.trial_id
        if field == "came_out":
            return question.set_came_out(book, trial_id, typed)
        if field == "matters":
            return question.set_matters(book, trial_id, typed)
        return question.set_words(book, trial_id, field, typed)

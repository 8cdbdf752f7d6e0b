"""Findings before there is a finding: what it will hold, and what it still needs."""

from __future__ import annotations

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QVBoxLayout, QWidget

from trialbench.findings.trial_finding import TrialFinding
from trialbench.model.message import Message, msg
from trialbench.model.records import Trial
from trialbench.notebook import views
from trialbench.ui.page import Desk
from trialbench.ui.pages.sections import empty
from trialbench.ui.runs import Item, Run
from trialbench.ui.table import ReadingColumn, ReadingTable
from trialbench.ui.text import Line
from trialbench.ui.verbs import TextVerb

_NONE = "\u2013"
_GO: dict[str, Message] = {
    "question": msg("Open Question"),
    "methods": msg("Open Methods"),
    "plan": msg("Open Plan"),
    "cook": msg("Open Cook"),
    "tasting": msg("Open Tasting"),
}


class NotYet(QWidget):
    """What is wanted first, with the page where it is written."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self.sentence = Line("headline", colour="pencil")
        self.why = Line("cell")
        self._column = QVBoxLayout()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(10)
        for part in (self.sentence, self.why):
            column.addWidget(part)
        column.addLayout(self._column)

    def show_trial(self, trial: Trial, found: TrialFinding) -> None:
        """The sentence to come, why it is not there, the outcomes it will tell of."""
        self.sentence.set_items(Run(_sentence(trial), italic=True))
        go = TextVerb(_GO[self._page(trial)], weight=600)
        go.setObjectName(self._page(trial))
        go.clicked.connect(self._go)
        items: list[Item] = [Run(found.why_nothing or ""), Run("  "), go]
        self.why.set_items(items)
        empty(self._column)
        outcomes = views.outcomes(self._desk.notebook, trial.id)
        if outcomes:
            columns = (ReadingColumn(msg("outcome"), share=1.35),
                       ReadingColumn(msg("what it supports")),
                       ReadingColumn(msg("B over A"), 96, align="right"),
                       ReadingColumn(msg("interval"), 146, align="right"))  # fmt: skip
            rows = [[Run(one.name, colour="pencil"), Run(_NONE, colour="pencil"),
                     Run(_NONE, colour="pencil"), Run(_NONE, colour="pencil")]
                    for one in outcomes]  # fmt: skip
            self._column.addWidget(ReadingTable(columns, rows))

    def _page(self, trial: Trial) -> str:
        """Where the next thing that is wanted is written."""
        book = self._desk.notebook
        if trial.decides_id is None or len(views.methods(book, trial.id)) != 2:
            return "question"
        if trial.question == "at_least_as_good" and None in (trial.matters, trial.easier_id):
            return "question"
        days = views.cooks(book, trial.id)
        if not days:
            return "plan"
        decides = views.deciding(book, trial.id)
        if decides is None or decides.source != "attribute":
            return "cook"
        begun = any(views.cook_is_begun(book, day) for day in days)
        return "tasting" if begun or views.sittings(book, trial.id) else "cook"

    @Slot()
    def _go(self) -> None:
        self._desk.go(self.sender().objectName())


def _sentence(trial: Trial) -> Message:
    if trial.question == "same_recipe":
        return msg("What no difference looks like in this kitchen.")
    if trial.question == "at_least_as_good":
        return msg("Whether the easier way is at least as good, and for whom that holds.")
    word = trial.came_out or msg("better")
    return msg("Which one came out {word}, by how much, and for whom that holds.", word=word)

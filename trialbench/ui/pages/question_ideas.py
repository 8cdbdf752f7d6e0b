"""Further ideas in the sentence of the Question page: a line each, and the verb that adds one."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import QVBoxLayout, QWidget

from trialbench.model.message import msg
from trialbench.model.records import Method, Trial
from trialbench.model.steps import Step
from trialbench.notebook import views
from trialbench.notebook.acts import ideas
from trialbench.notebook.views.shapes import MOST_METHODS
from trialbench.ui.blanks import Blank
from trialbench.ui.page import Desk
from trialbench.ui.pages.writing import Writing
from trialbench.ui.text import Line
from trialbench.ui.verbs import TextVerb

_OF_TWO_WAYS = ("better", "at_least_as_good")


class IdeaLines(QWidget):
    """ "Another idea: [...]", for methods C to F; emptied, an idea leaves.

    `add` stands in the line of the first idea.
    """

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._trial_id = ""
        self._further: list[Method] = []
        self._adding = False
        self._sealed = False
        self.add = TextVerb(msg("another idea"), role="body")
        self.add.hide()
        self.add.clicked.connect(self._add_line)
        self._blanks: list[Blank] = []
        self._writings: list[Writing] = []
        self._lines: list[Line] = []
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(0)

    def show_trial(self, trial: Trial, *, sealed: bool) -> None:
        """A line for each idea beyond the first, and one to write in where it was asked for."""
        of_ways = trial.question in _OF_TWO_WAYS
        there = views.methods(self._desk.notebook, trial.id)
        self._further = list(there[2:]) if of_ways else []
        drafted = self._desk.notebook.draft(f"{trial.id}:another idea") is not None
        if trial.id != self._trial_id or not of_ways:
            self._trial_id, self._adding = trial.id, False
        self._adding = (self._adding or drafted) and len(there) < MOST_METHODS and not sealed
        self._sealed = sealed
        can = of_ways and bool(trial.idea) and not sealed and len(there) < MOST_METHODS
        if can == self.add.isHidden():
            self.add.setVisible(can)
            self._relay_parent()
        self._show_lines()

    def _relay_parent(self) -> None:
        line = self.add.parentWidget()
        if isinstance(line, Line):
            line.relay()

    def _show_lines(self) -> None:
        wanted = len(self._further) + self._adding
        while len(self._lines) < wanted:
            self._add_blank()
        for n, line in enumerate(self._lines):
            line.setVisible(n < wanted)
        for n in range(wanted):
            method = self._further[n] if n < len(self._further) else None
            self._blanks[n].setReadOnly(self._sealed)
            place = f"{method.id}:idea" if method else f"{self._trial_id}:another idea"
            self._writings[n].bind(place, method.name if method else "")

    def _add_blank(self) -> None:
        n = len(self._blanks)
        blank = Blank(msg("Another idea"), "", msg("what else you would try"), role="question")
        self._blanks.append(blank)
        self._writings.append(Writing(self._desk, blank, "", partial(self._write, n)))
        self._lines.append(Line("question", [msg("Another idea: "), blank]))
        self._column.addWidget(self._lines[-1])

    def blanks(self) -> list[QWidget]:
        """The blanks that are shown."""
        return [b for b, line in zip(self._blanks, self._lines, strict=True) if not line.isHidden()]

    def half_typed(self) -> Blank | None:
        """The blank in which something was being written, if any."""
        drafts = self._desk.notebook.drafts
        shown = len(self.blanks())
        pairs = zip(self._blanks[:shown], self._writings[:shown], strict=True)
        return next((blank for blank, writing in pairs if writing.place in drafts), None)

    @Slot()
    def _add_line(self) -> None:
        self._adding = True
        self._show_lines()
        self._blanks[len(self._further)].setFocus(Qt.FocusReason.OtherFocusReason)

    def _write(self, n: int, typed: str) -> Step | None:
        book = self._desk.notebook
        if n < len(self._further):
            return ideas.name_idea(book, self._further[n].id, typed)
        if not typed.strip():
            return None
        step = ideas.add_idea(book, self._trial_id, typed)
        self._adding = False
        return step

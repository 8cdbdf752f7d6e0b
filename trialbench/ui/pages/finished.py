"""Finished trials to read, under a question that is not asked yet."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QVBoxLayout, QWidget

from trialbench.model.message import Message, msg, say
from trialbench.model.records import Trial
from trialbench.notebook.views import has_finding, question_line, trials
from trialbench.ui.contents_line import ContentsLine
from trialbench.ui.runs import Run
from trialbench.ui.text import Line, Rule


class Finished(QWidget):
    """The invented trials as contents lines; `opened(trial_id)`."""

    opened = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._shown: object = ()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(Rule())
        column.addSpacing(10)
        about = Run(msg("   every figure in them is invented"), 400, None, "pencil", "cell")
        column.addWidget(Line("section", [Run(msg("Or read one that is finished")), about]))
        column.addSpacing(6)
        self._lines = QVBoxLayout()
        self._lines.setSpacing(2)
        column.addLayout(self._lines)

    def show_trials(self, book: Any, but: str, answer: Callable[[str], Message | None]) -> bool:
        """List the finished ones but `but`; False when there are none."""
        found = [
            (t.id, say(question_line(t)), say(answer(t.id) or ""))
            for t in trials(book)
            if t.invented and t.id != but and has_finding(book, t.id)
        ]
        if found != self._shown:
            self._shown = found
            self._fill(found)
        return bool(found)

    def _fill(self, found: list[tuple[str, str, str]]) -> None:
        while (item := self._lines.takeAt(0)) is not None:
            gone = item.widget()
            if gone is not None:
                gone.hide()
                gone.deleteLater()
        for trial_id, question, answer in found:
            line = ContentsLine(question, answer, right_italic=True)
            line.setObjectName(trial_id)
            line.clicked.connect(self._open)
            self._lines.addWidget(line)

    @Slot()
    def _open(self) -> None:
        self.opened.emit(self.sender().objectName())


def is_blank(trial: Trial) -> bool:
    """Whether nothing of the question is written yet but, at most, the food."""
    return not (trial.usual or trial.idea or trial.came_out)

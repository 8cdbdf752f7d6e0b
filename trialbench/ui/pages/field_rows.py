"""Rows of a page: a label, a written line with values in it, and what was refused under it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from trialbench.model.errors import TrialbenchError
from trialbench.model.message import Message, msg
from trialbench.model.steps import Step
from trialbench.ui import theme
from trialbench.ui.page import Desk
from trialbench.ui.rows import Row
from trialbench.ui.runs import Item
from trialbench.ui.text import Line, Rule
from trialbench.ui.verbs import TextVerb

LABEL_PX = 182


class FieldRow(QWidget):
    """Label and line with a rule over them; `say(trouble)` stands below until the next `put`."""

    def __init__(self, label: Message | str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.line = Line("body", "")
        self._says = Line("cell", "")
        self._says.hide()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(round(theme.px(7)))
        column.addWidget(Rule())
        column.addWidget(Row([(Line("contents_line", label), LABEL_PX), (self.line, 0)]))
        column.addWidget(self._says)

    def put(self, items: Iterable[Item]) -> None:
        """What the line says now."""
        self._says.hide()
        self.line.set_items(items)

    def say(self, trouble: TrialbenchError | None) -> None:
        """Say in place why something was not written."""
        self._says.setVisible(trouble is not None)
        if trouble is not None:
            self._says.set_items(trouble.message)


class Option(TextVerb):
    """One of a few answers in a row: the one that holds is heavy and without underline."""

    resized = Signal()

    def __init__(self, key: str, label: Message) -> None:
        super().__init__(label, role="body", weight=400)
        self.setObjectName(key)

    def set_chosen(self, chosen: bool) -> None:
        """Show it as the answer that holds."""
        self._weight = 600 if chosen else 400
        self.set_underlined(not chosen)
        self.setAccessibleDescription(str(msg("chosen")) if chosen else "")
        self.updateGeometry()
        self.resized.emit()


class Taker:
    """Takes steps for a row of choices and says in the row what was refused."""

    def __init__(self, desk: Desk, row: FieldRow) -> None:
        self._desk, self._row = desk, row

    def take(self, make: Callable[[], Step]) -> bool:
        """Build and take a step; True when it was written."""
        trouble: TrialbenchError | None
        try:
            trouble = self._desk.take(make())
        except TrialbenchError as refused:
            trouble = refused
        self._row.say(trouble)
        return trouble is None


def between(items: Sequence[Item], comma: str) -> list[Item]:
    """The items with a comma, or other words, between them."""
    found: list[Item] = []
    for item in items:
        found += [item] if not found else [comma, item]
    return found

"""A file that cannot be opened: a page that says what is the matter and what can be done."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import Signal, Slot
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from trialbench.model.errors import FileTrouble, TrialbenchError
from trialbench.model.message import msg
from trialbench.ui import theme
from trialbench.ui.style import FocusFollower
from trialbench.ui.text import Line, Rule
from trialbench.ui.verbs import Verb


class TroublePage(QWidget):
    """`rescue(Path)`, `usual()` and `left()` say what was chosen."""

    rescue = Signal(object)
    usual = Signal()
    left = Signal()

    def __init__(self, path: Path, trouble: Exception, *, can_rescue: bool) -> None:
        super().__init__()
        self._path = path
        column = QVBoxLayout(self)
        column.setContentsMargins(74, 44, 74, 30)
        column.setSpacing(10)
        column.addWidget(Line("page_title", msg("This notebook cannot be opened")))
        column.addWidget(Rule("title"))
        column.addSpacing(8)
        self._says = Line("sentence", "")
        column.addWidget(self._says)
        self._cause = Line("label", "", colour="pencil")
        column.addWidget(self._cause)
        column.addSpacing(14)
        column.addLayout(self._verbs(can_rescue))
        column.addStretch(1)
        column.addWidget(Line("label", str(path), colour="pencil"))
        self.show_trouble(trouble)
        FocusFollower(self)

    def _verbs(self, can_rescue: bool) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setSpacing(10)
        if can_rescue:
            bring = Verb(msg("Bring what can be read into a new notebook"), due=True)
            bring.clicked.connect(self._rescue)
            row.addWidget(bring)
        usual = Verb(msg("Open your usual notebook"))
        usual.clicked.connect(self.usual)
        close = Verb(msg("Close"))
        close.clicked.connect(self.left)
        row.addWidget(usual)
        row.addWidget(close)
        row.addStretch(1)
        return row

    def show_trouble(self, trouble: Exception) -> None:
        """Say another trouble (a rescue that found nothing)."""
        said = trouble.message if isinstance(trouble, TrialbenchError) else str(trouble)
        cause = trouble.cause if isinstance(trouble, FileTrouble) else ""
        self._says.set_items(said)
        self._cause.set_items(cause)
        self.setWindowTitle("Trialbench")
        self.setAccessibleName(self._says.words())

    @Slot()
    def _rescue(self) -> None:
        self.rescue.emit(self._path)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.fillRect(self.rect(), theme.colour("page"))
        painter.fillRect(0, 0, theme.size("hinge"), self.height(), theme.colour("cloth"))
        painter.end()

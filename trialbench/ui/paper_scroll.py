"""Where on the page you are: a thin line in the margin."""

from __future__ import annotations

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QScrollBar, QWidget

from trialbench.ui import theme

_ACROSS_PX = 10


class PaperScrollBar(QScrollBar):
    """A scroll bar without ornaments."""

    def __init__(self, orientation: Qt.Orientation, parent: QWidget | None = None) -> None:
        super().__init__(orientation, parent)
        if orientation == Qt.Orientation.Vertical:
            self.setFixedWidth(_ACROSS_PX)
        else:
            self.setFixedHeight(_ACROSS_PX)

    def paintEvent(self, event: QPaintEvent) -> None:
        upright = self.orientation() == Qt.Orientation.Vertical
        painter = QPainter(self)
        painter.fillRect(self.rect(), theme.colour("margin" if upright else "page"))
        span = self.maximum() - self.minimum() + self.pageStep()
        if self.maximum() > self.minimum():
            along = self.height() if upright else self.width()
            start = along * (self.value() - self.minimum()) / span
            length = max(along * self.pageStep() / span, 24.0)
            bar = QRectF(3, start, 4, length) if upright else QRectF(start, 3, length, 4)
            painter.fillRect(bar, theme.colour("rail"))
        painter.end()

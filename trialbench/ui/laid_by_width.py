"""A widget that lays its own parts out for a width, and is as high as they then need."""

from __future__ import annotations

from PySide6.QtCore import QEvent
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget


class LaidByWidth(QWidget):
    """Subclasses fill `_lay`, which serves both questions: how high, and where the parts stand.

    `policy` is the vertical one; across the widget takes what there is.
    """

    def __init__(self, parent: QWidget | None, policy: QSizePolicy.Policy) -> None:
        super().__init__(parent)
        both = QSizePolicy(QSizePolicy.Policy.Expanding, policy)
        both.setHeightForWidth(True)
        self.setSizePolicy(both)

    def _lay(self, width: int, *, move: bool) -> int:
        """The height needed at `width`; with `move` the parts are put in their places."""
        raise NotImplementedError

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        return self._lay(width, move=False)

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._lay(self.width(), move=True)


class LaidWithParts(LaidByWidth):
    """The same, laid anew when one of its parts wants another size."""

    def event(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.LayoutRequest:
            self._lay(self.width(), move=True)
            self.updateGeometry()
        return super().event(event)

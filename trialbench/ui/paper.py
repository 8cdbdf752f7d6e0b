"""The frame that is on the screen first: cloth and paper, until the notebook lies on it."""

from __future__ import annotations

from PySide6.QtCore import QByteArray, QRect, Signal, Slot
from PySide6.QtGui import QCloseEvent, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from trialbench.ui import theme
from trialbench.ui.folding import widths
from trialbench.ui.settings import Settings

SMALLEST_PX = (800, 600)


class Paper(QWidget):
    """The window of the system. `painted` comes once, after its first paint; then `put` what it
    is to show: the bound notebook, or the page that says why there is none.
    """

    painted = Signal()

    def __init__(self, settings: Settings) -> None:
        super().__init__()
        self._settings = settings
        self._part: QWidget | None = None
        self._first_paint = True
        self.setMinimumSize(*SMALLEST_PX)
        kept = settings.text("window_geometry")
        if not kept or not self.restoreGeometry(QByteArray.fromBase64(kept.encode())):
            self.resize(1280, 800)

    def put(self, part: QWidget) -> None:
        """Show `part` over the whole paper; what was there before is closed and goes."""
        self.clear()
        self._part = part
        part.setParent(self)
        part.setGeometry(self.rect())
        part.windowTitleChanged.connect(self.setWindowTitle)
        self.setWindowTitle(part.windowTitle())
        part.show()

    def clear(self) -> None:
        """Nothing but paper."""
        if self._part is not None:
            self._part.close()
            self._part.deleteLater()
            self._part = None

    @Slot()
    def keep_place(self) -> None:
        """Remember size and place for the next start."""
        place = bytes(self.saveGeometry().toBase64().data()).decode()
        self._settings.put("window_geometry", place)
        self._settings.write()

    def resizeEvent(self, event: QResizeEvent) -> None:
        if self._part is not None:
            self._part.setGeometry(self.rect())

    def closeEvent(self, event: QCloseEvent) -> None:
        """What lies on the paper is closed first: it may still have something to write."""
        self.keep_place()
        self.clear()
        super().closeEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        if self._part is None:
            painter = QPainter(self)
            self._paint_ground(painter)
            painter.end()
        if self._first_paint:
            self._first_paint = False
            self.painted.emit()

    def _paint_ground(self, painter: QPainter) -> None:
        """Hinge, names, page and margin where they are going to be."""
        wide = widths(self.width(), text_factor=theme.text_factor(), counter=theme.is_counter())
        left, high = wide.hinge + wide.names, self.height()
        margin = theme.size("margin_folded") if wide.margin_folded else wide.margin
        painter.fillRect(self.rect(), theme.colour("page"))
        painter.fillRect(QRect(0, 0, left, high), theme.colour("margin"))
        painter.fillRect(QRect(0, 0, wide.hinge, high), theme.colour("cloth"))
        painter.fillRect(QRect(self.width() - margin, 0, margin, high), theme.colour("margin"))

"""The widget style under the look, and the ring around what has focus."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QRectF, Qt, Slot
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import (
    QApplication,
    QFocusFrame,
    QProxyStyle,
    QStyle,
    QStyleHintReturn,
    QStyleOption,
    QWidget,
)

from trialbench.ui import theme

RING_GAP_PX = 3
RING_REACH_PX = 5


class BookStyle(QProxyStyle):
    """Fusion, with a wide text cursor, no scroll bar buttons and room for the focus ring."""

    def __init__(self) -> None:
        super().__init__("Fusion")

    def pixelMetric(
        self,
        metric: QStyle.PixelMetric,
        option: QStyleOption | None = None,
        widget: QWidget | None = None,
    ) -> int:
        kind = QStyle.PixelMetric
        if metric in (kind.PM_FocusFrameHMargin, kind.PM_FocusFrameVMargin):
            return RING_REACH_PX
        if metric == kind.PM_TextCursorWidth:
            return 2
        if metric == kind.PM_ScrollBarExtent:
            return 10
        return super().pixelMetric(metric, option, widget)

    def styleHint(
        self,
        hint: QStyle.StyleHint,
        option: QStyleOption | None = None,
        widget: QWidget | None = None,
        returnData: QStyleHintReturn | None = None,
    ) -> int:
        if hint == QStyle.StyleHint.SH_FocusFrame_AboveWidget:
            return 1
        if hint == QStyle.StyleHint.SH_EtchDisabledText:
            return 0
        return super().styleHint(hint, option, widget, returnData)


class FocusRing(QFocusFrame):
    """Two pixels of ink with a gap of three around the widget that has focus."""

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(theme.colour("ink"), theme.line("focus")))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRoundedRect(QRectF(self.rect()).adjusted(1, 1, -1, -1), 4, 4)
        painter.end()


class FocusFollower(QObject):
    """Moves one ring to whatever has focus in `window` and wants a ring.

    A widget that shows focus in its own way (a table, the open blank of a cell) sets the dynamic
    property "ownFocus".
    """

    def __init__(self, window: QWidget) -> None:
        super().__init__(window)
        self._window = window
        self._ring = FocusRing(window)
        self._ring.hide()
        app = QApplication.instance()
        assert isinstance(app, QApplication)
        app.focusChanged.connect(self.follow)

    @Slot(QWidget, QWidget)
    def follow(self, old: QWidget | None, new: QWidget | None) -> None:
        """Put the ring around `new`, or nowhere."""
        # The window may lie on the paper of the system's own one.
        inside = new is not None and self._window.isAncestorOf(new)
        wanted = inside and new is not None and not new.property("ownFocus")
        if not wanted or new is None or new is self._window:
            self._ring.setWidget(None)  # type: ignore[arg-type]
            self._ring.hide()
            return
        self._ring.setWidget(new)


def is_type_change(event: QEvent) -> bool:
    """Whether a change event means that text must be laid out again."""
    kinds = (QEvent.Type.FontChange, QEvent.Type.ApplicationFontChange, QEvent.Type.StyleChange)
    return event.type() in kinds

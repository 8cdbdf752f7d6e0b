"""The thread an interval is: single from the 95 ends, doubled between the 90 ends, never a box."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPainterPath, QPaintEvent, QPen
from PySide6.QtWidgets import QLabel, QSizePolicy, QWidget

from trialbench.model.message import Message, say
from trialbench.ui import theme


def paint_interval(
    painter: QPainter,
    y: float,
    outer: tuple[float, float],
    inner: tuple[float, float] | None,
    estimate: float | None,
    *,
    tall: float = 36.0,
) -> None:
    """A thread: single from the 95 ends, doubled between the 90 ends, knots, one tall stitch.

    All x in px. `inner` None draws a single thread.
    """
    ink = theme.colour("ink")
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(ink, theme.line("interval")))
    low, high = outer
    inside = inner or ((estimate or low), (estimate or high))
    painter.drawLine(QPointF(low, y), QPointF(inside[0], y))
    painter.drawLine(QPointF(inside[1], y), QPointF(high, y))
    if inner is not None:
        _paint_doubled(painter, y, inner, estimate)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(ink)
    for x in outer:
        painter.drawEllipse(QPointF(x, y), theme.line("knot_95"), theme.line("knot_95"))
    for x in inner or ():
        painter.drawEllipse(QPointF(x, y), theme.line("knot_90"), theme.line("knot_90"))
    if estimate is not None:
        thick = theme.line("stitch_estimate")
        pen = QPen(ink, thick, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap)
        painter.setPen(pen)
        painter.drawLine(QPointF(estimate, y - tall / 2), QPointF(estimate, y + tall / 2))
    painter.restore()


def _paint_doubled(
    painter: QPainter, y: float, inner: tuple[float, float], estimate: float | None
) -> None:
    half = theme.line("interval_gap") / 2
    low, high = inner
    bend = min(12.0, (high - low) / 3)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.save()
    if estimate is not None:
        # The stitch stands in a gap of the thread.
        whole = QPainterPath()
        whole.addRect(QRectF(low - 10, y - 40, high - low + 20, 80))
        hole = QPainterPath()
        hole.addRect(QRectF(estimate - 4.4, y - 40, 8.8, 80))
        painter.setClipPath(whole.subtracted(hole))
    for side in (-half, half):
        path = QPainterPath(QPointF(low, y))
        path.quadTo(low + bend * 0.4, y + side, low + bend, y + side)
        path.lineTo(high - bend, y + side)
        path.quadTo(high - bend * 0.4, y + side, high, y)
        painter.drawPath(path)
    painter.restore()


class ThreadPicture(QLabel):
    """A small picture of a finding: band of too little to matter, none, and the thread on it.

    All numbers in the outcome's units; `span` is what the width shows.
    """

    def __init__(
        self,
        estimate: float,
        outer: tuple[float, float],
        inner: tuple[float, float] | None,
        matters: float | None,
        span: tuple[float, float],
        spoken: Message | str,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._estimate, self._outer, self._inner = estimate, outer, inner
        self._matters, self._span = matters, span
        self.setAccessibleName(say(spoken))
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def sizeHint(self) -> QSize:
        return QSize(round(theme.px(150)), round(theme.px(32)))

    def minimumSizeHint(self) -> QSize:
        return QSize(round(theme.px(90)), round(theme.px(32)))

    def _x(self, value: float) -> float:
        low, high = self._span
        return (value - low) / (high - low) * self.width()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        high = float(self.height())
        if self._matters is not None:
            left, right = self._x(-self._matters), self._x(self._matters)
            painter.fillRect(QRectF(left, 1, right - left, high - 2), theme.colour("margin"))
            for x in (left, right):
                painter.fillRect(QRectF(x - 0.75, 1, 1.5, high - 2), theme.colour("rail"))
        painter.fillRect(QRectF(self._x(0) - 0.75, 0, 1.5, high), theme.colour("ink"))
        outer = (self._x(self._outer[0]), self._x(self._outer[1]))
        inner = None
        if self._inner is not None:
            inner = (self._x(self._inner[0]), self._x(self._inner[1]))
        paint_interval(painter, high / 2, outer, inner, self._x(self._estimate), tall=theme.px(23))
        painter.end()

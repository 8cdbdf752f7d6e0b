"""The notebook's own drawings: method signs, rail marks and stitches."""

from __future__ import annotations

from typing import Literal

from PySide6.QtCore import QByteArray, QLineF, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPaintEvent, QPen
from PySide6.QtSvg import QSvgRenderer
from PySide6.QtWidgets import QLabel, QWidget

from trialbench import paths
from trialbench.model.margin import Mark
from trialbench.model.message import msg, say
from trialbench.ui import theme

Stitch = Literal["none", "begun", "sewn", "sealed"]
SIGN_PX = 18
MARK_NAMES: dict[str, str] = {
    "differs": "differs",
    "missing": "missing",
    "shows": "shows",
    "passage": "settled",
    "refused": "refused",
    "watch": "watch",
}
_FLAT = Qt.PenCapStyle.FlatCap
_ROUND = Qt.PenCapStyle.RoundCap


_renderers: dict[tuple[str, str], bytes] = {}


def _render(painter: QPainter, file: str, box: QRectF, colour: QColor) -> None:
    """Paint a drawing of resources/look/signs; its text is read once a colour."""
    key = (file, colour.name())
    if key not in _renderers:
        text = paths.resource("look", "signs", file).read_text(encoding="utf-8")
        _renderers[key] = text.replace("currentColor", colour.name()).encode()
    QSvgRenderer(QByteArray(_renderers[key])).render(painter, box)


def paint_sign(painter: QPainter, letter: str, box: QRectF, colour: QColor | None = None) -> None:
    """The sign of a method in its colour; from the fifth method on its letter in a square."""
    ink = colour or theme.method_colour(letter)
    if letter in theme.METHODS:
        _render(painter, f"sign-{letter.lower()}.svg", box, ink)
        return
    painter.save()
    painter.setPen(QPen(ink, 1.5))
    painter.drawRect(box.adjusted(1, 1, -1, -1))
    painter.setFont(theme.font("label", weight=600))
    painter.drawText(box, Qt.AlignmentFlag.AlignCenter, letter)
    painter.restore()


def paint_mark(painter: QPainter, mark: Mark, box: QRectF, colour: QColor) -> None:
    """A rail mark at its own shape (15 x 24), as it stands beside a note's label."""
    file = f"rail-{MARK_NAMES[mark]}.svg"
    _render(painter, file, box, colour)


def paint_rail_mark(
    painter: QPainter, mark: Mark, x: float, top: float, bottom: float, colour: QColor
) -> None:
    """A rail mark drawn on the rail at x, as tall as the line it is about (top to bottom)."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    pen = QPen(colour, theme.line("rail_mark"), Qt.PenStyle.SolidLine, _FLAT)
    pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
    painter.setPen(pen)
    _RAIL_DRAWERS[mark](painter, x, top, bottom, colour)
    painter.restore()


def _differs(painter: QPainter, x: float, top: float, bottom: float, colour: QColor) -> None:
    middle = (top + bottom) / 2
    points = (
        QPointF(x - 4, top), QPointF(x - 4, middle), QPointF(x + 4, middle), QPointF(x + 4, bottom)
    )  # fmt: skip
    painter.drawPolyline(points)


def _missing(painter: QPainter, x: float, top: float, bottom: float, colour: QColor) -> None:
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colour)
    count = max(3, round((bottom - top) / 11.5) + 1)
    radius = min(2.6, (bottom - top) / 6.6)
    step = (bottom - top - 2 * radius) / (count - 1)
    for number in range(count):
        painter.drawEllipse(QPointF(x, top + radius + number * step), radius, radius)


def _shows(painter: QPainter, x: float, top: float, bottom: float, colour: QColor) -> None:
    pen = QPen(colour, 1.6, Qt.PenStyle.SolidLine, _FLAT)
    painter.setPen(pen)
    painter.drawLine(QPointF(x, top), QPointF(x, bottom))
    ticks = max(4, round((bottom - top) / 7) + 1)
    step = (bottom - top - 1.6) / (ticks - 1)
    for number in range(ticks):
        y = top + 0.8 + number * step
        painter.drawLine(QPointF(x, y), QPointF(x - (7 if number % 2 == 0 else 4), y))


def _passage(painter: QPainter, x: float, top: float, bottom: float, colour: QColor) -> None:
    painter.drawPolyline(
        (QPointF(x - 5, top + 1), QPointF(x, top + 1), QPointF(x, bottom - 1),
         QPointF(x - 5, bottom - 1))
    )  # fmt: skip


def _refused(painter: QPainter, x: float, top: float, bottom: float, colour: QColor) -> None:
    middle = (top + bottom) / 2
    painter.drawLine(QPointF(x, top), QPointF(x, bottom))
    painter.drawLine(QPointF(x - 6, middle + 3), QPointF(x + 6, middle - 3))


def _watch(painter: QPainter, x: float, top: float, bottom: float, colour: QColor) -> None:
    middle = (top + bottom) / 2
    upper = QPainterPath(QPointF(x, top))
    upper.lineTo(x, middle - 8)
    upper.cubicTo(x, middle - 3.6, x - 1.6, middle - 2.4, x - 6, middle - 3)
    lower = QPainterPath(QPointF(x, bottom))
    lower.lineTo(x, middle + 8)
    lower.cubicTo(x, middle + 3.6, x + 1.6, middle + 2.4, x + 6, middle + 3)
    painter.setPen(QPen(colour, theme.line("rail_mark"), Qt.PenStyle.SolidLine, _ROUND))
    painter.drawPath(upper)
    painter.drawPath(lower)


_RAIL_DRAWERS = {
    "differs": _differs,
    "missing": _missing,
    "shows": _shows,
    "passage": _passage,
    "refused": _refused,
    "watch": _watch,
}


def paint_stitch(
    painter: QPainter,
    stitch: Stitch,
    x: float,
    y: float,
    *,
    drawn: float = 1.0,
    scale: float = 1.0,
) -> None:
    """A page's stitch with its middle at (x, y): two holes 30 px apart and the thread.

    `drawn` from 0 to 1 lets the thread of a sewn or sealed stitch grow from the upper hole;
    `scale` brings the holes nearer together where the window is low.
    """
    painter.save()
    painter.translate(x, y)
    painter.scale(scale, scale)
    x = y = 0.0
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(theme.colour("hole_rim"), 1.2))
    painter.setBrush(theme.colour("hole"))
    for hole in (y - 15, y + 15):
        painter.drawEllipse(QPointF(x, hole), 3.7, 3.7)
    thread = QPen(theme.colour("thread"), theme.line("spine_thread"), Qt.PenStyle.SolidLine, _ROUND)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(thread)
    if stitch == "begun":
        path = QPainterPath(QPointF(x, y - 15))
        path.lineTo(x, y - 5)
        path.quadTo(x, y + 7, x + 10, y + 11)
        painter.drawPath(path)
    elif stitch in ("sewn", "sealed"):
        painter.drawLine(QPointF(x, y - 15), QPointF(x, y - 15 + 30 * drawn))
    if stitch == "sealed" and drawn >= 1.0:
        _paint_knot(painter, x, y, thread)
    painter.restore()


def _paint_knot(painter: QPainter, x: float, y: float, thread: QPen) -> None:
    cross = (QLineF(x - 8, y - 5, x + 8, y + 5), QLineF(x + 8, y - 5, x - 8, y + 5))
    casing = QPen(theme.colour("cloth"), 10, Qt.PenStyle.SolidLine, _ROUND)
    for pen in (casing, thread):
        painter.setPen(pen)
        painter.drawLines(cross)


def method_name(letter: str) -> str:
    """What a reader hears for a method's sign."""
    return say(msg("method {letter}", letter=letter))


class MethodSign(QLabel):
    """A method's sign, letter and name, always together: [lid] A Dry cabinet."""

    def __init__(
        self,
        letter: str,
        name: str = "",
        parent: QWidget | None = None,
        *,
        role: str = "body",
        weight: int = 500,
        gap_px: float = 5,
    ) -> None:
        super().__init__(parent)
        self._letter, self._name = letter, name
        self._role, self._weight, self._gap = role, weight, gap_px
        self.setAccessibleName(" ".join(filter(None, (method_name(letter), name))))
        theme.signals().theme_changed.connect(self.updateGeometry)

    def _words(self) -> str:
        # From the fifth method on the sign is its letter.
        letter = self._letter if self._letter in theme.METHODS else ""
        return f"{letter} {self._name}".strip()

    def sizeHint(self) -> QSize:
        metrics = theme.metrics(self._role, weight=self._weight)
        words = metrics.horizontalAdvance(self._words())
        width = theme.px(SIGN_PX) + theme.px(self._gap) + words
        return QSize(int(width + 1.5), round(max(metrics.height(), theme.px(SIGN_PX))))

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def baseline(self) -> float:
        """For standing inside a line."""
        metrics = theme.metrics(self._role, weight=self._weight)
        return (self.sizeHint().height() - metrics.height()) / 2 + metrics.ascent()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        side = theme.px(SIGN_PX)
        base = (self.height() - self.sizeHint().height()) / 2 + self.baseline()
        paint_sign(painter, self._letter, QRectF(0, base - side * 0.86, side, side))
        painter.setFont(theme.font(self._role, weight=self._weight))
        painter.setPen(theme.method_colour(self._letter))
        painter.drawText(QPointF(side + theme.px(self._gap), base), self._words())
        painter.end()

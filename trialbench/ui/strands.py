"""The strands of methods: colour and pattern of a line belong to a method and to nothing else."""

from __future__ import annotations

from PySide6.QtCore import QLineF, QPointF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen

from trialbench.ui import theme

# letter -> dash pattern in px at strand width 2.4 (empty = solid), width factor.
PATTERNS: dict[str, tuple[tuple[float, ...], float]] = {
    "A": ((), 1.0),
    "B": ((7.0, 1.9), 1.45),
    "C": ((), 1.0),
    "D": ((14.0, 4.0, 3.0, 4.0), 1.05),
}
_TICK_STEP_PX = 16.0


def strand_pen(letter: str, width: float, colour: QColor | None = None) -> QPen:
    """The pen of a method's strand. Qt counts dashes in pen widths, so the pattern is divided."""
    dashes, wider = PATTERNS.get(letter, ((), 1.0))
    pen = QPen(colour or theme.method_colour(letter), width * wider)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    if dashes:
        scale = theme.factor()
        pen.setDashPattern([dash * scale / pen.widthF() for dash in dashes])
    return pen


def paint_strand(
    painter: QPainter, letter: str, start: QPointF, end: QPointF, width: float | None = None
) -> None:
    """A straight strand from start to end."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    thick = width if width is not None else theme.px(theme.line("strand"))
    # At the edge of a field the strand has the width asked for, whatever its letter.
    pen = strand_pen(letter, thick if width is None else thick / wider(letter))
    painter.setPen(pen)
    painter.drawLine(start, end)
    if letter == "C":
        _paint_ticks(painter, QLineF(start, end), pen)
    painter.restore()


def _paint_ticks(painter: QPainter, line: QLineF, pen: QPen) -> None:
    length = line.length()
    if length <= 0:
        return
    across = line.normalVector().unitVector()
    half = theme.px(5)
    dx, dy = across.dx() * half, across.dy() * half
    painter.setPen(QPen(pen.color(), max(pen.widthF() * 0.8, 1.5)))
    step = theme.px(_TICK_STEP_PX)
    place = step / 2
    while place < length:
        at = line.pointAt(place / length)
        painter.drawLine(QPointF(at.x() - dx, at.y() - dy), QPointF(at.x() + dx, at.y() + dy))
        place += step


def wider(letter: str) -> float:
    """How much wider than a plain line the strand of a method is."""
    return PATTERNS.get(letter, ((), 1.0))[1]


def paint_strand_path(
    painter: QPainter, letter: str, path: QPainterPath, width: float | None = None
) -> None:
    """A strand along any path (the wall list, the parting of a cord)."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(strand_pen(letter, width if width is not None else theme.line("strand")))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawPath(path)
    painter.restore()

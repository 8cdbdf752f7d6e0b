"""The strands of methods, the cord they make together, and the thread an interval is."""

from __future__ import annotations

import math
from dataclasses import dataclass

from PySide6.QtCore import QLineF, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPaintEvent, QPen
from PySide6.QtWidgets import QLabel, QSizePolicy, QWidget

from trialbench.model.message import Message, say
from trialbench.ui import theme
from trialbench.ui.signs import SIGN_PX, paint_sign

# letter -> dash pattern in px at strand width 2.4 (empty = solid), width factor.
_PATTERNS: dict[str, tuple[tuple[float, ...], float]] = {
    "A": ((), 1.0),
    "B": ((7.0, 1.9), 1.45),
    "C": ((), 1.0),
    "D": ((14.0, 4.0, 3.0, 4.0), 1.05),
}
_TICK_STEP_PX = 16.0
_STEP_PX = 0.75


def strand_pen(letter: str, width: float, colour: QColor | None = None) -> QPen:
    """The pen of a method's strand. Qt counts dashes in pen widths, so the pattern is divided."""
    dashes, wider = _PATTERNS.get(letter, ((), 1.0))
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
    pen = strand_pen(
        letter, thick if width is None else thick / _PATTERNS.get(letter, ((), 1.0))[1]
    )
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


def paint_cord(
    painter: QPainter,
    letters: str,
    left: float,
    right: float,
    y: float,
    *,
    ground: QColor | None = None,
) -> None:
    """The plies of `letters` twisted into one cord from left to right about y.

    Plies run y + 3.7 sin, a period of 27, 6.2 wide; at each crossing the ply that runs downward
    is drawn again over a casing in the colour of the ground.
    """
    cord = theme.tokens()["cord"]
    rise, period = theme.px(cord["amplitude"]), theme.px(cord["period"])
    width = theme.px(theme.line("cord_ply"))
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setClipRect(QRectF(left, y - rise - width, right - left, 2 * (rise + width)))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    plies = letters if len(letters) > 1 else letters * 2
    for number, letter in enumerate(plies):
        shift = 2 * math.pi * number / len(plies)
        painter.setPen(_ply_pen(letter, width))
        painter.drawPath(_wave(left, right, left, y, rise, period, shift))
    casing = QPen(ground or theme.colour("page"), width + 2 * theme.px(cord["casing"]))
    casing.setCapStyle(Qt.PenCapStyle.FlatCap)
    for start, number in _downward_runs(left, right, period, len(plies)):
        shift = 2 * math.pi * number / len(plies)
        stop = start + period * 0.28
        path = _wave(start, stop, left, y, rise, period, shift)
        painter.setPen(casing)
        painter.drawPath(path)
        painter.setPen(_ply_pen(plies[number], width))
        painter.drawPath(_wave(start - 2, stop + 2, left, y, rise, period, shift))
    painter.restore()


def _ply_pen(letter: str, width: float) -> QPen:
    pen = strand_pen(letter, width / _PATTERNS.get(letter, ((), 1.0))[1])
    return pen


def _wave(
    start: float, stop: float, origin: float, y: float, rise: float, period: float, shift: float
) -> QPainterPath:
    def at(x: float) -> QPointF:
        return QPointF(x, y + rise * math.sin(2 * math.pi * (x - origin) / period + shift))

    path = QPainterPath(at(start))
    for number in range(1, max(2, int((stop - start) / _STEP_PX)) + 1):
        path.lineTo(at(min(start + number * _STEP_PX, stop)))
    return path


def _downward_runs(left: float, right: float, period: float, count: int) -> list[tuple[float, int]]:
    """Where each ply runs downward through the middle: (start x, ply), ordered by x."""
    found = []
    for number in range(count):
        # Screen y grows downward, so the ply runs down where its sine rises through zero.
        crossing = left - number * period / count
        while crossing < right + period:
            if crossing > left - period:
                found.append((crossing - period * 0.14, number))
            crossing += period
    return sorted(found)


@dataclass(frozen=True, slots=True)
class CordStage:
    """A stage on the cord: where it begins (0 to 1 of the width), its name and what it says.

    `apart` stages belong to each method by itself; `lines` may hold coloured runs as
    (text, colour token) pairs.
    """

    at: float
    name: str
    says: tuple[tuple[str, str], ...]
    apart: bool = False


class Cord(QLabel):
    """Methods as one cord: twisted where they go together, laid apart where they part.

    `parts` are the two places (0 to 1) where the plies part and where they join again; None means
    they stay together to the end, a join of 1 that they never join.
    """

    def __init__(
        self,
        letters: str,
        parts: tuple[float, float] | None,
        spoken: Message | str,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._letters, self._parts = letters, parts
        self._signs = 0.71
        self.setAccessibleName(say(spoken))
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def show_cord(
        self, letters: str, parts: tuple[float, float] | None, spoken: Message | str
    ) -> None:
        """Show another cord; the plies part or join at once."""
        self._letters, self._parts = letters, parts
        self.setAccessibleName(say(spoken))
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        apart = self._reach() * 2 + 20 if self._parts else 24
        return QSize(round(theme.px(240)), round(theme.px(apart)))

    def minimumSizeHint(self) -> QSize:
        return QSize(round(theme.px(120)), self.sizeHint().height())

    def _reach(self) -> float:
        """How far the outermost ply lies from the middle when apart, in px of the desk."""
        return 15.0 * max(len(self._letters) - 1, 1)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        left, right, y = 3.0, self.width() - 3.0, self.height() / 2
        if self._parts is None:
            paint_cord(painter, self._letters, left, right, y)
            painter.end()
            return
        apart, joined = (left + (right - left) * part for part in self._parts)
        paint_cord(painter, self._letters, left, apart, y)
        if joined < right - 1:
            paint_cord(painter, self._letters, joined, right, y)
        for number, letter in enumerate(self._letters):
            self._paint_ply(painter, letter, number, apart, joined, right)
        painter.end()

    def _paint_ply(
        self,
        painter: QPainter,
        letter: str,
        number: int,
        apart: float,
        joined: float,
        right: float,
    ) -> None:
        middle = self.height() / 2
        count = len(self._letters)
        reach = theme.px(self._reach())
        level = middle + (2 * number / max(count - 1, 1) - 1) * reach
        bend = theme.px(30)
        joins = joined < right - 1
        sign = apart + (joined - apart) * self._signs
        gap = theme.px(SIGN_PX / 2 + 6)
        width = theme.px(4.4)
        away = QPainterPath(QPointF(apart - 2, middle))
        away.cubicTo(apart + bend * 0.4, middle, apart + bend * 0.5, level, apart + bend, level)
        away.lineTo(sign - gap, level)
        back = QPainterPath(QPointF(sign + gap, level))
        if joins:
            back.lineTo(joined - bend, level)
            back.cubicTo(
                joined - bend * 0.5, level, joined - bend * 0.4, middle, joined + 2, middle
            )
        else:
            back.lineTo(right, level)
        for path in (away, back):
            paint_strand_path(painter, letter, path, width / _PATTERNS.get(letter, ((), 1.0))[1])
        side = theme.px(SIGN_PX)
        paint_sign(painter, letter, QRectF(sign - side / 2, level - side / 2, side, side))


def paint_interval(
    painter: QPainter,
    y: float,
    outer: tuple[float, float],
    inner: tuple[float, float] | None,
    estimate: float | None,
    *,
    tall: float = 36.0,
    colour: QColor | None = None,
) -> None:
    """A thread: single from the 95 ends, doubled between the 90 ends, knots, one tall stitch.

    All x in px. `inner` None draws a single thread.
    """
    ink = colour or theme.colour("ink")
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

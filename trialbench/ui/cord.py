"""The cord: methods twisted together where they go together, laid apart where they part."""

from __future__ import annotations

import math
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPaintEvent, QPen
from PySide6.QtWidgets import QLabel, QSizePolicy, QWidget

from trialbench.model.message import Message, say
from trialbench.ui import theme
from trialbench.ui.signs import SIGN_PX, paint_sign
from trialbench.ui.strands import paint_strand_path, strand_pen, wider

_STEP_PX = 0.75
_HEADS_PX = 44
_UNDER_PX = 24
_SIGN_AT = 0.63
_BEND_PX = 30


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
    twist = _Twist(left, y, theme.px(cord["amplitude"]), theme.px(cord["period"]))
    rise, period = twist.rise, twist.period
    width = theme.px(theme.line("cord_ply"))
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setClipRect(QRectF(left, y - rise - width, right - left, 2 * (rise + width)))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    plies = letters if len(letters) > 1 else letters * 2
    for number, letter in enumerate(plies):
        shift = 2 * math.pi * number / len(plies)
        painter.setPen(_ply_pen(letter, width))
        painter.drawPath(twist.ply(left, right, shift))
    casing = QPen(ground or theme.colour("page"), width + 2 * theme.px(cord["casing"]))
    casing.setCapStyle(Qt.PenCapStyle.FlatCap)
    for start, number in _downward_runs(left, right, period, len(plies)):
        shift = 2 * math.pi * number / len(plies)
        stop = start + period * 0.28
        path = twist.ply(start, stop, shift)
        painter.setPen(casing)
        painter.drawPath(path)
        painter.setPen(_ply_pen(plies[number], width))
        painter.drawPath(twist.ply(start - 2, stop + 2, shift))
    painter.restore()


def _ply_pen(letter: str, width: float) -> QPen:
    return strand_pen(letter, width / wider(letter))


@dataclass(frozen=True, slots=True)
class _Twist:
    """Where the sine of the plies begins, its middle, height and period, all in px."""

    origin: float
    y: float
    rise: float
    period: float

    def ply(self, start: float, stop: float, shift: float) -> QPainterPath:
        """The middle line of a ply from start to stop; `shift` in radians."""
        turn = 2 * math.pi / self.period

        def at(x: float) -> QPointF:
            return QPointF(x, self.y + self.rise * math.sin(turn * (x - self.origin) + shift))

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
    """A stage over the cord: where it begins (0 to 1 of the width), its name, and what it says as
    (words, colour token) pairs: (("45", "method_a"), (" or ", "pencil"), ("20 min", "method_b")).
    """

    at: float
    name: Message | str
    says: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class CordShape:
    """A whole cord. `parts` are the places (0 to 1) where the plies part and where they join:
    None means they stay together, a join of 1 that they never join. `under` are words at the left
    edge, at the parting and at the right edge.
    """

    letters: str
    parts: tuple[float, float] | None = None
    stages: tuple[CordStage, ...] = ()
    under: tuple[Message | str, Message | str, Message | str] = ("", "", "")


class Cord(QLabel):
    """Methods as one cord, with the stages over it. `spoken` says it in words."""

    def __init__(
        self, shape: CordShape, spoken: Message | str, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self._shape = shape
        theme.signals().theme_changed.connect(self.updateGeometry)
        self.show_cord(shape, spoken)

    def show_cord(self, shape: CordShape, spoken: Message | str) -> None:
        """Show another cord."""
        self._shape = shape
        self.setAccessibleName(say(spoken))
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        apart = self._reach() * 2 + 22 if self._shape.parts else 26
        heads = _HEADS_PX if self._shape.stages else 0
        under = _UNDER_PX if any(map(say, self._shape.under)) else 0
        return QSize(round(theme.px(240)), round(theme.px(heads + apart + under)))

    def minimumSizeHint(self) -> QSize:
        return QSize(round(theme.px(120)), self.sizeHint().height())

    def _reach(self) -> float:
        """How far the outermost ply lies from the middle when apart, in px of the desk."""
        return 7.5 * len(self._shape.letters)

    def _middle(self) -> float:
        heads = theme.px(_HEADS_PX) if self._shape.stages else 0
        under = theme.px(_UNDER_PX) if any(map(say, self._shape.under)) else 0
        return heads + (self.height() - heads - under) / 2

    def _place(self, at: float) -> float:
        return 3.0 + (self.width() - 6.0) * at

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        letters, y = self._shape.letters, self._middle()
        if self._shape.parts is None:
            paint_cord(painter, letters, self._place(0), self._place(1), y)
        else:
            apart, joined = map(self._place, self._shape.parts)
            paint_cord(painter, letters, self._place(0), apart, y)
            if self._shape.parts[1] < 1:
                paint_cord(painter, letters, joined, self._place(1), y)
            for number in range(len(letters)):
                self._paint_ply(painter, number, apart, joined)
        self._paint_heads(painter)
        self._paint_under(painter)
        painter.end()

    def _paint_ply(self, painter: QPainter, number: int, apart: float, joined: float) -> None:
        letter, middle = self._shape.letters[number], self._middle()
        spread = 2 * number / max(len(self._shape.letters) - 1, 1) - 1
        level = middle + spread * theme.px(self._reach())
        bend = min(theme.px(_BEND_PX), (joined - apart) / 3)
        sign = apart + (joined - apart) * _SIGN_AT
        gap = theme.px(SIGN_PX / 2 + 6)
        away = QPainterPath(QPointF(apart - 2, middle))
        away.cubicTo(apart + bend * 0.4, middle, apart + bend * 0.5, level, apart + bend, level)
        away.lineTo(sign - gap, level)
        back = QPainterPath(QPointF(sign + gap, level))
        if self._shape.parts is not None and self._shape.parts[1] < 1:
            back.lineTo(joined - bend, level)
            back.cubicTo(
                joined - bend * 0.5, level, joined - bend * 0.4, middle, joined + 2, middle
            )
        else:
            back.lineTo(self._place(1), level)
        for path in (away, back):
            paint_strand_path(painter, letter, path, theme.px(4.4) / wider(letter))
        side = theme.px(SIGN_PX)
        paint_sign(painter, letter, QRectF(sign - side / 2, level - side / 2, side, side))

    def _paint_heads(self, painter: QPainter) -> None:
        """Stage names over the cord; one that would stand on the last keeps to its right."""
        free = 0.0
        for stage in self._shape.stages:
            x = max(self._place(stage.at) + theme.px(2), free)
            painter.setFont(theme.font("cell", weight=500))
            painter.setPen(theme.colour("ink"))
            painter.drawText(QPointF(x, theme.px(16)), say(stage.name))
            wide = theme.metrics("cell", weight=500).horizontalAdvance(say(stage.name))
            at = x
            for words, colour in stage.says:
                weight = 600 if colour.startswith("method") else 400
                painter.setFont(theme.font("label", weight=weight))
                painter.setPen(theme.colour(colour))
                painter.drawText(QPointF(at, theme.px(34)), words)
                at += theme.metrics("label", weight=weight).horizontalAdvance(words)
            free = max(x + wide, at) + theme.px(14)

    def _paint_under(self, painter: QPainter) -> None:
        left, middle, right = map(say, self._shape.under)
        metrics = theme.metrics("label")
        base = self.height() - theme.px(6)
        painter.setFont(theme.font("label"))
        painter.setPen(theme.colour("pencil"))
        painter.drawText(QPointF(theme.px(4), base), left)
        span = metrics.horizontalAdvance(right)
        painter.drawText(QPointF(self.width() - span - theme.px(4), base), right)
        if middle and self._shape.parts is not None:
            painter.setPen(theme.colour("ink"))
            span = metrics.horizontalAdvance(middle)
            at = self._place(self._shape.parts[0]) - span / 2
            painter.drawText(QPointF(max(at, 0), base), middle)

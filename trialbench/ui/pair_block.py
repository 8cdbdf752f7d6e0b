"""A pair on the plan: two blocks that meet at one slanted cut, each side edged by its strand."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPolygonF
from PySide6.QtWidgets import QLabel, QSizePolicy, QWidget

from trialbench.model.message import Message, msg, say
from trialbench.ui import theme
from trialbench.ui.signs import SIGN_PX, paint_sign
from trialbench.ui.strands import paint_strand

_SLANT_PX = 18.0
_HEIGHT_PX = 39


@dataclass(frozen=True, slots=True)
class PairHalf:
    """One side: its method, the piece, and where it stands ("upper rack")."""

    letter: str
    piece: str
    place: Message | str = ""


class PairBlock(QLabel):
    """Two halves and the cut between them; one half alone is a block without a cut."""

    def __init__(
        self,
        left: PairHalf,
        right: PairHalf | None,
        spoken: Message | str,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._left, self._right = left, right
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self._speak(spoken)

    def _speak(self, spoken: Message | str) -> None:
        halves = [half for half in (self._left, self._right) if half is not None]
        words = [
            say(msg("{piece}: method {letter}", piece=half.piece, letter=half.letter))
            + (f", {say(half.place)}" if say(half.place) else "")
            for half in halves
        ]
        self.setAccessibleName(", ".join([say(spoken), *words]))

    def show_pair(self, left: PairHalf, right: PairHalf | None, spoken: Message | str) -> None:
        """Show another pair (after a draw)."""
        self._left, self._right = left, right
        self._speak(spoken)
        self.update()

    def sizeHint(self) -> QSize:
        halves = 1 if self._right is None else 2
        return QSize(round(theme.px(139 * halves)), round(theme.px(_HEIGHT_PX)))

    def minimumSizeHint(self) -> QSize:
        return QSize(round(theme.px(110 if self._right is None else 210)), self.sizeHint().height())

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        high, wide = float(self.height()), float(self.width())
        if self._right is None:
            painter.fillRect(QRectF(0, 0, wide, high), theme.method_tint(self._left.letter))
            self._paint_half(painter, self._left, 0)
            painter.end()
            return
        slant = theme.px(_SLANT_PX)
        middle = wide / 2 - theme.px(1)
        top, foot = middle + slant / 2, middle - slant / 2
        left = QPolygonF([QPointF(0, 0), QPointF(top, 0), QPointF(foot, high), QPointF(0, high)])
        right = QPolygonF(
            [QPointF(top, 0), QPointF(wide, 0), QPointF(wide, high), QPointF(foot, high)]
        )
        painter.setPen(Qt.PenStyle.NoPen)
        for shape, half in ((left, self._left), (right, self._right)):
            painter.setBrush(theme.method_tint(half.letter))
            painter.drawPolygon(shape)
        self._paint_cut(painter, top, foot, high)
        self._paint_half(painter, self._left, 0)
        self._paint_half(painter, self._right, wide / 2 + theme.px(11))
        painter.end()

    def _paint_cut(self, painter: QPainter, top: float, foot: float, high: float) -> None:
        """A page-coloured cut with a strand at each side."""
        assert self._right is not None
        half = theme.px(2.2)
        gap = QPolygonF(
            [QPointF(top - half, 0), QPointF(top + half, 0),
             QPointF(foot + half, high), QPointF(foot - half, high)]
        )  # fmt: skip
        painter.setBrush(theme.colour("page"))
        painter.drawPolygon(gap)
        thick = theme.px(4)
        away = theme.px(4.6)
        for side, part in ((-away, self._left), (away, self._right)):
            paint_strand(
                painter, part.letter, QPointF(top + side, 0), QPointF(foot + side, high), thick
            )

    def _paint_half(self, painter: QPainter, half: PairHalf, x: float) -> None:
        side = theme.px(SIGN_PX)
        middle = self.height() / 2
        sign = QRectF(x + theme.px(8), middle - side / 2, side, side)
        paint_sign(painter, half.letter, sign)
        painter.setPen(theme.method_colour(half.letter))
        painter.setFont(theme.font("cell", weight=600))
        painter.drawText(
            QPointF(x + theme.px(30), middle + theme.metrics("cell").ascent() * 0.42), half.letter
        )
        painter.setPen(theme.colour("ink"))
        left = x + theme.px(46)
        painter.setFont(theme.font("section", weight=500))
        up = theme.px(-3) if say(half.place) else theme.metrics("section").ascent() * 0.42
        metrics = theme.metrics("section", weight=400)
        # A side ends at the slanted cut, the right one at the edge of the block.
        end = self.width() - theme.px(4)
        if self._right is not None and not x:
            end = self.width() / 2 - theme.px(_SLANT_PX / 2 + 7)
        elide = Qt.TextElideMode.ElideRight
        painter.drawText(
            QPointF(left, middle + up), metrics.elidedText(half.piece, elide, end - left)
        )
        painter.setFont(theme.font("section", weight=400))
        place = metrics.elidedText(say(half.place), elide, end - left)
        painter.drawText(QPointF(left, middle + theme.px(14)), place)

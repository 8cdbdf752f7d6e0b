"""A pair on the plan: two blocks that meet at one slanted cut, each side edged by its strand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QLabel, QSizePolicy, QWidget

from trialbench.model.message import Message, msg, say
from trialbench.ui import theme
from trialbench.ui.signs import SIGN_PX, paint_sign
from trialbench.ui.strands import paint_strand

_SLANT_PX = 18.0
_HEIGHT_PX = 39
_LEAST_PX = 105


@dataclass(frozen=True, slots=True)
class PairHalf:
    """One side: its method, the piece, and where it stands ("upper rack").

    `letter` is no letter ("–") before the draw, and where it is not to be seen.
    """

    letter: str
    piece: str
    place: Message | str = ""

    @property
    def drawn(self) -> bool:
        """Whether it has a method that may be seen."""
        return self.letter.isalpha()


class PairBlock(QLabel):
    """Two halves and the cut between them; one half alone is a block without a cut.

    `more` are the pieces of a set of three or more: a cut before each of them as well.
    """

    def __init__(
        self,
        left: PairHalf,
        right: PairHalf | None,
        spoken: Message | str,
        parent: QWidget | None = None,
        *,
        more: Sequence[PairHalf] = (),
    ) -> None:
        super().__init__(parent)
        self._parts = _parts(left, right, more)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self._speak(spoken)

    def _speak(self, spoken: Message | str) -> None:
        words = [
            (
                say(msg("{piece}: method {letter}", piece=half.piece, letter=half.letter))
                if half.drawn
                else half.piece
            )
            + (f", {say(half.place)}" if say(half.place) else "")
            for half in self._parts
        ]
        self.setAccessibleName(", ".join([say(spoken), *words]))

    def show_pair(
        self,
        left: PairHalf,
        right: PairHalf | None,
        spoken: Message | str,
        more: Sequence[PairHalf] = (),
    ) -> None:
        """Show another pair (after a draw)."""
        self._parts = _parts(left, right, more)
        self._speak(spoken)
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(round(theme.px(139 * len(self._parts))), round(theme.px(_HEIGHT_PX)))

    def minimumSizeHint(self) -> QSize:
        count = len(self._parts)
        least = 110 if count == 1 else _LEAST_PX * count
        return QSize(round(theme.px(least)), self.sizeHint().height())

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        wide, high = self.width() / len(self._parts), float(self.height())
        slant = theme.px(_SLANT_PX) / 2
        last = len(self._parts) - 1
        painter.setPen(Qt.PenStyle.NoPen)
        for place, half in enumerate(self._parts):
            left, right = place * wide - theme.px(1), (place + 1) * wide - theme.px(1)
            top = (left + slant if place else 0.0, right + slant if place < last else self.width())
            foot = (left - slant if place else 0.0, right - slant if place < last else self.width())
            painter.setBrush(theme.method_tint(half.letter))
            corners = ((top[0], 0.0), (top[1], 0.0), (foot[1], high), (foot[0], high))
            painter.drawPolygon(QPolygonF([QPointF(x, y) for x, y in corners]))
        for place in range(last):
            middle = (place + 1) * wide - theme.px(1)
            self._paint_cut(painter, place, middle + slant, middle - slant)
        for place in range(len(self._parts)):
            self._paint_half(painter, place)
        painter.end()

    def _paint_cut(self, painter: QPainter, place: int, top: float, foot: float) -> None:
        """A page-coloured cut with a strand at each side."""
        half, high = theme.px(2.2), float(self.height())
        gap = QPolygonF(
            [QPointF(top - half, 0), QPointF(top + half, 0),
             QPointF(foot + half, high), QPointF(foot - half, high)]
        )  # fmt: skip
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(theme.colour("page"))
        painter.drawPolygon(gap)
        thick = theme.px(4)
        away = theme.px(4.6)
        for side, part in ((-away, self._parts[place]), (away, self._parts[place + 1])):
            if not part.drawn:
                painter.setPen(QPen(theme.colour("rail"), theme.line("rule")))
                painter.drawLine(QPointF(top + side / 2, 0), QPointF(foot + side / 2, high))
                continue
            paint_strand(
                painter, part.letter, QPointF(top + side, 0), QPointF(foot + side, high), thick
            )

    def _paint_half(self, painter: QPainter, place: int) -> None:
        half, wide = self._parts[place], self.width() / len(self._parts)
        x = place * wide + (theme.px(11) if place else 0.0)
        middle = self.height() / 2
        left = x + theme.px(12)
        if half.drawn:
            self._paint_method(painter, half.letter, x)
            left = x + theme.px(46)
        painter.setPen(theme.colour("ink"))
        painter.setFont(theme.font("section", weight=500))
        up = theme.px(-3) if say(half.place) else theme.metrics("section").ascent() * 0.42
        metrics = theme.metrics("section", weight=400)
        # A side ends at the slanted cut, the last one at the edge of the block.
        end = self.width() - theme.px(4)
        if place < len(self._parts) - 1:
            end = (place + 1) * wide - theme.px(_SLANT_PX / 2 + 7)
        elide = Qt.TextElideMode.ElideRight
        painter.drawText(
            QPointF(left, middle + up), metrics.elidedText(half.piece, elide, end - left)
        )
        painter.setFont(theme.font("section", weight=400))
        said = metrics.elidedText(say(half.place), elide, end - left)
        painter.drawText(QPointF(left, middle + theme.px(14)), said)

    def _paint_method(self, painter: QPainter, letter: str, x: float) -> None:
        side, middle = theme.px(SIGN_PX), self.height() / 2
        paint_sign(painter, letter, QRectF(x + theme.px(8), middle - side / 2, side, side))
        painter.setPen(theme.method_colour(letter))
        painter.setFont(theme.font("cell", weight=600))
        base = middle + theme.metrics("cell").ascent() * 0.42
        painter.drawText(QPointF(x + theme.px(30), base), letter)


def _parts(
    left: PairHalf, right: PairHalf | None, more: Sequence[PairHalf]
) -> tuple[PairHalf, ...]:
    return (left, *(() if right is None else (right,)), *more)

"""The sealed key: an envelope with a seam, one stitch a score card in."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QLabel, QSizePolicy, QWidget

from trialbench.model.message import Message, msg, say
from trialbench.ui import theme
from trialbench.ui.strip import paint_seam

_HEIGHT_PX = 92
_INSET_PX = 44


class Envelope(QLabel):
    """The key of one sitting. `show_key(...)` says what stands on it; opened, its seam is cut."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._upper = self._lower = ("", "")
        self._done, self._whole, self._open = 0, 0, False
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def show_key(
        self,
        done: int,
        whole: int,
        *,
        sealed: Message | str,
        keep: Message | str = "",
        opens: Message | str = "",
        is_open: bool = False,
    ) -> None:
        """`done` of `whole` score cards are in. `sealed` who sealed it and when, `keep` until when
        it stays shut, `opens` when it can be opened."""
        self._done, self._whole, self._open = done, whole, is_open
        counted = say(
            msg("One stitch for every score card in: {done} of {whole}", done=done, whole=whole)
        )
        self._upper, self._lower = (say(sealed), say(keep)), (counted, say(opens))
        state = say(msg("open")) if is_open else say(msg("sealed"))
        words = [say(msg("Key")), state, *self._upper, *self._lower]
        self.setAccessibleName(", ".join(word for word in words if word))
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(400, round(theme.px(_HEIGHT_PX)))

    def minimumSizeHint(self) -> QSize:
        return QSize(240, round(theme.px(_HEIGHT_PX)))

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        frame = QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5)
        painter.setPen(QPen(theme.colour("rail"), 1))
        painter.setBrush(theme.colour("field"))
        painter.drawRect(frame)
        middle = frame.center().y()
        fold = theme.px(26)
        left, right = frame.left() + fold, frame.right() - fold
        flap = [frame.topLeft(), QPointF(left, middle), QPointF(right, middle), frame.topRight()]
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPolyline(flap)
        inset = theme.px(_INSET_PX)
        half = theme.px(9)
        seam = QRectF(inset, middle - half, self.width() - 2 * inset, 2 * half)
        if self._open:
            self._paint_cut(painter, seam)
        else:
            paint_seam(painter, seam, self._whole, self._done)
        self._paint_words(painter, self._upper, middle - theme.px(26), weights=(600, 400))
        self._paint_words(painter, self._lower, middle + theme.px(27), weights=(400, 400))
        painter.end()

    def _paint_cut(self, painter: QPainter, seam: QRectF) -> None:
        """The stitches are cut through: their ends stand above and below a gap."""
        count = max(self._whole, 1)
        step = seam.width() / count
        pen = QPen(theme.colour("ink"), 2.4, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap)
        painter.setPen(pen)
        for number in range(count):
            x = seam.left() + number * step
            lean = min(9.0, step * 0.5)
            painter.drawLine(
                QPointF(x, seam.top()), QPointF(x + lean * 0.3, seam.top() + seam.height() * 0.28)
            )
            painter.drawLine(
                QPointF(x + lean * 0.7, seam.bottom() - seam.height() * 0.28),
                QPointF(x + lean, seam.bottom()),
            )

    def _paint_words(
        self, painter: QPainter, words: tuple[str, str], base: float, weights: tuple[int, int]
    ) -> None:
        inset = theme.px(_INSET_PX)
        base += theme.metrics("cell").descent()
        painter.setFont(theme.font("cell", weight=weights[0]))
        painter.setPen(theme.colour("ink"))
        painter.drawText(QPointF(inset, base), words[0])
        used = theme.metrics("cell", weight=weights[0]).horizontalAdvance(words[0])
        metrics = theme.metrics("cell")
        room = self.width() - 2 * inset - used - 20
        right = metrics.elidedText(words[1], Qt.TextElideMode.ElideRight, room)
        painter.setFont(theme.font("cell"))
        painter.setPen(theme.colour("pencil"))
        span = metrics.horizontalAdvance(right)
        painter.drawText(QPointF(self.width() - inset - span, base), right)

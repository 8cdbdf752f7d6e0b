"""A line that holds what is looked for: its label, its text, colour under the found words."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent

from trialbench.model.message import say
from trialbench.planning.written_lines import WrittenLine
from trialbench.ui import theme
from trialbench.ui.verbs import TextVerb

_INDENT_PX = 20
_TEXT_PX = 124
_HEIGHT_PX = 21
_BEFORE_LETTERS = 28


class FoundLine(TextVerb):
    """One found line under its trial; `clicked` goes to the page it stands on."""

    def __init__(self, line: WrittenLine, words: str) -> None:
        self._label_words, self._text, self._words = say(line.label), line.text, words
        super().__init__(f"{say(line.label)}: {line.text}", role="cell", weight=400)

    def sizeHint(self) -> QSize:
        return QSize(300, round(theme.px(_HEIGHT_PX)))

    def heightForWidth(self, width: int) -> int:
        return round(theme.px(_HEIGHT_PX))

    def minimumSizeHint(self) -> QSize:
        return QSize(200, round(theme.px(_HEIGHT_PX)))

    def _shown(self) -> str:
        """The text, begun late enough that what was found can be seen."""
        at = self._text.casefold().find(self._words.casefold())
        if at <= _BEFORE_LETTERS:
            return self._text
        start = self._text.rfind(" ", 0, at - _BEFORE_LETTERS // 2) + 1
        return f"… {self._text[start:]}"

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        metrics = theme.metrics("cell")
        base = (self.height() - metrics.height()) / 2 + metrics.ascent()
        painter.setFont(theme.font("cell"))
        painter.setPen(theme.colour("ink"))
        painter.drawText(QPointF(theme.px(_INDENT_PX), base), self._label_words)
        x = theme.px(_TEXT_PX)
        room = self.width() - x
        text = metrics.elidedText(self._shown(), Qt.TextElideMode.ElideRight, room)
        folded, wanted, done = text.casefold(), self._words.casefold(), 0
        while wanted and (at := folded.find(wanted, done)) >= 0:
            x = self._run(painter, text[done:at], x, base)
            x = self._run(painter, text[at : at + len(wanted)], x, base, found=True)
            done = at + len(wanted)
        self._run(painter, text[done:], x, base)
        painter.end()

    @staticmethod
    def _run(painter: QPainter, text: str, x: float, base: float, *, found: bool = False) -> float:
        metrics = theme.metrics("cell")
        span = metrics.horizontalAdvance(text)
        if found:
            box = QRectF(x - 1, base - metrics.ascent(), span + 2, metrics.height())
            painter.fillRect(box, theme.colour("mark"))
        painter.setPen(theme.colour("ink" if found else "pencil"))
        painter.drawText(QPointF(x, base), text)
        return x + span

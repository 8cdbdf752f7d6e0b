"""Lines of a contents page: the question underlined, dotted leader, number; the answer below."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QVBoxLayout, QWidget

from trialbench.model.message import Message, msg, say
from trialbench.ui import theme
from trialbench.ui.text import Line, Rule, dotted
from trialbench.ui.verbs import TextVerb, wrap

_INDENT_PX = 20
_NUMBER_ROOM_PX = 36


class ContentsLine(TextVerb):
    """A question that opens its trial. `clicked` when chosen.

    `right` stands at the end of the leader (the trial number, or a short answer in italics with
    `right_italic`). `answer` stands below in italics. `mark` is a found word to lay colour under.
    """

    def __init__(
        self,
        question: Message | str,
        right: Message | str,
        answer: Message | str = "",
        parent: QWidget | None = None,
        *,
        right_italic: bool = False,
        mark: str = "",
    ) -> None:
        self._wrapped: dict[tuple[float, float], list[str]] = {}
        self._right, self._answer = say(right), say(answer)
        self._italic, self._mark = right_italic, mark.casefold()
        super().__init__(question, parent, role="contents_line", weight=400)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self.setAccessibleDescription(", ".join(filter(None, (self._right, self._answer))))

    def _right_width(self) -> float:
        if self._italic:
            return theme.metrics("contents_answer").horizontalAdvance(self._right) + theme.px(8)
        return theme.px(_NUMBER_ROOM_PX)

    def _lines(self, width: float) -> list[str]:
        # Layouts ask for the height many times over.
        key = (width, theme.factor())
        if key not in self._wrapped:
            room = max(width - self._right_width() - theme.px(20), 120)
            self._wrapped[key] = wrap(self.label(), self._metrics(), room)
        return self._wrapped[key]

    def _answer_lines(self, width: float) -> list[str]:
        if not self._answer:
            return []
        room = width - theme.px(_INDENT_PX)
        return wrap(self._answer, theme.metrics("contents_answer"), room)

    def heightForWidth(self, width: int) -> int:
        lines = len(self._lines(width)) * theme.line_height("contents_line")
        answers = len(self._answer_lines(width)) * theme.line_height("contents_answer")
        return round(lines + answers + theme.px(5))

    def sizeHint(self) -> QSize:
        width = max(self.width(), 300)
        return QSize(width, self.heightForWidth(width))

    def minimumSizeHint(self) -> QSize:
        return QSize(200, self.heightForWidth(max(self.width(), 200)))

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        metrics = self._metrics()
        ink = theme.colour("ink")
        base = self.baseline()
        end = 0.0
        for words in self._lines(self.width()):
            self._paint_found(painter, words, base)
            painter.setFont(theme.font("contents_line", weight=400))
            painter.setPen(ink)
            painter.drawText(QPointF(0, base), words)
            end = metrics.horizontalAdvance(words)
            painter.fillRect(QRectF(0, round(base + theme.px(4)), end, 1), ink)
            base += theme.line_height("contents_line")
        self._paint_right(painter, base - theme.line_height("contents_line"), end)
        painter.setFont(theme.font("contents_answer"))
        painter.setPen(theme.colour("pencil"))
        base += theme.px(-2)
        for words in self._answer_lines(self.width()):
            painter.drawText(QPointF(theme.px(_INDENT_PX), base), words)
            base += theme.line_height("contents_answer")
        painter.end()

    def _paint_right(self, painter: QPainter, base: float, end: float) -> None:
        role = "contents_answer" if self._italic else "contents_line"
        span = theme.metrics(role).horizontalAdvance(self._right)
        painter.setFont(theme.font(role))
        painter.setPen(theme.colour("pencil" if self._italic else "ink"))
        painter.drawText(QPointF(self.width() - span, base), self._right)
        stop = self.width() - (span + theme.px(8) if self._italic else theme.px(28))
        dotted(painter, end + theme.px(8), stop, base - 1, "ink")

    def _paint_found(self, painter: QPainter, words: str, base: float) -> None:
        """Colour under every found word."""
        if not self._mark:
            return
        metrics = self._metrics()
        folded = words.casefold()
        at = folded.find(self._mark)
        while at >= 0:
            left = metrics.horizontalAdvance(words[:at])
            span = metrics.horizontalAdvance(words[at : at + len(self._mark)])
            box = QRectF(left - 1, base - metrics.ascent(), span + 2, metrics.height())
            painter.fillRect(box, theme.colour("mark"))
            at = folded.find(self._mark, at + len(self._mark))


class Chapter(QWidget):
    """A chapter of the contents (a food), with the rule under it."""

    def __init__(self, name: Message | str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, round(theme.px(8)), 0, round(theme.px(4)))
        column.setSpacing(round(theme.px(4)))
        column.addWidget(Line("chapter", name))
        column.addWidget(Rule())
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(say(msg("Chapter: {name}", name=say(name))))

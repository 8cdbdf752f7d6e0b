"""Verbs: what can be done, in words. Framed, filled when due, pencil when not yet, or in a line."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QFocusEvent,
    QFontMetricsF,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
)
from PySide6.QtWidgets import QAbstractButton, QSizePolicy, QWidget

from trialbench.model.message import Message, say
from trialbench.ui import theme

_SIDE_PX = 14
_UNDERLINE_BELOW_PX = 4.0


class _Words(QAbstractButton):
    """A button that Enter presses as well as Space."""

    def __init__(self, label: Message | str, parent: QWidget | None) -> None:
        super().__init__(parent)
        self.set_label(label)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        theme.signals().theme_changed.connect(self.updateGeometry)

    def set_label(self, label: Message | str) -> None:
        """The words of the verb; they are its accessible name too."""
        # The words are kept apart from text(), where an ampersand would make a mnemonic.
        self._label = say(label)
        self.setAccessibleName(self._label)
        self.updateGeometry()
        self.update()

    def label(self) -> str:
        return self._label

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.click()
            return
        super().keyPressEvent(event)


class Verb(_Words):
    """A verb at the head of a page. Emits `clicked` when it can be done.

    `due` fills it (at most one a page). `why` makes it "not yet": it stays in the Tab order, says
    why when it has focus (`explains`, with None when focus goes) and does nothing.
    """

    explains = Signal(object)

    def __init__(
        self,
        label: Message | str,
        parent: QWidget | None = None,
        *,
        due: bool = False,
        why: Message | str | None = None,
        stove: bool = False,
    ) -> None:
        super().__init__(label, parent)
        self._due, self._why, self._stove = due, why, stove
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.set_state(due=due, why=why)

    def set_state(self, *, due: bool = False, why: Message | str | None = None) -> None:
        """Filled when due; pencil with a reason when it cannot be done yet."""
        self._due, self._why = due and why is None, why
        self.setAccessibleDescription(say(why) if why is not None else "")
        self.setToolTip(say(why) if why is not None else "")
        self.update()

    def can_be_done(self) -> bool:
        return self._why is None

    def is_due(self) -> bool:
        return self._due

    def why(self) -> str:
        """Why it cannot be done yet, "" when it can."""
        return say(self._why) if self._why is not None else ""

    def nextCheckState(self) -> None:
        """Qt asks this just before `clicked`; a verb has no state of its own."""

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        if self._why is not None:
            self.setDown(False)
            self.explains.emit(self._why)
            return
        super().mouseReleaseEvent(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        pressing = (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space, Qt.Key.Key_Select)
        if self._why is not None and event.key() in pressing:
            self.explains.emit(self._why)
            return
        super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        if self._why is not None:
            self.explains.emit(self._why)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self.explains.emit(None)

    def _height(self) -> int:
        if theme.is_counter():
            return theme.size("verb_counter")
        return round(theme.px(theme.size("verb_stove" if self._stove else "verb_desk")))

    def sizeHint(self) -> QSize:
        words = theme.metrics("verb").horizontalAdvance(self._label)
        side = theme.px(18 if self._stove else _SIDE_PX) + 1
        return QSize(int(words + 2 * side + 1.5), self._height())

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        width = self._frame_width()
        half = width / 2
        frame = QRectF(self.rect()).adjusted(half, half, -half, -half)
        painter.setPen(QPen(theme.colour("rule" if self._why is not None else "ink"), width))
        if self._due:
            painter.setBrush(theme.colour("verb_due"))
        elif self.isDown():
            painter.setBrush(theme.colour("margin"))
        painter.drawRoundedRect(frame, 2, 2)
        painter.setFont(theme.font("verb"))
        painter.setPen(self._ink())
        painter.drawText(self.rect(), Qt.AlignmentFlag.AlignCenter, self._label)
        painter.end()

    def _frame_width(self) -> float:
        return 3.0 if self._due and theme.is_dark() else theme.line("frame")

    def _ink(self) -> QColor:
        if self._why is not None:
            return theme.colour("pencil")
        return theme.colour("verb_due_ink" if self._due else "ink")


def wrap(words: str, metrics: QFontMetricsF, width: float) -> list[str]:
    """Break words at spaces into lines of at most `width` px (a longer word stands alone)."""
    lines: list[str] = []
    for word in words.split(" "):
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and metrics.horizontalAdvance(longer) <= width:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines or [""]


class TextVerb(_Words):
    """A verb among words: Fira with a thin ink underline, broken into lines where it is long."""

    def __init__(
        self,
        label: Message | str,
        parent: QWidget | None = None,
        *,
        role: str = "verb",
        weight: int | None = None,
        underlined: bool = True,
        extra_px: float = 0,
    ) -> None:
        self._role, self._weight = role, weight
        self._underlined, self._extra = underlined, extra_px
        super().__init__(label, parent)
        policy = QSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)

    def set_underlined(self, on: bool) -> None:
        """Without underline it is the place where you are."""
        self._underlined = on
        self.update()

    def _metrics(self) -> QFontMetricsF:
        return theme.metrics(self._role, weight=self._weight)

    def _line(self) -> float:
        return theme.line_height(self._role) + theme.px(self._extra)

    def baseline(self) -> float:
        metrics = self._metrics()
        return (self._line() - metrics.height()) / 2 + metrics.ascent()

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        lines = wrap(self._label, self._metrics(), width)
        return round(self._line() * len(lines))

    def sizeHint(self) -> QSize:
        words = self._metrics().horizontalAdvance(self._label)
        return QSize(int(words + 1.5), round(self._line()))

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setFont(theme.font(self._role, weight=self._weight))
        ink = theme.colour("ink")
        metrics = self._metrics()
        base = self.baseline()
        for words in wrap(self._label, metrics, self.width()):
            painter.setPen(ink)
            painter.drawText(QPointF(0, base), words)
            if self._underlined:
                below = round(base + theme.px(_UNDERLINE_BELOW_PX))
                thick = 2 if self.isDown() else 1
                painter.fillRect(QRectF(0, below, metrics.horizontalAdvance(words), thick), ink)
            base += self._line()
        painter.end()

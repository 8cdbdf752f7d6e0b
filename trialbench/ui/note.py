"""One note of the margin: its mark and label, what is the matter, and what can be done."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QPoint, QPointF, QRectF, Qt, Signal, Slot
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from trialbench.model.margin import MarginNote, NoteVerb
from trialbench.model.message import Message, say
from trialbench.ui import theme
from trialbench.ui.signs import paint_rail_mark
from trialbench.ui.text import Line
from trialbench.ui.verbs import TextVerb, wrap

_LABEL_X = 23
_VERB_STEP_PX = 24
_REACH_PX = 20


class Note(QWidget):
    """A note, open or folded to its underlined label. Emits verb, opened, to_line.

    It takes focus itself (F7): Enter goes to its line, Ctrl+Enter does its first verb.
    """

    verb = Signal(object)
    opened = Signal(object)
    to_line = Signal(object)

    def __init__(
        self, note: MarginNote, parent: QWidget, *, food_sentence: Message | None = None
    ) -> None:
        super().__init__(parent)
        self.note = note
        self.is_open = False
        sentences = [say(sentence) for sentence in note.sentences]
        self._body = Line("margin_note", " ".join(sentences), self)
        sources = [say(source) for source in (note.source, food_sentence) if source is not None]
        self._source = Line("label", " ".join(sources), self, colour="pencil")
        self._has_source = bool(sources)
        self._verbs = [TextVerb(verb.label, self) for verb in note.verbs]
        for number, button in enumerate(self._verbs):
            button.setObjectName(str(number))
            button.clicked.connect(self._do)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(". ".join([say(note.label), *sentences, *sources]))
        self.set_open(False)

    def first_verb(self) -> NoteVerb | None:
        return self.note.verbs[0] if self.note.verbs else None

    def set_open(self, is_open: bool) -> None:
        """Open, or folded to the label."""
        self.is_open = is_open
        self._body.setVisible(is_open and bool(self.note.sentences))
        self._source.setVisible(is_open and self._has_source)
        for button in self._verbs:
            button.setVisible(is_open)
        self.setCursor(Qt.CursorShape.ArrowCursor if is_open else Qt.CursorShape.PointingHandCursor)
        self.updateGeometry()
        self.update()

    @Slot()
    def _do(self) -> None:
        self.verb.emit(self.note.verbs[int(self.sender().objectName())])

    # --- place ---------------------------------------------------------------------------------

    def _label_lines(self, width: int) -> list[str]:
        metrics = theme.metrics("note_label")
        return wrap(say(self.note.label), metrics, width - theme.px(_LABEL_X))

    def lay(self, width: int) -> int:
        """Set its parts for a width; returns the height it needs, in px."""
        y = float(theme.line_height("note_label")) * len(self._label_lines(width)) + theme.px(2)
        if not self.is_open:
            return round(y)
        watch = self.note.mark == "watch"
        if self.note.sentences:
            y += theme.px(6 if watch else 0)
            height = self._body.heightForWidth(width)
            self._body.setGeometry(0, round(y), width, height)
            y += height
        if self._has_source:
            height = self._source.heightForWidth(width)
            self._source.setGeometry(0, round(y + theme.px(3)), width, height)
            y += height + theme.px(3)
        for button in self._verbs:
            height = button.heightForWidth(width)
            wide = min(button.sizeHint().width(), width)
            button.setGeometry(0, round(y + theme.px(2)), wide, height + round(theme.px(3)))
            y += max(theme.px(_VERB_STEP_PX), height + theme.px(4))
        return round(y + theme.px(2))

    # --- keys and mouse ------------------------------------------------------------------------

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() not in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space):
            super().keyPressEvent(event)
            return
        first = self.first_verb()
        if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            if first is not None:
                self.verb.emit(first)
        elif not self.is_open:
            self.opened.emit(self)
        else:
            self.to_line.emit(self.note.line)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """A label opens its note; a press near a verb is a press on it (40 px to hit)."""
        at = event.position().toPoint()
        if not self.is_open:
            self.opened.emit(self)
            return
        near = self._verb_near(at)
        if near is not None:
            near.click()
        elif at.y() < theme.line_height("note_label"):
            self.to_line.emit(self.note.line)

    def _verb_near(self, at: QPoint) -> TextVerb | None:
        def away(button: TextVerb) -> int:
            return abs(button.geometry().center().y() - at.y())

        reach = theme.px(_REACH_PX)
        beside = [
            button
            for button in self._verbs
            if away(button) <= reach and at.x() <= button.geometry().right() + reach
        ]
        return min(beside, key=away, default=None)

    def event(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.LayoutRequest and self.parentWidget() is not None:
            self.updateGeometry()
        return super().event(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        watch = self.note.mark == "watch"
        ink = theme.colour("watch" if watch else "ink")
        tall, top = (22, 0) if watch else (14, 2)
        paint_rail_mark(
            painter, self.note.mark, theme.px(8), theme.px(top), theme.px(top + tall), ink
        )
        metrics = theme.metrics("note_label")
        painter.setFont(theme.font("note_label"))
        line = theme.line_height("note_label")
        base = (line - metrics.height()) / 2 + metrics.ascent()
        left = theme.px(_LABEL_X)
        for words in self._label_lines(self.width()):
            painter.setPen(ink)
            painter.drawText(QPointF(left, base), words)
            if not self.is_open:
                span = metrics.horizontalAdvance(words)
                painter.fillRect(QRectF(left, round(base + theme.px(4)), span, 1), ink)
            base += line
        painter.end()

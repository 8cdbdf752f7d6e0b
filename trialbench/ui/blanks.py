"""Places to write in a sentence: they grow with the text and keep a refused value in sight."""

from __future__ import annotations

from typing import Literal

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt, Signal, Slot
from PySide6.QtGui import (
    QColor,
    QFocusEvent,
    QFont,
    QFontMetrics,
    QKeyEvent,
    QKeySequence,
    QPainter,
    QPaintEvent,
    QPalette,
    QPen,
)
from PySide6.QtWidgets import QLineEdit, QSizePolicy, QWidget

from trialbench.model.errors import Refused
from trialbench.model.margin import NoteVerb
from trialbench.model.message import Message, msg, say
from trialbench.ui import theme
from trialbench.ui.runs import Run
from trialbench.ui.text import Line
from trialbench.ui.verbs import TextVerb

# role of the line -> role of the written text, weight, role of the hint, side px, box height px.
_KINDS: dict[str, tuple[str, int, str, int, int]] = {
    "question": ("question_filled", 500, "question_hint", 12, 41),
    "sentence": ("sentence", 600, "sentence", 8, 27),
    "contents_line": ("contents_line", 400, "contents_line", 6, 26),
    "body": ("body", 400, "body", 6, 28),
    "cell": ("cell", 400, "cell", 6, 28),
}
BlankRole = Literal["question", "sentence", "contents_line", "body", "cell"]


class Refusal(Line):
    """Why a value was not written, and the way out, under it. Emits `chosen(NoteVerb)`."""

    chosen = Signal(object)

    def __init__(self, reason: Refused | Message | str, verbs: tuple[NoteVerb, ...] = ()) -> None:
        super().__init__("cell")
        self._said: tuple[str, tuple[NoteVerb, ...]] | None = None
        self.show_reason(reason, verbs)

    def show_reason(
        self, reason: Refused | Message | str, verbs: tuple[NoteVerb, ...] = ()
    ) -> None:
        """Put another reason and other verbs in its place."""
        said = reason.message if isinstance(reason, Refused) else reason
        way_out = reason.way_out if isinstance(reason, Refused) else ""
        words = " ".join(filter(None, (say(said), "" if verbs else say(way_out))))
        if self._said == (words, verbs):
            return
        self._said = (words, verbs)
        items: list[Run | QWidget] = [Run(words, colour="ink")]
        self._verbs = verbs
        for number, verb in enumerate(verbs):
            button = TextVerb(verb.label, self, weight=600)
            button.setObjectName(str(number))
            button.clicked.connect(self._choose)
            items += [Run("   "), button]
        self.set_items(items)

    @Slot()
    def _choose(self) -> None:
        self.chosen.emit(self._verbs[int(self.sender().objectName())])


class Blank(QLineEdit):
    """A blank in a sentence. `role` is the role of the line it stands in.

    `typed(str)` comes with every key (for drafts), `committed(str)` on Enter or on leaving when
    the text differs from what is kept, or was refused and is still there. Esc brings back what is
    kept. `entered(str)` comes with every Enter, after it. After a commit the page calls
    `keep(text)` or `refuse(reason, verbs)`.
    """

    typed = Signal(object)
    committed = Signal(object)
    entered = Signal(object)
    resized = Signal()
    way_out = Signal(object)

    def __init__(
        self,
        name: Message | str,
        text: str = "",
        hint: Message | str = "",
        parent: QWidget | None = None,
        *,
        role: BlankRole = "sentence",
        least_px: float = 0,
        weight: int | None = None,
    ) -> None:
        super().__init__(parent)
        self._kind, self._least = role, least_px
        self._weight = weight or _KINDS[role][1]
        self._hint = say(hint)
        self._kept = text
        self._refusal: Refusal | None = None
        self.setFrame(False)
        self.setProperty("ownFocus", True)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(say(name))
        self.setAccessibleDescription(self._hint)
        self._dress()
        self.setText(text)
        self.textEdited.connect(self._say_typed)
        self.textChanged.connect(self._grow)
        theme.signals().theme_changed.connect(self._dress)

    # --- what it holds -------------------------------------------------------------------------

    def kept(self) -> str:
        """The text that was last accepted."""
        return self._kept

    def set_hint(self, hint: Message | str) -> None:
        """Another word stands here while nothing is written."""
        if say(hint) == self._hint:
            return
        self._hint = say(hint)
        if self._refusal is None:
            self.setAccessibleDescription(self._hint)
        self._grow()

    def keep(self, text: str) -> None:
        """The value is written, as `text`: the blank shows it in its usual state."""
        if text == self._kept == self.text() and self._refusal is None:
            return
        self._kept = text
        self._drop_refusal()
        if self.text() != text:
            self.setText(text)
        self._dress()

    def show_kept(self, text: str) -> None:
        """The record has changed elsewhere: show it, unless something is being written here."""
        writing = self.hasFocus() and self.text() != self._kept
        if writing or self._refusal is not None:
            self._kept = text
            return
        self.keep(text)

    def show_draft(self, text: str) -> None:
        """What was being typed and not yet accepted, brought back after the program ended."""
        self.setText(text)

    def refuse(self, reason: Refused | Message | str, verbs: tuple[NoteVerb, ...] = ()) -> None:
        """Keep the wrong value in sight: ink frame, struck, the reason and verbs under the line.

        The chosen verb comes back as `way_out(NoteVerb)`; the names "again" and "kept" are done
        here: write it again, or bring back what is kept.
        """
        if self._refusal is None:
            self._refusal = Refusal(reason, verbs)
            self._refusal.chosen.connect(self._leave_refusal)
        else:
            self._refusal.show_reason(reason, verbs)
        self.setAccessibleDescription(
            say(msg("refused, not written: {why}", why=self._refusal.words()))
        )
        self._dress()

    def is_refused(self) -> bool:
        return self._refusal is not None

    @Slot(object)
    def _leave_refusal(self, verb: NoteVerb) -> None:
        if verb.name == "again":
            self.setFocus(Qt.FocusReason.ShortcutFocusReason)
            self.selectAll()
        elif verb.name == "kept":
            self.keep(self._kept)
            self.typed.emit(self._kept)
        self.way_out.emit(verb)

    def _drop_refusal(self) -> None:
        if self._refusal is not None:
            self._refusal.hide()
            self._refusal.deleteLater()
            self._refusal = None
            self.setAccessibleDescription(self._hint)

    def spoken_value(self) -> str:
        """For the line's accessible name."""
        return self.text() or self._hint

    # --- writing -------------------------------------------------------------------------------

    @Slot(str)
    def _say_typed(self, text: str) -> None:
        if self._refusal is not None and text != self._kept:
            self._drop_refusal()
            self._dress()
        self.typed.emit(text)

    @Slot()
    def _grow(self) -> None:
        self.updateGeometry()
        self.resized.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._commit(pressed=True)
            return
        if event.key() == Qt.Key.Key_Escape and (self.text() != self._kept or self.is_refused()):
            self.keep(self._kept)
            self.typed.emit(self._kept)
            return
        super().keyPressEvent(event)

    def event(self, event: QEvent) -> bool:
        """While nothing is being written here, Ctrl+Z is the notebook's and not the blank's."""
        if event.type() == QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent):
            steps = (QKeySequence.StandardKey.Undo, QKeySequence.StandardKey.Redo)
            if self.text() == self._kept and any(event.matches(step) for step in steps):
                event.ignore()
                return True
        return super().event(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        away = (Qt.FocusReason.PopupFocusReason, Qt.FocusReason.ActiveWindowFocusReason)
        if event.reason() not in away:
            self._commit(pressed=False)
            self.setCursorPosition(0)
        self._grow()

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        if event.reason() in (Qt.FocusReason.TabFocusReason, Qt.FocusReason.BacktabFocusReason):
            self.selectAll()
        self._grow()

    def _commit(self, *, pressed: bool) -> None:
        changed = self.text() != self._kept
        if changed and (pressed or self._refusal is None):
            self.committed.emit(self.text())
        elif pressed:
            self.focusNextChild()
        if pressed:
            self.entered.emit(self.text())

    # --- how it looks --------------------------------------------------------------------------

    def setReadOnly(self, on: bool) -> None:
        """What can only be read stands as text: no field, no underline."""
        if on != self.isReadOnly():
            super().setReadOnly(on)
            self._dress()

    @Slot()
    def _dress(self) -> None:
        font = theme.font(_KINDS[self._kind][0], weight=self._weight)
        font.setStrikeOut(self._refusal is not None)
        self.setFont(font)
        side = self._side()
        self.setTextMargins(side, 0, side, 0)
        palette = theme.palette()
        palette.setColor(QPalette.ColorRole.Base, self._ground())
        self.setPalette(palette)
        self._grow()
        self.update()

    def _ground(self) -> QColor:
        return theme.colour("page" if self.isReadOnly() else "field")

    def _side(self) -> int:
        if self.isReadOnly():
            return -2
        # QLineEdit keeps two more pixels at each side for the cursor.
        return round(theme.px(_KINDS[self._kind][3])) - 2

    def _hint_font(self) -> QFont:
        return theme.font(_KINDS[self._kind][2], weight=400, italic=True)

    def _hint_colour(self) -> str:
        return "pencil"

    def _box_height(self) -> int:
        return round(theme.px(_KINDS[self._kind][4]))

    def below(self) -> QWidget | None:
        """What stands under the line: the refusal."""
        return self._refusal

    def baseline(self) -> float:
        metrics = QFontMetrics(self.font())
        return (self._box_height() - metrics.height() + 1) // 2 + metrics.ascent()

    def sizeHint(self) -> QSize:
        metrics = QFontMetrics(self.font())
        words = metrics.horizontalAdvance(self.text())
        if not self.text():
            words = QFontMetrics(self._hint_font()).horizontalAdvance(self._hint)
        width = words + 2 * (self._side() + 2) + 2
        return QSize(max(width, round(theme.px(self._least))), self._box_height())

    def minimumSizeHint(self) -> QSize:
        return QSize(round(theme.px(24)), self._box_height())

    def _paint_words(self, event: QPaintEvent) -> None:
        super().paintEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        self._paint_words(event)
        painter = QPainter(self)
        ink = theme.colour("ink")
        if not self.text() and self._hint:
            painter.setFont(self._hint_font())
            painter.setPen(theme.colour(self._hint_colour()))
            painter.drawText(QPointF(self._side() + 2, self.baseline()), self._hint)
        if self._refusal is not None or self.hasFocus():
            painter.setPen(QPen(ink, theme.line("focus")))
            painter.drawRect(QRectF(self.rect()).adjusted(1, 1, -1, -1))
        else:
            self._paint_underline(painter)
        painter.end()

    def _paint_underline(self, painter: QPainter) -> None:
        if self.isReadOnly():
            return
        painter.fillRect(QRectF(0, self.height() - 1, self.width(), 1), theme.colour("ink"))

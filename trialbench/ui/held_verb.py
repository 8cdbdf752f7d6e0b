"""A verb that must be held for two seconds: what cannot be taken back is not done by one touch."""

from __future__ import annotations

from PySide6.QtCore import QRectF, Qt, QTimer, Signal, Slot
from PySide6.QtGui import QHideEvent, QKeyEvent, QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from trialbench.model.message import Message, msg, say
from trialbench.ui import theme
from trialbench.ui.verbs import Verb

HOLD_MS = 2000
_TICK_MS = 40


class HeldVerb(Verb):
    """Emits `held` after the mouse, Space or Enter was down for HOLD_MS; a line fills meanwhile.

    Let go before, nothing happens but that its words say so. It never emits `clicked`.
    """

    held = Signal()

    def __init__(self, label: Message | str, parent: QWidget | None = None) -> None:
        super().__init__(label, parent)
        self._so_far_ms = 0
        self._timer = QTimer(self)
        self._timer.setInterval(_TICK_MS)
        self._timer.timeout.connect(self._tick)
        self.setAccessibleDescription(say(msg("hold it down for two seconds")))
        self.setToolTip(say(msg("Hold it down for two seconds.")))

    def set_label(self, label: Message | str) -> None:
        """The words of the verb, before and after it has said that it is to be held."""
        self._plain = label
        super().set_label(label)

    def is_holding(self) -> bool:
        """Whether it is being held down now."""
        return self._timer.isActive()

    @Slot()
    def _tick(self) -> None:
        self._so_far_ms += _TICK_MS
        if self._so_far_ms >= HOLD_MS:
            self._let_go()
            super().set_label(self._plain)
            self.held.emit()
        self.update()

    def _begin(self) -> None:
        if self.can_be_done() and not self._timer.isActive():
            self._so_far_ms = 0
            self._timer.start()

    def _let_go(self) -> None:
        self._timer.stop()
        self._so_far_ms = 0
        self.update()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        if event.button() == Qt.MouseButton.LeftButton:
            self._begin()

    def _let_go_early(self) -> None:
        """A touch that was too short did nothing: the verb says what it wants."""
        short = self._timer.isActive()
        self._let_go()
        if short:
            super().set_label(msg("{verb}: hold it for two seconds", verb=self._plain))

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        self._let_go_early()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Space, Qt.Key.Key_Return, Qt.Key.Key_Enter):
            if not event.isAutoRepeat():
                self._begin()
            return
        super().keyPressEvent(event)

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        if not event.isAutoRepeat():
            self._let_go_early()

    def hideEvent(self, event: QHideEvent) -> None:
        super().hideEvent(event)
        self._let_go()
        super().set_label(self._plain)

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        if not self._so_far_ms:
            return
        painter = QPainter(self)
        part = min(self._so_far_ms / HOLD_MS, 1.0)
        box = QRectF(3, self.height() - 6, (self.width() - 6) * part, 3)
        painter.fillRect(box, theme.colour("ink"))
        painter.end()

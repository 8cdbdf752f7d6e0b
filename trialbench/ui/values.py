"""Values in a written line: underlined, turned into a place to write by a click or the Tab key."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Slot
from PySide6.QtGui import (
    QColor,
    QFocusEvent,
    QFont,
    QFontMetrics,
    QPainter,
    QPaintEvent,
    QPalette,
    QPen,
)
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QWidget

from trialbench.model.message import Message, say
from trialbench.ui import theme
from trialbench.ui.blanks import Blank, BlankRole
from trialbench.ui.signs import SIGN_PX, paint_sign
from trialbench.ui.strands import paint_strand

_UNDERLINE_BELOW_PX = 4.0
_RULED_PX = 12


class Value(Blank):
    """A value that can be changed in its line ("at 120 °C"). Same signals and states as a blank.

    At rest it is text with a thin underline; with focus it becomes a field. `missing` sets it on
    ruled ground: nothing is known here, the hint says what is wanted.
    """

    def __init__(
        self,
        name: Message | str,
        text: str = "",
        hint: Message | str = "",
        parent: QWidget | None = None,
        *,
        role: BlankRole = "body",
        weight: int | None = None,
        missing: bool = False,
    ) -> None:
        self._missing = missing
        super().__init__(name, text, hint, parent, role=role, weight=weight)

    def set_missing(self, missing: bool) -> None:
        """Whether it stands on ruled ground while nothing is written."""
        if missing != self._missing:
            self._missing = missing
            self._dress()

    def _side(self) -> int:
        if self._missing and not self.text():
            return round(theme.px(_RULED_PX + 6)) - 2
        return round(theme.px(4)) if self.hasFocus() else -2

    def _ground(self) -> QColor:
        if (self.hasFocus() and not self.isReadOnly()) or self.is_refused():
            return theme.colour("field")
        return QColor(Qt.GlobalColor.transparent)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self._dress()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self._dress()

    def sizeHint(self) -> QSize:
        size = super().sizeHint()
        # The cursor stands behind the last letter; at rest no room is kept for it.
        return QSize(size.width() - (0 if self.hasFocus() else 2), size.height())

    def _hint_colour(self) -> str:
        return "ink" if self._missing else "pencil"

    def _hint_font(self) -> QFont:
        if self._missing:
            return self.font()
        return super()._hint_font()

    def _paint_words(self, event: QPaintEvent) -> None:
        """At rest, what is longer than its place ends in an ellipsis and not within a letter."""
        shown = self.shown_text()
        if shown == self.text() or self.hasFocus() or self.is_refused():
            super()._paint_words(event)
            return
        painter = QPainter(self)
        painter.setFont(self.font())
        painter.setPen(self.palette().color(QPalette.ColorRole.Text))
        painter.drawText(QPointF(self._side() + 2, self.baseline()), shown)
        painter.end()

    def shown_text(self) -> str:
        """The text as it stands at rest: whole, or as far as its place goes."""
        metrics, room = QFontMetrics(self.font()), self.width() - 2 * (self._side() + 2)
        if metrics.horizontalAdvance(self.text()) <= room + 1:
            return self.text()
        return metrics.elidedText(self.text(), Qt.TextElideMode.ElideRight, room)

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        if self._missing and not self.text():
            painter = QPainter(self)
            self._paint_ruled_ends(painter)
            painter.end()

    def _paint_ruled_ends(self, painter: QPainter) -> None:
        painter.setPen(QPen(theme.colour("ruling"), 1))
        base = self.baseline()
        width = theme.px(7)
        for rise in (0, 6, 12):
            y = round(base - theme.px(rise)) + 0.5
            for x in (0.0, self.width() - width):
                painter.drawLine(QPointF(x, y), QPointF(x + width, y))

    def _paint_underline(self, painter: QPainter) -> None:
        if self.isReadOnly():
            return
        y = round(self.baseline() + theme.px(_UNDERLINE_BELOW_PX))
        ruled = self._missing and not self.text()
        left = theme.px(_RULED_PX) if ruled else 0
        words = QFontMetrics(self.font()).horizontalAdvance(self.shown_text() or self._hint)
        width = self.width() - 2 * left if ruled or self.hasFocus() else words
        painter.fillRect(QRectF(left, y, width, 1), theme.colour("ink"))


class MethodField(QWidget):
    """A field of one method: its tint, its strand as the left edge, sign, letter and the value."""

    def __init__(self, letter: str, value: Value, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._letter = letter
        self.value = value
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(say(value.accessibleName()))
        row = self._row = QHBoxLayout(self)
        row.setSpacing(0)
        row.addWidget(value)
        row.addStretch(1)
        value.resized.connect(row.invalidate)
        theme.signals().theme_changed.connect(self._measure)
        self._measure()

    @Slot()
    def _measure(self) -> None:
        self.setFixedHeight(round(theme.px(36)))
        self._row.setContentsMargins(round(theme.px(56)), 0, round(theme.px(8)), 0)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.fillRect(self.rect(), theme.method_tint(self._letter))
        x = theme.px(2.5)
        paint_strand(painter, self._letter, QPointF(x, 0), QPointF(x, self.height()), theme.px(5))
        side = theme.px(SIGN_PX)
        top = (self.height() - side) / 2
        paint_sign(painter, self._letter, QRectF(theme.px(11), top, side, side))
        painter.setFont(theme.font("body", weight=500))
        painter.setPen(theme.method_colour(self._letter))
        base = (self.height() - self.value.height()) / 2 + self.value.baseline()
        painter.drawText(QPointF(theme.px(38), base), self._letter)
        painter.end()

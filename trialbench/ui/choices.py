"""A value chosen from a few: underlined in its line, the others in a small list under it."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import (
    QModelIndex,
    QPersistentModelIndex,
    QPointF,
    QRect,
    QRectF,
    QSize,
    Qt,
    Signal,
    Slot,
)
from PySide6.QtGui import (
    QFocusEvent,
    QHideEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
)
from PySide6.QtWidgets import (
    QAbstractButton,
    QListWidget,
    QListWidgetItem,
    QSizePolicy,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from trialbench.model.message import Message, msg, say
from trialbench.ui import theme

_UNDERLINE_BELOW_PX = 4.0
_KEY_ROLE = Qt.ItemDataRole.UserRole


class _Alternatives(QStyledItemDelegate):
    """A line of the list; the chosen one stands on margin tone."""

    def sizeHint(
        self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> QSize:
        return QSize(80, round(theme.px(32)))

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionViewItem,
        index: QModelIndex | QPersistentModelIndex,
    ) -> None:
        rect: QRect = option.rect
        state: QStyle.StateFlag = option.state
        chosen = bool(state & QStyle.StateFlag.State_Selected)
        painter.fillRect(rect, theme.colour("margin" if chosen else "field"))
        if chosen:
            painter.fillRect(QRect(rect.left(), rect.top(), 3, rect.height()), theme.colour("ink"))
        painter.setFont(theme.font("cell", weight=500 if chosen else 400))
        painter.setPen(theme.colour("ink"))
        words = rect.adjusted(round(theme.px(12)), 0, -round(theme.px(8)), 0)
        painter.drawText(words, Qt.AlignmentFlag.AlignVCenter, str(index.data()))


class ChoiceList(QListWidget):
    """The alternatives, in place: arrows, Enter, first letters; Esc or leaving closes it."""

    chosen = Signal(object)
    closed = Signal()

    def __init__(self, owner: QWidget) -> None:
        super().__init__(owner.window())
        self.setProperty("ownFocus", True)
        self.setItemDelegate(_Alternatives(self))
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setMouseTracking(True)
        self.itemClicked.connect(self._take)
        self.setSpacing(0)
        self.setFrameShape(QListWidget.Shape.NoFrame)

    def offer(self, alternatives: Sequence[tuple[str, str]], now: str) -> None:
        """Fill with (key, words) pairs; `now` is the key that holds."""
        for key, words in alternatives:
            item = QListWidgetItem(words, self)
            item.setData(_KEY_ROLE, key)
            if key == now:
                self.setCurrentItem(item)
        if self.currentRow() < 0:
            self.setCurrentRow(0)

    def stand_under(self, owner: QWidget) -> None:
        """Take the place under `owner`, over it where there is no room below."""
        metrics = theme.metrics("cell", weight=500)
        widest = max(
            (metrics.horizontalAdvance(self.item(n).text()) for n in range(self.count())), default=0
        )
        row = round(theme.px(32))
        size = QSize(round(widest + theme.px(40)), min(self.count(), 8) * row + 4)
        at = owner.mapTo(owner.window(), owner.rect().bottomLeft())
        y = at.y() + 3
        if y + size.height() > owner.window().height():
            y = max(at.y() - owner.height() - size.height() - 3, 0)
        x = max(min(at.x(), owner.window().width() - size.width() - 4), 0)
        self.setGeometry(QRect(x, y, size.width(), size.height()))

    @Slot(QListWidgetItem)
    def _take(self, item: QListWidgetItem) -> None:
        self.chosen.emit(item.data(_KEY_ROLE))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space):
            self._take(self.currentItem())
        elif event.key() in (Qt.Key.Key_Escape, Qt.Key.Key_Tab, Qt.Key.Key_Backtab):
            self.closed.emit()
        else:
            super().keyPressEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self.closed.emit()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        item = self.itemAt(event.position().toPoint())
        if item is not None:
            self.setCurrentItem(item)

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        painter = QPainter(self.viewport())
        painter.setPen(QPen(theme.colour("ink"), 2))
        painter.drawRect(self.viewport().rect().adjusted(1, 1, -1, -1))
        painter.end()


class Choice(QAbstractButton):
    """A value with few alternatives. Click, Space, Enter or Down opens them; `committed(key)`.

    `alternatives` are (key, words) pairs. `boxed` shows it as a filled blank, else as an
    underlined value. It stands in a Line like a Blank and has its `keep`, `show_kept`, `kept`.
    """

    committed = Signal(object)
    resized = Signal()

    def __init__(
        self,
        name: Message | str,
        alternatives: Sequence[tuple[str, Message | str]],
        key: str = "",
        parent: QWidget | None = None,
        *,
        role: str = "body",
        boxed: bool = False,
        hint: Message | str = "",
    ) -> None:
        super().__init__(parent)
        self._name, self._hint = say(name), say(hint)
        self._role, self._boxed = role, boxed
        self._key = key
        self._list: ChoiceList | None = None
        self._alternatives = [(key, say(words)) for key, words in alternatives]
        self._speak()
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.clicked.connect(self.open_list)
        theme.signals().theme_changed.connect(self.resized)

    def set_alternatives(self, alternatives: Sequence[tuple[str, Message | str]]) -> None:
        """Replace what can be chosen."""
        listed = [(key, say(words)) for key, words in alternatives]
        if listed != self._alternatives:
            self._alternatives = listed
            self._changed()

    def kept(self) -> str:
        """The key that holds."""
        return self._key

    def keep(self, key: str) -> None:
        """Another alternative holds. The line it stands in is set again only when one does."""
        if key != self._key:
            self._key = key
            self._changed()

    show_kept = keep

    def _changed(self) -> None:
        self._speak()
        self.updateGeometry()
        self.resized.emit()
        self.update()

    def words(self) -> str:
        """The words of the alternative that holds, "" for none."""
        return dict(self._alternatives).get(self._key, "")

    def spoken_value(self) -> str:
        return self.words() or self._hint

    def _speak(self) -> None:
        self.setAccessibleName(say(msg("{name}: {value}", name=self._name,
                                       value=self.spoken_value())))  # fmt: skip
        others = ", ".join(words for key, words in self._alternatives if key != self._key)
        self.setAccessibleDescription(say(msg("instead: {others}", others=others)))

    # --- choosing ------------------------------------------------------------------------------

    @Slot()
    def open_list(self) -> None:
        """Show the alternatives under the value."""
        if self._list is not None:
            self._close()
            return
        self._list = ChoiceList(self)
        self._list.setAccessibleName(self._name)
        self._list.offer(self._alternatives, self._key)
        self._list.chosen.connect(self._choose)
        self._list.closed.connect(self._close)
        self._list.stand_under(self)
        self._list.show()
        self._list.raise_()
        self._list.setFocus(Qt.FocusReason.PopupFocusReason)

    @Slot(object)
    def _choose(self, key: str) -> None:
        self._close()
        if key != self._key:
            self.committed.emit(key)

    @Slot()
    def _close(self) -> None:
        if self._list is None:
            return
        gone, self._list = self._list, None
        had = gone.hasFocus()
        gone.hide()
        gone.deleteLater()
        if had:
            self.setFocus(Qt.FocusReason.PopupFocusReason)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        opening = (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Down)
        if event.key() in opening:
            self.open_list()
            return
        super().keyPressEvent(event)

    def hideEvent(self, event: QHideEvent) -> None:
        super().hideEvent(event)
        self._close()

    # --- how it looks --------------------------------------------------------------------------

    def _side(self) -> float:
        return theme.px({"question": 12, "sentence": 8}.get(self._role, 6)) if self._boxed else 0

    def _font_role(self) -> str:
        return "question_filled" if self._role == "question" else self._role

    def _fit(self) -> tuple[str, int | None, bool]:
        """Role, weight and slant of the words."""
        if not self.words():
            return ("question_hint" if self._role == "question" else self._role), None, True
        weight = 600 if self._role == "sentence" and self._boxed else None
        return self._font_role(), weight, False

    def sizeHint(self) -> QSize:
        role, weight, italic = self._fit()
        metrics = theme.metrics(role, weight=weight, italic=italic)
        width = metrics.horizontalAdvance(self.spoken_value()) + 2 * self._side()
        high = {"question": 41, "sentence": 27}.get(self._role, 28)
        return QSize(int(width + 1), round(theme.px(high)))

    def baseline(self) -> float:
        role, weight, italic = self._fit()
        metrics = theme.metrics(role, weight=weight, italic=italic)
        return round((self.sizeHint().height() - metrics.height()) / 2 + metrics.ascent())

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        role, weight, italic = self._fit()
        ink = theme.colour("ink")
        if self._boxed:
            painter.fillRect(self.rect(), theme.colour("field"))
            painter.fillRect(QRectF(0, self.height() - 1, self.width(), 1), ink)
        elif self.isEnabled():
            below = round(self.baseline() + theme.px(_UNDERLINE_BELOW_PX))
            painter.fillRect(QRectF(0, below, self.width(), 1), ink)
        painter.setFont(theme.font(role, weight=weight, italic=italic))
        painter.setPen(ink if self.words() else theme.colour("pencil"))
        painter.drawText(QPointF(self._side(), self.baseline()), self.spoken_value())
        painter.end()

"""A leaf: the page with head and foot and the margin beside it, moved by one scroll position."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent, QObject, QPoint, QRect, Qt, QTimer, Signal, Slot
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import (
    QApplication,
    QFrame,
    QLayout,
    QLineEdit,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)
from shiboken6 import isValid

from trialbench.model.margin import Margin
from trialbench.model.message import Message
from trialbench.ui import theme
from trialbench.ui.cells_table import CellsTable
from trialbench.ui.folding import Widths
from trialbench.ui.head import Foot, Head
from trialbench.ui.margin import MarginColumn
from trialbench.ui.note import Note
from trialbench.ui.paper_scroll import PaperScrollBar
from trialbench.ui.values import Value
from trialbench.ui.verbs import Verb

_TOP_PX = 18
_AFTER_RULE_PX = 12
_PEEK_PX = 260
_SCROLL_TRIES = 8


class _Spread(QWidget):
    """The ground that scrolls: page and margin side by side. Says when its parts want more room."""

    wants_room = Signal()

    def event(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.LayoutRequest:
            self.wants_room.emit()
        return super().event(event)


class Leaf(QWidget):
    """The frame of a page. `body` is the page's own layout under the title rule.

    Signals: `verb(NoteVerb)` from the head and from notes; `take_back()` from the foot.
    """

    verb = Signal(object)
    take_back = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._widths = Widths(44, 184, 300, margin_folded=False)
        self._anchors: dict[str, tuple[QWidget, Callable[[], QRect | None] | None]] = {}
        self._peeking = False
        self._wanted_px: int | None = None
        self._tries_left = 0
        self._build_scroll()
        self.head = Head()
        self.head.verb.connect(self.verb)
        self.page = QWidget(self._spread)
        # A touch of bare paper keeps the keyboard on this page: Tab goes on here.
        self.page.setFocusPolicy(Qt.FocusPolicy.ClickFocus)
        self.page.setProperty("ownFocus", True)
        column = QVBoxLayout(self.page)
        column.setSpacing(0)
        column.addWidget(self.head)
        self.body = QVBoxLayout()
        self.body.setContentsMargins(0, _AFTER_RULE_PX, 0, 0)
        self.body.setSpacing(0)
        column.addLayout(self.body)
        column.addStretch(1)
        self._column = column
        self.margin = MarginColumn(self.line_place, self._spread)
        self.margin.verb.connect(self.verb)
        self.margin.to_line.connect(self.go_to_line)
        self.margin.peek.connect(self._peek)
        self.foot = Foot(self)
        self.foot.take_back.connect(self.take_back)
        self._later = QTimer(self)
        self._later.setSingleShot(True)
        self._later.timeout.connect(self.settle)
        self._spread.wants_room.connect(self._later.start)
        theme.signals().theme_changed.connect(self._later.start)
        app = QApplication.instance()
        assert isinstance(app, QApplication)
        app.focusChanged.connect(self._follow_focus)

    def _build_scroll(self) -> None:
        self._scroll = QScrollArea(self)
        self._scroll.setFrameShape(QFrame.Shape.NoFrame)
        self._scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._scroll.setVerticalScrollBar(PaperScrollBar(Qt.Orientation.Vertical))
        self._spread = _Spread()
        self._scroll.setWidget(self._spread)

    # --- what it says --------------------------------------------------------------------------

    def set_title(self, title: Message | str, says: Message | str = "") -> None:
        """Title of the page and the line under it."""
        self.head.set_words(title, says)
        self.setAccessibleName(self.head.title())

    def set_verb(
        self,
        name: str,
        label: Message | str,
        *,
        due: bool = False,
        why: Message | str | None = None,
        stove: bool = False,
    ) -> Verb:
        """A verb at the head, see `Head.set_verb`; pressing it emits `verb(NoteVerb)`."""
        return self.head.set_verb(name, label, due=due, why=why, stove=stove)

    def add(self, part: QWidget | QLayout, *, space_px: int = 0) -> None:
        """Put a part under the last one, `space_px` below it."""
        if space_px:
            self.body.addSpacing(round(theme.px(space_px)))
        if isinstance(part, QLayout):
            self.body.addLayout(part)
        else:
            self.body.addWidget(part)

    def anchor(
        self, line: str, widget: QWidget, where: Callable[[], QRect | None] | None = None
    ) -> None:
        """Name a line for margin notes: `widget`, or the rectangle in it that `where` gives."""
        known = self._anchors.get(line)
        if known is None or known[0] is not widget:
            widget.installEventFilter(self)
            changed = getattr(widget, "current_changed", None)
            if changed is not None and all(
                widget is not other for other, _ in self._anchors.values()
            ):
                changed.connect(self._follow_cell)
        self._anchors[line] = (widget, where)
        self._later.start()

    def drop_anchors(self) -> None:
        """Forget the names of lines (before a page builds its lines again)."""
        for widget, _ in self._anchors.values():
            if isValid(widget):
                widget.removeEventFilter(self)
        self._anchors.clear()

    def show_margin(self, margin: Margin) -> None:
        """Show what the margin says of this page."""
        self.margin.show_margin(margin)
        self._later.start()

    def set_written(self, words: Message | str, *, can_take_back: bool = False) -> None:
        """The foot: "Last written: ..."."""
        self.foot.set_written(words, can_take_back=can_take_back)

    def set_number(self, words: Message | str) -> None:
        """The foot at the right: "page 2 of 7"."""
        self.foot.set_number(words)

    # --- lines ---------------------------------------------------------------------------------

    def line_place(self, line: str) -> QRect | None:
        """Where a named line stands on the spread, None when it is not shown."""
        known = self._anchors.get(line)
        if known is None:
            return None
        widget, where = known
        # A page may have dropped the widget without forgetting its line.
        if not isValid(widget) or widget.isHidden():
            return None
        rect = where() if where is not None else widget.rect()
        if rect is None:
            return None
        return QRect(widget.mapTo(self._spread, rect.topLeft()), rect.size())

    @Slot(object)
    def go_to_line(self, line: str) -> None:
        """Bring a line into sight and put the keyboard there."""
        place = self.line_place(line)
        if place is None:
            return
        self._scroll.ensureVisible(place.center().x(), place.center().y(), 0, place.height())
        widget = self._anchors[line][0]
        for inner in (widget, *widget.findChildren(QWidget)):
            if inner.focusPolicy() & Qt.FocusPolicy.TabFocus and inner.isVisibleTo(widget):
                inner.setFocus(Qt.FocusReason.OtherFocusReason)
                return

    @Slot(QWidget, QWidget)
    def _follow_focus(self, old: QWidget | None, new: QWidget | None) -> None:
        """A line that has focus opens its notes; what has focus is brought into sight."""
        if new is None or not self._spread.isAncestorOf(new):
            self._end_peek(new)
            return
        if new is not self.page:
            self._show_focus(new)
        if not self.margin.isAncestorOf(new):
            self._end_peek(new)
            self._open_lines(new)

    @Slot()
    def _follow_cell(self) -> None:
        """Another cell of a table is current."""
        table = self.sender()
        if isinstance(table, QWidget) and table.hasFocus():
            self._open_lines(table)

    def _open_lines(self, new: QWidget) -> None:
        """Open the notes of every named line in which `new` stands."""
        focus_rect = getattr(new, "focus_rect", new.rect)
        at = new.mapTo(self._spread, focus_rect().center())
        for line, (widget, _) in self._anchors.items():
            if not isValid(widget) or not (widget is new or widget.isAncestorOf(new)):
                continue
            place = self.line_place(line)
            if place is not None and place.contains(at):
                self.margin.open_line(line)

    def _show_focus(self, widget: QWidget) -> None:
        at = widget.mapTo(self._spread, QPoint(0, 0))
        if widget.height() < self._scroll.viewport().height() - 80:
            self._scroll.ensureVisible(at.x(), at.y(), 0, 12)
            self._scroll.ensureVisible(at.x(), at.y() + widget.height(), 0, 12)

    # --- the margin when it is folded ----------------------------------------------------------

    @Slot(object)
    def _peek(self, note: Note | None) -> None:
        self._peeking = True
        self.settle()
        self.margin.raise_()
        if note is not None:
            note.setFocus(Qt.FocusReason.OtherFocusReason)

    def _end_peek(self, new: QWidget | None) -> None:
        if self._peeking:
            self._peeking = False
            self._later.start()

    def take_keyboard(self, *, arriving: bool = True) -> None:
        """The keyboard comes to what is still to be written here: a table with a cell that is due,
        an empty blank, else bare paper. No verb and nothing that is written is entered by itself:
        the next key would do it, or write over it. Where one was writing here, it stays."""
        now = QApplication.focusWidget()
        # The stack that holds the leaves gives the keyboard to the first part of a leaf it shows:
        # then only what is half written, or was asked for, is where one was.
        here = now if isinstance(now, QLineEdit) and self.isAncestorOf(now) else None
        if here is not None and (not arriving or here.isModified() or _is_wanted(here)):
            return
        for part in (CellsTable, QLineEdit):
            for found in self.page.findChildren(part):
                if found.isVisibleTo(self.page) and found.isEnabled() and _is_wanted(found):
                    found.setFocus(Qt.FocusReason.OtherFocusReason)
                    return
        self.page.setFocus(Qt.FocusReason.OtherFocusReason)

    def scroll_px(self) -> int:
        """How far the page is scrolled."""
        return self._scroll.verticalScrollBar().value()

    def scroll_to(self, px: int) -> None:
        """Show the page from `px` on, as soon as it is laid out."""
        self._wanted_px, self._tries_left = px, _SCROLL_TRIES
        self._later.start()

    def to_top(self) -> None:
        """Show the page from its head."""
        self._wanted_px = None
        self._scroll.verticalScrollBar().setValue(0)

    def step_note(self, by: int) -> None:
        """F7 and Shift+F7: the next or the last note."""
        if self._widths.margin_folded and not self._peeking:
            self._peek(None)
        self.margin.step_note(by)

    def focus_margin(self) -> bool:
        """F6: the keyboard goes to the first note; False when there is none."""
        if not self.margin.notes():
            return False
        if self._widths.margin_folded:
            self._peek(None)
        self.margin.step_note(1)
        return True

    # --- place ---------------------------------------------------------------------------------

    def _place_head(self) -> None:
        """At counter size the verbs stand under the page and there is no foot."""
        counter = theme.is_counter()
        last = self._column.count() - 1
        if counter == (self._column.indexOf(self.head) == last):
            return
        self._column.removeWidget(self.head)
        self._column.insertWidget(last if counter else 0, self.head)
        self.foot.setVisible(not counter)

    def set_widths(self, widths: Widths) -> None:
        """How wide the margin is at this window's width, or folded to its rail."""
        self._widths = widths
        self.settle()

    def resizeEvent(self, event: QResizeEvent) -> None:
        self.settle()

    @Slot()
    def settle(self) -> None:
        """Lay out page and margin for the present width; both are as high as the higher one."""
        inset = round(theme.px(theme.size("page_inset")))
        margin = theme.size("margin_folded") if self._widths.margin_folded else self._widths.margin
        self._place_head()
        foot = 0 if theme.is_counter() else self.foot.height_px()
        self._scroll.setGeometry(0, 0, self.width(), self.height() - foot)
        self.foot.setGeometry(0, self.height() - foot, self.width(), foot)
        self._column.setContentsMargins(inset, round(theme.px(_TOP_PX)), inset, 14)
        self.margin.set_folded(self._widths.margin_folded and not self._peeking)
        bar = self._scroll.verticalScrollBar()
        for _ in range(2):
            # The scroll bar stands in the margin: the page keeps its width.
            room = self.width() - (bar.width() if bar.isVisible() else 0)
            wide = self._lay_columns(room, self.width() - margin)
            overflows = self._spread.height() > self._scroll.height()
            if overflows == bar.isVisible():
                break
            self._scroll.setVerticalScrollBarPolicy(
                Qt.ScrollBarPolicy.ScrollBarAlwaysOn
                if overflows
                else Qt.ScrollBarPolicy.ScrollBarAlwaysOff
            )
        rail = self.margin.x() + round(self.margin.rail_x())
        self.foot.set_page(inset, min(wide, rail) if self._peeking else wide)
        self._go_where_it_was()

    def _go_where_it_was(self) -> None:
        """Scroll to where a leaf was left, once it is laid out for good."""
        if self._wanted_px is None or not self.isVisible():
            return
        bar = self._scroll.verticalScrollBar()
        bar.setValue(self._wanted_px)
        self._tries_left -= 1
        if bar.value() == self._wanted_px or not self._tries_left:
            self._wanted_px = None

    def _lay_columns(self, room: int, page: int) -> int:
        """Set the geometry of both columns; returns the width of the page column."""
        wide = min(max(page, 200), round(theme.px(theme.size("page_max"))))
        # The layout keeps heights of a width it has seen; verbs may have come since.
        sides = self._column.contentsMargins()
        head = self.head.heightForWidth(wide - sides.left() - sides.right())
        self.head.setMinimumHeight(head)
        needed = max(self._column.heightForWidth(wide), self._column.minimumSize().height())
        rail = round(self.margin.rail_x())
        at = wide if not self._peeking else max(room - round(theme.px(_PEEK_PX)), 0)
        height = max(needed, self._scroll.height())
        self._spread.resize(room, height)
        self.page.setGeometry(0, 0, wide, height)
        self._column.activate()
        self.margin.setGeometry(at - rail, 0, room - at + rail, height)
        self.margin.lay()
        if self.margin.needed_height > height:
            height = self.margin.needed_height
            self._spread.resize(room, height)
            self.page.resize(wide, height)
            self.margin.resize(self.margin.width(), height)
        return wide

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        kinds = (QEvent.Type.Move, QEvent.Type.Resize, QEvent.Type.Show, QEvent.Type.Hide)
        if event.type() in kinds:
            self._later.start()
        return super().eventFilter(watched, event)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.fillRect(self.rect(), theme.colour("page"))
        painter.end()


def _is_wanted(part: QWidget) -> bool:
    """Whether a table or a blank asks for something; a value in a line may stay empty."""
    if isinstance(part, CellsTable):
        return part.cells().has_due()
    if not isinstance(part, QLineEdit) or isinstance(part, Value):
        return False
    return not part.isReadOnly() and not part.text()

"""The Index, last leaf of the book: every verb in alphabetical order, with its key."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal, Slot
from PySide6.QtGui import QKeySequence, QPainter, QPaintEvent, QShortcut
from PySide6.QtWidgets import QVBoxLayout, QWidget

from trialbench.model.message import msg, say
from trialbench.ui import theme
from trialbench.ui.blanks import Blank
from trialbench.ui.leaf import Leaf
from trialbench.ui.page import Desk, Page
from trialbench.ui.text import Line, Rule, dotted
from trialbench.ui.verbs import TextVerb
from trialbench.ui.verbs_table import VerbEntry, VerbsTable


def key_text(key: str) -> str:
    """A key sequence as this system writes it."""
    return QKeySequence(key).toString(QKeySequence.SequenceFormat.NativeText) if key else ""


class IndexLine(TextVerb):
    """A verb of the index: words, dotted leader, key at the right edge."""

    def __init__(self, entry: VerbEntry, parent: QWidget | None = None) -> None:
        super().__init__(entry.label, parent, role="cell", weight=400)
        self.entry = entry
        self._key = key_text(entry.key)
        why = entry.why()
        self._why = say(why) if why is not None else ""
        if self._key:
            self.setAccessibleDescription(self._key)
        if self._why:
            self.setAccessibleDescription(self._why)
            self.set_underlined(False)

    def sizeHint(self) -> QSize:
        return QSize(super().sizeHint().width() + 120, round(theme.px(32)))

    def heightForWidth(self, width: int) -> int:
        return round(theme.px(32))

    def baseline(self) -> float:
        metrics = theme.metrics("cell")
        return (theme.px(32) - metrics.height()) / 2 + metrics.ascent()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        metrics = theme.metrics("cell")
        base = self.baseline()
        ink = theme.colour("pencil" if self._why else "ink")
        painter.setFont(theme.font("cell"))
        painter.setPen(ink)
        painter.drawText(QPointF(0, base), self.label())
        end = metrics.horizontalAdvance(self.label())
        if not self._why:
            painter.fillRect(QRectF(0, round(base + theme.px(4)), end, 1), ink)
        right = self._why or self._key
        if right:
            small = theme.metrics("label")
            right = small.elidedText(
                right, Qt.TextElideMode.ElideRight, max(self.width() - end - 40, 20)
            )
            start = self.width() - small.horizontalAdvance(right)
            painter.setFont(theme.font("label"))
            painter.setPen(theme.colour("pencil"))
            painter.drawText(QPointF(start, base), right)
            dotted(painter, end + 8, start - 8, base - 1)
        painter.end()


class IndexPage(Page):
    """Typing filters; Enter in the blank does the first verb found. Esc takes the words
    back, then leaves (`left`)."""

    key = "index"
    title = msg("Index")
    chosen = Signal(object)
    left = Signal()

    def __init__(self, desk: Desk, table: VerbsTable) -> None:
        super().__init__(desk)
        self._table = table
        self._lines: list[IndexLine] = []

    def build(self, leaf: Leaf) -> None:
        leaf.set_title(self.title, msg("Everything that can be done, and its key."))
        self._find = Blank(
            msg("Find a verb"), "", msg("a word of it"), role="contents_line", least_px=220
        )
        self._find.typed.connect(self._filter)
        self._find.entered.connect(self._do_first)
        leaf.add(Line("contents_line", [msg("Find "), self._find], colour="pencil"), space_px=2)
        self._list = QVBoxLayout()
        self._list.setSpacing(0)
        leaf.add(self._list, space_px=10)
        self._none = Line("contents_answer", msg("No verb has these words."), colour="pencil")
        self._none.hide()
        leaf.add(self._none)
        escape = QShortcut(QKeySequence(Qt.Key.Key_Escape), leaf)
        escape.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        escape.activated.connect(self._escape)

    def refresh(self, kinds: frozenset[str]) -> None:
        if not kinds:
            self._fill(self._find.text())

    def focus_find(self) -> None:
        """The keyboard goes to the blank, its text chosen."""
        self._find.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self._find.selectAll()

    @Slot()
    def _escape(self) -> None:
        if self._find.text():
            self._find.keep("")
            self._fill("")
        else:
            self.left.emit()

    @Slot(object)
    def _filter(self, words: str) -> None:
        self._fill(words)

    def _fill(self, words: str) -> None:
        while (item := self._list.takeAt(0)) is not None:
            gone = item.widget()
            if gone is not None:
                gone.hide()
                gone.deleteLater()
        self._lines = []
        letter = ""
        for entry in self._table.find(words):
            if entry.name == "index":
                continue
            first = say(entry.label)[:1].upper()
            if first != letter:
                letter = first
                head = Line("chapter", letter)
                self._list.addSpacing(round(theme.px(8)))
                self._list.addWidget(head)
                self._list.addWidget(Rule())
            line = IndexLine(entry)
            line.clicked.connect(self._do)
            self._lines.append(line)
            self._list.addWidget(line)
        self._none.setVisible(not self._lines)

    @Slot()
    def _do(self) -> None:
        line = self.sender()
        assert isinstance(line, IndexLine)
        self._choose(line)

    @Slot()
    def _do_first(self) -> None:
        if self._lines:
            self._choose(self._lines[0])

    def _choose(self, line: IndexLine) -> None:
        if line.entry.why() is None:
            self.chosen.emit(line.entry.name)

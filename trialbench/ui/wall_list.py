"""The wall list: time runs down the page, one column a place, methods as strands through them.

Lines stand under each other and not to scale; between them is more room where more time passes. The
arrow keys go from line to line.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Literal

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QKeyEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from trialbench.model.message import Message, say
from trialbench.ui import theme
from trialbench.ui.laid_by_width import LaidWithParts
from trialbench.ui.runs import Item, Run
from trialbench.ui.text import Line
from trialbench.ui.wall_strands import Strand, paint_strands

Gap = Literal["small", "wide", "wider"]
_GAP_PX = {"small": 8, "wide": 26, "wider": 58}
_TIME_PX, _BETWEEN_PX, _SIDE_PX = 78, 8, 14
_LEAST_SENTENCE_PX = 168
_COLUMN_PX, _LEAST_COLUMN_PX = 63, 42
_TOP_PX, _FOOT_PX = 16, 14
_HEAD_PAD_PX = 7


@dataclass(frozen=True, slots=True)
class WallEntry:
    """One line. `time` is bold at the left, `items` the sentence, `spoken` what a reader hears;
    `after` is the room under it.
    """

    key: str
    time: Message | str
    items: tuple[Item, ...]
    spoken: Message | str
    after: Gap = "small"
    colour: str = "ink"


class WallRow(QWidget):
    """A line of the list. It takes the keyboard, so that it can be heard line by line."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._entry: WallEntry | None = None
        self.time = Line("cell")
        self.sentence = Line("cell")
        for part in (self.time, self.sentence):
            part.setParent(self)
        self.setFocusPolicy(Qt.FocusPolicy.ClickFocus)
        self.setProperty("ownFocus", True)

    def show_entry(self, entry: WallEntry) -> None:
        """Show a line as it is now."""
        if entry == self._entry:
            return
        self._entry = entry
        self.time.set_items(Run(entry.time, weight=600, colour=entry.colour))
        self.sentence.set_items(entry.items)
        self.setAccessibleName(say(entry.spoken))

    def lay(self, sentence_px: int, *, move: bool) -> int:
        """The height at this width of the sentence; with `move` the parts are put in place."""
        time_px, gap = round(theme.px(_TIME_PX)), round(theme.px(_BETWEEN_PX))
        high = max(self.sentence.heightForWidth(sentence_px), self.time.heightForWidth(time_px))
        if move:
            self.time.setGeometry(0, 0, time_px, self.time.heightForWidth(time_px))
            self.sentence.setGeometry(time_px + gap, 0, sentence_px, high)
        return high

    def event(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.LayoutRequest:
            self.updateGeometry()
        return super().event(event)

    def sizeHint(self) -> QSize:
        return self.size()

    def paintEvent(self, event: QPaintEvent) -> None:
        if not self.hasFocus():
            return
        painter = QPainter(self)
        painter.setPen(QPen(theme.colour("ink"), theme.line("focus")))
        painter.drawRect(QRectF(self.rect()).adjusted(1, 1, -1, -1))
        painter.end()


@dataclass
class _Laid:
    """Where everything stands at a width."""

    sentence_px: int = 0
    left: float = 0.0
    column: float = 0.0
    head: float = 0.0
    tops: list[int] = field(default_factory=list)
    highs: list[int] = field(default_factory=list)
    foot: int = 0


class WallList(LaidWithParts):
    """All lines, and the strands beside them. `entered(key)` when a line gets the keyboard."""

    entered = Signal(object)

    def __init__(self, name: Message | str, parent: QWidget | None = None) -> None:
        super().__init__(parent, QSizePolicy.Policy.Minimum)
        self._name = name
        self._entries: tuple[WallEntry, ...] = ()
        self._places: tuple[str, ...] = ()
        self._strands: tuple[Strand, ...] = ()
        self._rows: dict[str, WallRow] = {}
        self._laid = _Laid()
        self.setAccessibleName(say(name))

    # --- what it shows -------------------------------------------------------------------------

    def show_list(
        self, entries: Sequence[WallEntry], places: Sequence[str], strands: Sequence[Strand]
    ) -> None:
        """Show these lines; a line whose key was there keeps its row, and the keyboard."""
        kept = {entry.key for entry in entries}
        for key in [key for key in self._rows if key not in kept]:
            row = self._rows.pop(key)
            row.hide()
            row.deleteLater()
        self._entries, self._places = tuple(entries), tuple(places)
        self._strands = tuple(strands)
        for entry in entries:
            if entry.key not in self._rows:
                self._rows[entry.key] = WallRow(self)
                self._rows[entry.key].show()
            self._rows[entry.key].show_entry(entry)
        self._order_focus()
        self._lay(self.width(), move=True)
        self.updateGeometry()
        self.update()

    def row(self, key: str) -> WallRow | None:
        """The line of this key."""
        return self._rows.get(key)

    def keys(self) -> list[str]:
        """The keys of the lines from the top."""
        return [entry.key for entry in self._entries]

    def rows(self) -> list[WallRow]:
        """Every line from the top."""
        return [self._rows[entry.key] for entry in self._entries]

    def strand_words(self) -> list[str]:
        """The strands in words, for whoever cannot see them."""
        return [strand.words(self._places) for strand in self._strands]

    def _order_focus(self) -> None:
        rows = self.rows()
        at = next((row for row in rows if row.hasFocus()), rows[0] if rows else None)
        for row in rows:
            policy = Qt.FocusPolicy.StrongFocus if row is at else Qt.FocusPolicy.ClickFocus
            row.setFocusPolicy(policy)
        for one, other in pairwise(rows):
            QWidget.setTabOrder(one, other)
        self.setAccessibleDescription(" ".join(self.strand_words()))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        rows = self.rows()
        at = next((n for n, row in enumerate(rows) if row.hasFocus()), None)
        step = {Qt.Key.Key_Down: 1, Qt.Key.Key_Up: -1}.get(Qt.Key(event.key()))
        if at is None or step is None or not 0 <= at + step < len(rows):
            super().keyPressEvent(event)
            return
        rows[at].setFocusPolicy(Qt.FocusPolicy.ClickFocus)
        rows[at + step].setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        rows[at + step].setFocus(Qt.FocusReason.OtherFocusReason)
        self.entered.emit(self._entries[at + step].key)

    # --- how it is laid out ----------------------------------------------------------------------

    def _lay(self, width: int, *, move: bool) -> int:
        laid = self._measure(width)
        for top, high, row in zip(laid.tops, laid.highs, self.rows(), strict=True):
            if move:
                wide = round(theme.px(_TIME_PX) + theme.px(_BETWEEN_PX)) + laid.sentence_px
                row.setGeometry(0, top, wide, high)
                row.lay(laid.sentence_px, move=True)
        if move:
            self._laid = laid
            self.update()
        return laid.foot

    def _measure(self, width: int) -> _Laid:
        count = max(len(self._places), 1)
        before = theme.px(_TIME_PX) + theme.px(_BETWEEN_PX) + theme.px(_SIDE_PX)
        column = (width - before - theme.px(_LEAST_SENTENCE_PX)) / count
        column = max(min(column, theme.px(_COLUMN_PX)), theme.px(_LEAST_COLUMN_PX))
        sentence = max(round(width - before - column * count), 90)
        laid = _Laid(sentence, width - column * count, column, self._head_px(column))
        y = laid.head + theme.px(_TOP_PX)
        for entry in self._entries:
            high = self._rows[entry.key].lay(sentence, move=False)
            laid.tops.append(round(y))
            laid.highs.append(high)
            y += high + theme.px(_GAP_PX[entry.after])
        laid.foot = round(y + theme.px(_FOOT_PX))
        return laid

    def _head_px(self, column: float) -> float:
        metrics = theme.metrics("section")
        lines = max((len(_wrapped(p, column - 6, metrics)) for p in self._places), default=1)
        return lines * metrics.height() + theme.px(_HEAD_PAD_PX)

    def sizeHint(self) -> QSize:
        return QSize(300, self.heightForWidth(max(self.width(), 300)))

    def minimumSizeHint(self) -> QSize:
        return QSize(200, 10)

    # --- painting --------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        if not self._entries:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        laid = self._laid
        self._paint_columns(painter, laid)
        middle = theme.line_height("cell") / 2
        levels = [top + middle for top in laid.tops]
        columns = [laid.left + (n + 0.5) * laid.column for n in range(len(self._places))]
        paint_strands(painter, self._strands, levels, columns, laid.column)
        painter.end()

    def _paint_columns(self, painter: QPainter, laid: _Laid) -> None:
        metrics = theme.metrics("section")
        painter.setFont(theme.font("section"))
        painter.setPen(theme.colour("ink"))
        for number, place in enumerate(self._places):
            lines = _wrapped(place, laid.column - 6, metrics)
            y = laid.head - theme.px(_HEAD_PAD_PX) - (len(lines) - 1) * metrics.height()
            for line in lines:
                x = laid.left + (number + 0.5) * laid.column - metrics.horizontalAdvance(line) / 2
                painter.drawText(QPointF(x, y - metrics.descent()), line)
                y += metrics.height()
        painter.setPen(QPen(theme.colour("ink"), theme.line("title")))
        painter.drawLine(QPointF(0, laid.head), QPointF(self.width(), laid.head))
        painter.setPen(QPen(theme.colour("rule"), 1))
        for number in range(len(self._places) + 1):
            x = min(laid.left + number * laid.column, self.width() - 1)
            painter.drawLine(QPointF(x, laid.head), QPointF(x, laid.foot))


def _wrapped(text: str, width: float, metrics: QFontMetricsF) -> list[str]:
    """A name in at most two lines; what is still too wide is cut with dots."""
    words, first = text.split(), ""
    while words and metrics.horizontalAdvance(f"{first} {words[0]}".strip()) <= width:
        first = f"{first} {words.pop(0)}".strip()
    lines = [first, " ".join(words)] if first and words else [first or " ".join(words)]
    return [metrics.elidedText(line, Qt.TextElideMode.ElideRight, width) for line in lines]

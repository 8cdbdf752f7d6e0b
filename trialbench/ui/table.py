"""Plain tables for reading: heads in pencil, rules between rows, words that may be long."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from PySide6.QtCore import QEvent, QRect, QRectF, QSize, Slot
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from trialbench.model.message import Message, msg, say
from trialbench.ui import theme
from trialbench.ui.laid_by_width import LaidByWidth
from trialbench.ui.runs import Item, Run
from trialbench.ui.text import Line

_PAD_PX = 10


@dataclass(frozen=True, slots=True)
class ReadingColumn:
    """A column: `width_px` 0 shares what is left by `share`."""

    title: Message | str
    width_px: int = 0
    share: float = 1.0
    align: Literal["left", "right"] = "left"


class ReadingTable(LaidByWidth):
    """A table that is only read. Cells are items of a Line, or lists of them (Run for weight).

    `row_px` is the least height of a row. Every row is one label to a screen reader, with the
    titles of its columns.
    """

    def __init__(
        self,
        columns: Sequence[ReadingColumn],
        rows: Sequence[Sequence[Item | Sequence[Item]]] = (),
        parent: QWidget | None = None,
        *,
        row_px: int = 40,
        last_rule: bool = False,
    ) -> None:
        super().__init__(parent, QSizePolicy.Policy.Preferred)
        self._columns = tuple(columns)
        self._row_px, self._last_rule = row_px, last_rule
        self._heads = [
            Line("column_head", column.title, self, colour="pencil",
                 align_right=column.align == "right")
            for column in self._columns
        ]  # fmt: skip
        self._rows: list[list[Line]] = []
        self._rules: list[int] = []
        self.show_rows(rows)
        theme.signals().theme_changed.connect(self._settle)

    def show_rows(self, rows: Sequence[Sequence[Item | Sequence[Item]]]) -> None:
        """Replace the rows."""
        for line in (line for row in self._rows for line in row):
            line.hide()
            line.deleteLater()
        self._rows = []
        for row in rows:
            lines = []
            for column, cell in zip(self._columns, row, strict=True):
                items = [cell] if isinstance(cell, (str, Message, Run, QWidget)) else cell
                line = Line("cell", items, self, align_right=column.align == "right")
                line.show()
                lines.append(line)
            self._rows.append(lines)
        self._speak()
        self._settle()

    def _speak(self) -> None:
        titles = [say(column.title) for column in self._columns]
        self.setAccessibleName(say(msg("Table: {heads}", heads=", ".join(titles))))
        for row in self._rows:
            for title, line in zip(titles, row, strict=True):
                line.setAccessibleDescription(title)

    def row_rect(self, row: int) -> QRect:
        """Where a row stands, for `leaf.anchor`."""
        top = self._rules[row] if row < len(self._rules) else 0
        foot = self._rules[row + 1] if row + 1 < len(self._rules) else self.height()
        return QRect(0, top, self.width(), foot - top)

    def _wides(self, width: int) -> list[int]:
        fixed = sum(round(theme.px(column.width_px)) for column in self._columns)
        shares = sum(column.share for column in self._columns if not column.width_px)
        left = max(width - fixed, 0)
        return [
            round(theme.px(column.width_px)) or round(left * column.share / (shares or 1))
            for column in self._columns
        ]

    def _lay(self, width: int, *, move: bool) -> int:
        wides = self._wides(width)
        pad = round(theme.px(_PAD_PX))
        rules: list[int] = []
        y = 0
        for number, lines in enumerate([self._heads, *self._rows]):
            talls = [
                line.heightForWidth(max(wide - pad, 20))
                for line, wide in zip(lines, wides, strict=True)
            ]
            least = theme.px(26 if number == 0 else self._row_px)
            high = max(round(least), max(talls, default=0) + round(theme.px(8)))
            if move:
                x = 0
                for column, line, wide, tall in zip(
                    self._columns, lines, wides, talls, strict=True
                ):
                    # A left column keeps its gap at the right, a right column up to its edge.
                    shift = 0 if column.align == "left" else -pad
                    at = x if column.align == "left" else x + pad + shift
                    line.setGeometry(at, y + (high - tall) // 2, wide - pad, tall)
                    x += wide
            y += high
            rules.append(y)
        if move:
            self._rules = rules
        return y + 1

    @Slot()
    def _settle(self) -> None:
        self._lay(self.width(), move=True)
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(300, self.heightForWidth(max(self.width(), 300)))

    def minimumSizeHint(self) -> QSize:
        return QSize(200, 40)

    def event(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.LayoutRequest:
            self._settle()
        return super().event(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        shown = self._rules if self._last_rule else self._rules[:-1]
        for y in shown:
            painter.fillRect(QRectF(0, y - 1, self.width(), 1), theme.colour("rule"))
        painter.end()

"""Sections of a report on a page: a label at the side, what it says beside it, rules between."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QVBoxLayout, QWidget

from trialbench.model.message import say
from trialbench.ui import theme
from trialbench.ui.rows import Row
from trialbench.ui.runs import Item, Run
from trialbench.ui.table import ReadingColumn, ReadingTable
from trialbench.ui.text import Line, Rule

if TYPE_CHECKING:
    from trialbench.report.words import ReportTable, Section

_CELL_PAD_PX, _SHORT_PX = 26, 160
_GAP_PX = 18


class Beside(QWidget):
    """Lines and a table under each other; its baseline is that of the first."""

    def __init__(self, parts: Sequence[QWidget], space_px: int = 2) -> None:
        super().__init__()
        self._parts = parts
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(round(theme.px(space_px)))
        for part in parts:
            column.addWidget(part)

    def baseline(self) -> float:
        first = self._parts[0] if self._parts else None
        base = getattr(first, "baseline", None)
        return float(base()) if base is not None else theme.metrics("column_head").ascent() + 4


class Sections(QWidget):
    """All sections under each other. `label` and `text` are roles, `label_px` the label's room.

    `rule_first` draws a rule over the first one as well.
    """

    def __init__(
        self,
        parent: QWidget | None = None,
        *,
        label: str = "contents_line",
        text: str = "cell",
        label_px: int = 192,
        rule_first: bool = False,
    ) -> None:
        super().__init__(parent)
        self._label, self._text, self._label_px = label, text, label_px
        self._rule_first = rule_first
        self.rows: dict[str, QWidget] = {}
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(0)

    def show_sections(self, sections: Sequence[Section]) -> None:
        """Replace what is shown. `rows` then holds each section's row by its label."""
        # Put together out of sight, so that it is laid out once.
        body = QWidget()
        column = QVBoxLayout(body)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        self.rows = {}
        for number, section in enumerate(sections):
            if number or self._rule_first:
                column.addWidget(Rule())
            row = self._row(section)
            column.addSpacing(round(theme.px(7)))
            column.addWidget(row)
            column.addSpacing(round(theme.px(8)))
            self.rows[say(section.label)] = row
        empty(self._column)
        self._column.addWidget(body)

    def _row(self, section: Section) -> Row:
        from trialbench.report.words import tied

        parts: list[QWidget] = [Line(self._text, tied(line)) for line in section.lines]
        if section.table is not None:
            parts.append(reading_table(section.table))
        if section.small is not None:
            parts.append(Line("label", section.small, colour="pencil"))
        label = Line(self._label, Run(section.label))
        return Row([(label, self._label_px), (Beside(parts, 4), 0)], gap_px=_GAP_PX)


def reading_table(table: ReportTable, *, row_px: int = 27, last_rule: bool = False) -> ReadingTable:
    """A table of a report as a table of the page; columns of numbers are as wide as they need."""
    columns = [_column(table, n) for n in range(len(table.heads))]
    if all(column.width_px for column in columns):
        columns[0] = replace(columns[0], width_px=0)
    rows: list[list[Item]] = [[Run(cell) for cell in row] for row in table.rows]
    return ReadingTable(columns, rows, row_px=row_px, last_rule=last_rule)


def _column(table: ReportTable, column: int) -> ReadingColumn:
    """Numbers and short words are as wide as they need; longer words share what is left."""
    head, wide = table.heads[column], _wide(table, column)
    if column in table.numbers:
        return ReadingColumn(head, wide, align="right")
    return ReadingColumn(head, wide) if wide < _SHORT_PX else ReadingColumn(head, share=wide)


def _wide(table: ReportTable, column: int) -> int:
    """The room that a column needs for its longest cell, in px of the look."""
    metrics = theme.metrics("column_head")
    words = say(table.heads[column]).split(" ")
    # A long head over short numbers may take two lines.
    head = max(
        metrics.horizontalAdvance(" ".join(words)) / (2 if len(words) > 3 else 1),
        *(metrics.horizontalAdvance(word) for word in words),
    )
    cells = [theme.metrics("cell").horizontalAdvance(say(row[column])) for row in table.rows]
    return round(max([head, *cells]) / theme.factor()) + _CELL_PAD_PX


def empty(column: QVBoxLayout) -> None:
    """Take everything out of a layout."""
    while (item := column.takeAt(0)) is not None:
        widget = item.widget()
        if widget is not None:
            widget.hide()
            widget.deleteLater()

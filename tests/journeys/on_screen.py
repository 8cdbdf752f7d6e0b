"""What a window shows and says, all of it: for what was lost, and for what was given away."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from PySide6.QtCore import QAbstractItemModel, Qt
from PySide6.QtWidgets import QAbstractItemView, QLabel, QLineEdit, QWidget

from trialbench.model.message import say
from trialbench.ui.blanks import Blank
from trialbench.ui.cells_table import CellsTable
from trialbench.ui.text import Line

_ROLES = (
    Qt.ItemDataRole.DisplayRole,
    Qt.ItemDataRole.EditRole,
    Qt.ItemDataRole.ToolTipRole,
    Qt.ItemDataRole.StatusTipRole,
    Qt.ItemDataRole.WhatsThisRole,
    Qt.ItemDataRole.AccessibleTextRole,
    Qt.ItemDataRole.AccessibleDescriptionRole,
)


def written(window: Any) -> list[str]:
    """Every place to write that is in sight, with its text and whether it is refused."""
    found = []
    for blank in window.findChildren(Blank):
        if blank.isVisible():
            found.append(f"{blank.accessibleName()}={blank.text()} {blank.is_refused()}")
    for table in window.findChildren(CellsTable):
        if table.isVisible():
            found += list(_cells(table))
    return sorted(found)


def _cells(table: CellsTable) -> Iterator[str]:
    model, editor = table.cells(), table._editor()
    at = table.currentIndex()
    for row in range(model.rowCount()):
        for column in range(model.columnCount()):
            cell = model.cell(row, column)
            open_here = editor is not None and (at.row(), at.column()) == (row, column)
            text = editor.text() if editor is not None and open_here else cell.text
            state = "open" if open_here else cell.state
            yield f"{model.row_name(row)} {column}={text} {state}"


def every_word(window: Any) -> Iterator[str]:
    """Every text of every widget in sight: shown, spoken, tipped, and in the cells of tables."""
    yield window.windowTitle()
    for widget in window.findChildren(QWidget):
        if not widget.isVisible():
            continue
        yield from (
            widget.accessibleName(),
            widget.accessibleDescription(),
            widget.toolTip(),
            widget.statusTip(),
            widget.whatsThis(),
            widget.windowTitle(),
        )
        if isinstance(widget, Line):
            yield widget.words()
        elif isinstance(widget, (QLabel, QLineEdit)):
            yield widget.text()
        label = getattr(widget, "label", None)
        if callable(label):
            yield str(label())
        if isinstance(widget, QAbstractItemView) and widget.model() is not None:
            yield from _table_words(widget.model())


def _table_words(model: QAbstractItemModel) -> Iterator[str]:
    for row in range(model.rowCount()):
        for column in range(model.columnCount()):
            index = model.index(row, column)
            for role in _ROLES:
                yield str(model.data(index, role) or "")
            cell = getattr(model, "cell", None)
            if cell is not None:
                shown = cell(row, column)
                yield f"{shown.text} {shown.small} {shown.letter} {shown.colour} {shown.spoken}"
                yield say(shown.reason)
        yield str(model.headerData(row, Qt.Orientation.Vertical) or "")
    for column in range(model.columnCount()):
        yield str(model.headerData(column, Qt.Orientation.Horizontal) or "")

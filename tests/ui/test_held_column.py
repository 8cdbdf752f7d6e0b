"""A wide table keeps its first column in sight, and the cell one writes in out from under it."""

import pytest
from PySide6.QtCore import Qt

from trialbench.ui.cells import Cell, CellsModel, Column
from trialbench.ui.cells_held import HeldColumn
from trialbench.ui.cells_table import CellsTable


class _Model(CellsModel):
    def commit(self, row, column, text):
        self.put(row, column, Cell(text))


@pytest.fixture
def table(book, qtbot):
    model = _Model()
    columns = [Column("piece", 90, align="left"), *(Column(f"w{n}", 120, editable=True)
                                                    for n in range(12))]  # fmt: skip
    rows = [[Cell(f"P0{n}", "name"), *(Cell(str(100 + c)) for c in range(12))] for n in range(3)]
    found = CellsTable(model, "weights")
    model.show(columns, rows)
    found.resize(600, 200)
    qtbot.addWidget(found)
    found.show()
    qtbot.waitExposed(found)
    return found


def _held(table) -> HeldColumn:
    (held,) = table.findChildren(HeldColumn)
    return held


def test_the_first_column_stands_still_only_while_it_would_be_away(table):
    held, bar = _held(table), table.horizontalScrollBar()
    assert held.isHidden() and bar.maximum() > 0
    bar.setValue(200)
    assert held.isVisible() and held.width() == table.columnWidth(0)
    before = held.grab().toImage()
    bar.setValue(400)
    assert held.grab().toImage() == before
    assert table.columnViewportPosition(0) < 0
    bar.setValue(0)
    assert held.isHidden()


def test_the_cell_that_is_current_is_never_under_it(table, qtbot):
    table.setFocus()
    table.go_to(0, 12)
    qtbot.waitUntil(lambda: table.horizontalScrollBar().value() > 0)
    for column in range(11, 0, -1):
        qtbot.keyClick(table, Qt.Key.Key_Left)
        assert table.currentIndex().column() == column
        qtbot.waitUntil(
            lambda c=column: (
                table.columnViewportPosition(c)
                >= (_held(table).width() if _held(table).isVisible() else 0)
            )
        )

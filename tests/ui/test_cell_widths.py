"""Widths of the columns of a table of cells, and widgets that come and go in a line."""

import pytest
from PySide6.QtWidgets import QApplication

from trialbench.ui.blanks import Blank
from trialbench.ui.cell_widths import column_widths
from trialbench.ui.cells import Column
from trialbench.ui.text import Line


@pytest.mark.parametrize("room", [500, 501, 503, 692])
def test_columns_that_share_fill_the_table_to_the_pixel(book, room):
    columns = [Column("piece", 116), *(Column(str(n), editable=True) for n in range(3))]
    assert sum(column_widths(columns, room)) == room


@pytest.mark.parametrize("room", [500, 503, 692])
def test_a_table_moved_sideways_ends_at_the_edge_of_a_column(book, room):
    columns = [Column("piece", 96), *(Column(str(n), 60, editable=True) for n in range(20))]
    wide = column_widths(columns, room)
    edges = [sum(wide[:count]) for count in range(len(wide) + 1)]
    assert room in edges and min(wide) >= 60


def test_what_is_lent_to_a_line_can_leave_and_come_back(book, qtbot):
    line, blank = Line("body"), Blank("why", hint="say why")
    qtbot.addWidget(line)
    line.lend(blank)
    line.show()
    for _ in range(2):
        line.set_items(["because ", blank])
        QApplication.processEvents()
        assert blank.isVisible() and "say why" in line.words()
        line.set_items("nothing")
        QApplication.processEvents()
        assert not blank.isVisible() and line.words() == "nothing"

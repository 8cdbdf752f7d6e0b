"""The table one writes in, by keyboard and mouse."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from tests.ui.sample_pages import Weights
from trialbench.model.errors import Refused
from trialbench.model.message import msg
from trialbench.ui import theme
from trialbench.ui.cells import Cell, Column
from trialbench.ui.cells_table import CellsTable
from trialbench.ui.verbs import TextVerb

_COLUMNS = [
    Column("piece", 80, align="left"),
    Column("raw", editable=True),
    Column("salted", editable=True),
    Column("lost,\nof raw", 90),
]


def _rows() -> list[list[Cell]]:
    return [
        [Cell(name, "name"), Cell(raw), Cell("", "due"), Cell("3 %", "reckoned")]
        for name, raw in (("P05", "2287"), ("P06", "2312"), ("P07", "2405"))
    ]


@pytest.fixture
def table(book, qtbot):
    model = Weights()
    model.show(_COLUMNS, _rows(), ["P05", "P06", "P07"])
    made = CellsTable(model, "Weights")
    made.resize(500, 300)
    qtbot.addWidget(made)
    made.show()
    qtbot.waitUntil(made.isActiveWindow)
    made.go_to(0, 1)
    return made


def _type(qtbot, table: CellsTable, text: str, key: Qt.Key = Qt.Key.Key_Return) -> None:
    qtbot.keyClicks(QApplication.focusWidget(), text[0])
    qtbot.keyClicks(QApplication.focusWidget(), text[1:])
    qtbot.keyClick(QApplication.focusWidget(), key)


def _place(table: CellsTable) -> tuple[int, int]:
    return table.currentIndex().row(), table.currentIndex().column()


def test_typing_starts_at_once_and_enter_goes_down(table, qtbot):
    _type(qtbot, table, "2300")
    assert table.cells().written == [(0, 1, "2300")]
    assert _place(table) == (1, 1)
    _type(qtbot, table, "2301")
    assert _place(table) == (2, 1)


def test_every_key_is_told_as_a_draft(table, qtbot):
    _type(qtbot, table, "230", Qt.Key.Key_Tab)
    assert table.cells().drafts == [(0, 1, "2"), (0, 1, "23"), (0, 1, "230")]


def test_tab_goes_right_and_over_to_the_next_row(table, qtbot):
    _type(qtbot, table, "1", Qt.Key.Key_Tab)
    assert _place(table) == (0, 2)
    _type(qtbot, table, "2", Qt.Key.Key_Tab)
    assert _place(table) == (1, 1)
    _type(qtbot, table, "3", Qt.Key.Key_Backtab)
    assert _place(table) == (0, 2)


def test_esc_leaves_the_cell_as_it_was(table, qtbot):
    _type(qtbot, table, "99", Qt.Key.Key_Escape)
    assert table.cells().written == []
    assert table.cells().cell(0, 1).text == "2287"
    assert table.cells().drafts[-1] == (0, 1, "2287")
    assert table.hasFocus()


def test_leaving_the_table_writes_the_open_cell(table, qtbot):
    other = TextVerb("elsewhere")
    qtbot.addWidget(other)
    other.setParent(table.window())
    other.show()
    qtbot.keyClicks(table, "7")
    other.setFocus()
    assert table.cells().written == [(0, 1, "7")]


def test_a_refused_weight_stays_struck_with_its_reason_in_its_row(table, qtbot):
    low = table.rowHeight(0)
    _type(qtbot, table, "16390")
    cell = table.cells().cell(0, 1)
    assert (cell.state, cell.text) == ("refused", "16390")
    assert table.cells().kept(0, 1).text == "2287"
    assert _place(table) == (0, 1)
    assert table.rowHeight(0) > low
    line = table._refusals[0]
    assert line.isVisible()
    assert line.y() >= low - 2
    assert "Not written" in line.words()


def test_a_refused_weight_is_written_again_or_given_up(table, qtbot):
    _type(qtbot, table, "16390")
    again, kept = table._refusals[0].findChildren(TextVerb)
    again.click()
    editor = QApplication.focusWidget()
    assert (editor.text(), editor.selectedText()) == ("16390", "16390")
    qtbot.keyClicks(editor, "1639")
    qtbot.keyClick(editor, Qt.Key.Key_Return)
    assert table.cells().written == [(0, 1, "1639")]
    assert not table._refusals
    table.go_to(1, 1)
    _type(qtbot, table, "99999")
    _, kept = table._refusals[1].findChildren(TextVerb)
    assert kept.label() == "Keep 2312"
    kept.click()
    assert table.cells().cell(1, 1).text == "2312"


def test_a_refusal_stays_with_its_row_when_rows_move(table):
    model = table.cells()
    model.refuse(0, 1, "99999", Refused(msg("Too much.")))
    rows = _rows()
    model.show(_COLUMNS, [rows[1], rows[0], rows[2]], ["P06", "P05", "P07"])
    assert model.cell(1, 1).text == "99999"
    assert model.cell(0, 1).text == "2312"
    assert set(table._refusals) == {1}


def test_one_key_fills_and_moves_on(book, qtbot):
    table = _scores(qtbot)
    model = table.cells()
    qtbot.keyClicks(table, "785")
    assert model.written == [(0, 1, "7"), (0, 2, "8"), (1, 1, "5")]
    qtbot.keyClicks(table, "0")
    assert model.written[-1] == (1, 1, "5")


def _scores(qtbot) -> CellsTable:
    model = Weights()
    scores = (Column(name, editable=True, one_key="123456789") for name in ("a", "b"))
    columns = [Column("taster", align="left"), *scores]
    model.show(columns, [[Cell(f"T{n}", "name"), Cell("", "due"), Cell("", "due")] for n in (1, 2)])
    table = CellsTable(model, "Scores")
    qtbot.addWidget(table)
    table.show()
    table.go_to(0, 1)
    return table


def test_tab_after_a_key_that_moved_on_skips_no_cell(book, qtbot):
    table = _scores(qtbot)
    for digit in "785":
        qtbot.keyClicks(table, digit)
        qtbot.keyClick(table, Qt.Key.Key_Tab)
    assert table.cells().written == [(0, 1, "7"), (0, 2, "8"), (1, 1, "5")]
    qtbot.keyClick(table, Qt.Key.Key_Backtab)
    qtbot.keyClick(table, Qt.Key.Key_Tab)
    assert _place(table) == (1, 2)


def test_enter_after_a_key_that_moved_on_goes_below_the_cell_it_filled(book, qtbot):
    table = _scores(qtbot)
    for digit in "78":
        qtbot.keyClicks(table, digit)
        qtbot.keyClick(table, Qt.Key.Key_Return)
    assert table.cells().written == [(0, 1, "7"), (1, 1, "8")]


def test_cells_that_cannot_be_written_are_passed_over(table, qtbot):
    table.go_to(0, 3)
    qtbot.keyClicks(table, "5")
    assert table.cells().written == []
    qtbot.keyClick(table, Qt.Key.Key_Return)
    assert _place(table) == (0, 3)


def test_every_cell_is_spoken_with_its_row_and_state(table):
    def spoken(row: int, column: int) -> str:
        index = table.cells().index(row, column)
        return index.data(Qt.ItemDataRole.AccessibleTextRole)

    assert spoken(0, 1) == "P05, raw, 2287"
    assert spoken(0, 2) == "P05, salted, due now, empty"
    assert spoken(0, 3) == "P05, lost, of raw, 3 %, reckoned"
    table.cells().refuse(1, 1, "99999", Refused(msg("Too much.")))
    assert spoken(1, 1) == "P06, raw, 99999, refused, not written, Too much."


def test_showing_the_same_rows_paints_nothing_again(table, qtbot):
    changed = []
    table.cells().dataChanged.connect(lambda first, last, roles=None: changed.append(first.row()))
    rows = _rows()
    table.cells().show(_COLUMNS, rows, ["P05", "P06", "P07"])
    assert changed == []
    rows[1][1] = Cell("2313")
    table.cells().show(_COLUMNS, rows, ["P05", "P06", "P07"])
    assert changed == [1]


def test_a_press_on_a_due_cell_opens_it(table, qtbot):
    place = table.visualRect(table.cells().index(1, 2)).center()
    qtbot.mouseClick(table.viewport(), Qt.MouseButton.LeftButton, pos=place)
    assert table._editor() is not None
    assert table.currentIndex().row() == 1


def test_the_columns_fill_the_table_and_no_more(table):
    assert table.horizontalHeader().length() == table.viewport().width()
    assert not table.horizontalScrollBar().isVisible()


def test_rows_are_as_high_as_the_look_says(book, qtbot):
    model = Weights()
    model.show(_COLUMNS, _rows())
    table = CellsTable(model, "Weights", rows="stove")
    qtbot.addWidget(table)
    assert table.rowHeight(0) == 44
    theme.set_counter(True)
    assert table.rowHeight(0) == 110
    assert table.horizontalHeader().isHidden()


def test_a_point_and_a_comma_reach_the_page_as_typed(table, qtbot):
    table.cells().commit = lambda row, column, text: table.cells().written.append(
        (row, column, text)
    )
    _type(qtbot, table, "1,5")
    assert table.cells().written == [(0, 1, "1,5")]

"""From a key to the painted cell on a grid of 20 tasters by 64 cells, inside a whole window.

Each key is sent to what has the keyboard; the clock stops when every event it caused has been
handled and at least one of them was a paint. Counted are keys that open a cell, keys in an open
cell, Enter (written, closed, on to the next cell) and single keys that fill a cell and move on.
Writing to the file is not part of it: the model keeps its cells in memory.
"""

from __future__ import annotations

import time

import pytest
from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from tests.ui.sample_book import SampleNotebook
from trialbench.model.errors import Refused
from trialbench.model.margin import Margin, MarginNote
from trialbench.model.message import msg
from trialbench.ui.cells import Cell, CellsModel, Column
from trialbench.ui.cells_table import CellsTable
from trialbench.ui.leaf import Leaf
from trialbench.ui.page import Page, PageEntry
from trialbench.ui.spine import SpineText
from trialbench.ui.window import Window

_TASTERS, _CELLS = 20, 64
_LIMIT_MS = 16.0


class _Scores(CellsModel):
    def commit(self, row: int, column: int, text: str) -> Refused | None:
        rows = list(self._rows)
        cells = list(rows[row])
        cells[column] = Cell(text, small=cells[column].small)
        rows[row] = tuple(cells)
        self.show(self.columns(), rows, self._keys)
        return None


class _Grid(Page):
    key, title = "grid", msg("Tasting")

    def build(self, leaf: Leaf) -> None:
        leaf.set_title(self.title, msg("Tasting"))
        model = _Scores()
        columns = [Column("taster", 110, align="left")]
        columns += [
            Column(str(n), 90, editable=True, role="score", one_key="123456789" if n > 32 else "")
            for n in range(1, _CELLS + 1)
        ]
        rows = [
            [Cell(f"Taster {row}", "name"),
             *(Cell("", "due", small=f"{100 + column}") for column in range(_CELLS))]
            for row in range(_TASTERS)
        ]  # fmt: skip
        model.show(columns, rows)
        self.table = CellsTable(model, msg("Tasting"), moves_on="right")
        leaf.add(self.table)
        for row in range(_TASTERS):
            leaf.anchor(f"{row}", self.table, lambda row=row: self.table.row_rect(row))

    def refresh(self, kinds: frozenset[str]) -> None:
        pass

    def margin(self) -> Margin:
        notes = (MarginNote(str(row), "missing", msg("Tasting")) for row in range(0, 20, 4))
        return Margin(msg("Tasting"), tuple(notes))


class _Paints(QObject):
    """Counts paint events of the whole program."""

    count = 0

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:  # noqa: N802
        if event.type() == QEvent.Type.Paint:
            self.count += 1
        return False


@pytest.fixture
def grid(book, qtbot):
    window = Window(
        SampleNotebook(),
        [PageEntry("grid", 5, msg("Tasting"), _Grid)],
        lambda notebook, trial: SpineText("Tasting"),
    )
    window.desk.trial_id = "1"
    window.resize(1280, 800)
    window.show()
    window.open_page("grid")
    qtbot.waitUntil(window.isActiveWindow)
    qtbot.waitUntil(lambda: not window.background.is_busy(), timeout=60_000)
    yield window.page().table
    window.close()
    window.deleteLater()


def _keystrokes(table: CellsTable, app: QApplication, cells: int) -> dict[str, list[float]]:
    paints = _Paints()
    app.installEventFilter(paints)
    taken: dict[str, list[float]] = {"open": [], "type": [], "enter": [], "one key": []}

    def press(kind: str, key: Qt.Key) -> None:
        app.processEvents()
        target, before = QApplication.focusWidget(), paints.count
        start = time.perf_counter()
        QTest.keyClick(target, key)
        app.processEvents()
        taken[kind].append((time.perf_counter() - start) * 1000)
        assert paints.count > before, kind

    for number in range(cells):
        table.go_to(number % (_TASTERS - 1), 1 + number // (_TASTERS - 1))
        press("open", Qt.Key.Key_6)
        press("type", Qt.Key.Key_Period)
        press("type", Qt.Key.Key_7)
        press("enter", Qt.Key.Key_Return)
    table.go_to(0, 34)
    for _ in range(cells):
        press("one key", Qt.Key.Key_5)
    app.removeEventFilter(paints)
    return taken


def test_a_key_is_painted_within_16_ms(grid, book, repeats, figure):
    taken = _keystrokes(grid, book, 40 * repeats)
    every = sorted(value for values in taken.values() for value in values)
    assert len(every) == 5 * 40 * repeats
    for kind, values in taken.items():
        figure(f"median, {kind}", sorted(values)[len(values) // 2], "ms")
    p99 = every[min(int(len(every) * 0.99), len(every) - 1)]
    figure(f"key to painted cell, p99 of {len(every)} keys, 20 x 64", p99, "ms", limit=_LIMIT_MS)

"""All parts of the kit on one page, to be looked at. `python -m tests.ui.parts_page OUTDIR`."""

from __future__ import annotations

import os
import sys
from pathlib import Path

from PySide6.QtCore import QPointF, QRectF, QSize
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QLabel, QVBoxLayout, QWidget

from trialbench.model.message import msg
from trialbench.ui import theme
from trialbench.ui.blanks import Blank
from trialbench.ui.cells import Cell, CellsModel, Column
from trialbench.ui.cells_table import CellsTable
from trialbench.ui.cord import Cord, CordShape
from trialbench.ui.leaf import Leaf
from trialbench.ui.page import Page
from trialbench.ui.signs import MARK_NAMES, MethodSign, paint_rail_mark, paint_stitch
from trialbench.ui.strands import paint_strand
from trialbench.ui.text import Line, Rule
from trialbench.ui.thread import ThreadPicture
from trialbench.ui.values import Value
from trialbench.ui.verbs import TextVerb, Verb


class _Drawn(QLabel):
    def __init__(self, width: int, height: int, paint, name: str) -> None:
        super().__init__()
        self._size, self._paint = QSize(width, height), paint
        self.setFixedSize(self._size)
        self.setAccessibleName(name)

    def paintEvent(self, event) -> None:  # noqa: N802
        painter = QPainter(self)
        self._paint(painter)
        painter.end()


class _Quiet(CellsModel):
    def commit(self, row: int, column: int, text: str) -> None:
        return None


def _titled(title: str) -> tuple[QWidget, QVBoxLayout]:
    box = QWidget()
    column = QVBoxLayout(box)
    column.setContentsMargins(0, 0, 0, 0)
    column.setSpacing(6)
    column.addWidget(Line("section", title))
    column.addWidget(Rule("ink"))
    return box, column


def _beside(part: QWidget, words: str) -> QHBoxLayout:
    row = QHBoxLayout()
    row.setSpacing(12)
    row.addWidget(part)
    row.addWidget(Line("cell", words, colour="pencil"), 1)
    return row


class PartsPage(Page):
    key, title = "parts", msg("Parts")

    def build(self, leaf: Leaf) -> None:
        leaf.set_title(self.title, "The signs and states every page is made of.")
        grid = QGridLayout()
        grid.setHorizontalSpacing(30)
        grid.setVerticalSpacing(20)
        parts = (self._methods, self._stitches, self._rail, self._cells, self._verbs, self._five)
        for number, make in enumerate(parts):
            grid.addWidget(make(), number // 3, number % 3)
            grid.setColumnStretch(number % 3, 1)
        leaf.add(grid)

    def refresh(self, kinds: frozenset[str]) -> None:
        pass

    def _methods(self) -> QWidget:
        box, column = _titled("Method: sign, colour, strand, field")
        for letter in "ABCD":
            row = QHBoxLayout()
            row.addWidget(MethodSign(letter, weight=600))
            row.addWidget(
                _Drawn(
                    130,
                    24,
                    lambda p, m=letter: paint_strand(p, m, QPointF(4, 12), QPointF(126, 12)),
                    f"strand {letter}",
                )
            )
            row.addWidget(
                _Drawn(
                    44,
                    24,
                    lambda p, m=letter: p.fillRect(QRectF(0, 1, 44, 22), theme.method_tint(m)),
                    f"field {letter}",
                )
            )
            column.addLayout(row)
        column.addLayout(_beside(Cord(CordShape("AB", (0.6, 1.0)), "apart"), "together, apart"))
        column.addStretch(1)
        return box

    def _stitches(self) -> QWidget:
        box, column = _titled("Stitch: how far a page has come")
        for stitch, words in (
            ("none", "not begun"),
            ("begun", "begun"),
            ("sewn", "complete"),
            ("sealed", "sealed"),
        ):

            def paint(painter: QPainter, s: str = stitch) -> None:
                painter.fillRect(QRectF(0, 0, 44, 54), theme.colour("cloth"))
                paint_stitch(painter, s, 22, 27)

            column.addLayout(_beside(_Drawn(44, 54, paint, words), words))
        column.addStretch(1)
        return box

    def _rail(self) -> QWidget:
        box, column = _titled("Rail: what a margin note is about")
        for mark in MARK_NAMES:
            colour = "watch" if mark == "watch" else "ink"
            column.addLayout(
                _beside(
                    _Drawn(
                        18,
                        24,
                        lambda p, m=mark, c=colour: paint_rail_mark(
                            p, m, 9, 2, 22, theme.colour(c)
                        ),
                        mark,
                    ),
                    mark,
                )
            )
        column.addStretch(1)
        return box

    def _cells(self) -> QWidget:
        box, column = _titled("Cells")
        model = _Quiet()
        rows = [
            (Cell("1 566"), Cell("written")),
            (Cell("", "not_due"), Cell("not due yet")),
            (Cell("", "due"), Cell("due now")),
            (
                Cell("16 390", "refused", reason="More than it weighed raw."),
                Cell("refused, not written"),
            ),
            (Cell("", "missing", reason="left early"), Cell("missing, with its reason")),
            (Cell("2 405", "left_out"), Cell("left out, kept")),
            (Cell("33.5 %", "reckoned"), Cell("reckoned, not typed")),
        ]
        model.show([Column("g", 92, editable=True), Column("state", align="left")], rows)
        self.table = CellsTable(model, "Cells")
        column.addWidget(self.table)
        column.addStretch(1)
        return box

    def _verbs(self) -> QWidget:
        box, column = _titled("Verbs: say the verb, the thing, the effect")
        column.addLayout(_beside(Verb("Seal the plan", due=True), "due now; one a page at most"))
        column.addLayout(_beside(Verb("Weigh the pieces"), "can be done"))
        column.addLayout(_beside(Verb("Open the key", why="11 cards are out"), "not yet; says why"))
        self.focused = Verb("Weigh the pieces")
        column.addLayout(_beside(self.focused, "keyboard focus"))
        column.addLayout(_beside(TextVerb("Rest both for 45 min"), "verb in a note"))
        column.addWidget(Line("body", [Value("core", "92 °C"), "   a value that can be changed"]))
        column.addWidget(Line("sentence", [Blank("days", "4"), " cook days"]))
        self.refused = Blank("days", "0")
        self.line = Line("sentence", [self.refused, " cook days"])
        column.addWidget(self.line)
        self.refused.refuse("A trial takes 1 cook day or more. Not written.")
        column.addStretch(1)
        return box

    def _five(self) -> QWidget:
        box, column = _titled("Five findings")
        for low, high, words in (
            (0.9, 2.0, "Juicier, and by enough"),
            (0.2, 2.2, "Juicier; how much is not pinned down"),
            (0.1, 0.7, "Juicier, too little to matter"),
            (-0.4, 0.5, "No difference that matters"),
            (-0.6, 1.6, "Not settled; 8 cook days would do"),
        ):
            half = (high - low) / 2
            inner = (low + 0.2 * half, high - 0.2 * half)
            picture = ThreadPicture((low + high) / 2, (low, high), inner, 0.8, (-1.2, 2.5), words)
            picture.setFixedWidth(150)
            row = QHBoxLayout()
            row.addWidget(picture)
            row.addWidget(Line("chapter", words), 1)
            column.addLayout(row)
        column.addStretch(1)
        return box


def _settle(app, window) -> None:
    from PySide6.QtCore import QDeadlineTimer, QEventLoop

    limit = QDeadlineTimer(20_000)
    app.processEvents()
    while window.background.is_busy() and not limit.hasExpired():
        app.processEvents(QEventLoop.ProcessEventsFlag.AllEvents, 50)
    for _ in range(4):
        app.processEvents()


def shoot(outdir: Path, size: tuple[int, int] | None = None) -> list[Path]:
    """Render the parts and the sample pages, light and dark; returns the files."""
    from PySide6.QtWidgets import QApplication

    from tests.ui.sample_book import sample_window

    app = QApplication.instance() or QApplication([])
    assert isinstance(app, QApplication)
    made = []
    outdir.mkdir(parents=True, exist_ok=True)
    for name in ("light", "dark"):
        theme.install(app, name)
        theme.set_still(True)
        window = sample_window()
        window.resize(1600 if size is None else size[0], 800 if size is None else size[1])
        window.show()
        for page in (
            "parts",
            "question",
            "methods",
            "plan",
            "cook",
            "tasting",
            "findings",
            "contents",
            "index",
        ):
            if size is None:
                window.resize(1600 if page == "parts" else 1280, 800)
            window.open_page(page)
            _settle(app, window)
            target = outdir / f"{page}-{name}.png"
            window.grab().save(str(target))
            made.append(target)
        window.close()
    return made


if __name__ == "__main__":
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    os.environ["MPLBACKEND"] = "Agg"
    for file in shoot(Path(sys.argv[1])):
        print(file)

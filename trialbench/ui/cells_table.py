"""The table one writes in: keyboard first, as high as its rows, refusals in their own row."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Literal

from PySide6.QtCore import (
    QItemSelectionModel,
    QModelIndex,
    QRect,
    QSize,
    Qt,
    Signal,
    Slot,
)
from PySide6.QtGui import QFocusEvent, QKeyEvent, QMouseEvent, QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QFrame,
    QSizePolicy,
    QTableView,
    QWidget,
)

from trialbench.model.errors import Refused
from trialbench.model.margin import NoteVerb
from trialbench.model.message import Message, say
from trialbench.ui import theme
from trialbench.ui.blanks import Refusal
from trialbench.ui.cell_paint import CellDelegate, CellEdit
from trialbench.ui.cell_widths import column_widths
from trialbench.ui.cells import CellsModel, Index
from trialbench.ui.cells_head import HeadLine
from trialbench.ui.cells_held import HeldColumn
from trialbench.ui.paper_scroll import PaperScrollBar

_REFUSAL_PX = 32
_TYPING = Qt.KeyboardModifier.KeypadModifier | Qt.KeyboardModifier.ShiftModifier


class CellsTable(QTableView):
    """A view of a `CellsModel`. Enter goes down, Tab right, Esc as it was; typing starts writing.

    `rows` is "desk" (40), "stove" (44); at counter size rows are 110 high. `moves_on` is where a
    cell filled by one key goes next. `way_out(row, column, NoteVerb)` comes as one tuple;
    `column_ended()`: Enter went down from the last cell of a column.
    """

    way_out = Signal(object)
    head_pressed = Signal(object)
    current_changed = Signal(object)
    column_ended = Signal()

    def __init__(
        self,
        model: CellsModel,
        name: Message | str,
        parent: QWidget | None = None,
        *,
        rows: Literal["desk", "stove"] = "desk",
        moves_on: Literal["right", "down"] = "right",
    ) -> None:
        super().__init__(parent)
        self._rows, self._moves_on = rows, moves_on
        self._refusals: dict[int, Refusal] = {}
        self._leaving = False
        self._filled: QModelIndex | None = None
        self.setModel(model)
        model.setParent(self)
        self._delegate = CellDelegate(
            model, self.row_px, "cell" if rows == "desk" else "cell_stove", self
        )
        self._delegate.typed.connect(self._typed)
        self._delegate.left.connect(self._leave)
        self.setItemDelegate(self._delegate)
        self.setAccessibleName(say(name))
        self.setProperty("ownFocus", True)
        self._dress()
        model.modelReset.connect(self.measure)
        model.refusals_changed.connect(self.measure)
        theme.signals().theme_changed.connect(self.measure)
        self.current_changed.connect(HeldColumn(self).follow)
        self.measure()

    def _dress(self) -> None:
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setShowGrid(False)
        self.setHorizontalHeader(HeadLine(self))
        self.verticalHeader().hide()
        self.verticalHeader().setMinimumSectionSize(8)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setHorizontalScrollBar(PaperScrollBar(Qt.Orientation.Horizontal))
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setTabKeyNavigation(True)
        self.setWordWrap(False)

    def cells(self) -> CellsModel:
        model = self.model()
        assert isinstance(model, CellsModel)
        return model

    # --- measure -------------------------------------------------------------------------------

    def row_px(self) -> float:
        """Height of a row without a refusal."""
        if theme.is_counter():
            return float(theme.size("row_counter"))
        return theme.px(theme.size(f"row_{self._rows}"))

    @Slot()
    def measure(self) -> None:
        """Set widths and heights; refusals get their line in their row."""
        palette = self.palette()
        palette.setColor(palette.ColorRole.Base, theme.colour("page"))
        self.setPalette(palette)
        self._show_refusals()
        row_px = round(self.row_px())
        total = 0
        self._set_spans()
        for row in range(self.cells().rowCount()):
            extra = 0
            if row in self._refusals:
                width = max(self.viewport().width(), 200)
                extra = max(self._refusals[row].heightForWidth(width) + 10, _REFUSAL_PX)
            if self.rowHeight(row) != row_px + extra:
                self.setRowHeight(row, row_px + extra)
            total += row_px + extra
        self._share_width()
        bar = self.horizontalScrollBar()
        overflow = self.horizontalHeader().length() > self.viewport().width()
        self.horizontalHeader().setVisible(not theme.is_counter())
        head = 0 if theme.is_counter() else self.horizontalHeader().sizeHint().height()
        self.setFixedHeight(total + head + (bar.height() if overflow else 0))
        self._place_refusals()

    def _set_spans(self) -> None:
        """A cell may stand over its right neighbours (a reason for several missing ones)."""
        self.clearSpans()
        for row in range(self.cells().rowCount()):
            for column in range(self.cells().columnCount()):
                span = self.cells().kept(row, column).span
                if span > 1:
                    self.setSpan(row, column, 1, span)

    def _share_width(self) -> None:
        widths = column_widths(self.cells().columns(), self.viewport().width())
        for number, wide in enumerate(widths):
            if self.columnWidth(number) != wide:
                self.setColumnWidth(number, wide)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.measure()

    def minimumSizeHint(self) -> QSize:
        return QSize(200, self.minimumHeight())

    def row_rect(self, row: int) -> QRect:
        """Where a row stands in this widget: for `leaf.anchor(line, table, lambda: ...)`."""
        top = self.rowViewportPosition(row) + self.viewport().y()
        return QRect(0, top, self.width(), self.rowHeight(row))

    def row_place(self, row: int) -> Callable[[], QRect]:
        """The same, asked later: the third argument of `leaf.anchor`."""
        return partial(self.row_rect, row)

    # --- refusals ------------------------------------------------------------------------------

    def _show_refusals(self) -> None:
        model = self.cells()
        found = {row: model.refusal_in(row) for row in range(model.rowCount())}
        wanted = {row: refused for row, refused in found.items() if refused is not None}
        for row in [row for row in self._refusals if row not in wanted]:
            gone = self._refusals.pop(row)
            gone.hide()
            gone.deleteLater()
        for row, (_, cell) in wanted.items():
            refused = Refused(cell.reason)
            if row in self._refusals:
                self._refusals[row].show_reason(refused, cell.verbs)
                continue
            line = Refusal(refused, cell.verbs)
            line.setParent(self.viewport())
            line.chosen.connect(self._take_way_out)
            self._refusals[row] = line
            line.show()

    def _place_refusals(self) -> None:
        for row, line in self._refusals.items():
            top = self.rowViewportPosition(row) + round(self.row_px())
            width = self.viewport().width()
            line.setGeometry(0, top, width, line.heightForWidth(width))

    @Slot(object)
    def _take_way_out(self, verb: NoteVerb) -> None:
        row = next(n for n, line in self._refusals.items() if line is self.sender())
        found = self.cells().refusal_in(row)
        if found is None:
            return
        index = self.cells().index(row, found[0])
        if verb.name == "again":
            self.write_in(row, found[0])
        elif verb.name == "kept":
            self.cells().drop_refusal(row, found[0])
            self.setCurrentIndex(index)
            self.setFocus(Qt.FocusReason.OtherFocusReason)
        else:
            self.way_out.emit((row, found[0], verb))

    # --- keys ----------------------------------------------------------------------------------

    def keyPressEvent(self, event: QKeyEvent) -> None:
        index = self.currentIndex()
        plain = not event.modifiers() & ~_TYPING
        filled, self._filled = self._filled, None
        if not index.isValid() or not plain:
            super().keyPressEvent(event)
        elif (filled is not None and self._end_key(filled, event.key())) or self._one_key(
            index, event.text()
        ):
            return
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._move(index, "down")
        elif event.key() == Qt.Key.Key_F2:
            self.write_in(index.row(), index.column())
        elif event.key() in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
            self.write_in(index.row(), index.column(), "")
        elif event.text().strip() and event.text().isprintable():
            self.write_in(index.row(), index.column(), event.text())
        else:
            super().keyPressEvent(event)

    def write_in(self, row: int, column: int, typed: str | None = None) -> None:
        """Open a cell to write in it: with what it holds chosen, or with what was typed."""
        if not self.cells().is_editable(row, column) or self._editor() is not None:
            return
        index = self.cells().index(row, column)
        if self.currentIndex() != index:
            self._go(row, column)
        self.edit(index)
        editor = self._editor()
        if editor is None:
            return
        if typed is None:
            editor.selectAll()
            return
        editor.setText(typed)
        editor.setModified(True)
        self._typed(typed)

    def _editor(self) -> CellEdit | None:
        """The open cell; one that was left waits hidden to be deleted."""
        open_ones = (e for e in self.viewport().findChildren(CellEdit) if not e.isHidden())
        return next(open_ones, None)

    def _one_key(self, index: QModelIndex, text: str) -> bool:
        column = self.cells().columns()[index.column()]
        if len(text) != 1 or text not in column.one_key:
            return False
        if not self.cells().is_editable(index.row(), index.column()):
            return False
        if self.cells().write(index.row(), index.column(), text):
            self._move(index, self._moves_on)
            self._filled = index if self.currentIndex() != index else None
        return True

    def _end_key(self, filled: QModelIndex, key: int) -> bool:
        """Tab or Enter after a key that moved on ends that cell: no score comes into another."""
        down = key in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        move = "right" if key == Qt.Key.Key_Tab else "down" if down else None
        if move is not None and move != self._moves_on:
            self._move(filled, move)
        return move is not None

    @Slot(object)
    def _typed(self, text: str) -> None:
        index = self.currentIndex()
        if index.isValid():
            self.cells().typed(index.row(), index.column(), text)

    @Slot(object)
    def _leave(self, move: str) -> None:
        """The open cell is left by a key: written, or as it was."""
        editor = self._editor()
        index = self.currentIndex()
        if editor is None or not index.isValid():
            return
        hint = CellDelegate.EndEditHint.NoHint
        self._leaving = True
        if move == "back":
            kept = self.cells().kept(index.row(), index.column()).text
            self.cells().typed(index.row(), index.column(), kept)
            self.cells().drop_refusal(index.row(), index.column())
            written = False
        else:
            written = self._write_from(editor, index)
        self.closeEditor(editor, hint)
        self._leaving = False
        self.setFocus(Qt.FocusReason.OtherFocusReason)
        if written:
            self._move(index, move)

    def commitData(self, editor: QWidget) -> None:
        """Focus went elsewhere: what stands in the open cell is written."""
        index = self.currentIndex()
        if not self._leaving and isinstance(editor, CellEdit) and index.isValid():
            self._write_from(editor, index)

    def _write_from(self, editor: CellEdit, index: QModelIndex) -> bool:
        shown = self.cells().cell(index.row(), index.column())
        if editor.text() == shown.text and shown.state != "refused":
            return True
        return self.cells().write(index.row(), index.column(), editor.text())

    def _move(self, index: QModelIndex, move: str) -> None:
        """Go to the next cell that can be written, in the direction of `move`."""
        if not index.isValid():
            return
        steps = {"down": (1, 0), "up": (-1, 0), "right": (0, 1), "left": (0, -1)}
        down, right = steps[move]
        row, column = index.row() + down, index.column() + right
        rows, columns = self.cells().rowCount(), self.cells().columnCount()
        while 0 <= row < rows:
            while 0 <= column < columns:
                if self.cells().is_editable(row, column):
                    self._go(row, column)
                    return
                row, column = row + down, column + right
                if not 0 <= row < rows:
                    break
            if not right:
                break
            row, column = row + right, 0 if right > 0 else columns - 1
        if down > 0:
            self.column_ended.emit()

    def _go(self, row: int, column: int) -> None:
        self.selectionModel().setCurrentIndex(
            self.cells().index(row, column), QItemSelectionModel.SelectionFlag.ClearAndSelect
        )

    def go_to(self, row: int, column: int) -> None:
        """Put the keyboard into a cell."""
        self._go(row, column)
        self.setFocus(Qt.FocusReason.OtherFocusReason)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Only the cell one is in shows focus. Qt would paint the whole table again, twice for
        every cell that is opened and left."""
        index = self.currentIndex()
        if not index.isValid():
            self._go_first()
            index = self.currentIndex()
        editable = index.isValid() and self.cells().is_editable(index.row(), index.column())
        self.setAttribute(Qt.WidgetAttribute.WA_InputMethodEnabled, editable)
        self.update(index)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        self.update(self.currentIndex())

    def _go_first(self) -> None:
        """The first cell that can be written, else the first."""
        model = self.cells()
        places = [(r, c) for r in range(model.rowCount()) for c in range(model.columnCount())]
        for row, column in places:
            if model.is_editable(row, column):
                self._go(row, column)
                return
        if places:
            self._go(*places[0])

    def focus_rect(self) -> QRect:
        """Where on this widget one is writing: the row's note opens beside it."""
        rect = self.visualRect(self.currentIndex())
        return rect.translated(self.viewport().pos())

    def currentChanged(self, current: Index, previous: Index) -> None:
        super().currentChanged(current, previous)
        self.current_changed.emit((current.row(), current.column()))

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """A press on a cell that is due, or on the one you are in, opens it."""
        self._filled = None
        index = self.indexAt(event.position().toPoint())
        was = self.currentIndex() == index and self.hasFocus()
        super().mousePressEvent(event)
        if index.isValid():
            due = self.cells().cell(index.row(), index.column()).state in ("due", "refused")
            if due or was:
                self.write_in(index.row(), index.column())

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        index = self.indexAt(event.position().toPoint())
        if index.isValid():
            self.write_in(index.row(), index.column())

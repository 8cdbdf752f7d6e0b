"""Cells of a table in which one writes: what a cell holds, and the model a page gives them with."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt, Signal

from trialbench.model.errors import Refused
from trialbench.model.margin import NoteVerb
from trialbench.model.message import Message, msg, say

CellState = Literal[
    "written", "not_due", "due", "refused", "missing", "left_out", "reckoned", "name", "method"
]
Index = QModelIndex | QPersistentModelIndex
CELL_ROLE = Qt.ItemDataRole.UserRole + 1

_SPOKEN_STATE: dict[str, Message] = {
    "not_due": msg("not due yet"),
    "due": msg("due now, empty"),
    "refused": msg("refused, not written"),
    "missing": msg("missing"),
    "left_out": msg("left out, kept"),
    "reckoned": msg("reckoned"),
}


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell. `text` is shown as it is; an empty written cell shows nothing.

    `small` stands beside the text in pencil (a code, "pair 3"). `reason` is why it is missing or
    refused; `verbs` are the ways out of a refusal. `letter` is the method of a method cell.
    `editable` None leaves it to the column. `spoken` replaces the text for a screen reader.
    `span` counts the columns it stands over.
    """

    text: str = ""
    state: CellState = "written"
    small: str = ""
    reason: Message | str = ""
    verbs: tuple[NoteVerb, ...] = ()
    letter: str = ""
    weight: int | None = None
    colour: str = ""
    editable: bool | None = None
    spoken: str = ""
    span: int = 1


@dataclass(frozen=True, slots=True)
class Column:
    """One column. `title` may have two lines. `width_px` 0 shares what is left, by `share`.

    `one_key` names the keys that fill a cell and move on by themselves ("123456789").
    `role` is the type of its cells; "" is that of the table (15 px, 17 at the stove).
    `underlined` is the part of the title that is a switch; pressing the title then emits
    `head_pressed`.
    """

    title: Message | str
    width_px: int = 0
    share: float = 1.0
    align: Literal["left", "right"] = "right"
    editable: bool = False
    one_key: str = ""
    role: str = ""
    underlined: bool = False


class CellsModel(QAbstractTableModel):
    """The model of a table of cells. A page subclasses it and gives `commit` and `typed`.

    `show` replaces columns and rows; cells that did not change are not painted again. A refused
    text stays in sight until it is written again or dropped, whatever `show` brings.
    """

    refusals_changed = Signal()

    def __init__(self, parent: Any = None) -> None:
        super().__init__(parent)
        self._columns: tuple[Column, ...] = ()
        self._rows: list[tuple[Cell, ...]] = []
        self._keys: list[str] = []
        self._refused: dict[tuple[str, int], Cell] = {}

    # --- what a page gives ---------------------------------------------------------------------

    def commit(self, row: int, column: int, text: str) -> Refused | None:
        """Write the text of a cell. Returns why not when it is refused; nothing is written then."""
        raise NotImplementedError

    def typed(self, row: int, column: int, text: str) -> None:
        """Every key in an open cell: keep it as a draft."""

    def dropped(self, row: int, column: int) -> None:
        """A refused text was given up: forget its draft."""

    def ways_out(self, row: int, column: int, refused: Refused) -> tuple[NoteVerb, ...]:
        """Verbs beside a refusal. "again" and "kept" are done by the table; others come out of
        `CellsTable.way_out`."""
        held = self._rows[row][column].text
        kept = msg("Keep {text}", text=held) if held else msg("Leave it empty")
        return (NoteVerb(msg("Write it again"), "again"), NoteVerb(kept, "kept"))

    def row_name(self, row: int) -> str:
        """What a screen reader says of a row; the first cell's text unless a page knows better."""
        return self._rows[row][0].text

    # --- what is shown -------------------------------------------------------------------------

    def show(
        self,
        columns: Sequence[Column],
        rows: Sequence[Sequence[Cell]],
        keys: Sequence[str] | None = None,
    ) -> None:
        """Show columns and rows. `keys` name the rows, so that a refusal stays with its row."""
        listed = [tuple(row) for row in rows]
        names = list(keys) if keys is not None else [str(n) for n in range(len(listed))]
        known = tuple(columns)
        if known != self._columns or names != self._keys:
            self.beginResetModel()
            self._columns, self._rows, self._keys = known, listed, names
            self.endResetModel()
            return
        old, self._rows = self._rows, listed
        for number, (before, after) in enumerate(zip(old, listed, strict=True)):
            for place, (was, now) in enumerate(zip(before, after, strict=True)):
                if was != now:
                    index = self.index(number, place)
                    self.dataChanged.emit(index, index)

    def put(self, row: int, column: int, cell: Cell) -> None:
        """Show one cell anew, and leave the others alone."""
        cells = self._rows[row]
        if cells[column] != cell:
            self._rows[row] = (*cells[:column], cell, *cells[column + 1 :])
            index = self.index(row, column)
            self.dataChanged.emit(index, index)

    def columns(self) -> tuple[Column, ...]:
        return self._columns

    def cell(self, row: int, column: int) -> Cell:
        """The cell as it is shown: the refused text while there is one."""
        if self._refused:
            refused = self._refused.get((self._keys[row], column))
            if refused is not None:
                return refused
        return self._rows[row][column]

    def kept(self, row: int, column: int) -> Cell:
        """The cell as it is written, under a refusal."""
        return self._rows[row][column]

    def has_due(self) -> bool:
        """Whether a cell waits to be written now."""
        return any(cell.state == "due" for row in self._rows for cell in row)

    def is_editable(self, row: int, column: int) -> bool:
        cell = self.cell(row, column)
        return self._columns[column].editable if cell.editable is None else cell.editable

    # --- writing -------------------------------------------------------------------------------

    def write(self, row: int, column: int, text: str) -> bool:
        """Commit a text; False when it was refused and now stands struck in its cell."""
        refused = self.commit(row, column, text)
        if refused is None:
            self._forget(row, column)
            return True
        self.refuse(row, column, text, refused)
        return False

    def refuse(self, row: int, column: int, text: str, refused: Refused) -> None:
        """Put a refused text into its cell, struck, with its reason (also from a draft)."""
        held = self._rows[row][column]
        verbs = self.ways_out(row, column, refused)
        shown = replace(held, text=text, state="refused", reason=refused.message, verbs=verbs)
        self._refused[(self._keys[row], column)] = shown
        self._say_changed(row, column)

    def drop_refusal(self, row: int, column: int) -> None:
        """Give a refused text up; the cell is as it was."""
        self._forget(row, column)
        self.dropped(row, column)

    def refusal_in(self, row: int) -> tuple[int, Cell] | None:
        """The first refused cell of a row, with its column."""
        for column in range(len(self._columns)):
            cell = self.cell(row, column)
            if cell.state == "refused":
                return column, cell
        return None

    def _forget(self, row: int, column: int) -> None:
        if self._refused.pop((self._keys[row], column), None) is not None:
            self._say_changed(row, column)

    def _say_changed(self, row: int, column: int) -> None:
        index = self.index(row, column)
        self.dataChanged.emit(index, index)
        self.refusals_changed.emit()

    # --- what Qt asks --------------------------------------------------------------------------

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else len(self._columns)

    def flags(self, index: Index) -> Qt.ItemFlag:
        usual = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable
        if self.is_editable(index.row(), index.column()):
            return usual | Qt.ItemFlag.ItemIsEditable
        return usual

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        cell = self.cell(index.row(), index.column())
        if role == CELL_ROLE:
            return cell
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.EditRole):
            return cell.text
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return self._spoken(index.row(), index.column(), cell)
        return None

    def setData(self, index: Index, value: Any, role: int = Qt.ItemDataRole.EditRole) -> bool:
        if role != Qt.ItemDataRole.EditRole:
            return False
        return self.write(index.row(), index.column(), str(value))

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        wanted = (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole)
        if role not in wanted:
            return None
        if orientation == Qt.Orientation.Horizontal:
            return say(self._columns[section].title).replace("\n", " ")
        return self.row_name(section)

    def _spoken(self, row: int, column: int, cell: Cell) -> str:
        words = [self.row_name(row)] if column else []
        words.append(say(self._columns[column].title).replace("\n", " "))
        if cell.letter:
            words.append(say(msg("method {letter}", letter=cell.letter)))
        words += [cell.small] if cell.small else []
        words += [cell.spoken or cell.text] if cell.spoken or cell.text else []
        if cell.state in _SPOKEN_STATE:
            words.append(say(_SPOKEN_STATE[cell.state]))
        elif not cell.text and not cell.letter:
            words.append(say(msg("empty")))
        words += [say(cell.reason)] if say(cell.reason) else []
        return ", ".join(words)

"""The matching list as a table: a row a piece of one cook day, a column for what is wanted."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from trialbench.model.errors import Refused
from trialbench.model.message import Message, msg, say
from trialbench.model.numbers import shortest
from trialbench.model.quantities import show_mass
from trialbench.model.records import Load, Pair, Piece
from trialbench.model.steps import Step
from trialbench.notebook import views
from trialbench.notebook.acts import loads, matching
from trialbench.ui.cells import Cell, Column
from trialbench.ui.page import Desk
from trialbench.ui.pages.drafted_cells import DraftedCells, said_missing

ALWAYS = ("bought_g", "source")
OPENED = ("side", "lot", "thickness_mm", "marbling", "frozen", "ph", "load_id")
"""Columns that are opened by their name; they stand by themselves where something is in them."""

_NAMES: dict[str, Message] = {
    **{field: said for field, (said, _) in matching.FIELDS.items()},
    "load_id": msg("pan, bag or box"),
}
_PX = {"pair": 64, "bought_g": 96, "side": 76, "lot": 84, "thickness_mm": 84, "marbling": 84,
       "frozen": 76, "ph": 56, "load_id": 96}  # fmt: skip
_PIECE_PX, _TAKES_PART_PX = 74, 120
_YES = {"yes", "in"}


def column_name(field: str) -> Message:
    """How a column is called."""
    return _NAMES[field]


class MatchingModel(DraftedCells):
    """Rows are all pieces of a cook day, spares and rejected ones among them."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self.cook_id = ""
        self.fields: tuple[str, ...] = ()
        self._pieces: tuple[Piece, ...] = ()

    # --- what is shown -------------------------------------------------------------------------

    def show_cook(self, cook_id: str, opened: frozenset[str], *, paired: bool, two: bool) -> None:
        """Show one cook day. `opened` are the columns asked for by name; `paired`: a column for
        the pair (the set, where there are more than `two` methods)."""
        book = self._desk.notebook
        self.cook_id = cook_id
        self._pieces = views.every_piece(book, cook_id)
        wanted = [*ALWAYS, *(f for f in OPENED if f in opened or self._holds(f))]
        self.fields = (*(("pair",) if paired else ()), *wanted, "takes_part")
        rows = [self._row(book, piece) for piece in self._pieces]
        self.show(self._columns_now(two), rows, [piece.id for piece in self._pieces])

    def _holds(self, field: str) -> bool:
        return any(getattr(piece, field) not in ("", None) for piece in self._pieces)

    def missing_columns(self) -> tuple[str, ...]:
        """Columns that could be opened."""
        return tuple(field for field in OPENED if field not in self.fields)

    def _columns_now(self, two: bool) -> list[Column]:
        unit = views.cover(self._desk.notebook).mass_unit
        found = [Column(msg("piece"), _PIECE_PX, align="left")]
        for field in self.fields:
            if field == "pair":
                title: Message | str = msg("pair") if two else msg("set")
            elif field == "takes_part":
                title = msg("takes part")
            elif field == "bought_g":
                title = msg("as bought,\n{unit}", unit=unit)
            elif field == "thickness_mm":
                title = msg("thickness,\nmm")
            else:
                title = _NAMES[field]
            wide = _TAKES_PART_PX if field == "takes_part" else _PX.get(field, 0)
            right = field in ("bought_g", "thickness_mm", "ph")
            found.append(Column(title, wide, align="right" if right else "left", editable=True))
        return found

    def _row(self, book: Any, piece: Piece) -> list[Cell]:
        cells = [Cell(piece.label, "name", weight=600)]
        part = views.takes_part(piece)
        for field in self.fields:
            text = self._text(book, piece, field)
            if field == "takes_part":
                cells.append(_takes_part(piece))
            elif field == "pair" and not part:
                cells.append(Cell("\u2013", "not_due", editable=False))
            elif field in ALWAYS and not text and part and piece.method_id is None:
                cells.append(Cell(state="due"))
            else:
                cells.append(Cell(text))
        return cells

    def _text(self, book: Any, piece: Piece, field: str) -> str:
        if field == "pair":
            pair = book.find(Pair, piece.pair_id)
            return str(pair.number) if pair else ""
        if field == "load_id":
            load = book.find(Load, piece.load_id)
            return load.name if load else ""
        if field == "bought_g":
            unit = views.cover(book).mass_unit
            return "" if piece.bought_g is None else show_mass(piece.bought_g, unit)
        value = getattr(piece, field, "")
        return shortest(value) if isinstance(value, float) else str(value or "")

    # --- writing -------------------------------------------------------------------------------

    def place(self, row: int, column: int) -> str:
        return f"match:{self._pieces[row].id}:{self.fields[column - 1]}"

    def step(self, row: int, column: int, text: str) -> Step:
        book, piece, field = self._desk.notebook, self._pieces[row], self.fields[column - 1]
        if field == "pair":
            return matching.set_pair(book, piece.id, text)
        if field == "load_id":
            return loads.put_in(book, piece.id, text)
        if field != "takes_part":
            return matching.set_match(book, piece.id, field, text)
        why = said_missing(text)
        if why is not None:
            return matching.reject(book, piece.id, why)
        if text.casefold() in ("spare", say(msg("spare"))):
            return matching.make_spare(book, piece.id)
        if not text or text.casefold() in {*_YES, say(msg("yes"))}:
            return matching.take_in(book, piece.id)
        raise Refused(
            msg("Yes, spare, or a dash and why it is rejected. You wrote {typed}.", typed=text),
            field="piece.spare",
            typed=text,
            allowed=msg("yes, spare, or a dash and why: - a broken bone"),
            way_out=msg("Write it again."),
        )

    def writable(self) -> Iterator[tuple[int, int]]:
        columns = range(1, 1 + len(self.fields))
        return ((row, column) for row in range(len(self._pieces)) for column in columns)

    def row_of(self, piece_id: str) -> int | None:
        """The row of a piece."""
        ids = [piece.id for piece in self._pieces]
        return ids.index(piece_id) if piece_id in ids else None


def _takes_part(piece: Piece) -> Cell:
    if piece.rejected_reason:
        return Cell(piece.rejected_reason, "missing", reason=piece.rejected_reason)
    return Cell(say(msg("spare")) if piece.spare else say(msg("yes")))

"""The list for whoever plates and does not taste: which code gets a portion of which piece."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from trialbench.model.message import msg
from trialbench.model.records import Piece, Sample, Sitting, Taster
from trialbench.notebook import views
from trialbench.ui.runs import Item, Run
from trialbench.ui.table import ReadingColumn, ReadingTable

_PIECES_ACROSS = 6
_ROW_PX, _NAME_PX = 32, 118


def plate_tables(
    book: Any, sitting: Sitting, piece_of: Mapping[str, str | None]
) -> list[ReadingTable]:
    """A taster a row, a piece a column; so many pieces that do not fit have a table of their own.

    `piece_of` gives the piece's id for the id of a sample. Reading down a column plates one piece;
    the small number is the place in that taster's order.
    """
    served = {piece_id for piece_id in piece_of.values() if piece_id}
    pieces = [piece for piece in views.pieces(book, sitting.cook_id) if piece.id in served]
    return [
        _table(book, sitting, pieces[first : first + _PIECES_ACROSS], piece_of)
        for first in range(0, len(pieces), _PIECES_ACROSS)
    ]


def _table(
    book: Any, sitting: Sitting, pieces: Sequence[Piece], piece_of: Mapping[str, str | None]
) -> ReadingTable:
    columns = [ReadingColumn(msg("taster"), _NAME_PX)]
    columns += [ReadingColumn(piece.label) for piece in pieces]
    rows: list[list[Item | Sequence[Item]]] = []
    for seat in views.seats(book, sitting.id):
        mine = views.samples(book, sitting.id, seat.taster_id, warm_up=True)
        portions = [[s for s in mine if piece_of.get(s.id) == piece.id] for piece in pieces]
        alias = book.get(Taster, seat.taster_id).alias
        rows.append([Run(alias), *(_said(of_piece) for of_piece in portions)])
    return ReadingTable(columns, rows, row_px=_ROW_PX)


def _said(samples: Sequence[Sample]) -> list[Item]:
    """ "517 no. 1", a portion a line; the warm-up sample first."""
    items: list[Item] = []
    for sample in samples:
        place = (
            msg("\u00a0warm-up")
            if sample.position == 0
            else msg("\u00a0no.\u00a0{place}", place=sample.position)
        )
        items += [Run("\n")] if items else []
        items += [Run(sample.code, weight=600), Run(place, colour="pencil", role="label")]
    return items or [Run("\u2013", colour="pencil")]

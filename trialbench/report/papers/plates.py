"""The plate map: the one paper that holds the key, for the server, who does not taste."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from trialbench.findings.snapshot import TrialRecords
from trialbench.model.errors import Sealed
from trialbench.model.message import msg, say
from trialbench.model.records import Cook, Piece, Sample, Sitting, Taster
from trialbench.notebook import views
from trialbench.planning.stage_words import listed
from trialbench.report.papers.words import (
    Values,
    all_said,
    framed,
    methods_shown,
    said,
)
from trialbench.report.words import Text

_ACROSS = 8
"""Samples in a row of the table; more go on under it."""

PieceOf = Mapping[str, str | None]


def plates_values(
    records: TrialRecords, size: str, sitting: Sitting, piece_of: PieceOf | None
) -> tuple[Values, dict[str, str]]:
    """The values of the template and its pictures.

    `piece_of` gives the piece's id for the id of a sample, from the key; it is not needed once the
    key is open. Raises Sealed without it before.
    """
    known = _known(records, sitting, piece_of)
    methods, pictures = methods_shown(views.methods(records, sitting.trial_id))
    values = framed(msg("Plate map, sitting {number}", number=sitting.number), size) | {
        "warning": say(msg("Tasters must not see this page. It is for the server alone.")),
        "methods": methods,
        "under": all_said(_under(records, sitting)),
        "parts": list(_parts(records, sitting, known)),
        "by_piece_head": say(msg("Piece by piece, for plating")),
        "by_piece_heads": all_said((msg("piece"), msg("method"), msg("goes under these codes"))),
        "by_piece": list(_by_piece(records, sitting, known)),
    }
    return values, pictures


def _known(records: TrialRecords, sitting: Sitting, piece_of: PieceOf | None) -> dict[str, Piece]:
    """Sample id to piece. Raises Sealed."""
    samples = views.samples(records, sitting.id, warm_up=True)
    if not samples:
        raise Sealed(msg("Sitting {number} has no codes yet. Make codes and seal the key first.",
                         number=sitting.number))  # fmt: skip
    if sitting.key_state == "open":
        piece_of = {sample.id: sample.piece_id for sample in samples}
    if piece_of is None:
        raise Sealed(msg("The key of sitting {number} is sealed. The plate map is printed by the "
                         "server, with the key.", number=sitting.number))  # fmt: skip
    found = {sample.id: records.find(Piece, piece_of.get(sample.id)) for sample in samples}
    return {sample_id: piece for sample_id, piece in found.items() if piece is not None}


def _under(records: TrialRecords, sitting: Sitting) -> Iterator[Text]:
    yield views.title(records.trial)
    cook = records.get(Cook, sitting.cook_id)
    yield msg("Trial {trial}, cook day {cook}. Serve each row from left to right. Put the page "
              "out of sight when the plates are out.", trial=records.trial.number,
              cook=cook.number)  # fmt: skip


def _parts(records: TrialRecords, sitting: Sitting, known: Mapping[str, Piece]) -> Iterator[Values]:
    seats = views.seats(records, sitting.id)
    served = {
        seat.taster_id: views.samples(records, sitting.id, seat.taster_id, warm_up=True)
        for seat in seats
    }
    positions = sorted({sample.position for mine in served.values() for sample in mine})
    for first in range(0, len(positions), _ACROSS):
        here = positions[first : first + _ACROSS]
        rows = [
            {
                "taster": said(records.get(Taster, taster_id).alias),
                "cells": [_cell(records, mine, position, known) for position in here],
            }
            for taster_id, mine in served.items()
        ]
        heads: list[Text] = [msg("taster")]
        heads += [msg("warm-up") if p == 0 else msg("plate {place}", place=p) for p in here]
        yield {"heads": all_said(heads), "rows": rows}


def _cell(
    records: TrialRecords, mine: Sequence[Sample], position: int, known: Mapping[str, Piece]
) -> Values | None:
    sample = next((sample for sample in mine if sample.position == position), None)
    if sample is None:
        return None
    piece = known.get(sample.id)
    method = views.method_of_piece(records, piece) if piece is not None else None
    return {
        "code": sample.code,
        "piece": said(piece.label if piece is not None else msg("reference")),
        "letter": method.letter if method else None,
    }


def _by_piece(
    records: TrialRecords, sitting: Sitting, known: Mapping[str, Piece]
) -> Iterator[Values]:
    """What is put on which plates, a piece a row."""
    samples = views.samples(records, sitting.id, warm_up=True)
    for piece in views.every_piece(records, sitting.cook_id):
        mine = [s for s in samples if s.id in known and known[s.id].id == piece.id]
        if mine:
            method = views.method_of_piece(records, piece)
            codes: Sequence[Text] = sorted(sample.code for sample in mine)
            yield {
                "piece": said(piece.label),
                "letter": method.letter if method else None,
                "codes": said(listed(codes)),
            }

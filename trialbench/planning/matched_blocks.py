"""Pieces matched on weight before the draw, where the plan has no pairs of its own."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import TypeVar, cast

from trialbench.model.records import Lot, Pair, Piece, Record, Trial, new_id
from trialbench.planning.of_trial import OfTrial, methods_of, pairs_of, pieces_of
from trialbench.planning.parting_weights import parting_weights

R = TypeVar("R", bound=Record)


@dataclass(frozen=True)
class Rewritten:
    """One trial as it will be: some pieces written anew, `pairs` more, `gone` pairs fewer.

    `anew` are the ids of pieces whose lots are drawn again: those they had do not count.
    """

    base: OfTrial
    pieces: Mapping[str, Piece]
    pairs: tuple[Pair, ...] = field(default=())
    gone: tuple[Pair, ...] = field(default=())
    anew: frozenset[str] = field(default=frozenset())

    @property
    def trial(self) -> Trial:
        """The trial itself."""
        return self.base.trial

    def of(self, kind: type[R]) -> Iterable[R]:
        """Its records of one kind."""
        gone = {pair.id for pair in self.gone}
        found: list[Record] = [
            self.pieces.get(r.id, r)
            for r in self.base.of(kind)
            if r.id not in gone and not (isinstance(r, Lot) and r.piece_id in self.anew)
        ]
        return cast("list[R]", [*found, *(p for p in self.pairs if isinstance(p, kind))])


def is_matched_on_weight(records: OfTrial) -> bool:
    """Whether lots are drawn within pieces of like weight, though the plan has no pairs.

    So it is from two cook days on with several pieces of each method a day, each by itself. On one
    cook day alone such pairs would cost degrees of freedom (policy 6.2), and with one piece of each
    method the day is the block. Pieces that share a vessel are one unit, and are not matched.
    """
    trial = records.trial
    several = trial.pieces_each >= 2 and (trial.planned_cooks or 0) >= 2
    return several and not trial.paired and trial.loads == "alone"


def will_be_matched(records: OfTrial) -> bool:
    """Whether days to come will be matched on weight: at the parting, or early on weights as
    bought where all are known."""
    early = bool(records.trial.draw_early_reason)
    known = all(piece.bought_g is not None for piece in pieces_of(records))
    return is_matched_on_weight(records) and (known or not early)


def matched_on_weight(records: OfTrial, cook_id: str) -> Rewritten:
    """A cook day with its pieces in pairs (sets of as many as there are methods) by weight.

    The heaviest pieces are the first pair, and so on (ties by position). The weights are those
    of the parting, else as bought; where a piece has neither, or shares a vessel, or the pieces
    cannot be dealt out evenly, nothing is matched. Pairs of an earlier draw go.
    """
    pieces, size = pieces_of(records, cook_id), len(methods_of(records))
    weights = _weights(records, pieces)
    gone = pairs_of(records, cook_id)
    alone = not any(piece.load_id for piece in pieces)
    if weights is None or not alone or size < 2 or len(pieces) % size or len(pieces) <= size:
        return Rewritten(records, {p.id: replace(p, pair_id=None) for p in pieces}, gone=gone)
    order = sorted(pieces, key=lambda p: -weights[p.id])
    pairs: list[Pair] = []
    written: dict[str, Piece] = {}
    for place, piece in enumerate(order):
        if place % size == 0:
            pairs.append(Pair(new_id(), cook_id, place // size + 1))
        written[piece.id] = replace(piece, pair_id=pairs[-1].id)
    return Rewritten(records, written, tuple(pairs), gone)


def _weights(records: OfTrial, pieces: Iterable[Piece]) -> dict[str, float] | None:
    at_parting = parting_weights(records)
    for read in (at_parting.get, {p.id: p.bought_g for p in pieces}.get):
        found = {piece.id: read(piece.id) for piece in pieces}
        if all(value is not None for value in found.values()):
            return {piece_id: float(value or 0.0) for piece_id, value in found.items()}
    return None

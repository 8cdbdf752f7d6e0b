"""Where a piece stands in the design: its cook, pair, load, and the unit it belongs to.

The unit is the smallest thing that got its method by itself (policy 1.1): a piece treated alone,
else its load. Pieces of one load count as one only where no piece of another method was in it.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from trialbench.findings.snapshot import TrialRecords
from trialbench.model.records import Cook, Load, Measurement, Method, Pair, Piece


@dataclass(frozen=True, slots=True)
class Place:
    """One piece with a method. Names are unique within their cook; "" where there is none.

    `cooked` says that anything was weighed on it.
    """

    piece_id: str
    cook: str
    pair: str
    load: str
    unit: str
    piece: str
    method: str
    cooked: bool


def true_loads(records: TrialRecords) -> dict[str, Load]:
    """Loads that count, by id: those whose pieces are all of one method."""
    methods: dict[str, set[str | None]] = {}
    for piece in records.of(Piece):
        if piece.load_id:
            methods.setdefault(piece.load_id, set()).add(piece.method_id)
    return {load.id: load for load in records.of(Load) if len(methods.get(load.id, ())) == 1}


def places_of(records: TrialRecords) -> dict[str, Place]:
    """Piece id to place, for pieces that have a method, in the order of cooks and pieces."""
    cooks = {cook.id: cook for cook in records.of(Cook)}
    letters = {method.id: method.letter for method in records.of(Method)}
    pairs = {pair.id: str(pair.number) for pair in records.of(Pair)}
    loads = true_loads(records)
    weighed = {m.piece_id for m in records.of(Measurement) if m.mass_g is not None}
    pieces = [p for p in records.of(Piece) if p.cook_id in cooks and p.method_id in letters]
    pieces.sort(key=lambda p: (cooks[p.cook_id].number, p.position, p.id))
    labels = [(piece.cook_id, piece.id, piece.label) for piece in pieces]
    names = _names(labels + [(load.cook_id, load.id, load.name) for load in loads.values()])
    found: dict[str, Place] = {}
    for piece in pieces:
        load = names[piece.load_id] if piece.load_id in loads else ""
        found[piece.id] = Place(
            piece_id=piece.id,
            cook=str(cooks[piece.cook_id].number),
            pair=pairs.get(piece.pair_id or "", ""),
            load=load,
            unit=load or names[piece.id],
            piece=names[piece.id],
            method=letters[piece.method_id or ""],
            cooked=piece.id in weighed,
        )
    return found


def _names(labels: list[tuple[str, str, str]]) -> dict[str, str]:
    """Id to a name unique within its cook, from (cook id, id, label)."""
    often = Counter((cook_id, label) for cook_id, _, label in labels)
    seen: Counter[tuple[str, str]] = Counter()
    names: dict[str, str] = {}
    for cook_id, record_id, label in labels:
        seen[(cook_id, label)] += 1
        number = seen[(cook_id, label)]
        names[record_id] = f"{label} ({number})" if often[(cook_id, label)] > 1 else label
    return names

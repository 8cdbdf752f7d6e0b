"""Sittings of the example trials: keys sealed, cards filled in, keys opened on the last day."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from hashlib import sha256

from tests.examples.attributes import Scored
from tests.examples.scatter import Cell, Drawn, Scatter
from tests.examples.writing import Draft, moment, offset_min, utc
from trialbench.findings.units import places_of
from trialbench.model.records import (
    Cook,
    Decision,
    Outcome,
    Piece,
    Record,
    Sample,
    Score,
    Seat,
    Sitting,
    Taster,
)
from trialbench.planning.key import Key, fingerprint, read_key
from trialbench.planning.sitting import Served, open_sitting, seal_sitting

Serve = Callable[[Draft, Cook], Sequence[Piece]]


@dataclass(frozen=True)
class Table:
    """How it was served. `left` maps (sitting, taster) to the cards that came in and the reason.

    `shifts` maps (cook, piece label, attribute) to what a mishap did to the true mean.
    """

    tasters: int
    clock: str
    served_temp_c: float
    slice_mm: float | None
    knife_to_mouth_min: float
    allergens: str
    left: dict[tuple[int, int], tuple[int, str]] = field(default_factory=dict)
    shifts: dict[tuple[str, str, str], float] = field(default_factory=dict)


def taste(
    draft: Draft,
    lot_number: int,
    attributes: Sequence[Scored],
    scatter: Scatter,
    table: Table,
    *,
    opened: bool = True,
    served: Serve = Draft.pieces,
) -> None:
    """A sitting on every cook day, all its scores, and the keys opened after the last one.

    `served` says which pieces of a cook day are tasted: all, unless said otherwise.
    """
    tasters = [draft.taster(number) for number in range(1, table.tasters + 1)]
    keys: list[bytes] = []
    pieces: dict[str, str] = {}
    for cook in draft.cooks():
        key = _sit_down(draft, cook, served(draft, cook), tasters, table, keys)
        keys.append(key.as_bytes())
        pieces |= key.piece_of
    _score(draft, [one.drawn(lot_number, scatter) for one in attributes], table, pieces)
    if not opened:
        return
    last = date.fromisoformat(draft.cooks()[-1].date)
    for cook, key_bytes in zip(draft.cooks(), keys, strict=True):
        sitting = draft.get(Sitting, draft.id("sitting", cook.number))
        step = open_sitting(draft, sitting, key_bytes, moment(last, "15:30"))
        _take(draft, [change.after for change in step.changes])


def _take(draft: Draft, records: Sequence[Record | None]) -> None:
    for record in records:
        if record is not None:
            draft.write(record)


def _sit_down(
    draft: Draft, cook: Cook, pieces: Sequence[Piece], tasters: Sequence[Taster], table: Table,
    keys: Sequence[bytes],
) -> Key:  # fmt: skip
    day = date.fromisoformat(cook.date)
    sitting = draft.write(
        Sitting(
            id=draft.id("sitting", cook.number),
            trial_id=draft.trial.id,
            cook_id=cook.id,
            number=cook.number,
            date=cook.date,
            served_temp_c=table.served_temp_c,
            slice_mm=table.slice_mm,
            knife_to_mouth_min=table.knife_to_mouth_min,
            allergens=table.allergens,
        )
    )
    sealed = seal_sitting(
        draft,
        sitting,
        Served(tuple(pieces), tuple(tasters)),
        moment(day, table.clock),
        lot_number=_key_lot_number(draft, cook),
        earlier_keys=keys,
    )
    return _with_fixed_ids(draft, cook, sealed.step.changes, read_key(sealed.key_bytes), table)


def _key_lot_number(draft: Draft, cook: Cook) -> int:
    text = f"{draft.slug}/codes and orders/{cook.number}"
    return int.from_bytes(sha256(text.encode()).digest()[:6], "big")


def _with_fixed_ids(
    draft: Draft, cook: Cook, changes: Sequence[object], key: Key, table: Table
) -> Key:
    """The sealed sitting under ids and random bytes that are the same at every building."""
    fixed: dict[str, str] = {}
    for record in (change.after for change in changes):  # type: ignore[attr-defined]
        if isinstance(record, Sample):
            name = (cook.number, record.taster_id, record.position)
            fixed[record.id] = draft.id("sample", *name)
            draft.write(replace(record, id=fixed[record.id]))
        elif isinstance(record, Seat):
            reason = table.left.get((cook.number, record.position), (0, ""))[1]
            seat_id = draft.id("seat", cook.number, record.taster_id)
            draft.write(replace(record, id=seat_id, left_reason=reason))
        elif isinstance(record, Sitting):
            sitting = record
    samples = tuple(sorted((fixed[sample_id], piece) for sample_id, piece in key.samples))
    nonce = sha256(f"{draft.slug}/{cook.number}".encode()).hexdigest()
    again = replace(key, samples=samples, nonce=nonce)
    draft.write(replace(sitting, key_fingerprint=fingerprint(again.as_bytes())))
    return again


def _score(draft: Draft, attributes: Sequence[Drawn], table: Table, pieces: dict[str, str]) -> None:
    places = places_of(draft.records())
    number = {taster.id: taster.position for taster in draft.all(Taster)}
    sittings = {sitting.id: sitting for sitting in draft.all(Sitting)}
    for sample in draft.all(Sample):
        sitting = sittings[sample.sitting_id]
        came, _ = table.left.get((sitting.number, number[sample.taster_id]), (99, ""))
        if not 0 < sample.position <= came:
            continue
        place = places[pieces[sample.id]]
        taster = str(number[sample.taster_id])
        cell = Cell(place.cook, place.unit, place.method, taster)
        for attribute in attributes:
            shift = table.shifts.get((place.cook, place.piece, attribute.attribute), 0.0)
            _write_score(draft, sample, sitting, attribute, attribute.score(cell, shift))


def _write_score(
    draft: Draft, sample: Sample, sitting: Sitting, attribute: Drawn, number: float
) -> None:
    day = date.fromisoformat(sitting.date)
    outcome = draft.get(Outcome, draft.id("outcome", attribute.attribute))
    draft.write(
        Score(
            draft.id("score", sample.id, attribute.attribute),
            sample.id,
            outcome.id,
            utc(day, f"13:{10 + 4 * sample.position:02d}"),
            offset_min(day),
            number=number,
            typed=f"{number:g}",
        )
    )


def decide(draft: Draft, choice: str, reason: str, day: date) -> None:
    """What the cook does from now on."""
    draft.write(
        Decision(
            draft.id("decision"), draft.trial.id, choice, reason, utc(day, "10:15"), offset_min(day)
        )
    )


def leave_notes(draft: Draft, lot_number: int, shows: str) -> None:
    """The trial says of itself that it is invented, and how its scores were chosen."""
    remark = (
        f"All of it is invented. Scores were drawn with lot number {lot_number}; this draw was "
        f"chosen to show the case: {shows}."
    )
    draft.write(replace(draft.trial, invented=True, remark=remark))

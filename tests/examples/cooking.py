"""Cook days, lots, seal and weights of the example trials."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date, timedelta

from tests.examples.scatter import normal
from tests.examples.writing import Draft, Weighing, moment, offset_min, utc
from trialbench.model.records import (
    Checkpoint,
    Cook,
    Draw,
    Lot,
    Measurement,
    Method,
    Pair,
    Piece,
    Record,
    Seal,
)
from trialbench.planning.draw import draw_lots
from trialbench.planning.seal import seal_plan

Label = Callable[[int, int], tuple[str, str]]
"""(cook day, number of the piece in it) to the piece's label and where it comes from."""


def lay_out(draft: Draft, days: Sequence[date], label: Label, *, pair_source: str = "") -> None:
    """Cook days with their pieces; pairs of two neighbours where the trial is paired."""
    pieces = draft.trial.pieces_each * 2
    for number, day in enumerate(days, 1):
        cook = draft.write(
            Cook(draft.id("cook", number), draft.trial.id, number, date=day.isoformat())
        )
        for position in range(1, pieces + 1):
            name, source = label(number, position)
            pair = None
            if draft.trial.paired:
                place = (position + 1) // 2
                pair = draft.write(
                    Pair(
                        draft.id("pair", number, place),
                        cook.id,
                        place,
                        pair_source.format(cook=number, pair=place),
                    )
                )
            draft.write(
                Piece(
                    draft.id("piece", number, position),
                    cook.id,
                    position,
                    name,
                    pair_id=pair.id if pair else None,
                    source=source,
                )
            )


def draw(
    draft: Draft,
    lot_number: int,
    day: date,
    places: Sequence[str] = (),
    early: str = "the places in the cooker are filled the evening before",
) -> None:
    """Lots over the whole plan, with ids that are the same at every building."""
    step = draw_lots(
        draft.records(),
        lot_number=lot_number,
        when=moment(day, "20:10"),
        places=places,
        early=early,
    )
    held = draft.id("draw", 1)
    for change in step.changes:
        record = change.after
        if isinstance(record, Draw):
            draft.write(replace(record, id=held))
        elif isinstance(record, Lot):
            draft.write(replace(record, id=draft.id("lot", record.piece_id), draw_id=held))
        elif isinstance(record, Record):
            draft.write(record)


def weigh(
    draft: Draft, lot_number: int, weighings: Sequence[Weighing], clock: dict[str, tuple[int, str]]
) -> None:
    """Weights of every piece at every checkpoint; their means are exactly the stated ones.

    `clock` gives each checkpoint the day before (-1) or the cook day (0) and its time.
    """
    letters = {method.id: method.letter for method in draft.all(Method)}
    for letter in sorted(set(letters.values())):
        pieces = [
            (cook, piece)
            for cook in draft.cooks()
            for piece in draft.pieces(cook)
            if letters[piece.method_id or ""] == letter
        ]
        sizes = [normal(lot_number, f"size/{cook.id}/{piece.pair_id}") for cook, piece in pieces]
        for weighing in weighings:
            mean = weighing.means[letter]
            raw = [
                mean * (1 + size * weighing.sd / weighings[0].means[letter])
                + 0.15 * weighing.sd * normal(lot_number, f"{weighing.checkpoint}/{piece.id}")
                for size, (_, piece) in zip(sizes, pieces, strict=True)
            ]
            for (cook, piece), mass in zip(pieces, _with_mean(raw, mean), strict=True):
                before, time = clock[weighing.checkpoint]
                day = date.fromisoformat(cook.date) + timedelta(days=before)
                _measured(draft, piece, weighing.checkpoint, mass, day, time)


def _with_mean(values: Sequence[float], mean: float) -> list[int]:
    """Whole grams near the values whose mean is as near to `mean` as whole grams allow."""
    shift = mean - sum(values) / len(values)
    whole = [round(value + shift) for value in values]
    over = round(mean * len(values)) - sum(whole)
    for place in range(abs(over)):
        whole[place % len(whole)] += 1 if over > 0 else -1
    return whole


def _measured(
    draft: Draft, piece: Piece, checkpoint: str, mass: int, day: date, clock: str
) -> None:
    found = draft.get(Checkpoint, draft.id("checkpoint", checkpoint))
    draft.write(
        Measurement(
            draft.id("measurement", piece.id, checkpoint),
            piece.id,
            found.id,
            utc(day, clock),
            offset_min(day),
            mass_g=float(mass),
            typed=f"{mass} g",
        )
    )


def seal(draft: Draft, day: date) -> None:
    """The plan, written down before anything was cooked."""
    for change in seal_plan(draft.records(), moment(day, "19:30")).changes:
        if isinstance(change.after, Seal):
            draft.write(replace(change.after, id=draft.id("seal")))

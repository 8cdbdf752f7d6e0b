"""Records to frames: one tidy table per outcome, holding only what may be reckoned with.

Scores count when their sample is not the warm-up (position above 0), belongs to a piece and lies
under a key that is not sealed. Losses, yields and masses are reckoned per piece. Where an outcome
should come closest to a target, what is judged is each number's distance from it, less being
better. What is missing is counted with its reason and never filled in.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from trialbench.findings.snapshot import TrialRecords
from trialbench.findings.units import Place, places_of
from trialbench.model.records import (
    LeftOut,
    Outcome,
    Sample,
    Score,
    Sitting,
    Taster,
)
from trialbench.notebook.views import measurements, outcome_on_piece, seat_of

if TYPE_CHECKING:
    import pandas as pd

COLUMNS = ("cook", "pair", "load", "unit", "piece", "method", "taster", "repeat", "value")


@dataclass(frozen=True, slots=True)
class Row:
    """One number: a score of one portion, or what was measured on one piece.

    `load`, `pair` and `taster` are "" where there is none; `repeat` counts a taster's portions of
    one piece from 1. `piece_id` and `taster_id` lead back to the records.
    """

    cook: str
    pair: str
    load: str
    unit: str
    piece: str
    method: str
    taster: str
    repeat: int
    value: float
    piece_id: str = ""
    taster_id: str = ""


@dataclass(frozen=True, slots=True)
class Missing:
    """Numbers that the plan expected and nobody wrote: of which method, and why."""

    method: str
    reason: str
    count: int


@dataclass(frozen=True, slots=True)
class Table:
    """All numbers of one outcome, and what is missing from it."""

    outcome: Outcome
    rows: tuple[Row, ...]
    missing: tuple[Missing, ...] = ()

    @property
    def tasted(self) -> bool:
        """Whether tasters scored it."""
        return self.outcome.source == "attribute"

    def frame(self) -> pd.DataFrame:
        """A frame with COLUMNS; text columns are empty text where there is nothing."""
        import pandas as pd

        data = [[getattr(row, name) for name in COLUMNS] for row in self.rows]
        return pd.DataFrame(data, columns=list(COLUMNS))

    def without(self, subject_ids: Iterable[str]) -> Table:
        """The table without the pieces and tasters of these ids."""
        out = frozenset(subject_ids)
        kept = tuple(r for r in self.rows if r.piece_id not in out and r.taster_id not in out)
        return Table(self.outcome, kept, self.missing)


def tables_of(records: TrialRecords) -> tuple[Table, ...]:
    """One table per outcome, in the order of the outcomes; nobody is left out of them yet."""
    places = places_of(records)
    outcomes = sorted(records.of(Outcome), key=lambda o: o.position)
    return tuple(
        _scored(records, outcome, places)
        if outcome.source == "attribute"
        else _measured(records, outcome, places)
        for outcome in outcomes
    )


def aims_at(outcome: Outcome) -> float | None:
    """The number that the outcome should come closest to; None where more or less is better."""
    return outcome.target if outcome.better == "target" else None


def judged_value(outcome: Outcome, value: float) -> float:
    """What is judged of a number: the number, or its distance from the target."""
    target = aims_at(outcome)
    return value if target is None else abs(value - target)


def opened_samples(records: TrialRecords) -> tuple[Sample, ...]:
    """Samples that are analysed: no warm-up, key not sealed, piece known; in serving order."""
    sittings = {s.id: s for s in records.of(Sitting) if s.key_state != "sealed"}
    kept = [
        sample
        for sample in records.of(Sample)
        if sample.position > 0 and sample.piece_id and sample.sitting_id in sittings
    ]
    number = {s.id: s.number for s in sittings.values()}
    return tuple(sorted(kept, key=lambda s: (number[s.sitting_id], s.taster_id, s.position)))


def repeats_of(samples: Iterable[Sample]) -> dict[str, int]:
    """Sample id to the number of this taster's portion of this piece, from 1."""
    seen: Counter[tuple[str, str | None]] = Counter()
    repeats: dict[str, int] = {}
    for sample in samples:
        seen[(sample.taster_id, sample.piece_id)] += 1
        repeats[sample.id] = seen[(sample.taster_id, sample.piece_id)]
    return repeats


def why_missing(records: TrialRecords, sample: Sample, score: Score | None) -> str:
    """Why a card has no number: its own reason, else that its taster left; "" when not written."""
    if score is not None and score.missing_reason:
        return score.missing_reason
    seat = seat_of(records, sample)
    return seat.left_reason if seat else ""


def _scored(records: TrialRecords, outcome: Outcome, places: dict[str, Place]) -> Table:
    samples = opened_samples(records)
    repeats = repeats_of(samples)
    alias = {taster.id: taster.alias for taster in records.of(Taster)}
    scores = {s.sample_id: s for s in records.of(Score) if s.outcome_id == outcome.id}
    rows: list[Row] = []
    gone: Counter[tuple[str, str]] = Counter()
    for sample in samples:
        place = places.get(sample.piece_id or "")
        if place is None:
            continue
        score = scores.get(sample.id)
        if score is None or score.number is None:
            gone[(place.method, why_missing(records, sample, score))] += 1
            continue
        taster = alias.get(sample.taster_id, sample.taster_id)
        value = judged_value(outcome, score.number)
        rows.append(_row(place, value, taster, sample.taster_id, repeats[sample.id]))
    return Table(outcome, tuple(rows), _counted(gone))


def _measured(records: TrialRecords, outcome: Outcome, places: dict[str, Place]) -> Table:
    rows: list[Row] = []
    gone: Counter[tuple[str, str]] = Counter()
    for piece_id, place in places.items():
        value = outcome_on_piece(records, outcome, piece_id)
        if value is not None:
            rows.append(_row(place, judged_value(outcome, value)))
        elif place.cooked:
            gone[(place.method, why_not_weighed(records, outcome, piece_id))] += 1
    return Table(outcome, tuple(rows), _counted(gone))


def why_not_weighed(records: TrialRecords, outcome: Outcome, piece_id: str) -> str:
    """Why a piece has no number: the reason at its checkpoints; "" when none was written."""
    found = measurements(records, piece_id)
    named = (found.get(c or "") for c in (outcome.from_checkpoint_id, outcome.to_checkpoint_id))
    return next((m.missing_reason for m in named if m is not None and m.missing_reason), "")


def _row(place: Place, value: float, taster: str = "", taster_id: str = "", repeat: int = 1) -> Row:
    return Row(
        cook=place.cook,
        pair=place.pair,
        load=place.load,
        unit=place.unit,
        piece=place.piece,
        method=place.method,
        taster=taster,
        repeat=repeat,
        value=value,
        piece_id=place.piece_id,
        taster_id=taster_id,
    )


def _counted(gone: Counter[tuple[str, str]]) -> tuple[Missing, ...]:
    return tuple(Missing(method, why, count) for (method, why), count in sorted(gone.items()))


def left_out_before(records: TrialRecords) -> tuple[LeftOut, ...]:
    """What was set aside while no key was open: the headline goes without it."""
    return tuple(one for one in records.of(LeftOut) if not one.after_opening)


def left_out_after(records: TrialRecords) -> tuple[LeftOut, ...]:
    """What was set aside with a key open: the headline keeps it."""
    return tuple(one for one in records.of(LeftOut) if one.after_opening)

"""Questions about sittings: who sits, which samples, what was scored, which cards are in."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from trialbench.model.records import Sample, Score, Seat, Sitting, Taster, Trial
from trialbench.notebook.records_read import Reads
from trialbench.notebook.views.on_paper import attributes


def tasters(book: Reads) -> tuple[Taster, ...]:
    """Everybody who tastes in this notebook."""
    return book.all(Taster)


def tasters_at_home(book: Reads, *, invented: bool = False) -> tuple[Taster, ...]:
    """Those who can sit at an own trial: those who only ever sat in invented trials belong to an
    example. At an invented trial everybody can."""
    if invented:
        return tasters(book)
    sat_in: dict[str, set[bool]] = {}
    for sitting in book.all(Sitting):
        whose = book.get(Trial, sitting.trial_id).invented
        for seat in seats(book, sitting.id):
            sat_in.setdefault(seat.taster_id, set()).add(whose)
    return tuple(t for t in tasters(book) if sat_in.get(t.id) != {True})


def sittings(book: Reads, trial_id: str) -> tuple[Sitting, ...]:
    """The sittings by number."""
    return book.all(Sitting, trial_id=trial_id)


def sittings_of_cook(book: Reads, cook_id: str) -> tuple[Sitting, ...]:
    """The sittings at which one cook day was tasted."""
    return book.all(Sitting, cook_id=cook_id)


def seats(book: Reads, sitting_id: str) -> tuple[Seat, ...]:
    """Who sits, in order."""
    return book.all(Seat, sitting_id=sitting_id)


def samples(
    book: Reads, sitting_id: str, taster_id: str | None = None, *, warm_up: bool = False
) -> tuple[Sample, ...]:
    """The samples by serving position; without the warm-up sample unless it is asked for."""
    wanted: dict[str, Any] = {"taster_id": taster_id} if taster_id else {}
    found = book.all(Sample, sitting_id=sitting_id, **wanted)
    return found if warm_up else tuple(s for s in found if s.position > 0)


def sample_by_code(book: Reads, sitting_id: str, code: str) -> Sample | None:
    """The sample under a three-digit code."""
    return next(iter(book.all(Sample, sitting_id=sitting_id, code=code.strip())), None)


def score(book: Reads, sample_id: str, outcome_id: str) -> Score | None:
    """What was written for a sample and attribute, or the record that says why it is missing."""
    return next(
        (s for s in book.all(Score, sample_id=sample_id) if s.outcome_id == outcome_id), None
    )


def seat_of(book: Reads, sample: Sample) -> Seat | None:
    """The seat of a sample's taster."""
    found = book.all(Seat, sitting_id=sample.sitting_id, taster_id=sample.taster_id)
    return next(iter(found), None)


@dataclass(frozen=True, slots=True)
class Cards:
    """Score cards of a sitting: one a sample, the warm-up sample not counted."""

    all: int
    filled: int
    left: int

    @property
    def open(self) -> int:
        """Cards that are still out."""
        return self.all - self.filled - self.left


def cards_in(book: Reads, sitting_id: str, taster_id: str | None = None) -> Cards:
    """How many score cards are in; of one taster when named.

    A card is in when every attribute has a score or says why it is missing; it is left when it is
    not and its taster has left.
    """
    sitting = book.get(Sitting, sitting_id)
    wanted = {o.id for o in attributes(book, sitting.trial_id)}
    gone = {seat.taster_id for seat in seats(book, sitting_id) if seat.left_reason}
    filled = left = 0
    served = samples(book, sitting_id, taster_id)
    for sample in served:
        # All cards in one pass: a page asks with every key.
        if wanted and wanted <= {s.outcome_id for s in book.all(Score, sample_id=sample.id)}:
            filled += 1
        elif sample.taster_id in gone:
            left += 1
    return Cards(len(served), filled, left)


def keys_open(book: Reads, trial_id: str) -> int:
    """How many sittings of a trial have an open key."""
    return len(book.all(Sitting, trial_id=trial_id, key_state="open"))


def marked_scores(book: Reads, trial_id: str) -> tuple[Score, ...]:
    """The scores that were written or changed with the key open."""
    return tuple(
        found
        for sitting in sittings(book, trial_id)
        for sample in book.all(Sample, sitting_id=sitting.id)
        for found in book.all(Score, sample_id=sample.id)
        if found.changed_after_opening
    )

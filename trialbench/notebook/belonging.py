"""To which trial, cook day and sitting a record belongs, and what is sealed there."""

from __future__ import annotations

from typing import Any

from trialbench.model.records import (
    AfterSeal,
    Cook,
    Draw,
    Factor,
    Method,
    Piece,
    Record,
    Sample,
    Seal,
    Sitting,
    Stage,
    Trial,
)
from trialbench.notebook.records_read import Reads

OWNERS: dict[str, tuple[str, type[Record]]] = {
    "part": ("stage_id", Stage),
    "addition": ("stage_id", Stage),
    "level": ("factor_id", Factor),
    "setting": ("method_id", Method),
    "pair": ("cook_id", Cook),
    "load": ("cook_id", Cook),
    "piece": ("cook_id", Cook),
    "replan": ("cook_id", Cook),
    "lot": ("draw_id", Draw),
    "measurement": ("piece_id", Piece),
    "amount": ("piece_id", Piece),
    "seat": ("sitting_id", Sitting),
    "sample": ("sitting_id", Sitting),
    "score": ("sample_id", Sample),
    "key_look": ("sitting_id", Sitting),
    "read_back": ("sample_id", Sample),
}
"""Which field of a kind without a trial_id holds the id of which kind it belongs to."""


def trial_id_of(book: Reads, record: Record | None) -> str | None:
    """The id of the trial that a record belongs to; None for tasters and the cover."""
    while record is not None:
        if isinstance(record, Trial):
            return record.id
        values: dict[str, Any] = record.values()
        if "trial_id" in values:
            return str(values["trial_id"])
        owner = OWNERS.get(record.kind)
        record = book.find(owner[1], values[owner[0]]) if owner else None
    return None


def is_sealed(book: Reads, trial_id: str | None) -> bool:
    """Whether the plan of a trial is sealed."""
    return trial_id is not None and bool(book.all(Seal, trial_id=trial_id))


def open_after_seal(book: Reads, trial_id: str | None) -> AfterSeal | None:
    """What lets the sealed plan of a trial be changed now, with its reason; None while shut."""
    found = book.all(AfterSeal, trial_id=trial_id) if trial_id is not None else ()
    return next((each for each in found if not each.ended_utc), None)


def is_locked(book: Reads, trial_id: str | None) -> bool:
    """Whether the plan of a trial is sealed and not open for change."""
    return is_sealed(book, trial_id) and open_after_seal(book, trial_id) is None


def any_key_open(book: Reads, trial_id: str | None) -> bool:
    """Whether the key of any sitting of a trial is open."""
    return trial_id is not None and bool(book.all(Sitting, trial_id=trial_id, key_state="open"))


def sitting_of_sample(book: Reads, sample_id: str) -> Sitting | None:
    """The sitting of a sample."""
    sample = book.find(Sample, sample_id)
    return book.find(Sitting, sample.sitting_id) if sample else None


def beyond_plan(book: Reads, cook: Cook | None) -> bool:
    """Whether a cook day was added to those that were planned."""
    if cook is None:
        return False
    planned = book.get(Trial, cook.trial_id).planned_cooks
    return planned is not None and cook.number > planned

"""The step that brings every record back to how it stood after a row of history."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from trialbench.model.message import Message
from trialbench.model.records import Record, Trial
from trialbench.model.steps import Change
from trialbench.notebook.belonging import trial_id_of
from trialbench.notebook.guard import broken_references
from trialbench.notebook.records_read import Records
from trialbench.notebook.sealed import why_sealed


@dataclass(frozen=True, slots=True)
class Restored:
    """Row `number` of the step that did it (the newest row when there was nothing to do).

    `kept` says what was not brought back, and why: what is sealed stays sealed.
    """

    number: int
    kept: tuple[Message, ...] = ()


def changes_back(records: Records, later: Iterable[tuple[Change, ...]]) -> tuple[Change, ...]:
    """From what is there to what was there before the `later` steps (oldest first)."""
    target: dict[str, tuple[Record, Record | None]] = {}
    for changes in later:
        for change in changes:
            target.setdefault(change.record.id, (change.record, change.before))
    wanted = [
        (records.find(type(sample), identity), before)
        for identity, (sample, before) in target.items()
    ]
    return tuple(Change(there, before) for there, before in wanted if there != before)


def leaving_trials(
    records: Records, changes: tuple[Change, ...], later: Iterable[tuple[bool, tuple[Change, ...]]]
) -> frozenset[str]:
    """Trials that these changes remove and that nothing was sealed or opened in here.

    They were brought in; what was sealed elsewhere may leave with them. `later` are the
    (barrier, changes) that are gone back on.
    """
    removed = {c.record.id for c in changes if isinstance(c.before, Trial) and c.after is None}
    sealed_here = {
        trial_id_of(records, change.record) for barrier, made in later for change in made if barrier
    }
    return frozenset(removed - sealed_here)


def possible(
    records: Records, changes: tuple[Change, ...], leaving: frozenset[str]
) -> tuple[tuple[Change, ...], tuple[Message, ...]]:
    """The changes that seals and references allow, and why the others stay undone."""
    reasons: dict[Message, None] = {}
    kept = changes
    while True:
        sealed = {
            change: why
            for change in kept
            if (why := why_sealed(records, change, kept, leaving)) is not None
        }
        reasons.update(dict.fromkeys(sealed.values()))
        free = tuple(c for c in kept if c not in sealed)
        lost = set(broken_references(records, free))
        kept = tuple(c for c in free if c not in lost)
        if not sealed and not lost:
            return kept, tuple(reasons)

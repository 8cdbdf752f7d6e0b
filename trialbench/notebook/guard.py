"""The last look at a step before it is written: whatever built it, these things hold.

What is there must be what the step takes for granted; every reference leads somewhere; there is
one measurement of a piece at a checkpoint, one score of a sample and attribute, and so on; what is
sealed stays; a score written with the key open is marked for good.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from trialbench.model.errors import Refused, Sealed
from trialbench.model.message import msg
from trialbench.model.records import KIND_BY_NAME, REFERENCES, Record, Score
from trialbench.model.steps import Change, Step
from trialbench.notebook.belonging import sitting_of_sample
from trialbench.notebook.records_read import Records
from trialbench.notebook.sealed import why_sealed

ONE_OF: dict[str, tuple[str, ...]] = {
    "part": ("stage_id", "method_id", "field"),
    "difference": ("stage_id", "field"),
    "lot": ("draw_id", "piece_id"),
    "measurement": ("piece_id", "checkpoint_id"),
    "seat": ("sitting_id", "taster_id"),
    "sample": ("sitting_id", "code"),
    "score": ("sample_id", "outcome_id"),
    "left_out": ("trial_id", "subject_id"),
}
"""Fields that no two records of a kind have in common."""


def ready(records: Records, step: Step, leaving: frozenset[str] = frozenset()) -> Step:
    """The step as it will be written. Raises Refused or Sealed; nothing has been written then.

    `leaving` are trials that were brought in sealed and leave again as a whole.
    """
    changes = tuple(c for c in with_marks(records, step.changes, leaving) if c.before != c.after)
    _check_before(records, changes)
    broken = broken_references(records, changes)
    if broken:
        raise Refused(
            msg("Something else in the notebook still needs this. Nothing was written."),
            field=f"{broken[0].record.kind}.id",
            allowed=msg("removing what nothing else refers to"),
            way_out=msg("Remove what belongs to it first."),
        )
    _check_single(records, changes)
    if not step.barrier:
        for change in changes:
            why = why_sealed(records, change, changes, leaving)
            if why is not None:
                raise Sealed(why)
    return replace(step, changes=changes)


def with_marks(
    records: Records, changes: Iterable[Change], leaving: frozenset[str]
) -> Iterable[Change]:
    """The changes with the mark on every score that is touched while its key is open."""
    for change in changes:
        record = change.record
        if isinstance(record, Score):
            sitting = sitting_of_sample(records, record.sample_id)
            stays = sitting is not None and sitting.trial_id not in leaving
            if stays and sitting is not None and sitting.key_state == "open":
                yield from _marked(records.find(Score, record.id), change)
                continue
        yield change


def _marked(there: Score | None, change: Change) -> Iterable[Change]:
    wanted = change.after
    if wanted is None:
        if there is None:
            return
        wanted = replace(there, number=None, typed="", missing_reason="taken back")
    assert isinstance(wanted, Score)
    if there is not None and _written(there) == _written(wanted):
        return
    yield Change(there, replace(wanted, changed_after_opening=True))


def _written(score: Score) -> tuple[object, ...]:
    return score.number, score.typed, score.missing_reason


def _check_before(records: Records, changes: tuple[Change, ...]) -> None:
    seen: set[str] = set()
    for change in changes:
        record = change.record
        if record.id in seen:
            raise ValueError(f"{record.kind} {record.id} is changed twice in one step")
        seen.add(record.id)
        if records.find(type(record), record.id) != change.before:
            raise Refused(
                msg("This was changed elsewhere in the meantime. Nothing was written."),
                field=f"{record.kind}.id",
                way_out=msg("Look at what stands there now, then do it again."),
            )


def broken_references(records: Records, changes: tuple[Change, ...]) -> list[Change]:
    """The changes that would leave a reference leading nowhere."""
    after: dict[str, Record | None] = {c.record.id: c.after for c in changes}
    return [c for c in changes if _breaks(records, c, after)]


def _breaks(records: Records, change: Change, after: dict[str, Record | None]) -> bool:
    if change.after is None:
        return any(
            _refers(after.get(child.id, child), change.record)
            for child in records.children(change.record)
        ) or any(_refers(new, change.record) for new in after.values())
    for field, parent in REFERENCES.get(change.after.kind, {}).items():
        target = getattr(change.after, field)
        if target is None:
            continue
        there = after[target] if target in after else records.find(KIND_BY_NAME[parent], target)
        if there is None or there.kind != parent:
            return True
    return False


def _refers(child: Record | None, parent: Record) -> bool:
    if child is None:
        return False
    fields = REFERENCES.get(child.kind, {})
    return any(getattr(child, f) == parent.id for f, kind in fields.items() if kind == parent.kind)


def _check_single(records: Records, changes: tuple[Change, ...]) -> None:
    touched = {c.record.id: c.after for c in changes}
    new: set[tuple[Any, ...]] = set()
    for change in changes:
        record = change.after
        if record is None or record.kind not in ONE_OF:
            continue
        same = {name: getattr(record, name) for name in ONE_OF[record.kind]}
        known = (record.kind, *same.values())
        others = [r for r in records.all(type(record), **same) if r.id not in touched]
        if others or known in new:
            raise Refused(
                msg("There is one of these already. Nothing was written."),
                field=f"{record.kind}.{ONE_OF[record.kind][-1]}",
                way_out=msg("Change the one that is there."),
            )
        new.add(known)

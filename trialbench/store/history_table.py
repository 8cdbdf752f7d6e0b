"""The table that keeps every step for good."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from trialbench.model.message import Message, as_json, from_json
from trialbench.model.records import new_id
from trialbench.model.steps import Change, Step
from trialbench.store.migrations import MIGRATIONS, Migration, lifted
from trialbench.store.rows import change_of, changes_as_json
from trialbench.store.schema import FILE_FORM


@dataclass(frozen=True, slots=True)
class HistoryRow:
    """One line of the diary. `number` counts up; `made_utc` with `offset_min` is the kitchen's."""

    number: int
    made_utc: str
    offset_min: int
    label: Message
    origin: str
    barrier: bool


def append(db: sqlite3.Connection, number: int, step: Step, made_utc: str, offset_min: int) -> None:
    """Write a step as row `number`. Call inside the step's transaction."""
    db.execute(
        "INSERT INTO history VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)",
        (
            number,
            new_id(),
            made_utc,
            offset_min,
            json.dumps(as_json(step.label), ensure_ascii=False),
            step.origin,
            step.barrier,
            FILE_FORM,
            changes_as_json(step.changes),
        ),
    )


def last_number(db: sqlite3.Connection) -> int:
    """Number of the newest row, 0 in an empty history."""
    return int(db.execute("SELECT coalesce(max(number), 0) FROM history").fetchone()[0])


def page(db: sqlite3.Connection, before: int | None, limit: int) -> tuple[HistoryRow, ...]:
    """At most `limit` rows older than row `before`, newest first."""
    rows = db.execute(
        "SELECT number, made_utc, offset_min, label, origin, barrier FROM history"
        " WHERE ? IS NULL OR number < ? ORDER BY number DESC LIMIT ?",
        (before, before, limit),
    )
    return tuple(
        HistoryRow(number, utc, offset, from_json(json.loads(label)), origin, bool(barrier))
        for number, utc, offset, label, origin, barrier in rows
    )


def changes_after(
    db: sqlite3.Connection, number: int, migrations: Sequence[Migration] = MIGRATIONS
) -> Iterator[tuple[int, bool, tuple[Change, ...]]]:
    """(number, barrier, changes) of every row after `number`, oldest first."""
    rows = db.execute(
        "SELECT number, barrier, file_form, changes FROM history WHERE number > ? ORDER BY number",
        (number,),
    )
    for row_number, barrier, form, text in rows:
        changes = tuple(change_of(*entry) for entry in lifted(text, form, migrations))
        yield row_number, bool(barrier), changes


def changes_newest_first(
    db: sqlite3.Connection, migrations: Sequence[Migration] = MIGRATIONS
) -> Iterator[tuple[int, tuple[Change, ...]]]:
    """(number, changes) of every row, newest first; read only as far as it is asked for."""
    rows = db.execute("SELECT number, file_form, changes FROM history ORDER BY number DESC")
    for row_number, form, text in rows:
        yield row_number, tuple(change_of(*entry) for entry in lifted(text, form, migrations))

"""From older file forms to this one: named functions in order, each with its note.

A migration changes the tables (`change`, in one transaction with its note and the new form) and
says how a record kept in history by the older form is read (`lift`), because history is for good
and can be restored. It may use nothing of today's records: tomorrow's are different.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from trialbench.model.errors import FileTrouble
from trialbench.model.message import msg
from trialbench.store import form_2
from trialbench.store.schema import FILE_FORM

Values = dict[str, Any]


def unchanged(kind: str, values: Values) -> tuple[str, Values]:
    """The lift of a migration that leaves history's records as they are."""
    return kind, values


@dataclass(frozen=True, slots=True)
class Migration:
    """One step from form `to_form - 1` to `to_form`. `note` says what a cook gains or should know.

    `change` gets the connection inside the transaction; `lift` gets the kind name and the values
    of one record and returns both as the new form has them.
    """

    to_form: int
    name: str
    note: str
    change: Callable[[sqlite3.Connection], None]
    lift: Callable[[str, Values], tuple[str, Values]] = unchanged


MIGRATIONS: tuple[Migration, ...] = (
    Migration(2, "more plans and sittings", form_2.NOTE, form_2.change),
)
"""In order of `to_form`. Form 1 is the first."""


def pending(form: int, migrations: Sequence[Migration] = MIGRATIONS) -> tuple[Migration, ...]:
    """The migrations from `form` to this program's form. Raises FileTrouble for a gap."""
    steps = tuple(m for m in migrations if m.to_form > form)
    if [m.to_form for m in steps] != list(range(form + 1, FILE_FORM + 1)):
        raise FileTrouble(
            msg("This notebook has file form {form}, which no version can read.", form=form)
        )
    return steps


def migrate(
    db: sqlite3.Connection, now_utc: str, migrations: Sequence[Migration] = MIGRATIONS
) -> None:
    """Raise the file to this program's form, one transaction a migration. Copy it first."""
    form = int(db.execute("PRAGMA user_version").fetchone()[0])
    for step in pending(form, migrations):
        _one(db, step, now_utc)


def _one(db: sqlite3.Connection, step: Migration, now_utc: str) -> None:
    db.execute("PRAGMA foreign_keys = OFF")
    db.execute("BEGIN IMMEDIATE")
    try:
        step.change(db)
        broken = db.execute("PRAGMA foreign_key_check").fetchall()
        if broken:
            raise sqlite3.IntegrityError(f"{step.name}: {len(broken)} references lead nowhere")
        db.execute(
            "INSERT INTO migration VALUES (?, ?, ?, ?)",
            (step.to_form, step.name, step.note, now_utc),
        )
        db.execute(f"PRAGMA user_version = {step.to_form}")
        db.execute("COMMIT")
    except BaseException:
        db.execute("ROLLBACK")
        raise
    finally:
        db.execute("PRAGMA foreign_keys = ON")


def lifted(
    changes: str, form: int, migrations: Sequence[Migration] = MIGRATIONS
) -> list[tuple[str, Values | None, Values | None]]:
    """History's changes of an older `form`, as (kind, before, after) of this program's form."""
    entries = [(e["kind"], e["before"], e["after"]) for e in json.loads(changes)]
    if form == FILE_FORM:
        return entries
    for step in (m for m in migrations if m.to_form > form):
        entries = [_lift_entry(step, *entry) for entry in entries]
    return entries


def _lift_entry(
    step: Migration, kind: str, before: Values | None, after: Values | None
) -> tuple[str, Values | None, Values | None]:
    new_kind = kind
    if before is not None:
        new_kind, before = step.lift(kind, before)
    if after is not None:
        new_kind, after = step.lift(kind, after)
    return new_kind, before, after

"""Records to rows of their table and back, and to the JSON that history keeps."""

from __future__ import annotations

import json
import math
import sqlite3
from collections.abc import Iterable, Mapping
from dataclasses import fields
from typing import Any, get_type_hints

from trialbench.model.records import KIND_BY_NAME, KINDS, Record
from trialbench.model.steps import Change

Value = str | int | float | bool | None


def columns(kind: type[Record]) -> tuple[str, ...]:
    """The column names of a record kind, in order."""
    return _COLUMNS[kind.kind]


def _types_of(kind: type[Record]) -> dict[str, type]:
    """The type of each field without its None."""
    hints = get_type_hints(kind)
    known: dict[str, type] = {}
    for name in columns(kind):
        hint = hints[name]
        options = [t for t in getattr(hint, "__args__", (hint,)) if t is not type(None)]
        known[name] = options[0]
    return known


def _needed(kind: type[Record]) -> frozenset[str]:
    """The fields that cannot be None."""
    hints = get_type_hints(kind)
    optional = {n for n in _COLUMNS[kind.kind] if type(None) in getattr(hints[n], "__args__", ())}
    return frozenset(_COLUMNS[kind.kind]) - optional


_COLUMNS = {kind.kind: tuple(f.name for f in fields(kind)) for kind in KINDS}
_TYPES = {kind.kind: _types_of(kind) for kind in KINDS}
_NEEDED = {kind.kind: _needed(kind) for kind in KINDS}


def row_of(record: Record) -> tuple[Value, ...]:
    """The values of a record as SQLite takes them.

    Raises ValueError for a number that is not finite: SQLite would store it as missing.
    """
    values = tuple(record.values().values())
    for value in values:
        if isinstance(value, float) and not math.isfinite(value):
            raise ValueError(f"{record.kind} {record.id}: {value} is not a finite number")
    return values


def record_of(kind: type[Record], values: Mapping[str, Any]) -> Record:
    """The record of a row or of history JSON; unknown names are ignored, missing ones default.

    Raises TypeError when a field without a default is missing or nothing stands where something
    must, ValueError when a value is of another type.
    """
    known = _TYPES[kind.kind]
    made: dict[str, Any] = {
        name: value if value is None else known[name](value)
        for name, value in values.items()
        if name in known
    }
    for name in _NEEDED[kind.kind] & made.keys():
        if made[name] is None:
            raise TypeError(f"{kind.kind}.{name} is missing")
    return kind(**made)


def read_all(db: sqlite3.Connection, kind: type[Record]) -> list[Record]:
    """Every record of a kind. Columns that the file does not have take the field's default."""
    cursor = db.execute(f'SELECT * FROM "{kind.kind}"')
    names = [column[0] for column in cursor.description]
    return [record_of(kind, dict(zip(names, row, strict=True))) for row in cursor]


def write_changes(db: sqlite3.Connection, changes: Iterable[Change]) -> None:
    """Write each change into the table of its kind. Call inside a transaction."""
    for change in changes:
        kind = type(change.record)
        if change.after is None:
            db.execute(f'DELETE FROM "{kind.kind}" WHERE id = ?', (change.record.id,))
        else:
            insert(db, change.after, or_replace=change.before is not None)


def insert(db: sqlite3.Connection, record: Record, *, or_replace: bool = False) -> None:
    """Write one record; with `or_replace` its row is overwritten in place."""
    names = columns(type(record))
    row = row_of(record)
    if or_replace:
        assignments = ", ".join(f'"{name}" = ?' for name in names[1:])
        sql = f'UPDATE "{record.kind}" SET {assignments} WHERE id = ?'
        db.execute(sql, (*row[1:], row[0]))
        return
    listed = ", ".join(f'"{name}"' for name in names)
    marks = ", ".join("?" * len(names))
    db.execute(f'INSERT INTO "{record.kind}" ({listed}) VALUES ({marks})', row)


def changes_as_json(changes: Iterable[Change]) -> str:
    """History's text: a list of {kind, before, after} with whole records or null."""
    return json.dumps(
        [
            {
                "kind": change.record.kind,
                "before": change.before.values() if change.before is not None else None,
                "after": change.after.values() if change.after is not None else None,
            }
            for change in changes
        ],
        ensure_ascii=False,
        separators=(",", ":"),
    )


def change_of(kind_name: str, before: Any, after: Any) -> Change:
    """The change that one entry of `changes_as_json` holds."""
    kind = KIND_BY_NAME[kind_name]
    return Change(
        record_of(kind, before) if before is not None else None,
        record_of(kind, after) if after is not None else None,
    )

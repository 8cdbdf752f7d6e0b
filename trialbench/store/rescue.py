"""A damaged notebook: what can be read goes into a new file; the damaged one is left as it is."""

from __future__ import annotations

import contextlib
import json
import shutil
import sqlite3
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from trialbench.model.errors import FileTrouble
from trialbench.model.message import msg
from trialbench.model.records import KIND_BY_NAME, KINDS, REFERENCES, Record
from trialbench.store.migrations import lifted
from trialbench.store.notebook_file import NotebookFile
from trialbench.store.opening import open_notebook_file
from trialbench.store.rows import insert, record_of
from trialbench.store.troubles import trouble_of_system

_MOST_TRIED = 50_000
"""So many places are tried one by one where neither end of a table leads there."""

_OWN = ("history", "draft", "sealed_key")


@dataclass(frozen=True, slots=True)
class Rescue:
    """What was brought over: `path` of the new notebook, records by kind, and what was dropped.

    `dropped` counts records whose parent could not be read; `from_history` those that were taken
    from history because their own table could not be read there.
    """

    path: Path
    records: dict[str, int]
    steps: int
    dropped: int
    from_history: int


def rescue(path: Path, now_utc: str, target: Path | None = None) -> Rescue:
    """Read what can be read of `path` into a new notebook beside it.

    Raises FileTrouble when the new file cannot be written or nothing at all can be read.
    """
    target = target or _free_name(path)
    if target.exists():
        raise FileTrouble(msg("{name} exists. Choose another name.", name=target.name))
    with _readable_copy(path) as db:
        records = {kind.kind: _records(db, kind) for kind in KINDS}
        own = {table: _rows(db, table) for table in _OWN}
    own["history"] = [row for row in own["history"] if _whole(row)]
    from_history = _fill_from_history(records, own["history"])
    dropped = _drop_orphans(records)
    if not any(records.values()):
        raise FileTrouble(msg("Nothing can be read of {name}.", name=path.name))
    fresh = open_notebook_file(target, now_utc)
    try:
        _write(fresh, records, own)
    finally:
        fresh.close()
    counts = {name: len(found) for name, found in records.items() if found}
    return Rescue(target, counts, len(own["history"]), dropped, from_history)


def _free_name(path: Path) -> Path:
    number = 1
    while True:
        ending = "-rescued" if number == 1 else f"-rescued-{number}"
        name = path.with_name(path.stem + ending + path.suffix)
        if not name.exists():
            return name
        number += 1


@contextlib.contextmanager
def _readable_copy(path: Path) -> Iterator[sqlite3.Connection]:
    """A connection to a copy, so that nothing SQLite does can reach the damaged file."""
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / "copy"
        try:
            shutil.copyfile(path, copy)
            journal = path.with_name(path.name + "-journal")
            if journal.exists():
                shutil.copyfile(journal, copy.with_name("copy-journal"))
            _fill_up(copy)
        except OSError as error:
            raise trouble_of_system(error, path) from error
        with contextlib.closing(sqlite3.connect(copy, isolation_level=None)) as db:
            with contextlib.suppress(sqlite3.Error):
                db.execute("PRAGMA writable_schema = ON")  # read on past a damaged table of tables
            yield db


def _fill_up(copy: Path) -> None:
    """Give a file that was cut short its length again: SQLite then reads the pages that are left.

    Page size and page count: SQLite file format, database header, offsets 16 and 28.
    """
    with copy.open("rb+") as file:
        head = file.read(100)
        page_size = int.from_bytes(head[16:18], "big")
        length = int.from_bytes(head[28:32], "big") * (65536 if page_size == 1 else page_size)
        size = copy.stat().st_size
        if size < length < 1000 * max(size, 4096):
            file.truncate(length)


def _rows(db: sqlite3.Connection, table: str) -> list[dict[str, Any]]:
    """The rows of a table that can be read: from its beginning, its end, and one by one between."""
    found: dict[int, dict[str, Any]] = {}
    if not _is_known(db, table):
        return []
    if _scan(db, f'SELECT rowid, * FROM "{table}" ORDER BY rowid', found):
        return list(found.values())
    first = max(found, default=0)
    from_end: dict[int, dict[str, Any]] = {}
    _scan(db, f'SELECT rowid, * FROM "{table}" ORDER BY rowid DESC', from_end)
    last = min(from_end, default=first + _MOST_TRIED)
    for rowid in range(first + 1, min(last, first + _MOST_TRIED)):
        _scan(db, f'SELECT rowid, * FROM "{table}" WHERE rowid = ?', found, rowid)
    found |= from_end
    return [found[rowid] for rowid in sorted(found)]


def _is_known(db: sqlite3.Connection, table: str) -> bool:
    """Whether the table of tables can be read and names this one."""
    try:
        return db.execute(f'PRAGMA table_info("{table}")').fetchone() is not None
    except (sqlite3.Error, UnicodeDecodeError):
        return False


def _scan(db: sqlite3.Connection, sql: str, found: dict[int, dict[str, Any]], *at: int) -> bool:
    """Put rows into `found` by their rowid for as long as they can be read. True for all."""
    try:
        cursor = db.execute(sql, at)
        names = [column[0] for column in cursor.description]
        for row in cursor:
            found[row[0]] = dict(zip(names[1:], row[1:], strict=True))
    except (sqlite3.Error, UnicodeDecodeError):
        return False
    return True


def _records(db: sqlite3.Connection, kind: type[Record]) -> dict[str, Record]:
    found: dict[str, Record] = {}
    for row in _rows(db, kind.kind):
        with contextlib.suppress(TypeError, ValueError):
            record = record_of(kind, row)
            found[record.id] = record
    return found


def _fill_from_history(records: dict[str, dict[str, Record]], history: list[dict[str, Any]]) -> int:
    """Records that only history still holds, as their newest row left them. Counts them."""
    newest: dict[tuple[str, str], Any] = {}
    for row in sorted(history, key=lambda row: int(row["number"])):
        with contextlib.suppress(ValueError, KeyError, TypeError):
            for kind, before, after in lifted(row["changes"], int(row["file_form"])):
                newest[kind, (after or before or {})["id"]] = after
    filled = 0
    for (name, identity), values in newest.items():
        wanted = name in KIND_BY_NAME and values is not None and identity not in records[name]
        if wanted:
            with contextlib.suppress(TypeError, ValueError):
                records[name][identity] = record_of(KIND_BY_NAME[name], values)
                filled += 1
    return filled


def _drop_orphans(records: dict[str, dict[str, Record]]) -> int:
    """Drop records whose parent is lost, until every reference leads somewhere. Counts them."""
    dropped = 0
    while True:
        lost = [
            (kind, record.id)
            for kind, references in REFERENCES.items()
            for record in records[kind].values()
            for field, parent in references.items()
            if (target := getattr(record, field)) is not None and target not in records[parent]
        ]
        if not lost:
            return dropped
        for kind, identity in set(lost):
            del records[kind][identity]
            dropped += 1


def _write(
    fresh: NotebookFile,
    records: dict[str, dict[str, Record]],
    own: dict[str, list[dict[str, Any]]],
) -> None:
    with fresh.atomic() as db:
        for found in records.values():
            for record in found.values():
                insert(db, record)
        for table in _OWN:
            for row in own[table]:
                if table == "sealed_key" and row["sitting_id"] not in records["sitting"]:
                    continue
                marks = ", ".join("?" * len(row))
                names = ", ".join(row)
                with contextlib.suppress(sqlite3.IntegrityError):
                    db.execute(f"INSERT INTO {table} ({names}) VALUES ({marks})", (*row.values(),))


def _whole(row: dict[str, Any]) -> bool:
    try:
        json.loads(row["label"])
        json.loads(row["changes"])
    except (ValueError, TypeError):
        return False
    return True

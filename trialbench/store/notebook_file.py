"""One open notebook file: its connection, its transactions, and who holds it.

The connection belongs to the thread that opened the file (the main thread).
"""

from __future__ import annotations

import contextlib
import sqlite3
from collections.abc import Iterator, Sequence
from pathlib import Path

from trialbench.model.errors import DamagedFile, FileTrouble, NewerFile
from trialbench.model.message import msg
from trialbench.model.records import Record
from trialbench.store import rows
from trialbench.store.holder import Holder
from trialbench.store.key_guard import SealedKey
from trialbench.store.migrations import MIGRATIONS, Migration
from trialbench.store.troubles import damaged, trouble_of


class NotebookFile:
    """Made by `opening.open_notebook_file`. `opened_with` says why it only reads, if it does."""

    def __init__(
        self,
        path: Path,
        db: sqlite3.Connection,
        holder: Holder | None,
        opened_with: FileTrouble | None = None,
        migrations: Sequence[Migration] = MIGRATIONS,
    ) -> None:
        self.path = path
        self.db = db
        self.opened_with = opened_with
        self.migrations = migrations
        self._holder = holder
        self._last_seen = self.version_seen()

    @property
    def read_only(self) -> bool:
        """Whether this window may only read."""
        return self.opened_with is not None

    @contextlib.contextmanager
    def atomic(self) -> Iterator[sqlite3.Connection]:
        """One transaction: all of it is on the disk afterwards, or nothing.

        Raises FileTrouble (read only, disk full, folder gone) or DamagedFile, after which the
        file is not written to again.
        """
        if self.opened_with is not None:
            raise self.opened_with
        try:
            self.db.execute("BEGIN IMMEDIATE")
            try:
                yield self.db
                self.db.execute("COMMIT")
            except BaseException:
                with contextlib.suppress(sqlite3.Error):
                    self.db.execute("ROLLBACK")
                raise
        except sqlite3.Error as error:
            trouble = trouble_of(error, self.path)
            if isinstance(trouble, DamagedFile):
                self.opened_with = trouble
            raise trouble from error

    @contextlib.contextmanager
    def reading(self) -> Iterator[sqlite3.Connection]:
        """The connection for reading. Raises FileTrouble or DamagedFile."""
        try:
            yield self.db
        except sqlite3.Error as error:
            raise trouble_of(error, self.path) from error

    def load(self, kind: type[Record]) -> list[Record]:
        """Every record of a kind. Raises FileTrouble; DamagedFile; NewerFile when it cannot be."""
        try:
            with self.reading() as db:
                return rows.read_all(db, kind)
        except (FileTrouble, TypeError, ValueError) as error:
            if isinstance(self.opened_with, NewerFile):
                raise NewerFile(
                    msg("A newer version wrote this notebook. Too much is new to read it here."),
                    cause=f"{kind.kind}: {error}",
                ) from error
            if isinstance(error, FileTrouble):
                raise
            raise damaged(self.path, f"{kind.kind}: {error}") from error

    def meta(self, name: str) -> str | None:
        """A line of the table notebook_meta."""
        with self.reading() as db:
            row = db.execute("SELECT value FROM notebook_meta WHERE name = ?", (name,)).fetchone()
        return None if row is None else str(row[0])

    def drafts(self) -> dict[str, str]:
        """What was being typed and not yet accepted, by place."""
        with self.reading() as db:
            return dict(db.execute("SELECT place, text FROM draft").fetchall())

    def sealed_key(self, sitting_id: str) -> SealedKey | None:
        """The sealed key of a sitting."""
        with self.reading() as db:
            row = db.execute(
                "SELECT sitting_id, guard, salt, nonce, body FROM sealed_key WHERE sitting_id = ?",
                (sitting_id,),
            ).fetchone()
        return None if row is None else SealedKey(*row)

    def version_seen(self) -> int:
        """A number that changes when another window has written."""
        return int(self.db.execute("PRAGMA data_version").fetchone()[0])

    def changed_elsewhere(self) -> bool:
        """Whether another window has written since this was last asked."""
        seen, self._last_seen = self._last_seen, self.version_seen()
        return seen != self._last_seen

    def close(self) -> None:
        """Close the connection and give the notebook free. Harmless when called twice."""
        self.db.close()
        if self._holder is not None:
            self._holder.release()


def put_draft(db: sqlite3.Connection, place: str, text: str, made_utc: str) -> None:
    """Write what is being typed."""
    db.execute(
        "INSERT INTO draft VALUES (?, ?, ?) ON CONFLICT (place)"
        " DO UPDATE SET text = excluded.text, made_utc = excluded.made_utc",
        (place, text, made_utc),
    )


def drop_draft(db: sqlite3.Connection, place: str) -> None:
    """Forget what was being typed."""
    db.execute("DELETE FROM draft WHERE place = ?", (place,))


def put_sealed_key(db: sqlite3.Connection, sealed: SealedKey) -> None:
    """Write a sealed key. Raises FileTrouble when the sitting has one already."""
    try:
        db.execute(
            "INSERT INTO sealed_key VALUES (?, ?, ?, ?, ?)",
            (sealed.sitting_id, sealed.guard, sealed.salt, sealed.nonce, sealed.body),
        )
    except sqlite3.IntegrityError as error:
        raise FileTrouble(
            msg("This sitting has a sealed key already."), cause=str(error)
        ) from error

"""Opening a notebook file: made when missing, raised when older, read only when it must be."""

from __future__ import annotations

import contextlib
import os
import sqlite3
from collections.abc import Sequence
from pathlib import Path

from trialbench import __version__, paths
from trialbench.model.errors import FileTrouble, HeldElsewhere, NewerFile
from trialbench.model.message import msg
from trialbench.model.records import new_id
from trialbench.store.backup import copy_before_migrating
from trialbench.store.holder import Holder
from trialbench.store.migrations import MIGRATIONS, Migration, migrate
from trialbench.store.notebook_file import NotebookFile
from trialbench.store.schema import APPLICATION_ID, FILE_FORM, SCHEMA
from trialbench.store.troubles import damaged, trouble_of, trouble_of_system

_BUSY_S = 5.0


def open_notebook_file(
    path: Path,
    now_utc: str,
    *,
    backups: Path | None = None,
    migrations: Sequence[Migration] = MIGRATIONS,
) -> NotebookFile:
    """Open `path`, or make it when there is no such file.

    Read only, with the reason in `opened_with`: HeldElsewhere, NewerFile, or FileTrouble when the
    folder or file may not be written. Raises DamagedFile (nothing was written to it) and
    FileTrouble when there is nothing that could be read.
    """
    path = path.absolute()
    try:
        holder, trouble = _hold(path, now_utc)
        try:
            if trouble is None and (not path.exists() or path.stat().st_size == 0):
                _make(path)
            return _opened(path, now_utc, (holder, trouble), backups, migrations)
        except BaseException:
            if holder is not None:
                holder.release()
            raise
    except OSError as error:
        raise trouble_of_system(error, path) from error
    except sqlite3.Error as error:
        raise trouble_of(error, path) from error


def _hold(path: Path, now_utc: str) -> tuple[Holder | None, FileTrouble | None]:
    """The right to write, or why there is none. Raises OSError when there is no file either."""
    if path.is_dir():
        raise IsADirectoryError(21, "Is a directory")
    try:
        holder = Holder(path, now_utc)
    except HeldElsewhere as held:
        return None, held
    except OSError as error:
        if not path.exists():
            raise
        return None, trouble_of_system(error, path)
    if path.exists() and not os.access(path, os.W_OK):
        holder.release()
        return None, FileTrouble(
            msg(
                "{name} may only be read. You can read it here and not write in it.",
                name=path.name,
            ),
            cause="the file is write-protected",
        )
    return holder, None


def _opened(
    path: Path,
    now_utc: str,
    held: tuple[Holder | None, FileTrouble | None],
    backups: Path | None,
    migrations: Sequence[Migration],
) -> NotebookFile:
    holder, trouble = held
    db = connect(path, read_only=trouble is not None)
    try:
        form = _checked_form(db, path)
        if form > FILE_FORM:
            db.close()
            db = connect(path, read_only=True)
            trouble = _newer(path, form)
        elif form < FILE_FORM:
            if trouble is not None:
                raise _older(form, trouble)
            copy_before_migrating(path, form, now_utc, backups or paths.backups())
            migrate(db, now_utc, migrations)
        if trouble is None:
            _settle(db)
        elif holder is not None:
            holder.release()
            holder = None
        return NotebookFile(path, db, holder, trouble, migrations)
    except BaseException:
        db.close()
        raise


def connect(path: Path, *, read_only: bool = False) -> sqlite3.Connection:
    """A connection without automatic transactions. Raises sqlite3.Error."""
    mode = "ro" if read_only else "rw"
    db = sqlite3.connect(
        f"{path.absolute().as_uri()}?mode={mode}", uri=True, timeout=_BUSY_S, isolation_level=None
    )
    db.execute("PRAGMA foreign_keys = ON")
    return db


def _settle(db: sqlite3.Connection) -> None:
    """How this program writes: rollback journal, on the disk at every commit, nothing left over.

    What is deleted is overwritten, so that a redaction leaves no trace in the file.
    """
    db.execute("PRAGMA journal_mode = DELETE")
    db.execute("PRAGMA synchronous = FULL")
    db.execute("PRAGMA secure_delete = ON")
    version = db.execute("SELECT value FROM notebook_meta WHERE name = 'program'").fetchone()
    if version is None or version[0] != __version__:
        db.execute("INSERT OR REPLACE INTO notebook_meta VALUES ('program', ?)", (__version__,))


def _checked_form(db: sqlite3.Connection, path: Path) -> int:
    """The file form. Raises DamagedFile, or FileTrouble for another program's file."""
    application = int(db.execute("PRAGMA application_id").fetchone()[0])
    if application != APPLICATION_ID:
        raise FileTrouble(
            msg("{name} is not a notebook. It is left as it is.", name=path.name),
            cause=f"application id {application}",
        )
    said = db.execute("PRAGMA quick_check(1)").fetchone()[0]
    if said != "ok":
        raise damaged(path, str(said))
    return int(db.execute("PRAGMA user_version").fetchone()[0])


def _newer(path: Path, form: int) -> NewerFile:
    version = "?"
    with (
        contextlib.suppress(sqlite3.Error),
        contextlib.closing(connect(path, read_only=True)) as db,
    ):
        version = db.execute("SELECT value FROM notebook_meta WHERE name = 'program'").fetchone()[0]
    return NewerFile(
        msg(
            "This notebook was written by a newer version, {version} (file form {form})."
            " You can read it here and not write in it.",
            version=version,
            form=form,
        ),
        cause=f"file form {form}, this program writes {FILE_FORM}",
    )


def _older(form: int, why: FileTrouble) -> FileTrouble:
    return FileTrouble(
        msg(
            "This notebook has the older file form {form} and must be written to before it can be"
            " read. {why}",
            form=form,
            why=str(why),
        ),
        cause=why.cause,
    )


def _make(path: Path) -> None:
    """An empty notebook file, whole or not there at all."""
    fresh = path.with_name(path.name + ".new")
    for file in (path, fresh):
        # a journal left behind by a file that is gone would be played into the new one
        file.with_name(file.name + "-journal").unlink(missing_ok=True)
    fresh.unlink(missing_ok=True)
    try:
        with contextlib.closing(sqlite3.connect(fresh, isolation_level=None)) as db:
            db.execute("PRAGMA synchronous = FULL")
            db.execute(f"PRAGMA application_id = {APPLICATION_ID}")
            db.executescript(
                f"BEGIN; {SCHEMA}"
                f"INSERT INTO notebook_meta VALUES ('notebook_id', '{new_id()}'),"
                f" ('program', '{__version__}');"
                f"PRAGMA user_version = {FILE_FORM}; COMMIT;"
            )
        fresh.replace(path)
    finally:
        fresh.unlink(missing_ok=True)

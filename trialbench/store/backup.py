"""Copies of a notebook: whole files, made beside their final name and moved there at the end."""

from __future__ import annotations

import contextlib
import os
import shutil
import sqlite3
from pathlib import Path

from trialbench.model.errors import FileTrouble
from trialbench.model.message import msg
from trialbench.store.troubles import trouble_of, trouble_of_system


def save_copy(db: sqlite3.Connection, source: Path, target: Path) -> None:
    """Write a copy of the open notebook to `target`, which is replaced if it exists.

    SQLite's backup API makes it, so that it is one moment of the notebook. Raises FileTrouble.
    """
    if target.absolute() == source.absolute() or (target.exists() and target.samefile(source)):
        raise FileTrouble(msg("A copy needs another name than the notebook itself."))
    unfinished = target.with_name(target.name + ".new")
    try:
        unfinished.unlink(missing_ok=True)
        try:
            with contextlib.closing(sqlite3.connect(unfinished)) as copy:
                db.backup(copy)
            _on_disk(unfinished)
            unfinished.replace(target)
        finally:
            unfinished.unlink(missing_ok=True)
    except sqlite3.Error as error:
        raise trouble_of(error, target) from error
    except OSError as error:
        raise trouble_of_system(error, target) from error


def copy_before_migrating(path: Path, form: int, now_utc: str, folder: Path) -> Path:
    """Copy the file as it is into `folder`. Raises OSError."""
    folder.mkdir(parents=True, exist_ok=True)
    moment = now_utc.replace(":", "").replace("-", "")
    target = folder / f"{path.stem}-{notebook_id(path)}-form{form}-{moment}{path.suffix}"
    unfinished = target.with_name(target.name + ".new")
    shutil.copy2(path, unfinished)
    _on_disk(unfinished)
    unfinished.replace(target)
    return target


def backups_of(identity: str, folder: Path) -> tuple[Path, ...]:
    """The copies that this program made of a notebook, by its id."""
    if not folder.is_dir():
        return ()
    return tuple(sorted(p for p in folder.iterdir() if f"-{identity}-form" in p.name))


def notebook_id(path: Path) -> str:
    """The id that a notebook keeps through moves and copies; "unknown" when it has none."""
    with contextlib.suppress(sqlite3.Error):
        uri = f"{path.absolute().as_uri()}?mode=ro"
        with contextlib.closing(sqlite3.connect(uri, uri=True)) as db:
            row = db.execute("SELECT value FROM notebook_meta WHERE name = 'notebook_id'")
            return str(row.fetchone()[0])
    return "unknown"


def _on_disk(path: Path) -> None:
    with path.open("rb+") as file:
        os.fsync(file.fileno())

"""What SQLite and the system say, turned into what a cook can act on."""

from __future__ import annotations

import sqlite3
from pathlib import Path

from trialbench.model.errors import DamagedFile, FileTrouble
from trialbench.model.message import Message, msg

_SAID: tuple[tuple[str, Message], ...] = (
    ("SQLITE_FULL", msg("The disk is full. Nothing was written. Make room, then write it again.")),
    (
        "SQLITE_READONLY",
        msg("This notebook can be read here and not written. Check who may write in its folder."),
    ),
    (
        "SQLITE_CANTOPEN",
        msg("The notebook or its folder cannot be opened. Check that the folder is still there."),
    ),
    (
        "SQLITE_BUSY",
        msg("Another program is using the notebook file. Nothing was written. Close it there."),
    ),
    (
        "SQLITE_LOCKED",
        msg("Another program is using the notebook file. Nothing was written. Close it there."),
    ),
    (
        "SQLITE_IOERR",
        msg("The disk did not answer. Nothing was written. Check that it is still connected."),
    ),
)


def damaged(path: Path, cause: str) -> DamagedFile:
    """The error for a file that will not be written to."""
    return DamagedFile(
        msg(
            "The notebook {name} is damaged. It is left as it is. What can be read can be"
            " brought into a new notebook.",
            name=path.name,
        ),
        cause=cause,
    )


def trouble_of(error: sqlite3.Error, path: Path) -> FileTrouble:
    """The trouble behind an SQLite error."""
    name = getattr(error, "sqlite_errorname", "") or ""
    if name.startswith(("SQLITE_CORRUPT", "SQLITE_NOTADB")):
        return damaged(path, str(error))
    for start, said in _SAID:
        if name.startswith(start):
            return FileTrouble(said, cause=str(error))
    return FileTrouble(
        msg("The notebook {name} could not be read or written.", name=path.name), cause=str(error)
    )


def trouble_of_system(error: OSError, path: Path) -> FileTrouble:
    """The trouble behind an error of the operating system."""
    if isinstance(error, PermissionError):
        said = msg("You may not write in {folder}. Nothing was written.", folder=str(path.parent))
    elif isinstance(error, FileNotFoundError):
        said = msg("There is no folder {folder}. Make it first.", folder=str(path.parent))
    elif isinstance(error, IsADirectoryError):
        said = msg("{name} is a folder, not a notebook.", name=path.name)
    else:
        said = msg("The notebook {name} could not be read or written.", name=path.name)
    return FileTrouble(said, cause=error.strerror or str(error))

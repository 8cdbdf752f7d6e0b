"""Taking a taster's personal data out of the notebook and of the backups made of it."""

from __future__ import annotations

import contextlib
import sqlite3
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from trialbench.model.message import msg
from trialbench.model.records import Taster
from trialbench.model.steps import Change, Step
from trialbench.notebook.book import Book
from trialbench.store.backup import backups_of
from trialbench.store.notebook_file import NotebookFile
from trialbench.store.opening import connect
from trialbench.store.redaction import Redacted, aliases_of, redact
from trialbench.store.troubles import trouble_of

Redaction = tuple[Step, Callable[[sqlite3.Connection], None], Callable[[], None]]


def redaction(book: Book, file: NotebookFile, taster_id: str, backups: Path) -> Redaction:
    """The step, what else to write in its transaction, and what to do to the backups after it."""
    taster = book.get(Taster, taster_id)
    instead = f"Taster {taster.position}"
    with file.reading() as db:
        who = Redacted(taster_id, aliases_of(db, taster_id) - {instead}, instead)
    blank = replace(taster, alias=instead, avoids="")
    step = Step(
        msg("{alias}: name and what they avoid taken out for good", alias=instead),
        (Change(taster, blank),),
        barrier=True,
    )
    identity = file.meta("notebook_id") or ""

    def copies() -> None:
        for path in backups_of(identity, backups):
            _redact_file(path, who)

    return step, lambda db: redact(db, who), copies


def _redact_file(path: Path, who: Redacted) -> None:
    try:
        with contextlib.closing(connect(path)) as db:
            db.execute("PRAGMA secure_delete = ON")
            db.execute("BEGIN IMMEDIATE")
            redact(db, who)
            db.execute("COMMIT")
    except sqlite3.Error as error:
        raise trouble_of(error, path) from error

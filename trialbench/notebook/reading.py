"""Two halves of the open notebook: asking for records, and what is being typed."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from typing import Any

from trialbench.model.errors import FileTrouble
from trialbench.notebook.clock import Clock
from trialbench.notebook.records_read import R, Records
from trialbench.store.notebook_file import NotebookFile, drop_draft, put_draft


class Reading:
    """Asking an open notebook for its records."""

    _records: Records

    def get(self, kind: type[R], identity: str) -> R:
        """The record. Raises KeyError when there is none."""
        return self._records.get(kind, identity)

    def find(self, kind: type[R], identity: str | None) -> R | None:
        """The record, or None."""
        return self._records.find(kind, identity)

    def all(self, kind: type[R], **equals: Any) -> tuple[R, ...]:
        """The records whose fields equal `equals`, in natural order."""
        return self._records.all(kind, **equals)

    def snapshot(self) -> Records:
        """All records as they are now, for another thread or a later comparison."""
        return self._records.copy()


class Drafts:
    """What is being typed and not yet accepted, by place; on the disk at once."""

    _file: NotebookFile
    _clock: Clock
    _drafts: dict[str, str]
    trouble: FileTrouble | None

    @property
    def read_only(self) -> bool:
        """Whether this window may only read; `trouble` says why."""
        return self._file.read_only

    @contextmanager
    def _writing(self) -> Iterator[sqlite3.Connection]:
        """One transaction; `trouble` says how it went."""
        try:
            with self._file.atomic() as db:
                yield db
        except FileTrouble as trouble:
            self.trouble = trouble
            raise
        self.trouble = None

    @property
    def drafts(self) -> Mapping[str, str]:
        """Every draft: place to text."""
        return dict(self._drafts)

    def draft(self, place: str) -> str | None:
        """What stands half typed at a place, or None."""
        return self._drafts.get(place)

    def write_draft(self, place: str, text: str) -> None:
        """Write what is being typed; on the disk when this returns. Raises FileTrouble."""
        if self._drafts.get(place) == text:
            return
        with self._writing() as db:
            put_draft(db, place, text, self._clock().utc)
        self._drafts[place] = text

    def clear_draft(self, place: str) -> None:
        """Forget what was being typed there. Raises FileTrouble."""
        if place in self._drafts:
            with self._writing() as db:
                drop_draft(db, place)
            del self._drafts[place]

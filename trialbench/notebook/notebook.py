"""The open notebook: records by id, steps, questions, drafts, keys. No Qt; one thread."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import replace
from pathlib import Path
from types import TracebackType
from typing import NamedTuple

from trialbench import paths
from trialbench.model.errors import FileTrouble, Sealed
from trialbench.model.message import Message, msg
from trialbench.model.records import KINDS, Cover, Sitting, Trial, new_id
from trialbench.model.steps import Step, added
from trialbench.notebook import going_back, guard, keys, redacting
from trialbench.notebook.belonging import trial_id_of
from trialbench.notebook.clock import Clock, Moment, system_clock
from trialbench.notebook.going_back import Restored
from trialbench.notebook.reading import Drafts, Reading
from trialbench.notebook.records_read import Records
from trialbench.store import history_table
from trialbench.store.backup import save_copy
from trialbench.store.history_table import HistoryRow
from trialbench.store.migrations import MIGRATIONS, Migration
from trialbench.store.notebook_file import NotebookFile, drop_draft
from trialbench.store.opening import open_notebook_file
from trialbench.store.rows import write_changes

Listener = Callable[[frozenset[str]], None]
Also = Callable[[sqlite3.Connection], None]
"""More to be written in the transaction of a step."""


class LastWritten(NamedTuple):
    """What the page foot says: the label of the newest step and when it was written."""

    label: Message
    made_utc: str
    offset_min: int


class Notebook(Reading, Drafts):
    """An open notebook. Made by `Notebook.open`; use it in one thread, close it once.

    `path` is the file. `trouble` is why it only reads, or why the last write failed, else None.
    `last_written` is the newest step. Every verb raises FileTrouble when the file cannot be
    written; memory and file are then as before.
    """

    def __init__(self, file: NotebookFile, clock: Clock, backups: Path) -> None:
        self._file = file
        self._clock = clock
        self._backups = backups
        self._listeners: list[Listener] = []
        self.path = file.path
        self.trouble: FileTrouble | None = file.opened_with
        self.last_written: LastWritten | None = None
        self._load()
        if not self._records.all(Cover) and not self.read_only:
            cover = Cover(new_id(), file.path.stem, self.now().utc)
            self.apply(Step(msg("Notebook begun"), added(cover)))
        self._opening_number = self._number

    @classmethod
    def open(
        cls,
        path: str | Path,
        clock: Clock | None = None,
        *,
        backups: Path | None = None,
        migrations: Sequence[Migration] = MIGRATIONS,
    ) -> Notebook:
        """Open the notebook at `path`; it is made, with its cover, when there is none.

        Read only, with the reason in `trouble`: HeldElsewhere, NewerFile, FileTrouble. Raises
        DamagedFile (offer `trialbench.store.rescue.rescue`) and FileTrouble.
        """
        clock = clock or system_clock
        backups = backups or paths.backups()
        file = open_notebook_file(Path(path), clock().utc, backups=backups, migrations=migrations)
        try:
            return cls(file, clock, backups)
        except BaseException:
            file.close()
            raise

    def __enter__(self) -> Notebook:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        at: TracebackType | None,
    ) -> None:
        self.close()

    def close(self) -> None:
        """Close the file. There is nothing to save."""
        self._listeners.clear()
        self._file.close()

    def now(self) -> Moment:
        """The notebook's clock."""
        return self._clock()

    def _load(self) -> None:
        self._records = Records(r for kind in KINDS for r in self._file.load(kind))
        self._drafts = self._file.drafts()
        with self._file.reading() as db:
            self._number = history_table.last_number(db)
            rows = history_table.page(db, None, 1)
        if rows:
            self.last_written = LastWritten(rows[0].label, rows[0].made_utc, rows[0].offset_min)

    def refresh(self) -> bool:
        """In a window that only reads: take over what the other one wrote. True when it did."""
        if not self._file.changed_elsewhere():
            return False
        self._load()
        self._tell(frozenset(kind.kind for kind in KINDS))
        return True

    def apply(self, step: Step, clears_draft: str | None = None) -> int:
        """Write a step, and with it clear the draft it came from. Returns its row of history.

        A step that changes nothing writes no row. Raises Refused, Sealed, FileTrouble.
        """
        return self._write(step, clears_draft=clears_draft)

    def revert(self, step: Step) -> int:
        """Take a step back, as a step of its own. Raises Sealed for a barrier, else as `apply`.

        A trial that was brought in sealed leaves again as a whole while nothing was added to it.
        """
        if step.barrier:
            raise Sealed(msg("{what}: this cannot be taken back.", what=step.label))
        new = {c.record.id for c in step.changes if isinstance(c.after, Trial) and not c.before}
        leaving = frozenset(new if step.origin == "import" else ())
        back = step.reversed(msg("Taken back: {what}", what=step.label))
        return self._write(back, leaving=leaving)

    def _write(
        self,
        step: Step,
        also: Also | None = None,
        *,
        clears_draft: str | None = None,
        leaving: frozenset[str] = frozenset(),
    ) -> int:
        if also is None and keys.sealed_by_itself(step):
            raise ValueError("a sitting is sealed together with its key: use seal_key")
        step = guard.ready(self._records, step, leaving)
        if not step.changes and also is None:
            if clears_draft is not None:
                self.clear_draft(clears_draft)
            return self._number
        moment, number = self._clock(), self._number + 1
        with self._writing() as db:
            history_table.append(db, number, step, moment.utc, moment.offset_min)
            write_changes(db, step.changes)
            if clears_draft is not None:
                drop_draft(db, clears_draft)
            if also is not None:
                also(db)
        self._records.apply(step.changes)
        self._number = number
        self.last_written = LastWritten(step.label, moment.utc, moment.offset_min)
        self._drafts.pop(clears_draft or "", None)
        self._tell(step.kinds)
        return number

    def subscribe(self, listener: Listener) -> Callable[[], None]:
        """Call `listener` with the kinds that changed after every step. Returns what ends it."""
        self._listeners.append(listener)

        def unsubscribe() -> None:
            with suppress(ValueError):
                self._listeners.remove(listener)

        return unsubscribe

    def _tell(self, kinds: frozenset[str]) -> None:
        for listener in tuple(self._listeners):
            listener(kinds)

    def history(self, before: int | None = None, limit: int = 50) -> tuple[HistoryRow, ...]:
        """Rows of the diary, newest first; `before` is the number of the last row of a page."""
        with self._file.reading() as db:
            return history_table.page(db, before, limit)

    def trials_touched(self) -> dict[str, int]:
        """Trial id to the newest row of history that wrote in it (0 where none is found)."""
        touched = {trial.id: 0 for trial in self.all(Trial)}
        missing = set(touched)
        with self._file.reading() as db:
            for number, changes in history_table.changes_newest_first(db, self._file.migrations):
                found = {trial_id_of(self, change.record) for change in changes} & missing
                touched.update((trial_id, number) for trial_id in found if trial_id)
                missing -= found
                if not missing:
                    break
        return touched

    def restore(self, number: int) -> Restored:
        """Bring every record back to how it stood after row `number`, as one new step.

        What is sealed or opened since stays so, with what it needs; `kept` says so.
        """
        return self._go_back(number, msg("Back to line {number} of history", number=number))

    def back_to_opening(self) -> Restored:
        """Bring every record back to how it stood when this window opened the notebook."""
        return self._go_back(self._opening_number, msg("Back to the state at opening"))

    def _go_back(self, number: int, label: Message) -> Restored:
        with self._file.reading() as db:
            rows = list(history_table.changes_after(db, number, self._file.migrations))
        wanted = going_back.changes_back(self._records, [changes for _, _, changes in rows])
        leaving = going_back.leaving_trials(self._records, wanted, [row[1:] for row in rows])
        changes, kept = going_back.possible(self._records, wanted, leaving)
        return Restored(self._write(Step(label, changes), leaving=leaving), kept)

    def seal_key(
        self, sitting_id: str, key_bytes: bytes, step: Step, passphrase: str | None = None
    ) -> int:
        """Seal the key of a sitting: `step` (planning.sitting) and the key in one transaction.

        Without a passphrase the guard is a curtain. A barrier. Raises Refused for an empty
        passphrase, Sealed when the key is sealed already.
        """
        step, also = keys.sealing(self, sitting_id, key_bytes, step, passphrase)
        return self._write(step, also)

    def open_key(
        self, sitting_id: str, step_from: Callable[[bytes], Step], passphrase: str | None = None
    ) -> bytes:
        """Open a key for good: writes what `step_from` makes of it, returns the key.

        `step_from` is planning's `open_sitting` for this sitting. A barrier. Raises Refused for a
        wrong passphrase, and what `step_from` raises.
        """
        key_bytes = keys.unsealed(self, self._file, sitting_id, passphrase)
        self._write(replace(step_from(key_bytes), barrier=True))
        return key_bytes

    def key_for_server(
        self, sitting_id: str, passphrase: str | None = None, *, printed: bool = False
    ) -> bytes:
        """The key for whoever plates, without opening it. The look is a KeyLook record for good,
        and stands in history; `printed` says that the plate map went on paper."""
        key_bytes = keys.unsealed(self, self._file, sitting_id, passphrase)
        self._write(keys.looked(self.get(Sitting, sitting_id), self.now(), printed=printed))
        return key_bytes

    def curtain_keys(self, trial_id: str) -> tuple[bytes, ...]:
        """The shut keys behind a curtain, for evening out orders only; never to be shown."""
        return keys.curtain_keys(self, self._file, trial_id)

    def redact_taster(self, taster_id: str) -> int:
        """Take a taster's name and what they avoid out of records, history, drafts and backups.

        Scores stay, under "Taster n". Copies that were saved elsewhere are not reached. Returns
        the row of history. Cannot be taken back.
        """
        step, also, copies = redacting.redaction(self, self._file, taster_id, self._backups)
        number = self._write(step, also)
        copies()
        self._load()
        self._tell(frozenset({"taster", "seat", "score", "left_out"}))
        return number

    def save_copy(self, target: str | Path) -> None:
        """Write a copy of this moment to `target`. Raises FileTrouble."""
        save_copy(self._file.db, self.path, Path(target))

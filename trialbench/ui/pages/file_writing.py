"""Writing a report into a file that the cook chooses: on the worker, while the window lives on."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QObject, Signal, Slot
from PySide6.QtWidgets import QWidget

from trialbench.model.errors import FileTrouble, TrialbenchError
from trialbench.model.message import Message, msg
from trialbench.ui.page import Desk
from trialbench.ui.pages.reckoning import Reckoned
from trialbench.ui.pages.where_to import ask_where, file_stem

KINDS: dict[str, Message] = {
    ".pdf": msg("Page to print (*.pdf)"),
    ".html": msg("Web page (*.html)"),
    ".md": msg("Plain text (*.md)"),
    ".csv": msg("Data (*.csv)"),
    ".json": msg("What was sealed (*.json)"),
}


class FileWriting(QObject):
    """One file at a time. `changed()` when writing begins, ends or fails; `said()` tells which."""

    changed = Signal()

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self._desk = desk
        self._said: Message | str = ""
        self._busy = False
        self._done: Callable[[str], object] | None = None

    def said(self) -> Message | str:
        """What became of it, "" before the first file."""
        return self._said

    def forget(self) -> None:
        """Say nothing more of the last file (another trial is open)."""
        if not self._busy:
            self._said = ""

    def why_not(self) -> Message | None:
        """Why no file can be written now."""
        return msg("A file is being written.") if self._busy else None

    def ask(
        self,
        parent: QWidget | None,
        reckoned: Reckoned,
        ending: str,
        done: Callable[[str], object] | None = None,
    ) -> None:
        """Ask where to, then write; `done(ending)` is called once the file is there."""
        try:
            path = self._choose(parent, reckoned, ending)
        except FileTrouble as trouble:
            self._desk.trouble.emit(trouble)
            return
        if path is None:
            return
        self._busy, self._done = True, done
        self._say(msg("Writing {file}.", file=path.name))
        self._desk.background.ask(
            "file", _Write(reckoned, ending, path), self._take, trouble=self._fail
        )

    def _choose(self, parent: QWidget | None, reckoned: Reckoned, ending: str) -> Path | None:
        named = file_stem(reckoned.records.trial) + ending
        return ask_where(parent, self._desk.settings, named, KINDS[ending])

    def _say(self, said: Message | str) -> None:
        self._said = said
        self.changed.emit()

    @Slot(object)
    def _take(self, path: Path) -> None:
        self._busy = False
        done, self._done = self._done, None
        self._say(msg("Written: {file}", file=str(path)))
        if done is not None:
            done(path.suffix.lower())

    @Slot(object)
    def _fail(self, trouble: Exception) -> None:
        self._busy, self._done = False, None
        self._say("")
        if not isinstance(trouble, TrialbenchError):
            raise trouble
        self._desk.trouble.emit(trouble)


class _Write:
    """What the worker does: the form of the ending, from the finding that is on the page."""

    def __init__(self, reckoned: Reckoned, ending: str, path: Path) -> None:
        self._reckoned, self._ending, self._path = reckoned, ending, path

    def __call__(self) -> Path:
        from trialbench.report.writing import report_bytes, write_file

        made = report_bytes(self._reckoned.records, self._ending, self._reckoned.found)
        return write_file(self._path, made)

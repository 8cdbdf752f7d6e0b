"""The calendar file of a cook day: where it is to stand, and what became of it."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QFileDialog, QWidget

from trialbench.model.errors import TrialbenchError
from trialbench.model.message import Message, msg, say
from trialbench.model.records import Trial
from trialbench.planning.timetable import Timetable
from trialbench.planning.timetable_acts import Act
from trialbench.ui.page import Desk

_ENDING = ".ics"
_FOLDER = "last_folder"
ALARM_MIN = 10


class CalendarWriting(QObject):
    """Asks where to, then writes. `changed()` when `said()` tells something else than before."""

    changed = Signal()

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self._desk = desk
        self._said: Message | str = ""

    def said(self) -> Message | str:
        """What became of the last file, "" before the first."""
        return self._said

    def why_not(self) -> Message | None:
        """Why no file can be written now."""
        return None

    def forget(self) -> None:
        """Say nothing more of the last file (another day is open)."""
        self._said = ""

    def ask(self, parent: QWidget | None, table: Timetable, acts: Sequence[Act]) -> None:
        """Write the file where the cook says, with an alarm before each act."""
        from trialbench.exchange.calendar_file import calendar_bytes, write_calendar

        path = self._choose(parent, table)
        if path is None:
            return
        try:
            made = calendar_bytes(self._desk.notebook, table, acts, ALARM_MIN)
            write_calendar(path, made)
        except TrialbenchError as trouble:
            self._desk.trouble.emit(trouble)
            return
        self._desk.settings.put(_FOLDER, str(path.parent))
        self._said = msg("Written: {file}. Each act rings {minutes} min before. Written again, it "
                         "replaces what is in the calendar.", file=str(path),
                         minutes=ALARM_MIN)  # fmt: skip
        self.changed.emit()

    def _choose(self, parent: QWidget | None, table: Timetable) -> Path | None:
        """The file dialog begins in the folder used last, else at home."""
        trial = self._desk.notebook.get(Trial, table.cook.trial_id)
        words = "".join(c if c.isalnum() else "-" for c in trial.food.lower()).strip("-")
        named = f"{words or 'trial'}-{trial.number}-day-{table.cook.number}{_ENDING}"
        last = self._desk.settings.text(_FOLDER)
        folder = Path(last) if last and Path(last).is_dir() else Path.home()
        chosen, _ = QFileDialog.getSaveFileName(
            parent, say(msg("Write to a file")), str(folder / named),
            say(msg("Calendar file (*.ics)")),
        )  # fmt: skip
        if not chosen:
            return None
        path = Path(chosen)
        return path if path.suffix.lower() == _ENDING else path.with_name(path.name + _ENDING)

"""The calendar file of a cook day: where it is to stand, and what became of it."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

from trialbench.model.errors import TrialbenchError
from trialbench.model.message import Message, msg
from trialbench.model.records import Trial
from trialbench.planning.timetable import Timetable
from trialbench.planning.timetable_acts import Act
from trialbench.ui.page import Desk
from trialbench.ui.pages.where_to import ask_where, file_stem

_ENDING = ".ics"
_KIND = msg("Calendar file (*.ics)")
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

    def forget(self) -> None:
        """Say nothing more of the last file (another day is open)."""
        self._said = ""

    def ask(self, parent: QWidget | None, table: Timetable, acts: Sequence[Act]) -> None:
        """Write the file where the cook says, with an alarm before each act."""
        from trialbench.exchange.calendar_file import calendar_bytes, write_calendar

        try:
            path = self._choose(parent, table)
            if path is None:
                return
            made = calendar_bytes(self._desk.notebook, table, acts, ALARM_MIN)
            write_calendar(path, made)
        except TrialbenchError as trouble:
            self._desk.trouble.emit(trouble)
            return
        self._said = msg("Written: {file}. Each act rings {minutes} min before. Written again, it "
                         "replaces what is in the calendar.", file=str(path),
                         minutes=ALARM_MIN)  # fmt: skip
        self.changed.emit()

    def _choose(self, parent: QWidget | None, table: Timetable) -> Path | None:
        trial = self._desk.notebook.get(Trial, table.cook.trial_id)
        named = file_stem(trial, "day", str(table.cook.number)) + _ENDING
        return ask_where(parent, self._desk.settings, named, _KIND)

"""The timetable as a calendar file (iCalendar, RFC 5545), written with a library.

    calendar_bytes(book, table, acts, alarm_min=None) -> bytes
    write_calendar(target, made) -> Path

Every act is an event at its moment, in UTC; the calendar shows it on its own clock. The same act of
the same cook day has the same UID each time and a higher SEQUENCE, so that writing the file again
replaces what was there.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from trialbench import __version__
from trialbench.model.errors import FileTrouble, Refused
from trialbench.model.kitchen_clock import instant_of
from trialbench.model.message import Message, msg, say
from trialbench.model.records import Trial
from trialbench.notebook import views
from trialbench.notebook.book import Book
from trialbench.planning.timetable import Timetable
from trialbench.planning.timetable_acts import Act
from trialbench.planning.timetable_words import letters_words

if TYPE_CHECKING:
    from icalendar import Alarm, Event

_MOST_ALARM_MIN = 24 * 60
_EPOCH = instant_of("2020-01-01T00:00:00Z")


def calendar_bytes(
    book: Book, table: Timetable, acts: Sequence[Act], alarm_min: int | None = None
) -> bytes:
    """The whole file. `alarm_min` rings so many minutes before each act, None never.

    Raises Refused while no act has a clock time, and for an alarm of less than 0 or more than a
    day.
    """
    from icalendar import Calendar

    timed = [act for act in acts if act.at is not None]
    if not timed:
        raise Refused(
            msg("Nothing on this list has a clock time yet."),
            field="cook.serve_utc",
            allowed=msg("a serving moment"),
            way_out=msg("Write when it is to be on the table."),
        )
    if alarm_min is not None and not 0 <= alarm_min <= _MOST_ALARM_MIN:
        raise Refused(
            msg("An alarm rings up to a day before. Not written."),
            field="alarm_min",
            typed=str(alarm_min),
            allowed=msg("0 to {most} minutes", most=_MOST_ALARM_MIN),
            way_out=msg("Write it again, or leave it empty."),
        )
    trial = book.get(Trial, table.cook.trial_id)
    calendar = Calendar()
    calendar.add("prodid", f"-//Trialbench//Timetable {__version__}//EN")
    calendar.add("version", "2.0")
    calendar.add("method", "PUBLISH")
    calendar.add("name", say(calendar_name(trial, table)))
    now = instant_of(book.now().utc)
    for act in timed:
        event = _event(book, table, act, now)
        if alarm_min is not None:
            event.add_component(_alarm(act, alarm_min))
        calendar.add_component(event)
    made: bytes = calendar.to_ical()
    return made


def calendar_name(trial: Trial, table: Timetable) -> Message:
    """What the file is about: "pork shoulder, trial 14, cook day 2"."""
    return msg("{food}, trial {number}, cook day {day}", food=trial.food or msg("Trial"),
               number=trial.number, day=table.cook.number)  # fmt: skip


def uid_of(table: Timetable, act: Act) -> str:
    """The same for the same act of the same cook day, whenever it is written."""
    return f"{table.cook.id}.{act.key.replace(':', '.')}@trialbench"


def _event(book: Book, table: Timetable, act: Act, now: datetime) -> Event:
    from icalendar import Event

    trial = book.get(Trial, table.cook.trial_id)
    event = Event()
    event.add("uid", uid_of(table, act))
    event.add("sequence", max(int((now - _EPOCH).total_seconds()), 0))
    event.add("dtstamp", now)
    event.add("dtstart", act.at)
    event.add("summary", say(act.says))
    event.add("location", act.place)
    event.add("description", say(_description(trial, table, act)))
    event.add("transp", "TRANSPARENT")
    return event


def _description(trial: Trial, table: Timetable, act: Act) -> Message:
    said = msg("{what}: {methods}. {line}", what=calendar_name(trial, table),
               methods=letters_words([m.letter + " " + m.name for m in table.methods
                                      if m.letter in act.letters]),
               line=views.question_line(trial))  # fmt: skip
    return msg("{said} All invented.", said=said) if trial.invented else said


def _alarm(act: Act, alarm_min: int) -> Alarm:
    from icalendar import Alarm

    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("trigger", timedelta(minutes=-alarm_min))
    alarm.add("description", say(act.says))
    return alarm


def write_calendar(target: Path, made: bytes) -> Path:
    """Write the file whole or not at all. Raises FileTrouble."""
    beside = target.with_name(target.name + ".part")
    try:
        beside.write_bytes(made)
        beside.replace(target)
    except OSError as trouble:
        said = msg("{file} cannot be written.", file=target.name)
        raise FileTrouble(said, cause=str(trouble)) from trouble
    return target

"""The timetable as a calendar file, read back with the library (RFC 5545)."""

from __future__ import annotations

from datetime import timedelta

import pytest
from icalendar import Calendar

from tests.planning.kitchen import LATER, NOON, shoulder
from trialbench.exchange.calendar_file import calendar_bytes, uid_of, write_calendar
from trialbench.model.errors import FileTrouble, Refused
from trialbench.model.message import say
from trialbench.model.records import Cook, Cover, Method, Stage, Trial
from trialbench.planning.timetable import timetable_of
from trialbench.planning.timetable_acts import acts_of

COOK = "c1"


class Dated:
    """Records that know the time."""

    def __init__(self, records, when=NOON):
        self._records, self._when = records, when

    def __getattr__(self, name):
        return getattr(self._records, name)

    def now(self):
        return self._when


def served(utc="2026-03-29T11:00:00.000Z"):
    there = shoulder().changed(Cover, "cover", zone="Europe/London")
    return there.changed(Cook, COOK, serve_utc=utc)


def made(there, when=NOON, alarm_min=None):
    table = timetable_of(there.book, COOK)
    acts = acts_of(there.book, table)
    return calendar_bytes(Dated(there.book, when), table, acts, alarm_min), table, acts


def events(data):
    return {str(e["uid"]): e for e in Calendar.from_ical(data).walk("VEVENT")}


def test_every_act_is_an_event_at_its_utc_moment_with_a_uid_of_its_own():
    data, table, acts = made(served())
    found = events(data)
    assert len(found) == len(acts)
    for act in acts:
        event = found[uid_of(table, act)]
        assert event.decoded("dtstart") == act.at
        assert event.decoded("dtstart").utcoffset() == timedelta(0)
        assert str(event["summary"]) == say(act.says)
        assert str(event["location"]) == act.place
    # Over the missing hour: nine hours of roasting are nine hours.
    roast = found[uid_of(table, next(a for a in acts if a.key == "roast:A"))]
    rest = found[uid_of(table, next(a for a in acts if a.key == "rest:A"))]
    assert rest.decoded("dtstart") - roast.decoded("dtstart") == timedelta(hours=9)


def test_written_again_the_same_events_replace_what_was_there():
    first, later = (
        events(made(served())[0]),
        events(made(served("2026-03-29T12:00:00.000Z"), LATER)[0]),
    )
    assert first.keys() == later.keys()
    for uid, event in later.items():
        assert event["sequence"] > first[uid]["sequence"]
        assert event.decoded("dtstart") - first[uid].decoded("dtstart") == timedelta(hours=1)
        assert event.decoded("dtstamp") > first[uid].decoded("dtstamp")


def test_an_alarm_rings_before_each_act_only_where_it_is_asked_for():
    assert b"VALARM" not in made(served())[0]
    alarms = Calendar.from_ical(made(served(), alarm_min=10)[0]).walk("VALARM")
    assert {a.decoded("trigger") for a in alarms} == {timedelta(minutes=-10)}
    assert len(alarms) == len(made(served())[2])
    for wrong in (-1, 2000):
        with pytest.raises(Refused):
            made(served(), alarm_min=wrong)


def test_signs_that_mean_something_and_other_alphabets_come_back_whole():
    name = 'Öfen; "Süd", Tür \\ 1 – 焼く 🍖 ' + "sehr langer Name " * 12
    there = served().changed(Stage, "hold", place=name).changed(Method, "mA", name="a,b;c\\n")
    there = there.changed(Trial, "t", food="Rôti, «spécial»; 70 % \\ x")
    data, table, acts = made(there)
    found = events(data)
    hold = next(a for a in acts if a.key == "hold:A")
    event = found[uid_of(table, hold)]
    assert str(event["summary"]) == say(hold.says)
    assert name.split("–")[0].strip() in str(event["summary"])
    assert "a,b;c\\n" in str(event["description"])
    assert "Rôti, «spécial»; 70 % \\ x" in str(event["description"])
    lines = data.split(b"\r\n")
    assert max(map(len, lines)) <= 75
    assert b"\n" not in data.replace(b"\r\n", b"")
    assert data.decode("utf-8").startswith("BEGIN:VCALENDAR\r\n")


def test_acts_without_a_clock_time_are_left_out_and_none_at_all_is_refused():
    there = served().changed(Stage, "roast", duration_s=None)
    data, _, acts = made(there)
    assert len(events(data)) == sum(act.at is not None for act in acts) < len(acts)
    with pytest.raises(Refused):
        made(served(""))


def test_the_file_is_written_whole_or_not_at_all(tmp_path):
    target = write_calendar(tmp_path / "list.ics", b"BEGIN")
    assert target.read_bytes() == b"BEGIN"
    with pytest.raises(FileTrouble):
        write_calendar(tmp_path / "nowhere" / "list.ics", b"BEGIN")
    assert [p.name for p in tmp_path.iterdir()] == ["list.ics"]


def test_the_library_is_loaded_only_when_a_file_is_made():
    import subprocess
    import sys

    code = "import sys, trialbench.exchange.calendar_file; print('icalendar' in sys.modules)"
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "False"

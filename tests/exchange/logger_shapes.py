"""One invented cook written in the shapes that loggers write: (name, bytes, answers)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass

from trialbench.exchange.logger_file import Answers

CORE = (4.8, 5.1, 5.9, 7.2, 9.0, 11.2, 13.7, 16.4, 19.3, 22.3, 25.4, 28.4)
PIT = (21.0, 60.2, 92.5, 104.1, 107.0, 107.6, 107.1, 106.8, 107.3, 107.9, 107.2, 106.9)
STEP_S = 90
START = dt.datetime(2025, 3, 29, 23, 52)
"""By the clock of a kitchen in London, where it is UTC; the clocks change an hour later."""
START_UTC = START.replace(tzinfo=dt.UTC).timestamp()
LONDON = Answers(zone="Europe/London")

Clock = Callable[[dt.datetime, float], str]


@dataclass(frozen=True)
class Shape:
    """A file, the answers it needs, the time of its first reading, and which clock it ends on."""

    data: bytes
    answers: Answers
    first_s: float = START_UTC
    clock: str = "utc"
    tolerance_c: float = 1e-9


def lines(heading: str, time: Clock, sep: str = ",", number: Callable[[float], str] = str) -> str:
    rows = [heading] if heading else []
    for n, (core, pit) in enumerate(zip(CORE, PIT, strict=True)):
        moment = START + dt.timedelta(seconds=n * STEP_S)
        rows.append(sep.join([time(moment, n * STEP_S), number(core), number(pit)]))
    return "\n".join(rows) + "\n"


def comma(value: float) -> str:
    return str(value).replace(".", ",")


def f(value: float) -> str:
    return f"{value * 9 / 5 + 32:.2f}"


def at(pattern: str) -> Clock:
    return lambda moment, since: moment.strftime(pattern)


def elapsed(pattern: Callable[[int], str]) -> Clock:
    return lambda moment, since: pattern(int(since))


def _hms(s: int) -> str:
    return f"{s // 3600}:{s // 60 % 60:02}:{s % 60:02}"


def _serial(moment: dt.datetime, since: float) -> str:
    return f"{(moment - dt.datetime(1899, 12, 30)).total_seconds() / 86400:.9f}"


def _epoch(moment: dt.datetime, since: float) -> str:
    return str(int(START_UTC + since))


HEAD = "time,core (°C),pit (°C)"
SINCE = {"first_s": 0.0, "clock": "elapsed"}


def _long(sep: str = ",", heading: str = "time,channel,value,unit", unit: str = "C") -> str:
    rows = [heading]
    for n, pair in enumerate(zip(CORE, PIT, strict=True)):
        moment = (START + dt.timedelta(seconds=n * STEP_S)).strftime("%Y-%m-%dT%H:%M:%SZ")
        for name, value in zip(("core", "pit"), pair, strict=True):
            rows.append(sep.join([moment, name, str(value), unit]))
    return "\n".join(rows) + "\n"


def _shape(text: str, answers: Answers = LONDON, encoding: str = "utf-8", **more: object) -> Shape:
    return Shape(text.encode(encoding), answers, **more)  # type: ignore[arg-type]


def _ambiguous_pattern(pattern: str) -> str:
    """A log within one day that reads both ways: 3 April or 4 March."""
    rows = [HEAD]
    for n, (core, pit) in enumerate(zip(CORE, PIT, strict=True)):
        moment = dt.datetime(2025, 4, 3, 10) + dt.timedelta(seconds=n * STEP_S)
        rows.append(f"{moment.strftime(pattern)},{core},{pit}")
    return "\n".join(rows)


APRIL_3_UTC = dt.datetime(2025, 4, 3, 9, tzinfo=dt.UTC).timestamp()
MARCH_4_UTC = dt.datetime(2025, 3, 4, 10, tzinfo=dt.UTC).timestamp()

ISO = at("%Y-%m-%d %H:%M:%S")
PREAMBLE = "Logger export\nSerial: 000000\nStart: 29.03.2025 23:52\nInterval: 90 s\nUnit: C\n\n"

SHAPES: dict[str, Shape] = {
    "iso with T": _shape(lines(HEAD, at("%Y-%m-%dT%H:%M:%S"))),
    "iso with an offset": _shape(lines(HEAD, at("%Y-%m-%dT%H:%M:%S+00:00")), Answers()),
    "iso in another zone": _shape(
        lines(HEAD, lambda m, s: (m + dt.timedelta(hours=2)).strftime("%Y-%m-%dT%H:%M:%S+02:00")),
        Answers()),
    "iso with Z and thousandths": _shape(lines(HEAD, at("%Y-%m-%dT%H:%M:%S.000Z")), Answers()),
    "iso, slashes": _shape(lines(HEAD, at("%Y/%m/%d %H:%M:%S"))),
    "compact": _shape(lines(HEAD, at("%Y%m%dT%H%M%S"))),
    "compact figures": _shape(lines(HEAD, at("%Y%m%d%H%M%S"))),
    "semicolons and commas": _shape(
        lines(HEAD.replace(",", ";"), at("%d.%m.%Y %H:%M:%S"), ";", comma), encoding="cp1252"),
    "tabs and commas": _shape(lines(HEAD.replace(",", "\t"), at("%d.%m.%Y %H:%M:%S"), "\t", comma)),
    "bars": _shape(lines(HEAD.replace(",", "|"), ISO, "|")),
    "blanks": _shape(lines("date time core_C pit_C", ISO, " ")),
    "quoted": _shape(lines('"time","core (°C)","pit (°C)"', ISO, ",", lambda v: f'"{v}"')),
    "quoted decimal commas": _shape(
        lines('"time","core (°C)","pit (°C)"', ISO, ",", lambda v: f'"{comma(v)}"')),
    "day first, two figures of a year": _shape(
        lines(HEAD, at("%d/%m/%y %H:%M:%S")), Answers(zone="UTC", date_order="day")),
    "month first, AM and PM": _shape(lines(HEAD, at("%m/%d/%Y %I:%M:%S %p"))),
    "am and pm with points": _shape(
        lines(HEAD.replace(",", ";"), lambda m, s: m.strftime("%d/%m/%Y %I:%M:%S ")
              + ("a.m." if m.hour < 12 else "p.m."), ";")),
    "month by name": _shape(lines(HEAD, at("%d-%b-%Y %H:%M:%S"))),
    "month by name first": _shape(lines(HEAD.replace(",", "\t"), at("%b %d, %Y %H:%M:%S"), "\t")),
    "weekday": _shape(lines(HEAD, at("%a %d/%m/%Y %H:%M:%S"))),
    "date and clock apart": _shape(
        lines("Date,Time,core °C,pit °C", at("%d/%m/%Y,%H:%M:%S"))),
    "unix seconds": _shape(lines(HEAD, _epoch), Answers()),
    "unix milliseconds": _shape(lines(HEAD, lambda m, s: _epoch(m, s) + "000"), Answers()),
    "spreadsheet days": _shape(lines(HEAD, _serial)),
    "spreadsheet days with a comma": _shape(
        lines(HEAD.replace(",", ";"), lambda m, s: _serial(m, s).replace(".", ","), ";", comma)),
    "spreadsheet days of 1904": _shape(
        lines(HEAD, lambda m, s: str(float(_serial(m, s)) - 1462)),
        Answers(zone="UTC", days_from="1904")),
    "clock over midnight": _shape(
        lines(HEAD, at("%H:%M:%S")), Answers(zone="+00:00", first_date="2025-03-29")),
    "clock with AM and PM": _shape(
        lines(HEAD, at("%I:%M:%S %p")), Answers(zone="UTC", first_date="2025-03-29")),
    "elapsed h:mm:ss": _shape(lines("elapsed,core_C,pit_C", elapsed(_hms)), Answers(), **SINCE),
    "elapsed, its start answered": _shape(
        lines("elapsed,core_C,pit_C", elapsed(_hms)), Answers(start="2025-03-29T23:52:00+00:00")),
    "elapsed, asked": _shape(
        lines("time,core_C,pit_C", elapsed(_hms)), Answers(clock="elapsed"), **SINCE),
    "clock, asked": _shape(
        lines("time,core_C,pit_C", elapsed(_hms)),
        Answers(clock="clock", zone="UTC", first_date="2025-03-30"), first_s=START_UTC + 480),
    "elapsed m:ss": _shape(
        lines("elapsed (mm:ss),core_C,pit_C", elapsed(lambda s: f"{s // 60:02}:{s % 60:02}")),
        Answers(), **SINCE),
    "elapsed m:ss, asked": _shape(
        lines("elapsed,core_C,pit_C", elapsed(lambda s: f"{s // 60:02}:{s % 60:02}")),
        Answers(two_parts="m:ss"), **SINCE),
    "elapsed seconds": _shape(lines("Time (s),core_C,pit_C", elapsed(str)), Answers(), **SINCE),
    "elapsed minutes": _shape(
        lines("t [min];core_C;pit_C", elapsed(lambda s: comma(s / 60)), ";", comma), Answers(),
        **SINCE),
    "elapsed hours": _shape(
        lines("hours,core_C,pit_C", elapsed(lambda s: f"{s / 3600:.6f}")), Answers(), **SINCE),
    "elapsed, unit asked": _shape(
        lines("time,core_C,pit_C", elapsed(str)), Answers(elapsed_unit="s"), **SINCE),
    "elapsed as a duration": _shape(
        lines("time,core_C,pit_C", elapsed(lambda s: f"PT{s // 60}M{s % 60}S")),
        Answers(clock="elapsed"), **SINCE),
    "elapsed with days": _shape(
        lines("time,core_C,pit_C", elapsed(lambda s: f"1d {_hms(s)}")), Answers(),
        first_s=86400.0, clock="elapsed"),
    "a number for each line": _shape(
        lines("No,time,core_C,pit_C", lambda m, s: f"{int(s // 90) + 1},{m.isoformat(' ')}")),
    "no time at all": _shape(
        lines("No,core_C,pit_C", lambda m, s: str(int(s // 90) + 1)), Answers(interval_s=90),
        **SINCE),
    "fahrenheit in the heading": _shape(
        lines("time,core (°F),pit (°F)", ISO, ",", f), tolerance_c=0.003),
    "fahrenheit in words": _shape(
        lines("time,core Fahrenheit,pit Fahrenheit", ISO, ",", f), tolerance_c=0.003),
    "fahrenheit in each cell": _shape(
        lines("time,core,pit", ISO, ",", lambda v: f"{f(v)} °F"), tolerance_c=0.003),
    "fahrenheit in the preamble": _shape(
        "Probe log\nTemperature unit: Fahrenheit\n" + lines("time,core,pit", ISO, ",", f),
        tolerance_c=0.003),
    "fahrenheit under the heading": _shape(
        "time,core,pit\n,[°F],[°F]\n" + lines("", ISO, ",", f), tolerance_c=0.003),
    "no unit, answered": _shape(
        lines("time,core,pit", ISO, ",", f), Answers(zone="UTC", unit="F"), tolerance_c=0.003),
    "no unit, answered by channel": _shape(
        lines("time,core,pit", ISO), Answers(zone="UTC", units={"core": "C", "pit": "C"})),
    "no heading": _shape(lines("", ISO), Answers(zone="UTC", unit="C")),
    "a preamble and a closing remark": _shape(
        PREAMBLE + lines("time,core,pit", ISO) + "End of data\n"),
    "a preamble of two cells": _shape(
        "Serial;12345\nInterval;90\nUnit;°C\n\n" + lines("time;core;pit", ISO, ";", comma)),
    "a summary at the end": _shape(lines(HEAD, ISO) + "Min,4.8,21.0\nMax,28.4,107.9\n"),
    "trailing commas": _shape(lines(HEAD + ",", ISO, ",").replace("\n", ",\n")),
    "windows lines": _shape(lines(HEAD, ISO).replace("\n", "\r\n")),
    "old mac lines": _shape(lines(HEAD, ISO).replace("\n", "\r")),
    "utf-8 with a mark": _shape(lines(HEAD, ISO), encoding="utf-8-sig"),
    "utf-16": _shape(lines(HEAD, ISO), encoding="utf-16"),
    "utf-16 without a mark": _shape(lines(HEAD, ISO), encoding="utf-16-le"),
    "utf-16 the other way round": _shape(lines(HEAD, ISO), encoding="utf-16-be"),
    "latin-1": _shape(lines(HEAD, ISO), encoding="latin-1"),
    "newest first": _shape("\n".join([HEAD, *lines("", ISO).splitlines()[::-1]])),
    "long": _shape(_long(), Answers()),
    "long with semicolons": _shape(
        _long(";", "time;sensor;value;unit", "°C").replace(".", ","), Answers()),
    "long with other things measured": _shape(
        _long().replace("\n", f"\n{START.isoformat()}Z,air,55,%RH\n", 1), Answers()),
    "the same day both ways, day first": _shape(
        _ambiguous_pattern("%d/%m/%Y %H:%M:%S"), Answers(zone="+01:00", date_order="day"),
        first_s=APRIL_3_UTC),
    "the same day both ways, month first": _shape(
        _ambiguous_pattern("%d/%m/%Y %H:%M:%S"), Answers(zone="+00:00", date_order="month"),
        first_s=MARCH_4_UTC),
}  # fmt: skip

"""A day as it is typed in a kitchen: "2026-03-07", "7.3.2026", "7 March", "today".

With dots the day comes first. With strokes either may: a day that can be read in two ways is asked
and never guessed. Without a year it is the nearest one.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date, timedelta

from trialbench.model.dates import month_named, said_day, weekday_named
from trialbench.model.errors import Refused, TwoReadings
from trialbench.model.message import msg

_ISO = re.compile(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})")
_DOTS = re.compile(r"(\d{1,2})\.\s*(\d{1,2})\.?\s*(\d{4}|\d{2})?")
_STROKES = re.compile(r"(\d{1,2})\s*[-/]\s*(\d{1,2})(?:\s*[-/]\s*(\d{4}|\d{2}))?")
_DAY_FIRST = re.compile(r"(\d{1,2})(?:\.|st|nd|rd|th)?\s+([^\W\d]+)\.?,?\s*(\d{4})?")
_MONTH_FIRST = re.compile(r"([^\W\d]+)\.?\s+(\d{1,2})(?:st|nd|rd|th)?,?\s*(\d{4})?")
_NEAR = {"today": 0, "yesterday": -1}


def read_day(typed: str, today: date, *, field: str = "") -> date:
    """The day. Raises TwoReadings where it can be read in two ways, Refused for what is no day."""
    text = _without_weekday(" ".join(typed.casefold().split()))
    if text in _NEAR:
        return today + timedelta(days=_NEAR[text])
    found = sorted(set(_readings(text, today)))
    if len(found) == 1:
        return found[0]
    if found:
        first, second = (said_day(day.isoformat(), with_year=True) for day in found)
        raise TwoReadings(
            msg("{typed} can be {first} or {second}. Not written.", typed=typed.strip(),
                first=first, second=second),
            readings=tuple((said_day(day.isoformat()), day.isoformat()) for day in found),
            field=field,
            typed=typed,
            allowed=msg("one of the two"),
        )  # fmt: skip
    raise Refused(
        msg("{typed} is no day. Write 7 March or 2026-03-07. Not written.", typed=typed.strip()),
        field=field,
        typed=typed,
        allowed=msg("7 March, 7.3.2026 or 2026-03-07"),
        way_out=msg("Write it again, or leave it empty."),
    )


def _without_weekday(text: str) -> str:
    first, _, rest = text.partition(" ")
    return rest if rest and weekday_named(first.rstrip(".,")) is not None else text


def _readings(text: str, today: date) -> Iterator[date]:
    if found := _ISO.fullmatch(text):
        yield from _day(int(found[1]), int(found[2]), int(found[3]))
    elif found := _DOTS.fullmatch(text):
        yield from _of_year(found[3], int(found[2]), int(found[1]), today)
    elif found := _STROKES.fullmatch(text):
        yield from _of_year(found[3], int(found[2]), int(found[1]), today)
        yield from _of_year(found[3], int(found[1]), int(found[2]), today)
    elif found := _DAY_FIRST.fullmatch(text):
        yield from _of_year(found[3], month_named(found[2]) or 0, int(found[1]), today)
    elif found := _MONTH_FIRST.fullmatch(text):
        yield from _of_year(found[3], month_named(found[1]) or 0, int(found[2]), today)


def _of_year(year: str | None, month: int, day: int, today: date) -> Iterator[date]:
    if year:
        yield from _day(int(year) + (2000 if len(year) == 2 else 0), month, day)
        return
    near = [d for y in range(today.year - 1, today.year + 2) for d in _day(y, month, day)]
    if near:
        yield min(near, key=lambda one: abs(one - today))


def _day(year: int, month: int, day: int) -> Iterator[date]:
    try:
        yield date(year, month, day)
    except ValueError:
        return

"""Times as loggers write them: what a cell is, and a column of them as numbers.

Known shapes: ISO 8601 with or without an offset, day and month in either order with 2 or 4 figures
of a year, names of months, AM and PM, date and clock in two columns, clock alone, elapsed h:mm:ss
or ISO 8601 duration, Unix seconds or milliseconds, spreadsheet days. Nothing is decided here that
has two readings: see `logger_file_open`.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import NamedTuple

Date = tuple[int, int, int, bool]
"""Three figures as written (a month by name is negative), and whether the first is the year."""

_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_WEEKDAY = r"(?:(?:mon|tue|wed|thu|fri|sat|sun)[a-z]*\.?,?\s+)?"
_DATE = (
    rf"{_WEEKDAY}(?P<a>\d{{1,4}}|[a-z]{{3,9}})\.?(?P<sep>[-/.\s])\s?"
    r"(?P<b>\d{1,2}|[a-z]{3,9})(?:,?\s|\.?(?P=sep)\s?)(?P<c>\d{4}|\d{1,2})\.?"
)
_CLOCK = (
    r"(?P<h>\d{1,3})[:h](?P<m>\d{2})(?:[:m](?P<s>\d{2})(?:[.,](?P<f>\d+))?s?)?"
    r"\s*(?P<half>[ap]\.?\s?m\.?)?"
)
_OFFSET = r"\s*(?P<zone>z|utc|gmt|(?:utc|gmt)?[+\-\u2212]\d{1,2}(?::?\d{2})?)?"
_COMPACT = r"(?P<y>\d{4})(?P<mo>\d{2})(?P<d>\d{2})"

DATE_CLOCK = re.compile(rf"\s*{_DATE}(?:\s*[t,]\s*|\s+){_CLOCK}{_OFFSET}\s*", re.IGNORECASE)
DATE = re.compile(rf"\s*{_DATE}\s*", re.IGNORECASE)
CLOCK = re.compile(rf"\s*{_CLOCK}\s*", re.IGNORECASE)
COMPACT = re.compile(
    rf"\s*{_COMPACT}[t\s_-]?(?P<h>\d{{2}}):?(?P<m>\d{{2}}):?(?P<s>\d{{2}})?(?P<f>)(?P<half>)"
    rf"{_OFFSET}\s*",
    re.IGNORECASE,
)
DAYS_CLOCK = re.compile(
    r"\s*(?P<days>\d{1,3})(?:\s*d(?:ays?)?[\s,]*|[.\s])(?P<h>\d{1,2}):(?P<m>\d{2})"
    r"(?::(?P<s>\d{2})(?:[.,](?P<f>\d+))?)?(?P<half>)\s*",
    re.IGNORECASE,
)
DURATION = re.compile(
    r"\s*P(?:(?P<w>[\d.,]+)W)?(?:(?P<days>[\d.,]+)D)?"
    r"(?:T(?:(?P<h>[\d.,]+)H)?(?:(?P<m>[\d.,]+)M)?(?:(?P<s>[\d.,]+)S)?)?\s*",
    re.IGNORECASE,
)


class Stamp(NamedTuple):
    """One cell: the date as written (if any), seconds of the clock (if any), offset in s (if any);
    `parts` counts figures of the clock: 2 for h:mm, 3 with seconds. `half`: with AM or PM."""

    date: Date | None
    clock_s: float | None
    offset_s: float | None = None
    parts: int = 0
    half: bool = False


def looks_like_time(cell: str) -> bool:
    """Whether a cell is a date, a clock time, both, or a duration (not a bare number)."""
    if not any(sign in cell for sign in ":/-.hHPT ") or len(cell) > 40:
        return False
    return stamp(cell) is not None


def stamp(cell: str) -> Stamp | None:
    """What a cell says of time; None for anything else."""
    for pattern, made in _SHAPES:
        found = pattern.fullmatch(cell)
        if found:
            try:
                return made(found)
            except ValueError:
                return None
    return None


def clock_s(found: re.Match[str]) -> float:
    """Seconds of the clock part of a match. Raises ValueError for what is no time."""
    hours, minutes = int(found["h"]), int(found["m"])
    seconds = float(f"{found['s'] or 0}.{found['f'] or 0}")
    if found["half"]:
        if not 1 <= hours <= 12:
            raise ValueError(hours)
        hours = hours % 12 + (12 if found["half"][0] in "pP" else 0)
    if minutes > 59 or seconds >= 61:
        raise ValueError(minutes)
    return hours * 3600 + minutes * 60 + seconds


def duration_s(text: str) -> float | None:
    """Seconds of an ISO 8601 duration (PT1H30M, P1DT2H, P1W); None for anything else."""
    found = DURATION.fullmatch(text)
    if not found or not any(found.groupdict().values()):
        return None
    factors = {"w": 604800, "days": 86400, "h": 3600, "m": 60, "s": 1}
    try:
        return sum(
            float(found[name].replace(",", ".")) * factor
            for name, factor in factors.items() if found[name]
        )  # fmt: skip
    except ValueError:
        return None


def _date_of(found: re.Match[str]) -> Date:
    texts = (found["a"], found["b"], found["c"])
    a, b, c = (_figure(text) for text in texts)
    return a, b, c, len(texts[0]) == 4 and texts[0].isdigit()


def _figure(text: str) -> int:
    if text.isdigit():
        return int(text)
    return -(_MONTHS.index(text[:3].lower()) + 1)


def _offset(text: str | None) -> float | None:
    if not text:
        return None
    figures = re.fullmatch(r"(?:utc|gmt)?([+\-\u2212])(\d{1,2}):?(\d{2})?", text, re.IGNORECASE)
    if not figures:
        return 0.0
    seconds = int(figures[2]) * 3600 + int(figures[3] or 0) * 60
    return float(seconds if figures[1] == "+" else -seconds)


def _parts(found: re.Match[str]) -> int:
    return 3 if found["s"] else 2


def _date_clock(found: re.Match[str]) -> Stamp:
    seconds = clock_s(found)
    if seconds > 86400:
        raise ValueError(seconds)
    return Stamp(
        _date_of(found), seconds, _offset(found["zone"]), _parts(found), bool(found["half"])
    )


def _clock_alone(found: re.Match[str]) -> Stamp:
    return Stamp(None, clock_s(found), None, _parts(found), bool(found["half"]))


def _compact(found: re.Match[str]) -> Stamp:
    date = (int(found["y"]), int(found["mo"]), int(found["d"]), True)
    if not (1900 <= date[0] <= 2100 and 1 <= date[1] <= 12 and 1 <= date[2] <= 31):
        raise ValueError(date)
    return Stamp(date, clock_s(found), _offset(found["zone"]), _parts(found))


def _days_clock(found: re.Match[str]) -> Stamp:
    return Stamp(None, int(found["days"]) * 86400 + clock_s(found), None, 3)


def _duration(found: re.Match[str]) -> Stamp:
    seconds = duration_s(found[0])
    if seconds is None:
        raise ValueError(found[0])
    return Stamp(None, seconds, None, 3)


_SHAPES: tuple[tuple[re.Pattern[str], Callable[[re.Match[str]], Stamp]], ...] = (
    (DATE_CLOCK, _date_clock),
    (CLOCK, _clock_alone),
    (DATE, lambda found: Stamp(_date_of(found), None)),
    (COMPACT, _compact),
    (DAYS_CLOCK, _days_clock),
    (DURATION, _duration),
)

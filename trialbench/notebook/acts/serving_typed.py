"""Reading a serving moment as it is typed: "Saturday 7 March, 18:30", "2026-03-07 6:30 pm"."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta, timezone

from trialbench.model.dates import month_named, said_day, weekday_named
from trialbench.model.errors import Refused, TwoReadings
from trialbench.model.kitchen_clock import KitchenClock, utc_text
from trialbench.model.message import Message, msg

FIELD = "cook.serve_utc"
_NOT_LONG_AGO = timedelta(days=31)
_TIMES = (
    re.compile(r"\b(\d{1,2})[:h](\d{2})\s*([ap])?\.?(?:m\b\.?)?"),
    re.compile(r"(?<![\d.])(\d{1,2})()\s*([ap])\.?m\b\.?"),
    re.compile(r"\b(\d{1,2})()()\s*h\b"),
    re.compile(r"(?<![\d./-])(\d{1,2})\.(\d{2})\s*([ap])?\.?(?:m\b\.?)?(?![\d.])"),
)
_ISO = re.compile(r"\b(\d{4})-(\d{1,2})-(\d{1,2})")
_NUMBERS = re.compile(r"\b(\d{1,2})([./-])(\d{1,2})(?:\2(\d{4}|\d{2}))?\.?(?!\d)")
_NAMED_DAY = re.compile(r"(?<!\d)(\d{1,2})(?:st|nd|rd|th|\.)?(?!\d)")
_YEAR = re.compile(r"(?<!\d)(\d{4})(?!\d)")
_FILLERS = frozenset({"at", "on", "the", "of", "next", "this", "", "o'clock"})


@dataclass(frozen=True, slots=True)
class Reading:
    """One way to read what was typed: the instant, the offset there, and how it is said."""

    utc: str
    offset_min: int
    said: Message

    @property
    def typed(self) -> str:
        """What writes this very instant, whatever the clock does there."""
        zone = timezone(timedelta(minutes=self.offset_min))
        return datetime.fromisoformat(self.utc).astimezone(zone).isoformat(timespec="minutes")


def read_serving(typed: str, clock: KitchenClock, now: datetime, day: str = "") -> Reading:
    """The moment that was typed.

    `now` is an aware instant, `day` the cook day's own date (ISO 8601) where it is known. A day
    without a year is the next one. Raises TwoReadings where there are several ways to read it
    (3/7, 6:30, an hour that comes twice, a weekday that is another), Refused where there is none.
    """
    exact = _with_offset(typed, clock)
    if exact is not None:
        return exact
    rest = re.sub(r"(?<=\d)t(?=\d)", " ", " ".join(typed.lower().replace(",", " ").split()))
    times, rest = _times(rest, typed)
    weekday, rest = _weekday(rest)
    here = clock.shown(now)
    dates = _dates(rest, typed, here.date())
    if not dates:
        dates = _days_without_date(weekday, here, times, day)
    wrong = [d for d in dates if weekday is not None and d.weekday() != weekday]
    if wrong and len(wrong) == len(dates):
        raise _wrong_weekday(typed, clock, wrong[0], weekday or 0, times)
    dates = [d for d in dates if d not in wrong]
    shown = [datetime.combine(d + extra, t) for d in dates for t, extra in times]
    readings = [each for when in shown for each in _readings(clock, when)]
    if len(readings) == 1:
        return readings[0]
    if not readings:
        raise _missing_hour(typed, clock, shown[0])
    raise _asked(_several(typed, clock, shown), typed, readings)


def _with_offset(typed: str, clock: KitchenClock) -> Reading | None:
    """A moment with its offset, as readings are written back: one instant and no other."""
    try:
        at = datetime.fromisoformat(typed.strip())
    except ValueError:
        return None
    if at.tzinfo is None:
        return None
    return Reading(utc_text(at), clock.offset_at(at), said_moment(clock.shown(at)))


def _asked(why: Message, typed: str, readings: Sequence[Reading]) -> TwoReadings:
    offered = tuple((each.said, each.typed) for each in readings)
    return TwoReadings(why, readings=offered, field=FIELD, typed=typed,
                       allowed=msg("one of these"))  # fmt: skip


def said_moment(shown: datetime) -> Message:
    """A moment of the kitchen's clock in words that `read_serving` reads back."""
    day = said_day(shown.date().isoformat(), with_year=True)
    return msg("{day}, {time}", day=day, time=f"{shown:%H:%M}")


def _refused(typed: str, way_out: Message) -> Refused:
    return Refused(
        msg("{typed} cannot be read as a day and a time. Not written.", typed=typed.strip()),
        field=FIELD,
        typed=typed,
        allowed=msg("a day and a time: Saturday 7 March, 18:30"),
        way_out=way_out,
    )


Times = list[tuple[time, timedelta]]
_SAME, _NEXT = timedelta(0), timedelta(days=1)


def _times(text: str, typed: str) -> tuple[Times, str]:
    """The times of day that it can be, with what stands beside it."""
    for word, found in (("noon", [(time(12), _SAME)]),
                        ("midday", [(time(12), _SAME)]),
                        ("midnight", [(time(0), _SAME), (time(0), _NEXT)])):  # fmt: skip
        if re.search(rf"\b{word}\b", text):
            return found, text.replace(word, " ")
    for pattern in _TIMES:
        match = pattern.search(text)
        if match is not None:
            times = _hours(match[1], int(match[2] or 0), match[3] or "", typed)
            return times, f"{text[: match.start()]} {text[match.end() :]}"
    raise _refused(typed, msg("Write the time as well, as 18:30."))


def _hours(hour_typed: str, minute: int, half: str, typed: str) -> Times:
    hour = int(hour_typed)
    if minute > 59 or hour > (12 if half else 24) or (half and not hour) or (hour == 24 and minute):
        raise _refused(typed, msg("A time goes from 00:00 to 23:59."))
    if hour == 24:
        return [(time(0), _NEXT)]
    if half:
        return [(time(hour % 12 + (12 if half == "p" else 0), minute), _SAME)]
    if len(hour_typed) == 1 and hour:
        return [(time(hour, minute), _SAME), (time(hour + 12, minute), _SAME)]
    return [(time(hour, minute), _SAME)]


def _weekday(text: str) -> tuple[int | None, str]:
    """A weekday by name, which stands for more than its first letters alone."""
    for word in text.split():
        found = weekday_named(word.strip("."))
        if found is not None and month_named(word.strip(".")) is None:
            return found, text.replace(word, " ", 1)
    return None, text


def _dates(text: str, typed: str, today: date) -> list[date]:
    """The days that the rest can be, [] when it names none. Raises Refused for what is left."""
    for word, days in (("today", 0), ("tonight", 0), ("tomorrow", 1)):
        if re.search(rf"\b{word}\b", text):
            _nothing_left(text.replace(word, " "), typed)
            return [today + timedelta(days=days)]
    found, left = _written_date(text, today)
    _nothing_left(left, typed)
    if found == [] and left != text:
        raise _refused(typed, msg("There is no such day. Write it again."))
    return found


def _written_date(text: str, today: date) -> tuple[list[date], str]:
    match = _ISO.search(text)
    if match is not None:
        days = _valid([(int(match[1]), int(match[2]), int(match[3]))])
        return days, text[: match.start()] + text[match.end() :]
    match = _NUMBERS.search(text)
    if match is not None:
        first, second = int(match[1]), int(match[3])
        # With points the day stands first; with strokes it can be either.
        orders = [(second, first)] if match[2] == "." else [(second, first), (first, second)]
        year = _full_year(match[4]) if match[4] else None
        days = [d for m, day in dict.fromkeys(orders) for d in _in_year(year, m, day, today)]
        return days, text[: match.start()] + text[match.end() :]
    return _named_date(text, today)


def _named_date(text: str, today: date) -> tuple[list[date], str]:
    for word in text.split():
        month = month_named(word.strip("."))
        if month is None:
            continue
        left = text.replace(word, " ", 1)
        year = _YEAR.search(left)
        if year is not None:
            left = f"{left[: year.start()]} {left[year.end() :]}"
        day = _NAMED_DAY.search(left)
        if day is None:
            return [], left
        left = f"{left[: day.start()]} {left[day.end() :]}"
        days = _in_year(int(year[1]) if year else None, month, int(day[1]), today)
        return list(days), left
    return [], text


def _full_year(typed: str) -> int:
    return int(typed) + (2000 if len(typed) == 2 else 0)


def _in_year(year: int | None, month: int, day: int, today: date) -> Iterator[date]:
    """The day in its year, or the next one that comes (or was not long ago)."""
    if year is not None:
        yield from _valid([(year, month, day)])
        return
    years = range(today.year - 1, today.year + 9)
    found = _valid([(y, month, day) for y in years])
    yield from [d for d in found if d >= today - _NOT_LONG_AGO][:1]


def _valid(parts: Sequence[tuple[int, int, int]]) -> list[date]:
    found = []
    for year, month, day in parts:
        try:
            found.append(date(year, month, day))
        except ValueError:
            continue
    return found


def _nothing_left(text: str, typed: str) -> None:
    if any(word.strip(".") not in _FILLERS for word in text.split()):
        raise _refused(typed, msg("Write it as Saturday 7 March, 18:30."))


def _days_without_date(weekday: int | None, here: datetime, times: Times, day: str) -> list[date]:
    """The cook day's own date where it fits, else the next days that it can be."""
    own = date.fromisoformat(day) if day else None
    if own is not None and (weekday is None or own.weekday() == weekday):
        return [own]
    today = here.date()
    later = any(datetime.combine(today + extra, t) > here for t, extra in times)
    if weekday is not None:
        ahead = (weekday - today.weekday()) % 7
        return [today + timedelta(days=ahead or (0 if later else 7))]
    return [today, today + _NEXT] if later else [today + _NEXT]


def _readings(clock: KitchenClock, shown: datetime) -> list[Reading]:
    instants = clock.instants(shown)
    words = [said_moment(shown)]
    if len(instants) == 2:
        words = [
            msg("{moment}, before the clock goes back", moment=said_moment(shown)),
            msg("{moment}, after the clock goes back", moment=said_moment(shown)),
        ]
    return [
        Reading(utc_text(at), clock.offset_at(at), said)
        for at, said in zip(instants, words, strict=False)
    ]


def _missing_hour(typed: str, clock: KitchenClock, shown: datetime) -> TwoReadings:
    near = [clock.shown(at) for at in clock.beside_gap(shown)]
    why = msg(
        "There is no {time} on {day}: the clock goes forward over it.",
        time=f"{shown:%H:%M}",
        day=said_day(shown.date().isoformat()),
    )
    return _asked(why, typed, [r for when in near for r in _readings(clock, when)])


def _wrong_weekday(
    typed: str, clock: KitchenClock, day: date, weekday: int, times: Times
) -> TwoReadings:
    ahead = (weekday - day.weekday()) % 7
    nearest = day + timedelta(days=ahead if ahead <= 3 else ahead - 7)
    shown = [datetime.combine(d + extra, t) for d in (day, nearest) for t, extra in times]
    why = msg("{day} is another weekday. Which one?", day=said_day(day.isoformat(), with_year=True))
    return _asked(why, typed, [r for when in shown for r in _readings(clock, when)])


def _several(typed: str, clock: KitchenClock, shown: Sequence[datetime]) -> Message:
    twice = next((when for when in shown if len(clock.instants(when)) == 2), None)
    if twice is not None and len(shown) == 1:
        return msg(
            "{time} comes twice on {day}: the clock goes back. Which one?",
            time=f"{twice:%H:%M}",
            day=said_day(twice.date().isoformat()),
        )
    return msg("{typed} can be read in more than one way. Which one?", typed=typed.strip())

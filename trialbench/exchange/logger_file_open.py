"""What a log leaves open: which readings of its time and numbers are possible, and what to ask."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from trialbench.exchange import logger_file_headings as headings
from trialbench.exchange.logger_file_channels import ChannelColumn
from trialbench.exchange.logger_file_columns import Table
from trialbench.exchange.logger_file_numbers import Floats
from trialbench.exchange.logger_file_said import Question
from trialbench.exchange.logger_file_times import Date
from trialbench.model.errors import BadInput
from trialbench.model.message import Message, msg
from trialbench.model.numbers import figure

ORDERS = {"day": (2, 1, 0), "month": (2, 0, 1), "year": (0, 1, 2)}
"""For each order the places of year, month and day in the three figures."""

_ORDER_WORDS = {
    "day": msg("day, month, year"), "month": msg("month, day, year"),
    "year": msg("year, month, day"),
}  # fmt: skip
_FORM_OF_NUMBERS = {
    "epoch": "instant", "serial": "local", "number": "elapsed", "lines": "lines"
}  # fmt: skip
_HALF_A_DAY = 43200.0
_MOST = 0.8


@dataclass(frozen=True, slots=True)
class TimeForm:
    """What is known of the time: `form` as in `FileReading`, and the possible date orders."""

    form: str
    orders: tuple[str, ...]
    two_parts: str | None
    unit: str | None


def time_form(table: Table) -> TimeForm:
    """What the table's time can be."""
    time = table.time
    heading = " ".join(table.headings[n] for n in time.columns)
    stamps = time.stamps
    if stamps is None:
        return TimeForm(_FORM_OF_NUMBERS[time.form], (), None, time.unit)
    if stamps.dates:
        zoned = np.isfinite(stamps.offset_s).sum() > stamps.there.sum() / 2
        return TimeForm("instant" if zoned else "local", date_orders(stamps.dates), None, None)
    seconds = stamps.clock_s[stamps.there]
    form = _clock_or_elapsed(seconds, heading, stamps.half)
    spelled = headings.says_two_parts(heading) or ("h:mm" if form == "clock" else None)
    return TimeForm(form, (), spelled if stamps.parts == 2 else "h:mm:ss", None)


def _clock_or_elapsed(seconds: Floats, heading: str, has_half: bool) -> str:
    steps = np.diff(seconds)
    if headings.says_elapsed(heading) or float(seconds.max()) >= 86400:
        return "elapsed"
    if has_half or headings.says_clock(heading) or bool((steps < -_HALF_A_DAY).any()):
        return "clock"
    usual = float(np.median(np.abs(steps))) if len(steps) else 60.0
    # a start well after 0:00 is hardly that of a stop watch
    return "clock" if float(seconds[0]) > max(10 * usual, 600.0) else "clock_or_elapsed"


def date_orders(dates: Sequence[Date]) -> tuple[str, ...]:
    """The orders in which these dates are days of a calendar; equal days count once.

    An order that fits most of them counts where none fits all. Raises BadInput for none.
    """
    ordered = sorted(dates)
    fitting = {order: [day_of(date, order) for date in ordered] for order in ORDERS}
    best = max(sum(day is not None for day in days) for days in fitting.values())
    if best < _MOST * len(ordered):
        raise BadInput(
            "The dates of this file cannot be read in one order of day, month and year.",
            where=" ".join(str(abs(each)) for each in ordered[0][:3]),
            allowed="dates of one form, from 1970 to 2100",
        )  # fmt: skip
    different: dict[tuple[datetime.date | None, ...], str] = {}
    for order, days in fitting.items():
        if sum(day is not None for day in days) == best:
            different.setdefault(tuple(days), order)
    return tuple(different.values())


def day_of(date: Date, order: str) -> datetime.date | None:
    """The day of three figures in an order; None where there is no such day or order."""
    figures, year_first = date[:3], date[3]
    if year_first:
        order = "year" if order == "year" else ""
    elif min(figures) < 0:  # a month by name is where it is
        place = next(n for n, each in enumerate(figures) if each < 0)
        order = order if order != "year" and ORDERS[order][1] == place else ""
    if not order:
        return None
    year, month, day = (abs(figures[place]) for place in ORDERS[order])
    if order != "year" and max(figures[:2]) > 31:
        return None
    if year < 100:
        year += 2000 if year < 70 else 1900
    try:
        return datetime.date(year, month, day) if 1970 <= year <= 2100 else None
    except ValueError:
        return None


def questions(table: Table, form: TimeForm, backward: bool) -> tuple[Question, ...]:
    """What has to be asked before this table can be read, and what may be."""
    asked = [*_about_time(table, form), *_about_zone(form), *_about_units(table.channels)]
    if backward:
        asked.append(_BACKWARD)
    return tuple(asked)


def _about_time(table: Table, form: TimeForm) -> list[Question]:
    asked = []
    if len(form.orders) > 1:
        written = table.preview[0][table.time.columns[0]]
        asked.append(Question(
            "date_order",
            msg("{date} can be read in more than one way. Which comes first?", date=written),
            tuple((order, _ORDER_WORDS[order]) for order in form.orders),
            likely="day" if "." in written else None,
        ))  # fmt: skip
    if form.form == "clock_or_elapsed":
        asked.append(Question(
            "clock", msg("Is the time that of a clock, or since the start?"),
            (("clock", msg("time of day")), ("elapsed", msg("since the start"))),
        ))  # fmt: skip
    if form.two_parts is None and form.form in ("elapsed", "clock_or_elapsed") and (
        table.time.form == "stamps"
    ):  # fmt: skip
        asked.append(Question(
            "two_parts", msg("Are the times hours and minutes, or minutes and seconds?"),
            (("h:mm", msg("hours and minutes")), ("m:ss", msg("minutes and seconds"))),
        ))  # fmt: skip
    if form.form == "elapsed" and table.time.form == "number" and form.unit is None:
        asked.append(_ELAPSED_UNIT)
    if form.form == "lines":
        asked.append(
            Question(
                "interval_s", msg("No time is written. How many seconds are between two lines?")
            )
        )
    return asked


def _about_zone(form: TimeForm) -> list[Question]:
    clock = Question(
        "first_date", msg("The times have no date. On which day was the first line?"),
        needed=form.form == "clock",
    )  # fmt: skip
    zone = Question(
        "zone", msg("The logger file has no time zone. Where did its clock stand?"),
        needed=form.form in ("local", "clock"),
    )  # fmt: skip
    start = Question(
        "start", msg("The time runs from the start. When did its first line happen?"), needed=False
    )
    return {
        "instant": [], "local": [zone], "clock": [clock, zone], "elapsed": [start],
        "lines": [start], "clock_or_elapsed": [clock, zone, start],
    }[form.form]  # fmt: skip


def _about_units(channels: Sequence[ChannelColumn]) -> list[Question]:
    bare = [channel for channel in channels if needs_unit(channel)]
    if not bare:
        return []
    lows, highs = zip(*(_range(channel) for channel in bare), strict=True)
    names = ", ".join(channel.name for channel in bare[:6])
    asks = msg(
        "No unit is written for {names}. The numbers go from {low} to {high}.",
        names=names, low=figure(min(lows)), high=figure(max(highs)),
    )  # fmt: skip
    return [Question("unit", asks, (("C", msg("°C")), ("F", msg("°F"))))]


def needs_unit(channel: ChannelColumn) -> bool:
    """Whether a number of the channel has no unit, in its cell or elsewhere."""
    if channel.unit is not None or not channel.numbers.count:
        return False
    there = np.isfinite(channel.numbers.values)
    units = channel.numbers.units
    return units is None or any(u is None for u, has in zip(units, there, strict=True) if has)


def _range(channel: ChannelColumn) -> tuple[float, float]:
    values = channel.numbers.values
    there = values[np.isfinite(values)]
    return float(there.min()), float(there.max())


_UNIT_WORDS: tuple[tuple[str, Message], ...] = (
    ("s", msg("seconds")), ("min", msg("minutes")), ("h", msg("hours")), ("d", msg("days")),
)  # fmt: skip
_ELAPSED_UNIT = Question(
    "elapsed_unit", msg("In what unit does the time run from the start?"), _UNIT_WORDS
)
_BACKWARD = Question(
    "backward",
    msg("Time runs backwards in this file. What stays?"),
    (
        ("earlier", msg("what came first in the file")),
        ("later", msg("what came later in the file")),
        ("sort", msg("all of it, in order of time")),
    ),
    needed=False,
    likely="earlier",
)

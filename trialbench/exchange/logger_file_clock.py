"""The time of each row in seconds, once everything that it leaves open is answered."""

from __future__ import annotations

import datetime
import zoneinfo

import numpy as np
from numpy.typing import NDArray

from trialbench.exchange.logger_file_columns import Table
from trialbench.exchange.logger_file_numbers import Floats
from trialbench.exchange.logger_file_open import TimeForm, day_of
from trialbench.exchange.logger_file_said import Answers
from trialbench.exchange.logger_file_stamps import Stamps
from trialbench.model.errors import BadInput

_DAY_S = 86400.0
_EPOCH = datetime.date(1970, 1, 1)
_SERIAL_START = {"1900": datetime.date(1899, 12, 30), "1904": datetime.date(1904, 1, 1)}
_UNIT_S = {"ms": 0.001, "s": 1.0, "min": 60.0, "h": 3600.0, "d": _DAY_S}
_QUARTER_S = 900
"""Offsets of zones change on quarters of an hour."""


def seconds_of(table: Table, form: TimeForm, answers: Answers) -> tuple[bool, Floats]:
    """Whether the seconds are UTC (else elapsed), and the seconds, NaN where no time is written.

    Raises BadInput for an answer that is no zone, date or number.
    """
    kind = form.form
    if kind == "clock_or_elapsed":
        kind = "clock" if answers.clock == "clock" else "elapsed"
    if kind == "instant" and table.time.form == "epoch":
        return True, table.time.values
    if kind in ("elapsed", "lines"):
        since = _elapsed(table, form, answers)
        if answers.start is None:
            return False, since
        begun = since[np.isfinite(since)]
        return True, since - (begun[0] if len(begun) else 0.0) + _instant(answers.start)
    if kind == "clock":
        local = _unwrapped(_stamps(table).clock_s) + _day_s(answers.first_date or "")
    elif table.time.form == "serial":
        start = _SERIAL_START[_one_of(answers.days_from or "1900", _SERIAL_START, "days_from")]
        local = np.round((table.time.values + (start - _EPOCH).days) * _DAY_S, 3)
    else:
        order = answers.date_order or (form.orders[0] if form.orders else "")
        local = _dated(_stamps(table), order)
    if kind == "instant":
        return True, local - _stamps(table).offset_s
    return True, to_utc(local, answers.zone or "")


def _one_of(answer: str, allowed: dict[str, object] | dict[str, datetime.date], where: str) -> str:
    if answer not in allowed:
        raise BadInput(f"{answer!r} is no answer here.", where=where, allowed=", ".join(allowed))
    return answer


def _dated(stamps: Stamps, order: str) -> Floats:
    days = [day_of(date, order) for date in stamps.dates]
    starts = [np.nan if day is None else (day - _EPOCH).days * _DAY_S for day in days]
    return np.array([*starts, np.nan])[stamps.which] + stamps.clock_s


def _stamps(table: Table) -> Stamps:
    assert table.time.stamps is not None
    return table.time.stamps


def _elapsed(table: Table, form: TimeForm, answers: Answers) -> Floats:
    if form.form == "lines":
        step = answers.interval_s
        if step is None or not step > 0:
            raise BadInput(f"{step} s between lines.", where="interval_s", allowed="above 0 s")
        return table.time.values * step
    if table.time.form == "number":
        unit = form.unit or _one_of(answers.elapsed_unit or "", _UNIT_S, "elapsed_unit")  # type: ignore[arg-type]
        return table.time.values * _UNIT_S[unit]
    clock = _stamps(table).clock_s
    two = form.two_parts or answers.two_parts
    return _unwrapped(clock / 60 if two == "m:ss" else clock)


def _unwrapped(clock_s: Floats) -> Floats:
    """Clock times over midnight: a fall of more than half a day is the next day."""
    made = clock_s.copy()
    there = np.flatnonzero(np.isfinite(clock_s))
    made[there] += _DAY_S * np.concatenate(
        [[0.0], np.cumsum(np.diff(clock_s[there]) < -_DAY_S / 2)]
    )
    return made


def _day_s(text: str) -> float:
    try:
        return (datetime.date.fromisoformat(text) - _EPOCH).days * _DAY_S
    except ValueError:
        raise BadInput(
            f"{text!r} is no date.", where="first_date", allowed="a day as 2025-03-29"
        ) from None


def _instant(text: str) -> float:
    try:
        moment = datetime.datetime.fromisoformat(text)
    except ValueError:
        moment = None
    if moment is None or moment.tzinfo is None:
        raise BadInput(
            f"{text!r} is no instant.", where="start",
            allowed="date, time and offset, as 2025-03-29T23:52:00+01:00",
        )  # fmt: skip
    return moment.timestamp()


def to_utc(local_s: Floats, zone: str) -> Floats:
    """Seconds of a local clock to UTC, `zone` as in `Answers`. Raises BadInput for no zone.

    Where the clocks went back, times come twice: they are the first until time jumps back, then
    the second; without a jump the ones that follow the line before without a gap.
    """
    info = _zone(zone)
    made = local_s.copy()
    there = np.flatnonzero(np.isfinite(local_s))
    local = local_s[there]
    quarters, which = np.unique(np.floor(local / _QUARTER_S), return_inverse=True)
    first, second = (
        np.array([_offset_s(info, quarter * _QUARTER_S, fold) for quarter in quarters])[which]
        for fold in (0, 1)
    )
    _check_there(local, first < second, zone)
    made[there] = local - np.where(_is_second(local, first > second), second, first)
    return made


def _check_there(local: Floats, skipped: NDArray[np.bool_], zone: str) -> None:
    if not skipped.any():
        return
    first = datetime.timedelta(seconds=float(local[skipped][0]))
    raise BadInput(
        f"{datetime.datetime(1970, 1, 1) + first:%Y-%m-%d %H:%M} does not exist in {zone}: the"
        " clocks went on then, and that of the logger did not.",
        where="zone", allowed="the offset at which the logger's clock stood, as +01:00",
    )  # fmt: skip


def _offset_s(info: datetime.tzinfo, local_s: float, fold: int) -> float:
    moment = datetime.datetime(1970, 1, 1) + datetime.timedelta(seconds=local_s)
    found = info.utcoffset(moment.replace(fold=fold, tzinfo=info))
    return found.total_seconds() if found else 0.0


def _is_second(local: Floats, twice: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Which of the times that come twice are the second ones."""
    second = np.zeros(len(local), dtype=bool)
    if not twice.any():
        return second
    edges = np.flatnonzero(np.diff(np.concatenate([[False], twice, [False]]).astype(np.int8)))
    for start, end in zip(edges[::2].tolist(), edges[1::2].tolist(), strict=True):
        back = np.flatnonzero(np.diff(local[start:end]) < 0)
        if len(back):
            second[start + back[0] + 1 : end] = True
        elif start == 0 and end < len(local):
            second[start:end] = True  # the file begins in that hour and goes on after it
    return second


def _zone(text: str) -> datetime.tzinfo:
    try:
        if text[:1] in "+-\u2212" and text:
            return datetime.datetime.strptime(text.replace("\u2212", "-"), "%z").tzinfo or (
                datetime.UTC
            )
        if text.upper() in ("UTC", "Z"):
            return datetime.UTC
        return zoneinfo.ZoneInfo(text)
    except (ValueError, OSError, zoneinfo.ZoneInfoNotFoundError):
        raise BadInput(
            f"{text!r} is no time zone.", where="zone",
            allowed="an offset as +02:00, UTC, or a place as Europe/Madrid",
        ) from None  # fmt: skip

"""Which column of a log is its time, and how it is written."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from trialbench.exchange import logger_file_headings as headings
from trialbench.exchange.logger_file_numbers import Floats, is_number, numbers
from trialbench.exchange.logger_file_stamps import Stamps, put_together, stamps_of
from trialbench.exchange.logger_file_times import Stamp, stamp

_SAMPLE = 150
_MOST = 0.7
"""Share of the filled cells that must be of a kind."""

EPOCH_S = (631_152_000.0, 4_102_444_800.0)
"""Unix seconds from 1990 to 2100."""
SERIAL_DAYS = (32_874.0, 73_050.0)
"""Spreadsheet days from 1990 to 2100; a log that spans more than two months is none."""
_SERIAL_SPAN = 62.0


@dataclass(frozen=True, slots=True, eq=False)
class TimeColumns:
    """Time as written, a value for each row of the table.

    stamps: texts (date and clock put together); epoch: UTC seconds; serial: days; number: elapsed
    in `unit` (None where the heading names none); lines: no time.
    """

    form: Literal["stamps", "epoch", "serial", "number", "lines"]
    columns: tuple[int, ...]
    stamps: Stamps | None
    values: Floats
    unit: str | None = None

    @property
    def there(self) -> NDArray[np.bool_]:
        """Which rows have a time."""
        return np.isfinite(self.values) if self.stamps is None else self.stamps.there

    def first(self, count: int) -> TimeColumns:
        """The first rows."""
        stamps = self.stamps.first(count) if self.stamps else None
        return TimeColumns(self.form, self.columns, stamps, self.values[:count], self.unit)


def time_columns(columns: Sequence[Sequence[str]], names: Sequence[str]) -> TimeColumns:
    """The time of each row, from the columns (all of one length) and their headings.

    What says most is taken: date and clock with an offset, without one, in two columns, Unix time,
    spreadsheet days, elapsed numbers, clock alone.
    """
    read = [[stamp(cell) for cell in sampled(column)] for column in columns]
    whole = [n for n, found in enumerate(read) if _share(found, date=True, clock=True) >= _MOST]
    if whole:
        best = max(whole, key=lambda n: any(s and s.offset_s is not None for s in read[n]))
        return _from_stamps(stamps_of(columns[best]), (best,))
    dates = [n for n, found in enumerate(read) if _share(found, date=True, clock=False) >= _MOST]
    clocks = [n for n, found in enumerate(read) if _share(found, date=False, clock=True) >= _MOST]
    if dates and clocks:
        both = put_together(stamps_of(columns[dates[0]]), stamps_of(columns[clocks[0]]))
        return _from_stamps(both, (dates[0], clocks[0]))
    number = _numbered(columns, names)
    if number and (number.form in ("epoch", "serial") or not clocks):
        return number
    if clocks:
        return _from_stamps(stamps_of(columns[clocks[0]]), (clocks[0],))
    return TimeColumns("lines", (), None, np.arange(len(columns[0]), dtype=float))


def _share(found: Sequence[Stamp | None], *, date: bool, clock: bool) -> float:
    hits = sum(
        s is not None and (s.date is not None) == date and (s.clock_s is not None) == clock
        for s in found
    )
    return hits / len(found) if found else 0.0


def _from_stamps(found: Stamps, columns: tuple[int, ...]) -> TimeColumns:
    return TimeColumns("stamps", columns, found, np.zeros(len(found)))


def _numbered(columns: Sequence[Sequence[str]], names: Sequence[str]) -> TimeColumns | None:
    """A time written as a number: Unix time, spreadsheet days, or elapsed."""
    for place, column in enumerate(columns):
        if sum(map(is_number, sampled(column))) < _MOST * max(len(sampled(column)), 1):
            continue
        values = numbers(column).values
        there = values[np.isfinite(values)]
        if not len(there):
            continue
        form = _number_form(there, names[place], place)
        if form:
            scale = _epoch_scale(there) or 1.0
            unit = headings.time_unit(names[place])
            return TimeColumns(form, (place,), None, values / scale, unit)
    return None


def _number_form(
    values: Floats, name: str, place: int
) -> Literal["epoch", "serial", "number"] | None:
    if _epoch_scale(values):
        return "epoch"
    rising = len(values) > 1 and float(np.mean(np.diff(values) > 0)) > _MOST
    span = float(values.max() - values.min())
    days = SERIAL_DAYS[0] <= values.min() and values.max() <= SERIAL_DAYS[1]
    if days and span <= _SERIAL_SPAN and not headings.says_elapsed(name):
        return "serial"
    counts = bool((np.diff(values) == 1).all()) and (values % 1 == 0).all()
    if headings.is_row_number(name) and counts:
        return None
    if rising and (headings.is_time(name) or (place == 0 and not counts and not name.strip())):
        return "number"
    return None


def _epoch_scale(values: Floats) -> float | None:
    """1 for Unix seconds, 1000 for milliseconds, None for no Unix time."""
    for scale in (1.0, 1000.0):
        if EPOCH_S[0] <= values.min() / scale and values.max() / scale <= EPOCH_S[1]:
            return scale
    return None


def sampled(column: Sequence[str]) -> list[str]:
    """A hundred cells or two of a column that are not empty."""
    step = max(len(column) // _SAMPLE, 1)
    return [cell for cell in column[::step] if cell.strip()]

"""A column of times as numbers: dates as written, seconds of the clock, offsets."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trialbench.exchange.logger_file_numbers import Floats
from trialbench.exchange.logger_file_times import DATE_CLOCK, Date, Stamp, stamp

_NUMERIC_DATE = re.compile(r"\s*[\d./-]+")


@dataclass(frozen=True, slots=True, eq=False)
class Stamps:
    """For each row: the place of its date in `dates` (-1 none), clock and offset in s (NaN none).

    `parts` is the most figures of a clock, `half` whether clocks have AM or PM.
    """

    dates: tuple[Date, ...]
    which: NDArray[np.intp]
    clock_s: Floats
    offset_s: Floats
    parts: int
    half: bool

    def __len__(self) -> int:
        return len(self.which)

    @property
    def there(self) -> NDArray[np.bool_]:
        """Which rows have a time."""
        return (self.which >= 0) | np.isfinite(self.clock_s)

    def first(self, count: int) -> Stamps:
        """The first rows."""
        return Stamps(self.dates, self.which[:count], self.clock_s[:count], self.offset_s[:count],
                      self.parts, self.half)  # fmt: skip


def stamps_of(cells: Sequence[str]) -> Stamps:
    """Read a column. Dates and clocks are each read once, however often they are written."""
    reader = _Reader(_sign_between(cells), len(cells))
    for place, cell in enumerate(cells):
        reader.read(place, cell)
    return Stamps(
        tuple(reader.dates), reader.which, reader.clock_s, reader.offset_s, reader.parts,
        reader.half,
    )  # fmt: skip


def put_together(days: Stamps, clocks: Stamps) -> Stamps:
    """Dates of one column with the clocks of another; both or nothing."""
    both = (days.which >= 0) & np.isfinite(clocks.clock_s)
    return Stamps(
        days.dates, np.where(both, days.which, -1), np.where(both, clocks.clock_s, np.nan),
        clocks.offset_s, clocks.parts, clocks.half,
    )  # fmt: skip


def _sign_between(cells: Sequence[str]) -> str | None:
    """What stands between date and clock, where the first cell is written in figures."""
    first = next((cell for cell in cells if stamp(cell)), "")
    found = DATE_CLOCK.fullmatch(first)
    date = _NUMERIC_DATE.match(first)
    if not found or not date or date.end() >= len(first) or found["sep"].isspace():
        return None
    return first[date.end()]


def _plain_clock(text: str) -> float | None:
    """Seconds of 23:52:00, the commonest of all; None for anything else."""
    if len(text) != 8 or text[2] != ":" or text[5] != ":":
        return None
    hours, minutes, seconds = text[:2], text[3:5], text[6:]
    if not (hours.isdecimal() and minutes.isdecimal() and seconds.isdecimal()):
        return None
    if hours > "24" or minutes > "59" or seconds > "60":
        return None
    return int(hours) * 3600.0 + int(minutes) * 60 + int(seconds)


class _Reader:
    """Reads cells into arrays, and remembers what it has read."""

    def __init__(self, sign: str | None, count: int) -> None:
        self.sign = sign
        self.dates: dict[Date, int] = {}
        self.parts, self.half = 0, False
        self.which = np.full(count, -1, dtype=np.intp)
        self.clock_s, self.offset_s = np.full(count, np.nan), np.full(count, np.nan)
        self._heads: dict[str, int] = {}
        self._plain: dict[str, float] = {}

    def read(self, place: int, cell: str) -> None:
        """Read one cell into a place."""
        if self.sign is not None:
            head, _, tail = cell.partition(self.sign)
            date, clock = self._heads.get(head), self._plain.get(tail)
            if clock is None and (clock := _plain_clock(tail)) is not None:
                self._plain[tail] = clock
            if date is not None and clock is not None:
                self.which[place], self.clock_s[place] = date, clock
                return
        found = stamp(cell)
        if found is not None:
            self._keep(place, found)
            if self.sign is not None and found.date is not None:
                self._heads[cell.partition(self.sign)[0]] = int(self.which[place])

    def _keep(self, place: int, found: Stamp) -> None:
        if found.date is not None:
            self.which[place] = self.dates.setdefault(found.date, len(self.dates))
        if found.clock_s is not None:
            self.clock_s[place] = found.clock_s
        if found.offset_s is not None:
            self.offset_s[place] = found.offset_s
        self.parts, self.half = max(self.parts, found.parts), self.half or found.half

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
    sign = _sign_between(cells)
    reader = _Reader(len(cells))
    left: Sequence[int] = range(len(cells))
    if sign is not None and all(cell.count(sign) == 1 for cell in cells):
        parts = sign.join(cells).split(sign)
        left = reader.read_parts(parts[::2], parts[1::2])
    for place in left:
        reader.read(place, cells[place])
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


def _plain_clocks(texts: Sequence[str]) -> Floats:
    """Seconds of clocks written as 23:52:00, the commonest of all; NaN for anything else."""
    if set(map(len, texts)) != {8}:
        return np.array([_plain_clocks([t])[0] if len(t) == 8 else np.nan for t in texts])
    signs = np.frombuffer("".join(texts).encode("latin-1", "replace"), np.uint8).reshape(-1, 8)
    figures = signs[:, [0, 1, 3, 4, 6, 7]].astype(float) - ord("0")
    hours, minutes, seconds = (10 * figures[:, n] + figures[:, n + 1] for n in (0, 2, 4))
    good = (signs[:, [2, 5]] == ord(":")).all(axis=1) & ((figures >= 0) & (figures <= 9)).all(
        axis=1
    )
    good &= (hours <= 24) & (minutes <= 59) & (seconds <= 60)
    return np.where(good, hours * 3600 + minutes * 60 + seconds, np.nan)


class _Reader:
    """Reads cells into arrays, and remembers what it has read."""

    def __init__(self, count: int) -> None:
        self.dates: dict[Date, int] = {}
        self.parts, self.half = 0, False
        self.which = np.full(count, -1, dtype=np.intp)
        self.clock_s, self.offset_s = np.full(count, np.nan), np.full(count, np.nan)

    def read_parts(self, heads: list[str], tails: list[str]) -> list[int]:
        """Dates and plain clocks of all cells; the places of those that are anything else."""
        days = {head: self._day(head) for head in dict.fromkeys(heads)}
        which = np.fromiter(map(days.__getitem__, heads), np.intp, len(heads))
        clock = _plain_clocks(tails)
        plain = (which >= 0) & np.isfinite(clock)
        self.which = np.where(plain, which, -1)
        self.clock_s = np.where(plain, clock, np.nan)
        self.parts = 3 if plain.any() else 0
        return np.flatnonzero(~plain).tolist()

    def read(self, place: int, cell: str) -> None:
        """Read one cell into a place."""
        found = stamp(cell)
        if found is not None:
            self._keep(place, found)

    def _day(self, head: str) -> int:
        found = stamp(head)
        if found is None or found.date is None or found.clock_s is not None:
            return -1
        return self.dates.setdefault(found.date, len(self.dates))

    def _keep(self, place: int, found: Stamp) -> None:
        if found.date is not None:
            self.which[place] = self.dates.setdefault(found.date, len(self.dates))
        if found.clock_s is not None:
            self.clock_s[place] = found.clock_s
        if found.offset_s is not None:
            self.offset_s[place] = found.offset_s
        self.parts, self.half = max(self.parts, found.parts), self.half or found.half

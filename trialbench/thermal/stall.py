"""Where a core stops rising, and where air or bath stands level: found in the log, not foretold.

The limits are the cook's (common practice, no source): the wet-bulb temperature of the supply air
does not foretell a stall.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from trialbench.thermal.bad_figures import BadFigures
from trialbench.thermal.curves import Curve, Floats, Places

GRID_POINTS = 4000
"""Longer logs are looked at on this many evenly spaced times."""


@dataclass(frozen=True, slots=True)
class Stall:
    """A stretch in which the core hardly rose. `rose_again` is False when the log ends in it."""

    start_s: float
    end_s: float
    start_c: float
    end_c: float
    rose_again: bool

    @property
    def length_s(self) -> float:
        """Seconds from start to end."""
        return self.end_s - self.start_s


@dataclass(frozen=True, slots=True)
class Level:
    """A stretch in which a temperature stayed within a band."""

    start_s: float
    end_s: float
    mean_c: float

    @property
    def length_s(self) -> float:
        """Seconds from start to end."""
        return self.end_s - self.start_s


def stalls(
    curve: Curve,
    *,
    slope_c_per_h: float = 2.0,
    for_s: float = 2700.0,
    over_s: float = 900.0,
    above_c: float = 50.0,
) -> tuple[Stall, ...]:
    """Stretches of `for_s` or longer in which a core above `above_c` changes by at most
    `slope_c_per_h`, the slope being taken over `over_s` (so that a tenth of a degree is no slope).

    Raises BadFigures for limits that are not above 0. Nothing is found across a gap.
    """
    if not min(slope_c_per_h, for_s, over_s) > 0:
        raise BadFigures("A limit is not above 0.", where="slope_c_per_h, for_s, over_s",
                       allowed="numbers above 0")  # fmt: skip
    found = []
    for times, temps in _on_a_grid(curve):
        if times[-1] - times[0] < over_s:
            continue
        flat = np.abs(_slopes(times, temps, over_s)) <= slope_c_per_h / 3600
        for first, last in _true_runs(flat & (temps >= above_c)):
            if times[last] - times[first] >= for_s:
                found.append(_stall(times, temps, first, last))
    return tuple(found)


def levels(curve: Curve, *, within_c: float = 4.0, for_s: float = 1800.0) -> tuple[Level, ...]:
    """Stretches of `for_s` or longer in which the curve stays within a band `within_c` K wide.

    The longest is found first, then those beside it: the stages that stand in an air or bath log.
    Raises BadFigures for limits that are not above 0.
    """
    if not min(within_c, for_s) > 0:
        raise BadFigures("A limit of the level is not above 0.", where="within_c, for_s",
                       allowed="numbers above 0")  # fmt: skip
    return tuple(
        level
        for times, temps in _on_a_grid(curve)
        for level in _levels(times, temps, within_c, for_s)
    )


def _levels(times: Floats, temps: Floats, within_c: float, for_s: float) -> Iterator[Level]:
    """The longest level first, then what lies before and after it."""
    last = _reach(temps, within_c)
    lengths = times[last] - times
    first = int(np.argmax(lengths))
    if lengths[first] < for_s:
        return
    end = int(last[first]) + 1
    yield from _levels(times[:first], temps[:first], within_c, for_s) if first else ()
    mean = np.trapezoid(temps[first:end], times[first:end]) / lengths[first]
    yield Level(float(times[first]), float(times[end - 1]), float(mean))
    yield from _levels(times[end:], temps[end:], within_c, for_s) if end < len(times) else ()


def _reach(temps: Floats, within_c: float) -> Places:
    """For each place the last one up to which highest less lowest stays within the band."""
    values, lows, highs = temps.tolist(), deque[int](), deque[int]()
    reached, first = [0] * len(values), 0
    for last, value in enumerate(values):
        while lows and values[lows[-1]] >= value:
            lows.pop()
        while highs and values[highs[-1]] <= value:
            highs.pop()
        lows.append(last)
        highs.append(last)
        while values[highs[0]] - values[lows[0]] > within_c:
            reached[first] = last - 1
            first += 1
            for edge in (lows, highs):
                if edge[0] < first:
                    edge.popleft()
    reached[first:] = [len(values) - 1] * (len(values) - first)
    return np.array(reached, dtype=np.intp)


def _stall(times: Floats, temps: Floats, first: int, last: int) -> Stall:
    start_s, end_s, start_c, end_c = (
        float(v) for v in (times[first], times[last], temps[first], temps[last])
    )
    return Stall(start_s, end_s, start_c, end_c, bool((temps[last:] > temps[last]).any()))


def _on_a_grid(curve: Curve) -> Iterator[tuple[Floats, Floats]]:
    step = max((curve.end_s - curve.start_s) / GRID_POINTS, 1.0)
    for times, temps in curve.stretches():
        count = int((times[-1] - times[0]) // step) + 1
        even = np.append(times[0] + step * np.arange(count), times[-1])
        even = np.unique(even)
        yield even, np.interp(even, times, temps)


def _slopes(times: Floats, temps: Floats, over_s: float) -> Floats:
    low = np.clip(times - over_s / 2, times[0], times[-1] - over_s)
    rise = np.interp(low + over_s, times, temps) - np.interp(low, times, temps)
    slopes: Floats = rise / over_s
    return slopes


def _true_runs(flags: np.ndarray[tuple[int], np.dtype[np.bool_]]) -> list[tuple[int, int]]:
    """First and last place of each run of True."""
    padded = np.concatenate([[False], flags, [False]]).astype(np.int8)
    change = np.diff(padded)
    starts, ends = np.flatnonzero(change == 1), np.flatnonzero(change == -1) - 1
    return list(zip(starts.tolist(), ends.tolist(), strict=True))

"""How long a curve is above, below or between: exact on straight lines, gaps apart.

Between readings the temperature is taken as a straight line (the usual reading of a log: common
practice, no source). A gap belongs to neither side: it is time not shown.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from trialbench.thermal.curves import Curve, Floats, Places

ROUNDING_S = 1e-3
"""UTC seconds have a ten millionth of a second at most: less than this is no time."""
SLACK_C = 1e-9
"""°F figures turned into °C miss by rounding: a reading this close counts as reached."""


@dataclass(frozen=True, slots=True)
class TimeSpent:
    """Seconds there, seconds elsewhere, and seconds of the window that the log does not show."""

    there_s: float
    elsewhere_s: float
    not_shown_s: float

    @property
    def whole_s(self) -> float:
        """The whole window."""
        return self.there_s + self.elsewhere_s + self.not_shown_s


@dataclass(frozen=True, slots=True)
class Run:
    """An unbroken stretch on one side of a limit.

    `from_edge`, `to_edge`: it begins or ends where the log does, or at a gap, so that it may be
    longer than is shown.
    """

    start_s: float
    end_s: float
    from_edge: bool
    to_edge: bool

    @property
    def length_s(self) -> float:
        """Seconds from start to end."""
        return self.end_s - self.start_s


def time_above(
    curve: Curve, limit_c: float, start_s: float | None = None, end_s: float | None = None
) -> TimeSpent:
    """Time at or above a temperature, in the window (the whole log without one)."""
    return _spent(curve, limit_c, None, start_s, end_s)


def time_below(
    curve: Curve, limit_c: float, start_s: float | None = None, end_s: float | None = None
) -> TimeSpent:
    """Time below a temperature, in the window."""
    above = time_above(curve, limit_c, start_s, end_s)
    return TimeSpent(above.elsewhere_s, above.there_s, above.not_shown_s)


def time_between(
    curve: Curve,
    low_c: float,
    high_c: float,
    start_s: float | None = None,
    end_s: float | None = None,
) -> TimeSpent:
    """Time at or above `low_c` and below `high_c`, in the window."""
    return _spent(curve, low_c, high_c, start_s, end_s)


def _spent(
    curve: Curve, low_c: float, high_c: float | None, start_s: float | None, end_s: float | None
) -> TimeSpent:
    window = (
        (curve.start_s if start_s is None else start_s),
        (curve.end_s if end_s is None else end_s),
    )
    part = curve.between(*window)
    there = 0.0
    for times, temps in part.stretches() if part else ():
        there += _above_s(times, temps, low_c)
        there -= _above_s(times, temps, high_c) if high_c is not None else 0.0
    hidden = not_shown_s(part, *window)
    return TimeSpent(there, max(window[1] - window[0] - hidden - there, 0.0), hidden)


def not_shown_s(part: Curve | None, start_s: float, end_s: float) -> float:
    """Seconds of a window that its part of a curve does not show: gaps, and before and after it."""
    if part is None:
        return end_s - start_s
    hidden = part.start_s - start_s + end_s - part.end_s + sum(gap.length_s for gap in part.gaps)
    return hidden if hidden > ROUNDING_S else 0.0


def _above_s(times: Floats, temps: Floats, limit_c: float) -> float:
    first, last = temps[:-1] - (limit_c - SLACK_C), temps[1:] - (limit_c - SLACK_C)
    upper = np.maximum(first, 0.0) + np.maximum(last, 0.0)
    total = np.abs(first) + np.abs(last)
    share = np.where(total > 0, upper / np.where(total > 0, total, 1.0), 1.0)
    return float(np.sum(share * np.diff(times)))


def runs_above(curve: Curve, limit_c: float) -> tuple[Run, ...]:
    """Unbroken stretches at or above a temperature, in order of time."""
    return tuple(_runs(curve, limit_c - SLACK_C, 1.0))


def runs_below(curve: Curve, limit_c: float) -> tuple[Run, ...]:
    """Unbroken stretches below a temperature, in order of time."""
    return tuple(_runs(curve, limit_c - SLACK_C, -1.0))


def longest_above_s(curve: Curve, limit_c: float) -> float | None:
    """The longest unbroken time at or above a temperature; None if it was never reached."""
    return max((run.length_s for run in runs_above(curve, limit_c)), default=None)


def _runs(curve: Curve, limit_c: float, side: float) -> Iterator[Run]:
    for times, temps in curve.stretches():
        away = side * (temps - limit_c)
        inside = away >= 0 if side > 0 else away > 0
        change = np.flatnonzero(np.diff(inside.astype(np.int8)))
        crossings = _crossings(times, away, change)
        starts = [(float(times[0]), True)] if inside[0] else []
        ends = [(float(times[-1]), True)] if inside[-1] else []
        starts += [(float(c), False) for c, i in zip(crossings, change, strict=True)
                   if inside[i + 1]]  # fmt: skip
        ends = [(float(c), False) for c, i in zip(crossings, change, strict=True)
                if inside[i]] + ends  # fmt: skip
        for (start, from_edge), (end, to_edge) in zip(starts, ends, strict=True):
            yield Run(start, end, from_edge, to_edge)


def _crossings(times: Floats, away: Floats, change: Places) -> Floats:
    """When the straight lines after these readings cross the limit."""
    first, last = away[change], away[change + 1]
    share = first / (first - last)
    crossed: Floats = times[change] + share * (times[change + 1] - times[change])
    return crossed

"""A temperature curve: seconds, °C, and where nothing was written down."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from trialbench.model.quantities import ABSOLUTE_ZERO_C
from trialbench.thermal.bad_figures import BadFigures

Floats = NDArray[np.float64]
Places = NDArray[np.intp]

STEPS_TO_A_GAP = 3.0
"""A step this many times the usual one (the median) is a gap ..."""
SHORTEST_GAP_S, LONGEST_STEP_S = 60.0, 1800.0
"""... but never one of a minute or less, and always one of more than half an hour."""


@dataclass(frozen=True, slots=True)
class Adjustment:
    """One visible step between what was logged and what is shown.

    `kind` is clock (`by` in seconds, added to the time) or probe (`by` in K, added to what the
    probe said). `why` is the cook's own remark: the ice-water reading and its day.
    """

    kind: Literal["clock", "probe"]
    by: float
    why: str = ""


@dataclass(frozen=True, slots=True)
class Gap:
    """A stretch in which nothing was logged: between two readings too far apart."""

    start_s: float
    end_s: float

    @property
    def length_s(self) -> float:
        """Seconds without a reading."""
        return self.end_s - self.start_s


@dataclass(frozen=True, slots=True, eq=False)
class Curve:
    """Readings in order of time, straight lines between them, nothing across a gap.

    `time_s` (rising, seconds of any one clock) and `temp_c` have the same length and cannot be
    written to. `breaks` are the places of the readings that have a gap before them. `adjustments`
    lead from the logged numbers to these; `as_logged` goes back.
    """

    time_s: Floats
    temp_c: Floats
    breaks: Places
    adjustments: tuple[Adjustment, ...] = ()

    def __len__(self) -> int:
        return len(self.time_s)

    @property
    def start_s(self) -> float:
        """Time of the first reading."""
        return float(self.time_s[0])

    @property
    def end_s(self) -> float:
        """Time of the last reading."""
        return float(self.time_s[-1])

    @property
    def gaps(self) -> tuple[Gap, ...]:
        """Where nothing was logged, in order of time."""
        pairs = zip(self.time_s[self.breaks - 1], self.time_s[self.breaks], strict=True)
        return tuple(Gap(float(start), float(end)) for start, end in pairs)

    def stretches(self) -> Iterator[tuple[Floats, Floats]]:
        """Times and temperatures of each part without a gap."""
        edges = [0, *self.breaks.tolist(), len(self)]
        for first, last in pairwise(edges):
            yield self.time_s[first:last], self.temp_c[first:last]

    def at(self, time_s: float) -> float | None:
        """The temperature on the straight line between readings; None where nothing is shown."""
        after = int(np.searchsorted(self.time_s, time_s))
        if after < len(self) and self.time_s[after] == time_s:
            return float(self.temp_c[after])
        if after in (0, len(self)) or after in self.breaks:
            return None
        around = slice(after - 1, after + 1)
        return float(np.interp(time_s, self.time_s[around], self.temp_c[around]))

    def between(self, start_s: float | None = None, end_s: float | None = None) -> Curve | None:
        """The part from `start_s` to `end_s`, cut on the straight line; None if nothing is there.

        Raises BadFigures when the end is before the start.
        """
        start = self.start_s if start_s is None else float(start_s)
        end = self.end_s if end_s is None else float(end_s)
        if end < start:
            raise BadFigures(
                f"The window ends at {end:g} s, before it starts at {start:g} s.",
                where="end_s", allowed="a time at or after the start",
            )  # fmt: skip
        first = int(np.searchsorted(self.time_s, start))
        last = int(np.searchsorted(self.time_s, end, "right"))
        edges = [(edge, self._edge(edge)) for edge in dict.fromkeys((start, end))]
        before = [(t, c) for t, c in edges if c is not None and t == start]
        after = [(t, c) for t, c in edges if c is not None and t != start]
        times = np.concatenate([_row(before, 0), self.time_s[first:last], _row(after, 0)])
        temps = np.concatenate([_row(before, 1), self.temp_c[first:last], _row(after, 1)])
        if not len(times):
            return None
        inside = self.breaks[(self.breaks > first) & (self.breaks < last)]
        return replace(
            self, time_s=_kept(times), temp_c=_kept(temps), breaks=inside - first + len(before)
        )

    def as_logged(self) -> Curve:
        """The same curve before its adjustments."""
        clock = sum(a.by for a in self.adjustments if a.kind == "clock")
        probe = sum(a.by for a in self.adjustments if a.kind == "probe")
        times, temps = _kept(self.time_s - clock), _kept(self.temp_c - probe)
        return replace(self, time_s=times, temp_c=temps, adjustments=())

    def _edge(self, time_s: float) -> float | None:
        """The temperature at an edge that is no reading itself, else None."""
        place = int(np.searchsorted(self.time_s, time_s))
        is_reading = place < len(self) and self.time_s[place] == time_s
        return None if is_reading else self.at(time_s)


def curve(time_s: ArrayLike, temp_c: ArrayLike, *, longest_step_s: float | None = None) -> Curve:
    """A curve from seconds and °C of equal length; a missing temperature is NaN.

    Without `longest_step_s` it is three times the usual step (the median of the steps between
    readings), at least 1 min and at most 30 min: common practice, no source. Raises BadFigures for
    unequal lengths, no reading at all, times that do not rise, and temperatures below absolute
    zero or infinite.
    """
    times, temps = _numbers(time_s, "time_s"), _numbers(temp_c, "temp_c")
    if times.shape != temps.shape:
        raise BadFigures(
            f"{len(times)} times and {len(temps)} temperatures.",
            where="time_s, temp_c", allowed="the same number of both",
        )  # fmt: skip
    if not np.isfinite(times).all():
        raise BadFigures("A time is missing.", where="time_s", allowed="seconds, each a number")
    if (np.diff(times) <= 0).any():
        place = int(np.argmax(np.diff(times) <= 0)) + 1
        raise BadFigures(
            f"Time {place + 1} is not later than the one before it.",
            where=f"time_s[{place}]", allowed="times that rise from reading to reading",
        )  # fmt: skip
    there = ~np.isnan(temps)
    times, temps = times[there], temps[there]
    _check_temperatures(temps)
    longest = usual_longest_step_s(times) if longest_step_s is None else float(longest_step_s)
    if not longest > 0:
        raise BadFigures(
            f"The longest step is {longest:g} s.", where="longest_step_s", allowed="above 0 s"
        )
    breaks = np.flatnonzero(np.diff(times) > longest) + 1
    return Curve(_kept(times), _kept(temps), breaks)


def usual_longest_step_s(time_s: Sequence[float] | Floats) -> float:
    """The longest step that is no gap, from rising times in seconds (see `curve`)."""
    if len(time_s) < 2:
        return SHORTEST_GAP_S
    usual = float(np.median(np.diff(np.asarray(time_s, dtype=float))))
    return min(max(STEPS_TO_A_GAP * usual, SHORTEST_GAP_S), LONGEST_STEP_S)


def shifted(curve: Curve, by_s: float, why: str = "") -> Curve:
    """The curve with `by_s` added to its clock, written down as an adjustment."""
    moved = _kept(curve.time_s + by_s)
    return replace(curve, time_s=moved, adjustments=(*curve.adjustments,
                   Adjustment("clock", float(by_s), why)))  # fmt: skip


def corrected(curve: Curve, by_c: float, why: str = "") -> Curve:
    """The curve with `by_c` K added to what the probe said, written down as an adjustment.

    A probe that says 0.6 °C in ice water is corrected by -0.6.
    """
    moved = _kept(curve.temp_c + by_c)
    return replace(curve, temp_c=moved, adjustments=(*curve.adjustments,
                   Adjustment("probe", float(by_c), why)))  # fmt: skip


def _numbers(values: ArrayLike, where: str) -> Floats:
    try:
        numbers = np.asarray(values, dtype=float)
    except (TypeError, ValueError):
        raise BadFigures(
            f"{where} holds something that is no number.", where=where, allowed="numbers; NaN where"
            " one is missing",
        ) from None  # fmt: skip
    if numbers.ndim != 1:
        raise BadFigures(
            f"{where} is not one row of numbers.", where=where, allowed="one dimension"
        )
    return numbers


def _check_temperatures(temps: Floats) -> None:
    if not len(temps):
        raise BadFigures("There is no reading.", where="temp_c", allowed="one reading at least")
    wrong = ~np.isfinite(temps) | (temps < ABSOLUTE_ZERO_C)
    if wrong.any():
        raise BadFigures(
            f"{temps[wrong][0]:g} °C is no temperature.",
            where="temp_c", allowed="finite numbers above -273.15 °C; NaN where one is missing",
        )  # fmt: skip


def _row(points: list[tuple[float, float]], place: int) -> Floats:
    return np.array([point[place] for point in points], dtype=float)


def _kept(values: Floats) -> Floats:
    """The values as an array that nobody can write to."""
    own = np.array(values, dtype=float)
    own.setflags(write=False)
    return own

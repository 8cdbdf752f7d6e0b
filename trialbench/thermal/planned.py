"""A stage as planned beside the log of it: inside the band, under it, over it, not shown."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from trialbench.thermal.bad_figures import BadFigures
from trialbench.thermal.curves import Curve, Floats
from trialbench.thermal.spans import runs_above, time_above, time_below


@dataclass(frozen=True, slots=True)
class PlannedStage:
    """What a plan says of one place (air, bath, cabinet) from start to end of a stage.

    The band is `set_c - under_c` to `set_c + over_c`. Raises BadFigures for a stage that ends
    before it starts and for a band without width.
    """

    set_c: float
    start_s: float
    end_s: float
    under_c: float = 5.0
    over_c: float = 5.0

    def __post_init__(self) -> None:
        if not self.end_s > self.start_s:
            raise BadFigures(
                "The stage ends before it starts.", where="end_s", allowed="a later time"
            )
        if min(self.under_c, self.over_c) < 0 or self.under_c + self.over_c <= 0:
            raise BadFigures("The band has no width.", where="under_c, over_c",
                           allowed="0 K and more, one of them above 0")  # fmt: skip


@dataclass(frozen=True, slots=True)
class LoggedStage:
    """Seconds within, under, over and not shown add up to the stage.

    `mean_c` is over the time shown. `reached_after_s` is when the band was first reached, None if
    the log never shows it.
    """

    within_s: float
    under_s: float
    over_s: float
    not_shown_s: float
    lowest_c: float | None
    highest_c: float | None
    mean_c: float | None
    reached_after_s: float | None

    @property
    def outside_s(self) -> float:
        """Seconds under or over the band."""
        return self.under_s + self.over_s


def beside_the_plan(curve: Curve, stage: PlannedStage) -> LoggedStage:
    """Lay a log beside a planned stage. Gaps, and what lies outside the log, are not shown."""
    low_c, high_c = stage.set_c - stage.under_c, stage.set_c + stage.over_c
    window = (stage.start_s, stage.end_s)
    under = time_below(curve, low_c, *window)
    over = time_above(curve, high_c, *window).there_s
    within = under.elsewhere_s - over
    part = curve.between(*window)
    if part is None:
        return LoggedStage(0.0, 0.0, 0.0, under.not_shown_s, None, None, None, None)
    return LoggedStage(
        within, under.there_s, over, under.not_shown_s,
        float(part.temp_c.min()), float(part.temp_c.max()), mean_c(part),
        _reached_after_s(part, low_c, high_c, stage.start_s),
    )  # fmt: skip


def mean_c(curve: Curve) -> float:
    """Mean over the time shown (straight lines); of single readings where no time is shown."""
    parts: list[tuple[Floats, Floats]] = list(curve.stretches())
    shown = sum(float(times[-1] - times[0]) for times, _ in parts)
    if shown <= 0:
        return float(curve.temp_c.mean())
    return sum(float(np.trapezoid(temps, times)) for times, temps in parts) / shown


def _reached_after_s(curve: Curve, low_c: float, high_c: float, start_s: float) -> float | None:
    for run in runs_above(curve, low_c):
        part = curve.between(run.start_s, run.end_s)
        if part is None:
            continue
        if part.temp_c[0] <= high_c:
            return run.start_s - start_s
        for times, temps in part.stretches():
            cool = np.flatnonzero(temps <= high_c)
            if len(cool):
                place = int(cool[0])
                share = (temps[place - 1] - high_c) / (temps[place - 1] - temps[place])
                crossed = times[place - 1] + share * (times[place] - times[place - 1])
                return float(crossed) - start_s
    return None

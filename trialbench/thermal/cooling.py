"""Cooling laid beside the usual windows: 57 °C to 21 °C within 2 h, to 5 °C within 6 h in all."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from trialbench.model.message import Message, msg
from trialbench.model.quantities import show_duration
from trialbench.thermal.curves import Curve
from trialbench.thermal.safety_rules import CoolingRule, Standing, Window, said_time
from trialbench.thermal.spans import SLACK_C, Run, runs_above, runs_below


@dataclass(frozen=True, slots=True)
class WindowCheck:
    """One window. `took_s` runs from the last moment at the upper temperature to the first at the
    lower; None where the log does not show both."""

    standing: Standing
    window: Window
    start_s: float | None
    end_s: float | None
    gap_inside: bool = False

    @property
    def took_s(self) -> float | None:
        """Seconds between the two temperatures."""
        if self.start_s is None or self.end_s is None:
            return None
        return self.end_s - self.start_s

    @property
    def says(self) -> Message:
        """One sentence, never a clearance."""
        names = {"hot": str(self.window.start), "cold": str(self.window.end)}
        limit = show_duration(self.window.time_s)
        if self.standing == "not_shown" and self.gap_inside:
            return msg(
                "From {hot} to {cold} within {limit}: not shown, for the log has a gap there.",
                limit=limit,
                **names,
            )
        if self.standing == "not_shown":
            return msg(
                "From {hot} to {cold} within {limit}: not shown in this log.", limit=limit, **names
            )
        if self.took_s is None:
            return msg("{cold} was not reached {limit} after {hot}.", limit=limit, **names)
        took = said_time(self.took_s, self.window.time_s)
        return msg(
            "From {hot} to {cold} in {took}; usual is {limit} at most.",
            took=took,
            limit=limit,
            **names,
        )


@dataclass(frozen=True, slots=True)
class CoolingCheck:
    """All windows of a rule. over: one took too long. shown: all are shown in time."""

    standing: Standing
    windows: tuple[WindowCheck, ...]
    cited: Message


def check_cooling(
    curve: Curve,
    rule: CoolingRule,
    *,
    start_s: float | None = None,
    end_s: float | None = None,
    tolerance_c: float = 0.0,
) -> CoolingCheck:
    """Lay a core curve beside a rule for cooling.

    The clock of a window starts when the core last leaves its upper temperature before it first
    reaches the lower one. With a tolerance the window must also be shown for a probe that says
    too little or too much by it. A gap inside a window is never "shown".
    """
    part = curve.between(start_s, end_s)
    checks = tuple(_window(part, window, tolerance_c) for window in rule.windows)
    return CoolingCheck(together([check.standing for check in checks]), checks, rule.cited)


def together(standings: Sequence[Standing]) -> Standing:
    """One standing for several that must all hold."""
    if "over" in standings:
        return "over"
    return "shown" if all(each == "shown" for each in standings) else "not_shown"


def _window(curve: Curve | None, window: Window, tolerance_c: float) -> WindowCheck:
    if curve is None:
        return WindowCheck("not_shown", window, None, None)
    plain = _one_window(curve, window)
    if plain.standing != "shown" or not tolerance_c:
        return plain
    biased = [replace(curve, temp_c=curve.temp_c + by) for by in (-tolerance_c, tolerance_c)]
    sure = all(_one_window(each, window).standing == "shown" for each in biased)
    return plain if sure else replace(plain, standing="not_shown")


def _one_window(curve: Curve, window: Window) -> WindowCheck:
    hot = runs_above(curve, window.start.temp_c)
    cold = runs_below(curve, window.end.temp_c + 2 * SLACK_C)
    if not hot:
        return WindowCheck("not_shown", window, None, None)
    reached = next((run for run in cold if run.start_s >= hot[0].end_s), None)
    left = [run for run in hot if reached is None or run.end_s <= reached.start_s][-1]
    end_s = reached.start_s if reached else None
    inside = [
        gap for gap in curve.gaps
        if gap.start_s >= left.end_s and (end_s is None or gap.end_s <= end_s)
    ]  # fmt: skip
    standing = _standing(curve, window, left, reached, bool(inside))
    return WindowCheck(standing, window, left.end_s, end_s, bool(inside))


def _standing(
    curve: Curve, window: Window, left: Run, reached: Run | None, gap_inside: bool
) -> Standing:
    """The shortest time that the log leaves open decides "over", the whole of it "shown"."""
    latest_start, earliest_end = left.end_s, reached.start_s if reached else curve.end_s
    for gap in curve.gaps:
        if left.to_edge and gap.start_s == left.end_s:
            latest_start = gap.end_s
        if reached and reached.from_edge and gap.end_s == reached.start_s:
            earliest_end = gap.start_s
    if earliest_end - latest_start > window.time_s:
        return "over"
    return "not_shown" if reached is None or gap_inside else "shown"

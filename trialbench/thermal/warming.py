"""Coming up and reheating laid beside the usual times."""

from __future__ import annotations

from dataclasses import dataclass, replace

from trialbench.model.message import Message, msg
from trialbench.model.quantities import show_duration
from trialbench.thermal.curves import Curve
from trialbench.thermal.safety_rules import Limit, Standing, Window, said_time
from trialbench.thermal.spans import longest_above_s, runs_above, time_between

COME_UP = Window(Limit(50.0, "F"), Limit(130.0, "F"), 21600.0)
"""The toxin of S. aureus survives cooking, so the time in which it can form is kept short."""
COME_UP_CITED = msg(
    "USDA-FSIS, Appendix A, December 2021 (FSIS-GD-2021-14), pages 23 to 24; brisket and ham are "
    "named there as a gap in what is known (page 48)."
)
REHEAT = Window(Limit(41.0, "F"), Limit(165.0, "F"), 7200.0)
REHEAT_KEPT_S = 15.0
REHEAT_CITED = msg(
    "US FDA Food Code, 3-403.11(A) and (D), as printed in Delaware, 16 Del. Admin. Code 3-403.11."
)


@dataclass(frozen=True, slots=True)
class WarmingCheck:
    """`there_s` is the time shown between the two temperatures, `reached` whether the upper one was
    reached in the log."""

    standing: Standing
    window: Window
    there_s: float
    not_shown_s: float
    reached: bool
    cited: Message

    @property
    def says(self) -> Message:
        """One sentence, never a clearance."""
        names = {"low": str(self.window.start), "high": str(self.window.end)}
        limit = show_duration(self.window.time_s)
        time = said_time(self.there_s, self.window.time_s)
        if self.standing == "below":
            return msg("{high} was not reached in this log.", high=names["high"])
        if self.standing == "not_shown":
            return msg(
                "{time} between {low} and {high} in the log, and a part is not shown; usual is "
                "{limit} at most.",
                time=time, limit=limit, **names,
            )  # fmt: skip
        return msg(
            "{time} between {low} and {high}; usual is {limit} at most.",
            time=time, limit=limit, **names,
        )  # fmt: skip


def check_come_up(
    curve: Curve,
    *,
    start_s: float | None = None,
    end_s: float | None = None,
    tolerance_c: float = 0.0,
) -> WarmingCheck:
    """Total time of a core between 50 and 130 °F on the way up, beside 6 h.

    over: the log shows more. shown: it begins at or under 50 °F, reaches 130 °F and has no gap on
    the way, with the tolerance on either side too. not_shown: anything else.
    """
    return _check(curve.between(start_s, end_s), COME_UP, COME_UP_CITED, tolerance_c)


def check_reheat(
    curve: Curve,
    *,
    start_s: float | None = None,
    end_s: float | None = None,
    tolerance_c: float = 0.0,
) -> WarmingCheck:
    """Reheating for hot holding: from 41 °F to 165 °F within 2 h, and 15 s at 165 °F or more.

    below: 165 °F for 15 s was not reached in a log without a gap.
    """
    part = curve.between(start_s, end_s)
    check = _check(part, REHEAT, REHEAT_CITED, tolerance_c)
    if part is None or check.standing == "over":
        return check
    kept = longest_above_s(part, REHEAT.end.temp_c + tolerance_c)
    if kept is None or kept < REHEAT_KEPT_S:
        return replace(check, standing="not_shown" if part.gaps else "below")
    return check


def _check(curve: Curve | None, window: Window, cited: Message, tolerance_c: float) -> WarmingCheck:
    if curve is None:
        return WarmingCheck("not_shown", window, 0.0, 0.0, False, cited)
    plain = _plain(curve, window, cited)
    if plain.standing != "shown" or not tolerance_c:
        return plain
    biased = [replace(curve, temp_c=curve.temp_c + by) for by in (-tolerance_c, tolerance_c)]
    sure = all(_plain(each, window, cited).standing == "shown" for each in biased)
    return plain if sure else replace(plain, standing="not_shown")


def _plain(curve: Curve, window: Window, cited: Message) -> WarmingCheck:
    low_c, high_c = window.start.temp_c, window.end.temp_c
    up = runs_above(curve, high_c)
    reached_s = up[0].start_s if up else curve.end_s
    spent = time_between(curve, low_c, high_c, curve.start_s, reached_s)
    begins_cold = bool(curve.temp_c[0] <= low_c)
    standing: Standing = "not_shown"
    if spent.there_s > window.time_s:
        standing = "over"
    elif up and begins_cold and spent.not_shown_s <= 0:
        standing = "shown"
    return WarmingCheck(standing, window, spent.there_s, spent.not_shown_s, bool(up), cited)

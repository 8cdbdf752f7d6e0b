"""A hold laid beside the usual limit: dips, their length and depth, and what is not shown."""

from __future__ import annotations

from dataclasses import dataclass, replace

from trialbench.model.message import Message, msg, msg_n
from trialbench.thermal.curves import Curve
from trialbench.thermal.safety_rules import HoldingRule, Limit, Standing, said_time
from trialbench.thermal.spans import runs_below, time_below


@dataclass(frozen=True, slots=True)
class Dip:
    """An unbroken stretch under the limit. `open_ended`: it may have lasted longer than shown."""

    start_s: float
    end_s: float
    lowest_c: float
    open_ended: bool

    @property
    def length_s(self) -> float:
        """Seconds under the limit."""
        return self.end_s - self.start_s


@dataclass(frozen=True, slots=True)
class HoldCheck:
    """What the log says of a hold from start to end (seconds of the curve's clock)."""

    standing: Standing
    limit: Limit
    dips: tuple[Dip, ...]
    below_s: float
    not_shown_s: float
    lowest_c: float | None
    within_tolerance: bool
    cited: Message

    @property
    def says(self) -> Message:
        """One sentence, never a clearance."""
        limit = str(self.limit)
        if self.standing == "below":
            return msg_n(
                "Under {limit} for {time}.", "Under {limit} for {time} in {count} dips.",
                len(self.dips), limit=limit, time=said_time(self.below_s),
            )  # fmt: skip
        if self.standing == "shown":
            return msg("The log shows {limit} or more throughout.", limit=limit)
        if self.not_shown_s > 0:
            return msg(
                "{time} of this hold is not shown in the log.",
                time=said_time(max(self.not_shown_s, 1)),
            )
        return msg(
            "The log comes closer to {limit} than the instrument can tell: not shown.", limit=limit
        )


def check_hold(
    curve: Curve,
    rule: HoldingRule,
    *,
    start_s: float | None = None,
    end_s: float | None = None,
    tolerance_c: float = 0.0,
) -> HoldCheck:
    """Lay a curve (core, bath or cabinet air) beside a rule for hot holding.

    below: the log itself goes under the limit. shown: it stays at or above it from start to end
    with the tolerance taken off and without a gap. not_shown: anything else. A core log says
    nothing about the surface of a piece in air.
    """
    part = curve.between(start_s, end_s)
    limit_c = rule.limit.temp_c
    dips = _dips(part, limit_c) if part else ()
    spent = time_below(curve, limit_c, start_s, end_s)
    lowered = replace(part, temp_c=part.temp_c - tolerance_c) if part else None
    close = lowered is not None and bool(runs_below(lowered, limit_c)) and not dips
    standing: Standing = "shown"
    if dips:
        standing = "below"
    elif part is None or close or spent.not_shown_s > 0:
        standing = "not_shown"
    lowest = float(part.temp_c.min()) if part else None
    return HoldCheck(
        standing, rule.limit, dips, spent.there_s, spent.not_shown_s, lowest, close, rule.cited
    )


def _dips(curve: Curve, limit_c: float) -> tuple[Dip, ...]:
    found = []
    for run in runs_below(curve, limit_c):
        part = curve.between(run.start_s, run.end_s)
        lowest = float(part.temp_c.min()) if part else limit_c
        found.append(Dip(run.start_s, run.end_s, lowest, run.from_edge or run.to_edge))
    return tuple(found)

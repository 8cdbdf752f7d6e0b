"""Just-about-right: what too little and too much cost in liking."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from trialbench.model.message import Message, msg
from trialbench.stats.binomial import exact_limits
from trialbench.stats.not_applicable import NotApplicable
from trialbench.stats.numbers import (
    BadNumbers,
    listed,
    mean,
    one_flag,
    one_of,
    plain,
    variance,
)
from trialbench.stats.pairs import check_alpha
from trialbench.stats.settings import any_number
from trialbench.stats.student import quantile, two_sided_p

NULL_HYPOTHESIS = msg("Who finds it off likes it as much as who finds it just right.")
CONVENTION = 0.2
"""Share of tasters from which a side is read at all: a convention of the trade, no test."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PenaltyGroup:
    """Tasters who found it off: `side` is "too little", "too much" or "either".

    `mean_drop` = mean liking of just right less theirs, with t interval and two-sided p (unequal
    variances, Welch, unless pooled was asked for); `weighted` = drop x share. `enough`: the share
    reaches the convention of 20 %.
    """

    side: str
    n: int
    share: float
    share_low: float
    share_high: float
    mean_liking: float | None
    mean_drop: float | None
    se: float | None
    df: float | None
    t: float | None
    p: float | None
    low: float | None
    high: float | None
    weighted: float | None
    enough: bool
    null_hypothesis: Message = NULL_HYPOTHESIS


@dataclass(frozen=True, slots=True, kw_only=True)
class Penalty:
    """Just-about-right against liking, in points of liking; means None where nobody is there."""

    n: int
    just_right: int
    mean_just_right: float | None
    mean_all: float
    groups: tuple[PenaltyGroup, ...]
    pooled: bool
    alpha: float
    null_hypothesis: Message
    notes: tuple[Message, ...]

    def group(self, side: str) -> PenaltyGroup:
        """The group of this side. Raises `BadNumbers` naming those there are."""
        one_of(side, "side", tuple(each.side for each in self.groups))
        return next(each for each in self.groups if each.side == side)


def penalty(
    jar: Iterable[object], liking: Iterable[object], *, middle: float = 3.0,
    pooled: bool = False, alpha: float = 0.05,
) -> Penalty | NotApplicable:  # fmt: skip
    """Mean drop of liking where something is too little or too much, one row a taster.

    `jar` below `middle` is too little, above too much. Rows with a missing number are left out and
    counted. Raises `BadNumbers` for text and for unequal lengths.
    """
    alpha, pooled = check_alpha(alpha), one_flag(pooled, "pooled")
    middle = any_number(middle, "middle")
    rows, lost = _complete(listed(jar, "jar"), listed(liking, "liking"))
    if not rows:
        return NotApplicable(msg("No row is complete."))
    sides = {
        "too little": [own for at, own in rows if at < middle],
        "too much": [own for at, own in rows if at > middle],
        "either": [own for at, own in rows if at != middle],
    }
    right = [own for at, own in rows if at == middle]
    notes = [msg("That a side counts from 20 % of tasters on is a convention, no test."),
             msg("Who finds it off chose that: the drop is no proof of cause.")]  # fmt: skip
    if lost:
        notes.append(msg("Rows with a missing number: {lost}, left out.", lost=lost))
    if not right:
        notes.append(msg("Nobody finds it just right: no drop can be reckoned."))
    return Penalty(
        n=len(rows), just_right=len(right), mean_just_right=mean(right) if right else None,
        mean_all=mean(own for _, own in rows),
        groups=tuple(_group(s, own, right, len(rows), (pooled, alpha)) for s, own in sides.items()),
        pooled=pooled, alpha=alpha, null_hypothesis=NULL_HYPOTHESIS, notes=tuple(notes),
    )  # fmt: skip


def _complete(jar: list[object], liking: list[object]) -> tuple[list[tuple[float, float]], int]:
    if len(jar) != len(liking):
        raise BadNumbers(
            f"{len(jar)} answers, {len(liking)} likings.", where="jar, liking",
            allowed="one of each a taster",
        )  # fmt: skip
    both = [
        (plain(at, f"jar[{i}]"), plain(own, f"liking[{i}]"))
        for i, (at, own) in enumerate(zip(jar, liking, strict=True))
    ]
    kept = [(at, own) for at, own in both if at is not None and own is not None]
    return kept, len(both) - len(kept)


def _group(
    side: str, own: list[float], right: list[float], n: int, how: tuple[bool, float]
) -> PenaltyGroup:
    pooled, alpha = how
    low, high = exact_limits(len(own), n, alpha)
    drop = mean(right) - mean(own) if right and own else None
    se, df = _spread(own, right, pooled)
    half = quantile(alpha / 2, df) * se if se and df else None
    known = drop is not None and half is not None and se is not None and df is not None
    return PenaltyGroup(
        side=side, n=len(own), share=len(own) / n, share_low=low, share_high=high,
        mean_liking=mean(own) if own else None, mean_drop=drop, se=se, df=df,
        t=drop / se if known and drop is not None and se else None,
        p=two_sided_p(drop / se, df) if known and drop is not None and se and df else None,
        low=drop - half if known and drop is not None and half is not None else None,
        high=drop + half if known and drop is not None and half is not None else None,
        weighted=drop * len(own) / n if drop is not None else None,
        enough=len(own) >= CONVENTION * n - 1e-12,
    )  # fmt: skip


def _spread(
    own: list[float], right: list[float], pooled: bool
) -> tuple[float | None, float | None]:
    """Standard error of the drop and its df; None where there is no scatter to reckon from."""
    m, k = len(own), len(right)
    if pooled:
        left = m + k - 2
        if left < 1 or not m or not k:
            return None, None
        squares = sum(variance(each) * (len(each) - 1) for each in (own, right) if len(each) > 1)
        se = math.sqrt(squares / left * (1 / m + 1 / k))
        return (se, float(left)) if se > 0 else (None, None)
    if m < 2 or k < 2:
        return None, None
    first, second = variance(own) / m, variance(right) / k
    if first + second == 0:
        return None, None
    share = first / (first + second)
    df = 1 / (share**2 / (m - 1) + (1 - share) ** 2 / (k - 1))
    return math.sqrt(first + second), df

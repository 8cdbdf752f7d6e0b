"""One cook: what its units, its tasters or its servings can say (policy 1, section 6.2).

Each function gives the estimate a - b with the standard error and df of the formula for that
design, or df 0 where nothing is left to reckon an error from.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from trialbench.stats.likeness import Spread
from trialbench.stats.numbers import mean, variance
from trialbench.stats.pairs import ALL_EQUAL


@dataclass(frozen=True, slots=True)
class OneCook:
    """Estimate a - b of one cook; `spread` is None without df or without any scatter.

    `sd` is the spread of what the error is taken from (differences, or numbers within a method).
    `no_spread`: everything is equal, the interval is that of the rounding floor, if there is one.
    """

    estimate: float
    df: int
    sd: float | None
    spread: Spread | None
    no_spread: bool


def of_differences(
    differences: Sequence[float], value_range: float, step: float | None = None
) -> OneCook:
    """Paired t over pairs or over tasters, df n - 1. All equal: the floor step^2 / 6, if any."""
    n = len(differences)
    estimate = mean(differences)
    if n < 2:
        return OneCook(estimate, 0, None, None, False)
    equal = max(differences) - min(differences) <= ALL_EQUAL * value_range
    sd = _floor(step) if equal else math.sqrt(variance(differences))
    spread = Spread(sd / math.sqrt(n), n - 1) if sd else None
    return OneCook(estimate, n - 1, sd, spread, equal)


def of_groups(
    a: Sequence[float], b: Sequence[float], value_range: float, step: float | None = None
) -> OneCook:
    """Pooled t over units or over servings, df n_a + n_b - 2. All equal: the floor, if any."""
    estimate = mean(a) - mean(b)
    df = len(a) + len(b) - 2
    if df < 1:
        return OneCook(estimate, 0, None, None, False)
    within = [max(own) - min(own) for own in (a, b)]
    equal = max(within) <= ALL_EQUAL * value_range
    squares = math.fsum((x - mean(own)) ** 2 for own in (a, b) for x in own)
    # One rounded number has variance step^2 / 12; a difference of two has twice that.
    sd = _floor(step) / math.sqrt(2) if equal else math.sqrt(squares / df)
    spread = Spread(sd * math.sqrt(1 / len(a) + 1 / len(b)), df) if sd else None
    return OneCook(estimate, df, sd, spread, equal)


def _floor(step: float | None) -> float:
    return step / math.sqrt(6) if step else 0.0

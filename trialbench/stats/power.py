"""What a number of cooks can show, from the spread of cook differences (noncentral t, c - 1 df).

Two-sided power counts both tails. `sd` (0 or above), differences and `matters` are in the outcome's
units, 0 < `alpha` < 0.5, alpha < `wanted` < 1, `cooks` from 2 to 1,000,000. Everything here raises
`BadNumbers` for what lies outside.
"""

from __future__ import annotations

import math
from collections.abc import Callable

from trialbench.stats.pairs import check_alpha
from trialbench.stats.settings import any_number, between, count, spread_above_zero, zero_or_above
from trialbench.stats.student import noncentral_power, noncentral_upper_tail, quantile

POWER = 0.8
MOST_COOKS = 40
"""Above this many cooks the answer is "more than 40"."""
MOST_DAYS = 1_000_000
"""The largest number of cook days that is reckoned with."""


def power(cooks: int, difference: float, sd: float, alpha: float = 0.05) -> float:
    """Chance that the two-sided test over `cooks` >= 2 finds a true `difference`."""
    cooks, difference = check_cooks(cooks), any_number(difference, "difference")
    return _power(cooks, difference, zero_or_above(sd, "sd"), check_alpha(alpha))


def _power(cooks: int, difference: float, sd: float, alpha: float) -> float:
    df = cooks - 1
    if sd == 0.0:
        return 1.0 if difference else alpha
    shift = abs(difference) * math.sqrt(cooks) / sd
    return float(noncentral_power(quantile(alpha / 2, df), df, shift))


def power_at_least_as_good(cooks: int, matters: float, sd: float, alpha: float = 0.05) -> float:
    """Chance of "at least as good" (one-sided, limit inside `matters`) when nothing differs."""
    cooks, matters = check_cooks(cooks), spread_above_zero(matters, "matters")
    return _as_good(cooks, matters, zero_or_above(sd, "sd"), check_alpha(alpha))


def _as_good(cooks: int, matters: float, sd: float, alpha: float) -> float:
    if sd == 0.0:
        return 1.0
    shift = matters * math.sqrt(cooks) / sd
    return float(noncentral_upper_tail(quantile(alpha, cooks - 1), cooks - 1, shift))


def smallest_difference(cooks: int, sd: float, alpha: float = 0.05, wanted: float = POWER) -> float:
    """The true difference that `cooks` find with power `wanted`."""
    cooks, sd, alpha = check_cooks(cooks), zero_or_above(sd, "sd"), check_alpha(alpha)
    wanted = check_wanted(wanted, alpha)
    if sd == 0.0:
        return 0.0
    high = 1.0
    while _power(cooks, high, 1.0, alpha) < wanted:
        high *= 2
    return sd * _bisect(lambda d: _power(cooks, d, 1.0, alpha) >= wanted, high)


def fewest_cooks(
    difference: float, sd: float, alpha: float = 0.05, wanted: float = POWER
) -> int | None:
    """Fewest cooks that find a true `difference` with power `wanted`; None above 40."""
    difference, sd = any_number(difference, "difference"), zero_or_above(sd, "sd")
    alpha = check_alpha(alpha)
    wanted = check_wanted(wanted, alpha)
    return _fewest(lambda cooks: _power(cooks, difference, sd, alpha) >= wanted)


def fewest_cooks_at_least_as_good(
    matters: float, sd: float, alpha: float = 0.05, wanted: float = POWER
) -> int | None:
    """Fewest cooks that show "at least as good" when nothing differs; None above 40."""
    matters, sd = spread_above_zero(matters, "matters"), zero_or_above(sd, "sd")
    alpha = check_alpha(alpha)
    wanted = check_wanted(wanted, alpha)
    return _fewest(lambda cooks: _as_good(cooks, matters, sd, alpha) >= wanted)


def half_width(cooks: int, sd: float, alpha: float = 0.05) -> float:
    """Half of the interval at level 1 - alpha with this spread."""
    return _half_width(check_cooks(cooks), zero_or_above(sd, "sd"), check_alpha(alpha))


def _half_width(cooks: int, sd: float, alpha: float) -> float:
    return quantile(alpha / 2, cooks - 1) * sd / math.sqrt(cooks)


def fewest_cooks_for_width(half: float, sd: float, alpha: float = 0.05) -> int | None:
    """Fewest cooks whose interval reaches at most `half` > 0 to either side; None above 40."""
    half, sd = spread_above_zero(half, "half"), zero_or_above(sd, "sd")
    alpha = check_alpha(alpha)
    return _fewest(lambda cooks: _half_width(cooks, sd, alpha) <= half)


def equality_multiplier(cooks: int, alpha: float = 0.05) -> float:
    """Half-width of the 1 - 2 alpha interval in units of sd(D).

    "No difference that matters" can only be found where this, times sd(D), fits inside d (policy
    6.10: 4.46, 1.69, 1.18, 0.95, 0.82, 0.67 at 2, 3, 4, 5, 6, 8 cooks).
    """
    return _multiplier(check_cooks(cooks), check_alpha(alpha))


def _multiplier(cooks: int, alpha: float) -> float:
    return quantile(alpha, cooks - 1) / math.sqrt(cooks)


def fewest_cooks_for_equality(matters: float, sd: float, alpha: float = 0.05) -> int | None:
    """Fewest cooks from which "no difference that matters" is possible at all; None above 40."""
    matters, sd = spread_above_zero(matters, "matters"), zero_or_above(sd, "sd")
    alpha = check_alpha(alpha)
    return _fewest(lambda cooks: _multiplier(cooks, alpha) * sd < matters)


def check_cooks(cooks: object) -> int:
    """A number of cook days that gives a spread; raises `BadNumbers` else."""
    return count(cooks, "cooks", 2, MOST_DAYS)


def check_wanted(wanted: object, alpha: float) -> float:
    """The chance that a plan asks for; raises `BadNumbers` unless alpha < wanted < 1."""
    return between(wanted, "wanted", alpha, 1.0)


def _fewest(enough: Callable[[int], bool]) -> int | None:
    return next((cooks for cooks in range(2, MOST_COOKS + 1) if enough(cooks)), None)


def _bisect(enough: Callable[[float], bool], high: float) -> float:
    low = 0.0
    for _ in range(100):
        middle = (low + high) / 2
        if not low < middle < high:
            break
        low, high = (low, middle) if enough(middle) else (middle, high)
    return high

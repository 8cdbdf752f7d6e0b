"""What a number of cooks can show, from the spread of cook differences (noncentral t, c - 1 df).

Two-sided power counts both tails. `sd` and differences are in the outcome's units.
"""

from __future__ import annotations

import math
from collections.abc import Callable

from trialbench.stats.numbers import BadNumbers
from trialbench.stats.student import noncentral_power, noncentral_upper_tail, quantile

POWER = 0.8
MOST_COOKS = 40
"""Above this many cooks the answer is "more than 40"."""


def power(cooks: int, difference: float, sd: float, alpha: float = 0.05) -> float:
    """Chance that the two-sided test over `cooks` >= 2 finds a true `difference`."""
    _check(cooks, sd)
    df = cooks - 1
    if sd == 0.0:
        return 1.0 if difference else alpha
    shift = abs(difference) * math.sqrt(cooks) / sd
    return float(noncentral_power(quantile(alpha / 2, df), df, shift))


def power_at_least_as_good(cooks: int, matters: float, sd: float, alpha: float = 0.05) -> float:
    """Chance of "at least as good" (one-sided, limit inside `matters`) when nothing differs."""
    _check(cooks, sd)
    if sd == 0.0:
        return 1.0
    shift = matters * math.sqrt(cooks) / sd
    return float(noncentral_upper_tail(quantile(alpha, cooks - 1), cooks - 1, shift))


def smallest_difference(cooks: int, sd: float, alpha: float = 0.05, wanted: float = POWER) -> float:
    """The true difference that `cooks` find with power `wanted` (alpha < wanted < 1)."""
    _check(cooks, sd)
    if sd == 0.0:
        return 0.0
    high = 1.0
    while power(cooks, high, 1.0, alpha) < wanted:
        high *= 2
    return sd * _bisect(lambda d: power(cooks, d, 1.0, alpha) >= wanted, high)


def fewest_cooks(
    difference: float, sd: float, alpha: float = 0.05, wanted: float = POWER
) -> int | None:
    """Fewest cooks that find a true `difference` with power `wanted`; None above 40."""
    return _fewest(lambda cooks: power(cooks, difference, sd, alpha) >= wanted)


def fewest_cooks_at_least_as_good(
    matters: float, sd: float, alpha: float = 0.05, wanted: float = POWER
) -> int | None:
    """Fewest cooks that show "at least as good" when nothing differs; None above 40."""
    return _fewest(lambda cooks: power_at_least_as_good(cooks, matters, sd, alpha) >= wanted)


def half_width(cooks: int, sd: float, alpha: float = 0.05) -> float:
    """Half of the interval at level 1 - alpha with this spread."""
    _check(cooks, sd)
    return quantile(alpha / 2, cooks - 1) * sd / math.sqrt(cooks)


def fewest_cooks_for_width(half: float, sd: float, alpha: float = 0.05) -> int | None:
    """Fewest cooks whose interval reaches at most `half` to either side; None above 40."""
    return _fewest(lambda cooks: half_width(cooks, sd, alpha) <= half)


def equality_multiplier(cooks: int, alpha: float = 0.05) -> float:
    """Half-width of the 1 - 2 alpha interval in units of sd(D).

    "No difference that matters" can only be found where this, times sd(D), fits inside d (policy
    6.10: 4.46, 1.69, 1.18, 0.95, 0.82, 0.67 at 2, 3, 4, 5, 6, 8 cooks).
    """
    _check(cooks, 1.0)
    return quantile(alpha, cooks - 1) / math.sqrt(cooks)


def fewest_cooks_for_equality(matters: float, sd: float, alpha: float = 0.05) -> int | None:
    """Fewest cooks from which "no difference that matters" is possible at all; None above 40."""
    return _fewest(lambda cooks: equality_multiplier(cooks, alpha) * sd < matters)


def _check(cooks: int, sd: float) -> None:
    if cooks < 2:
        raise BadNumbers(f"{cooks} cooks give no spread.", where="cooks", allowed="2 or more")
    if not sd >= 0.0 or math.isinf(sd):
        raise BadNumbers(f"A spread of {sd:g}.", where="sd", allowed="0 or above")


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

"""What one cook day can still tell (policy 6.2): about that day's batch, these pieces, one taster.

With two units or more of each method the units of that day are the error, with one of each the
tasters are, with one taster the servings. Noncentral t with the degrees of freedom of section 6.2.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import exp, lgamma, sqrt
from typing import Literal

from trialbench.planning.spread import USUAL_TASTERS, Parts
from trialbench.planning.units import PlannedUnits

ErrorOf = Literal["pairs", "units", "tasters", "servings"]


@dataclass(frozen=True, slots=True)
class OneDay:
    """One cook day. `smallest` is told apart eight times in ten, `half_width` the expected reach.

    `error` is what the interval rests on, with `df` degrees of freedom. `equality` says whether
    the interval is expected to fit inside what matters (None where that is not said). `borrowed`:
    that scatter is typical, not seen in this kitchen.
    """

    error: ErrorOf
    df: int
    smallest: float
    half_width: float
    equality: bool | None
    borrowed: bool = False


def with_borrowed(units: PlannedUnits, own: Parts, borrowed: Parts | None) -> tuple[Parts, bool]:
    """The parts a single day needs: borrowed ones where this kitchen's trials showed none."""
    if borrowed is None:
        return own, False
    if units.each >= 2:
        lacks = own.piece <= 0.0
        return (replace(own, piece=borrowed.piece) if lacks else own), lacks
    lacks = own.score <= 0.0
    return (replace(own, score=borrowed.score) if lacks else own), lacks


def one_day_of(
    units: PlannedUnits, parts: Parts, alpha: float, matters: float | None
) -> OneDay | None:
    """What the plan's one cook day shows; None where no error is left. Loads the engine."""
    from trialbench.stats import power
    from trialbench.stats.student import noncentral_power, quantile

    found = _error(units, parts)
    if found is None:
        return None
    error, df, se = found
    if se <= 0.0:
        return None
    limit = quantile(alpha / 2.0, df)
    smallest = _smallest(lambda shift: float(noncentral_power(limit, df, shift)), power.POWER)
    # The mean of s is a little below its sd: chi with df degrees of freedom.
    shrink = sqrt(2.0 / df) * exp(lgamma((df + 1) / 2) - lgamma(df / 2))
    equality = None if matters is None else float(quantile(alpha, df)) * se < matters
    return OneDay(error, df, smallest * se, float(limit) * shrink * se, equality)


def _error(units: PlannedUnits, parts: Parts) -> tuple[ErrorOf, int, float] | None:
    """What the error is, its degrees of freedom, and the standard error of a - b."""
    if units.cooks != 1 or units.scope not in ("batch", "taster"):
        return None
    tasters = units.tasters or USUAL_TASTERS
    if units.each >= 2:
        noise = parts.score**2 / (tasters * units.servings) if units.tasted else 0.0
        one = sqrt(parts.piece**2 + noise)
        if units.paired and units.unit == "piece":
            return "pairs", units.each - 1, one * sqrt(2.0 / units.each)
        return "units", 2 * units.each - 2, one * sqrt(2.0 / units.each)
    if units.scope == "taster":
        return "servings", 2 * units.servings - 2, parts.score * sqrt(2.0 / units.servings)
    square = 2.0 * (parts.taster_method**2 + parts.score**2 / units.servings)
    return "tasters", tasters - 1, sqrt(square / tasters)


def _smallest(chance: Callable[[float], float], wanted: float) -> float:
    """The shift, in standard errors, that is told apart with the chance `wanted`."""
    low, high = 0.0, 4.0
    while chance(high) < wanted:
        high *= 2.0
    for _ in range(60):
        middle = (low + high) / 2.0
        low, high = (low, middle) if chance(middle) >= wanted else (middle, high)
    return high

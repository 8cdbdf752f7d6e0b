"""An interval for cook differences that holds however often one looks.

At every look all values are kept that a likelihood ratio does not speak against by 1 / alpha. The
ratio compares a normal effect size (true difference in units of the days' scatter) spread around 0
with an effect of 0, the unknown scatter taken out by its invariance; it is a martingale, so that it
ever exceeds 1 / alpha with chance alpha at most (Ville 1939). The result is Lai's t confidence
sequence (Lai 1976, Annals of Statistics 4, 265; Perez-Ortiz, Lardy, de Heide and Gruenwald 2024,
Annals of Statistics 52, 1410; closed form: Goenen, Johnson, Lu and Westfall 2005, American
Statistician 59, 252; all four cited from memory). It is exact for normal differences with unknown
scatter and any few days.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from scipy import optimize

from trialbench.model.message import Message, msg
from trialbench.stats.binomial import whole
from trialbench.stats.numbers import (
    BadNumbers,
    above_zero,
    listed,
    mean,
    plain,
    variance,
)
from trialbench.stats.pairs import ALL_EQUAL, check_alpha
from trialbench.stats.settings import any_number, zero_or_above
from trialbench.stats.student import quantile

NULL_HYPOTHESIS = msg("Over many cooks the mean of a - b is 0.")
MOST_DAYS = 2_000
"""Cook days that are looked at, or planned."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """What can be said after `cooks` cook days, in the units of the differences.

    `low`, `high`: the interval that holds however often one looks, at level 1 - alpha, and
    `inner_low`, `inner_high` at 1 - 2 alpha (None: not bounded yet). `fixed_low`, `fixed_high`: the
    t interval that would hold had this number of cooks been fixed beforehand; `price`: how many
    times wider. `p` is the smallest over all looks so far, and holds like the interval.
    """

    cooks: int
    estimate: float
    low: float | None
    high: float | None
    inner_low: float | None
    inner_high: float | None
    fixed_low: float | None
    fixed_high: float | None
    price: float | None
    p: float
    null_hypothesis: Message = NULL_HYPOTHESIS


@dataclass(frozen=True, slots=True, kw_only=True)
class Looks:
    """Every look, first to last. `first_possible`: cook days from which the interval is bounded."""

    looks: tuple[Look, ...]
    planned: int
    first_possible: int
    first_possible_inner: int
    effect_variance: float
    alpha: float
    null_hypothesis: Message
    notes: tuple[Message, ...]

    @property
    def last(self) -> Look:
        """What holds now."""
        return self.looks[-1]


def look(
    differences: Iterable[object], planned: int = 6, *, alpha: float = 0.05,
    least_variance: float = 0.0,
) -> Looks:  # fmt: skip
    """Look at cook differences after each cook day, in the order of the days.

    `planned`: number of cooks fixed before the first difference was seen; the interval is made
    narrowest there. `least_variance`: floor of the variance of a difference (rounding). Missing
    days drop out. Raises `BadNumbers` for text, for no difference and for fewer than two planned.
    """
    alpha, planned = check_alpha(alpha), _planned(planned)
    values = [v for v in (plain(each, f"differences[{i}]") for i, each in enumerate(
        listed(differences, "differences")))
              if v is not None]  # fmt: skip
    if not values:
        raise BadNumbers("There is no difference.", where="differences", allowed="one or more")
    if len(values) > MOST_DAYS:
        raise BadNumbers(f"{len(values)} differences.", where="differences",
                         allowed=f"up to {MOST_DAYS}")  # fmt: skip
    least_variance = zero_or_above(least_variance, "least_variance")
    g = effect_variance(planned, alpha)
    found: list[Look] = []
    for cooks in range(1, len(values) + 1):
        p_before = found[-1].p if found else 1.0
        found.append(_look(values[:cooks], (g, alpha, least_variance), p_before))
    first = first_possible(planned, alpha)
    notes = (
        msg("The interval holds for normal differences however often one looks."),
        msg("Before {first} cook days nothing can be decided.", first=first),
    )
    return Looks(
        looks=tuple(found), planned=planned, first_possible=first,
        first_possible_inner=_first_bounded(g, 2 * alpha), effect_variance=g, alpha=alpha,
        null_hypothesis=NULL_HYPOTHESIS, notes=notes,
    )  # fmt: skip


def _look(values: list[float], how: tuple[float, float, float], p_before: float) -> Look:
    g, alpha, least = how
    n, estimate = len(values), mean(values)
    nothing: dict[str, Any] = dict.fromkeys(
        ("low", "high", "inner_low", "inner_high", "fixed_low", "fixed_high", "price")
    )
    if n < 2:
        return Look(cooks=n, estimate=estimate, **nothing, p=p_before)
    reach = max(abs(value) for value in values)
    equal = max(values) - min(values) <= ALL_EQUAL * reach
    se = math.sqrt(max(0.0 if equal else variance(values), least) / n)
    if se == 0.0:
        return Look(cooks=n, estimate=estimate, **nothing, p=p_before)
    fixed = quantile(alpha / 2, n - 1) * se
    wide, narrow = (_multiplier(n, g, level) for level in (alpha, 2 * alpha))
    ends: dict[str, Any] = {
        "low": None if wide is None else estimate - wide * se,
        "high": None if wide is None else estimate + wide * se,
        "inner_low": None if narrow is None else estimate - narrow * se,
        "inner_high": None if narrow is None else estimate + narrow * se,
    }
    ratio = likelihood_ratio(estimate / se, n, g)
    return Look(
        cooks=n, estimate=estimate, **ends, fixed_low=estimate - fixed, fixed_high=estimate + fixed,
        price=None if wide is None else wide * se / fixed, p=min(p_before, 1 / ratio),
    )  # fmt: skip


def _planned(value: int) -> int:
    """A number of cooks planned."""
    cooks = whole(value, "planned")
    if not 2 <= cooks <= MOST_DAYS:
        raise BadNumbers(f"{cooks} cooks planned.", where="planned", allowed=f"2 to {MOST_DAYS}")
    return cooks


def _days(value: int, fewest: int) -> int:
    days = whole(value, "n")
    if days < fewest:
        raise BadNumbers(f"{days} cook days.", where="n", allowed=f"{fewest} or more")
    return days


def likelihood_ratio(t: float, n: int, g: float) -> float:
    """Ratio for an effect size of mean 0 and variance g against none, at t over n days.

    Raises `BadNumbers` unless t is a number, n 2 or more and g above 0.
    """
    n, g, t = _days(n, 2), above_zero(g, "g"), any_number(t, "t")
    df, grown = n - 1, 1 + n * g
    squeezed = math.log1p(t * t / df) - math.log1p(t * t / (df * grown))
    return math.exp(min(700.0, n / 2 * squeezed - math.log(grown) / 2))


def multiplier(n: int, g: float, alpha: float) -> float | None:
    """Half-width in standard errors after n days; None where the ratio stays below 1 / alpha.

    Raises `BadNumbers` unless n is 1 or more and g above 0.
    """
    return _multiplier(_days(n, 1), above_zero(g, "g"), check_alpha(alpha))


def _multiplier(n: int, g: float, alpha: float) -> float | None:
    df, grown = n - 1, 1 + n * g
    kept = math.exp((math.log(grown) - 2 * math.log(alpha)) / n)
    if kept >= grown:
        return None
    return math.sqrt(df * (kept - 1) / (1 - kept / grown))


def effect_variance(planned: int, alpha: float = 0.05) -> float:
    """The g that makes the interval narrowest after the planned number of cooks (2 to 2,000).

    Raises `BadNumbers`.
    """
    alpha, planned = check_alpha(alpha), _planned(planned)

    def width(log_g: float) -> float:
        found = _multiplier(planned, math.exp(log_g), alpha)
        return 1e9 - log_g if found is None else found

    # Unbounded below (1 / alpha)^(2 / (n - 1)) - 1 over n.
    least = math.log((alpha ** (-2 / (planned - 1)) - 1) / planned)
    best = optimize.minimize_scalar(
        width, bounds=(least, least + 12), method="bounded", options={"xatol": 1e-9}
    )
    return math.exp(float(best.x))


def first_possible(planned: int, alpha: float = 0.05) -> int:
    """Cook days from which the interval is bounded, so that something can be decided.

    Raises `BadNumbers` unless 2 to 2,000 cook days are planned.
    """
    alpha = check_alpha(alpha)
    return _first_bounded(effect_variance(planned, alpha), alpha)


def _first_bounded(g: float, alpha: float) -> int:
    n = 2
    while _multiplier(n, g, alpha) is None:
        n += 1
    return n

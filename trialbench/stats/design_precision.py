"""What a planned trial can show, under the policy that will judge it (6.3, 6.6, 6.10).

Given the spread s of the cooks' differences, every case of the finding is an interval of their
mean; the chances here are normal probabilities of those intervals averaged over s (chi, c - 1 df),
so they are exact for normal scatter. They speak for these tasters and leave the redraw test out,
which can only take winners away (6.5); `trial_simulation` counts both.
"""

from __future__ import annotations

import bisect
import itertools
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, fields, replace

import numpy as np
from scipy import special

from trialbench.model.message import Message, msg
from trialbench.stats import power
from trialbench.stats.mixed_reml import Array
from trialbench.stats.not_applicable import NotApplicable
from trialbench.stats.numbers import above_zero, listed, one_flag
from trialbench.stats.pairs import check_alpha
from trialbench.stats.scatter import (
    MOST_EACH,
    Scatter,
    TrialDesign,
    sd_of_cook_difference,
    sd_of_panel,
)
from trialbench.stats.settings import (
    any_number,
    count,
    counts,
    one_made,
    spread_above_zero,
    zero_or_above,
)
from trialbench.stats.simultaneous import spread_nodes
from trialbench.stats.student import noncentral_power, quantile


@dataclass(frozen=True, slots=True)
class CaseChances:
    """Chance of each case of a finding at a true `difference` (they add up to 1).

    `winner` = S (a claimed difference in the true direction or the other), `at_least_as_good`: the
    one-sided limit of the true-direction method inside -matters.
    """

    difference: float
    better_enough: float
    better_size_open: float
    better_too_little: float
    no_difference_that_matters: float
    not_settled: float
    winner: float
    at_least_as_good: float


@dataclass(frozen=True, slots=True)
class Precision:
    """What a design shows, in the outcome's units.

    `half_width`: expected half of the interval for these tasters; `panel_half_width`: the same for
    other tasters like them (None under three); `smallest_difference`: found 8 times in 10;
    `chance_of_winner` at a true difference of `matters`; `chance_of_equality` and
    `chance_at_least_as_good` where nothing differs; `equality_possible`: whether the interval is
    expected to fit inside `matters` at all.
    """

    design: TrialDesign
    sd: float
    half_width: float
    panel_half_width: float | None
    smallest_difference: float
    chance_of_winner: float
    chance_of_equality: float
    chance_at_least_as_good: float
    equality_possible: bool
    matters: float
    alpha: float
    null_hypothesis: Message


def case_chances(
    difference: float, cooks: int, sd: float, matters: float, alpha: float = 0.05
) -> CaseChances:
    """Chances of the five cases with `cooks` >= 2 and sd(D) = `sd` > 0. Raises `BadNumbers`."""
    cooks, difference = power.check_cooks(cooks), any_number(difference, "difference")
    sd, matters = spread_above_zero(sd, "sd"), above_zero(matters, "matters")
    return _case_chances(difference, cooks, sd, matters, check_alpha(alpha))


def _case_chances(
    difference: float, cooks: int, sd: float, matters: float, alpha: float
) -> CaseChances:
    spread, weights = spread_nodes(float(cooks - 1))
    se = sd / math.sqrt(cooks)
    wide = quantile(alpha / 2.0, cooks - 1) * spread * se
    narrow = quantile(alpha, cooks - 1) * spread * se
    inner = matters - narrow

    def inside(limit: Array) -> Array:
        """Chance that the mean lies within +-limit (0 where limit is below 0), given s."""
        up, down = (limit - difference) / se, (-limit - difference) / se
        return np.where(limit > 0.0, special.ndtr(up) - special.ndtr(down), 0.0)

    equal, claimed, enough = inside(inner), 1.0 - inside(wide), 1.0 - inside(matters + wide)
    both = np.maximum(equal - inside(np.minimum(inner, wide)), 0.0)
    as_good = special.ndtr((difference + matters - narrow) / se)
    parts = np.array([enough, claimed - enough - both, both, equal - both, claimed, as_good])
    m, open_size, little, same, s, good = np.maximum(parts @ weights, 0.0).tolist()
    settled = m + open_size + little + same
    return CaseChances(difference, m, open_size, little, same, max(0.0, 1.0 - settled), s, good)


def precision(
    design: TrialDesign,
    scatter: Scatter,
    matters: float,
    *,
    alpha: float = 0.05,
    wanted: float = power.POWER,
) -> Precision | NotApplicable:
    """What `design` can show with this scatter. `NotApplicable` with one cook or no scatter.

    Raises `BadNumbers` for `matters` not above 0, alpha or wanted out of range.
    """
    design, scatter = one_made(design, TrialDesign, "design"), one_made(scatter, Scatter, "scatter")
    alpha, matters = check_alpha(alpha), above_zero(matters, "matters")
    wanted = power.check_wanted(wanted, alpha)
    sd = sd_of_cook_difference(scatter, design)
    if design.cooks < 2:
        return NotApplicable(
            msg("One cook day speaks for that day only: nothing to plan over cooks.")
        )
    if sd == 0.0:
        return NotApplicable(msg("No scatter is given: every trial would settle it."))
    equal = _case_chances(0.0, design.cooks, sd, matters, alpha)
    return Precision(
        design=design,
        sd=sd,
        half_width=_expected_half_width(design.cooks, sd, alpha),
        panel_half_width=_panel_half_width(design, scatter, sd, alpha),
        smallest_difference=power.smallest_difference(design.cooks, sd, alpha, wanted),
        chance_of_winner=power.power(design.cooks, matters, sd, alpha),
        chance_of_equality=equal.no_difference_that_matters + equal.better_too_little,
        chance_at_least_as_good=equal.at_least_as_good,
        equality_possible=power.equality_multiplier(design.cooks, alpha) * sd < matters,
        matters=matters,
        alpha=alpha,
        null_hypothesis=msg("Over many cooks the mean of a - b is 0."),
    )


def power_picture(
    sd: float,
    differences: Iterable[float],
    cooks: Sequence[int] = range(2, 13),
    alpha: float = 0.05,
) -> dict[int, tuple[float, ...]]:
    """Power at each true difference, by number of cooks: the lines of the power picture.

    `sd` > 0 of the cooks' differences. Raises `BadNumbers`.
    """
    sd, alpha = spread_above_zero(sd, "sd"), check_alpha(alpha)
    given = [any_number(each, "differences") for each in listed(differences, "differences")]
    sizes = np.abs(np.array(given, dtype=float))
    found = {}
    for c in counts(cooks, "cooks", 2, power.MOST_DAYS):
        limit, shift = quantile(alpha / 2.0, c - 1), sizes * math.sqrt(c) / sd
        found[c] = tuple(noncentral_power(limit, c - 1, shift).tolist())
    return found


@dataclass(frozen=True, slots=True)
class Prices:
    """Price of a cook day, of one piece, and of one taster on one day (any one currency).

    Each 0 or above. Raises `BadNumbers`.
    """

    cook_day: float
    piece: float
    taster: float = 0.0

    def __post_init__(self) -> None:
        for each in fields(self):
            price = zero_or_above(getattr(self, each.name), each.name)
            object.__setattr__(self, each.name, price)

    def of(self, design: TrialDesign, methods: int = 2) -> float:
        """Price of a whole trial."""
        one_made(design, TrialDesign, "design")
        methods = count(methods, "methods", 1, MOST_EACH)
        per_day = self.cook_day + methods * design.units * self.piece + design.tasters * self.taster
        return design.cooks * per_day


@dataclass(frozen=True, slots=True)
class PricedDesign:
    """A design with its price and the chance it reaches."""

    design: TrialDesign
    price: float
    chance: float


def cheapest_designs(
    scatter: Scatter,
    prices: Prices,
    difference: float,
    *,
    units: Sequence[int] = (1, 2, 3, 4),
    tasters: Sequence[int] = (2, 3, 4, 6, 8, 12),
    servings: int = 1,
    equality: bool = False,
    alpha: float = 0.05,
    wanted: float = power.POWER,
    most_cooks: int = power.MOST_COOKS,
) -> tuple[PricedDesign, ...] | NotApplicable:
    """Designs that reach `wanted`, cheapest first (one per number of units and tasters).

    The chance is that of a winner at a true `difference`, or with `equality` that of showing no
    difference that matters (`difference` then being what matters) where nothing differs.
    `NotApplicable` where none does within `most_cooks`. Raises `BadNumbers`.
    """
    scatter, prices = one_made(scatter, Scatter, "scatter"), one_made(prices, Prices, "prices")
    alpha, difference = check_alpha(alpha), above_zero(difference, "difference")
    equality, wanted = one_flag(equality, "equality"), power.check_wanted(wanted, alpha)
    most_cooks = count(most_cooks, "most_cooks", 0, power.MOST_DAYS)

    def chance(design: TrialDesign) -> float:
        sd = sd_of_cook_difference(scatter, design)
        if sd == 0.0:
            return 1.0
        if not equality:
            return power.power(design.cooks, difference, sd, alpha)
        same = _case_chances(0.0, design.cooks, sd, difference, alpha)
        return same.no_difference_that_matters + same.better_too_little

    found = []
    of_units = counts(units, "units", 1, MOST_EACH)
    for u, t in itertools.product(of_units, counts(tasters, "tasters", 0, MOST_EACH)):
        own = TrialDesign(cooks=2, units=u, tasters=t, servings=servings)
        several = range(2, most_cooks + 1)
        first = bisect.bisect_left(several, wanted, key=lambda c: chance(replace(own, cooks=c)))
        if first < len(several):
            design = replace(own, cooks=several[first])
            found.append(PricedDesign(design, prices.of(design), chance(design)))
    if not found:
        return NotApplicable(msg("No design within {most} cook days reaches it.", most=most_cooks))
    return tuple(sorted(found, key=lambda each: (each.price, each.design.cooks)))


def _expected_half_width(cooks: int, sd: float, alpha: float) -> float:
    """t times the mean of s (the spread of few cooks is on average smaller than sd)."""
    df = cooks - 1
    shrink = math.sqrt(2.0 / df) * math.exp(math.lgamma((df + 1) / 2) - math.lgamma(df / 2))
    return quantile(alpha / 2.0, df) * shrink * sd / math.sqrt(cooks)


def _panel_half_width(
    design: TrialDesign, scatter: Scatter, sd: float, alpha: float
) -> float | None:
    """As the joined interval of 6.3, at the parts' expected squares."""
    if design.tasters < 3:
        return None
    c, t = design.cooks, design.tasters
    single = 2.0 * scatter.score**2 / (design.units * design.servings)
    of_cooks = quantile(alpha / 2.0, c - 1) ** 2 * sd**2 / c
    between = sd_of_panel(scatter, design) ** 2 + single / (c * t)
    of_tasters = quantile(alpha / 2.0, t - 1) ** 2 * between
    twice = quantile(alpha / 2.0, (c - 1) * (t - 1)) ** 2 * single / (c * t)
    return math.sqrt(max(of_cooks, of_tasters, of_cooks + of_tasters - twice))

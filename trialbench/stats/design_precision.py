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
from dataclasses import dataclass

import numpy as np
from scipy import special

from trialbench.model.message import Message, msg
from trialbench.stats import power
from trialbench.stats.mixed_reml import Array
from trialbench.stats.not_applicable import NotApplicable
from trialbench.stats.numbers import BadNumbers
from trialbench.stats.pairs import check_alpha, check_matters
from trialbench.stats.scatter import Scatter, TrialDesign, sd_of_cook_difference, sd_of_panel
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
    _check(cooks, sd, matters, alpha)
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
    check_alpha(alpha)
    check_matters(matters)
    _check_wanted(wanted, alpha)
    sd = sd_of_cook_difference(scatter, design)
    if design.cooks < 2:
        return NotApplicable(
            msg("One cook day speaks for that day only: nothing to plan over cooks.")
        )
    if sd == 0.0:
        return NotApplicable(msg("No scatter is given: every trial would settle it."))
    equal = case_chances(0.0, design.cooks, sd, matters, alpha)
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
    """Power at each true difference, by number of cooks: the lines of the power picture."""
    sizes = np.abs(np.asarray(list(differences), dtype=float))
    found = {}
    for c in cooks:
        _check(c, sd, 1.0, alpha)
        limit, shift = quantile(alpha / 2.0, c - 1), sizes * math.sqrt(c) / sd
        found[c] = tuple(noncentral_power(limit, c - 1, shift).tolist())
    return found


@dataclass(frozen=True, slots=True)
class Prices:
    """Price of a cook day, of one piece, and of one taster on one day (any one currency)."""

    cook_day: float
    piece: float
    taster: float = 0.0

    def of(self, design: TrialDesign, methods: int = 2) -> float:
        """Price of a whole trial."""
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
    check_alpha(alpha)
    check_matters(difference)
    _check_wanted(wanted, alpha)

    def chance(design: TrialDesign) -> float:
        sd = sd_of_cook_difference(scatter, design)
        if sd == 0.0:
            return 1.0
        if not equality:
            return power.power(design.cooks, difference, sd, alpha)
        same = case_chances(0.0, design.cooks, sd, difference, alpha)
        return same.no_difference_that_matters + same.better_too_little

    found = []
    for u, t in itertools.product(units, tasters):
        several = [
            TrialDesign(cooks=c, units=u, tasters=t, servings=servings)
            for c in range(2, most_cooks + 1)
        ]
        first = bisect.bisect_left(several, wanted, key=chance)
        if first < len(several):
            design = several[first]
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


def _check(cooks: int, sd: float, matters: float, alpha: float) -> None:
    check_alpha(alpha)
    check_matters(matters)
    if cooks != int(cooks) or cooks < 2:
        raise BadNumbers(f"{cooks} cooks give no spread.", where="cooks", allowed="2 or more")
    if not (sd > 0.0 and math.isfinite(sd)):
        raise BadNumbers(f"A spread of {sd:g}.", where="sd", allowed="above 0")


def _check_wanted(wanted: float, alpha: float) -> None:
    if not alpha < wanted < 1.0:
        raise BadNumbers(f"A chance of {wanted:g}.", where="wanted", allowed="above alpha, below 1")

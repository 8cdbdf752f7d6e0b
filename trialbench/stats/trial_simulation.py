"""Trials drawn from given scatter, judged by the policy: power beyond closed forms.

Rounding and ends of the scale, missing tasters, skewed cook days, the claim for other tasters.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, fields

import numpy as np

from trialbench.model.message import Message, msg
from trialbench.stats import settings
from trialbench.stats.many_trials import (
    Bools,
    ManyCases,
    ManyTrials,
    many_trials,
    rate,
    redraw_speaks,
    redraws_below,
)
from trialbench.stats.mixed_reml import Array
from trialbench.stats.not_applicable import NotApplicable
from trialbench.stats.numbers import BadNumbers, above_zero, one_flag, one_number
from trialbench.stats.pairs import check_alpha
from trialbench.stats.scatter import Scatter, TrialDesign
from trialbench.stats.settings import any_number, count, one_made

_CHUNK = 4_000
_TOGETHER = 500
_MOST_STEPS = 1e9
_MOST_TRIALS = 10_000_000
_MOST_SCORES = 5_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Rounding:
    """A scale with ends and steps (1 to 9 by 1) and where on it the methods' mean lies.

    Raises `BadNumbers` unless low < high and 0 < step <= high - low.
    """

    low: float
    high: float
    step: float
    middle: float

    def __post_init__(self) -> None:
        for each in fields(self):
            number = any_number(getattr(self, each.name), each.name)
            object.__setattr__(self, each.name, number)
        width = self.high - self.low
        if not (width > 0.0 and width / _MOST_STEPS <= self.step <= width):
            raise BadNumbers(
                f"A scale from {self.low:g} to {self.high:g} by {self.step:g}.",
                where="scale",
                allowed="low below high, a step above 0 that the scale holds",
            )

    def apply(self, scores: Array) -> Array:
        """Scores as they would be written down."""
        near = np.round((scores - self.low) / self.step) * self.step + self.low
        return np.clip(near, self.low, self.high)


@dataclass(frozen=True, slots=True)
class Drawn:
    """Trials as drawn.

    `differences` (trials, cooks, tasters); `own` (trials, tasters): what each taster's true
    difference has beyond the common one; `unit_means` (trials, cooks, 2, units): means over the
    tasters, on a scale with steps only.
    """

    differences: Array
    own: Array
    unit_means: Array | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Kitchen:
    """How trials are drawn. `missing`: chance that a taster misses a day; `skewed`: cook days'
    advantages from an exponential instead of a normal (same sd, skewness 2).

    Raises `BadNumbers`.
    """

    design: TrialDesign
    scatter: Scatter
    scale: Rounding | None = None
    missing: float = 0.0
    skewed: bool = False

    def __post_init__(self) -> None:
        one_made(self.design, TrialDesign, "design")
        one_made(self.scatter, Scatter, "scatter")
        if self.scale is not None:
            one_made(self.scale, Rounding, "scale")
        object.__setattr__(self, "skewed", one_flag(self.skewed, "skewed"))
        object.__setattr__(self, "missing", one_number(self.missing, "missing", "0 to 0.9"))
        if not 0.0 <= self.missing <= 0.9:
            raise BadNumbers(
                f"A share of {self.missing:g} missing.", where="missing", allowed="0 to 0.9"
            )

    @property
    def step(self) -> float:
        """Step of the scale, 0 without one."""
        return self.scale.step if self.scale else 0.0

    def attendance(self, lot: np.random.Generator) -> Bools:
        """(cooks, tasters): who is there; never fewer than two cooks with somebody."""
        shape = (self.design.cooks, max(1, self.design.tasters))
        while True:
            there = lot.random(shape) >= self.missing
            if there.any(axis=1).sum() >= min(2, self.design.cooks):
                return there

    def draw(
        self, lot: np.random.Generator, trials: int, difference: float, by_unit: bool = False
    ) -> Drawn:
        """Trials with this true difference; `unit_means` on a scale with steps or `by_unit`."""
        tastes = math.sqrt(2.0) * self.scatter.taster_method
        own = tastes * lot.standard_normal((trials, max(1, self.design.tasters)))
        if self.scale is None and not by_unit:
            return Drawn(self._plain(lot, difference + own), own)
        scores = self._by_unit(lot, difference + own)
        differences = scores[:, :, :, 0].mean(axis=3) - scores[:, :, :, 1].mean(axis=3)
        return Drawn(differences, own, scores.mean(axis=2))

    def _days(self, lot: np.random.Generator, trials: int) -> Array:
        shape = (trials, self.design.cooks)
        sd = math.sqrt(2.0) * self.scatter.cook_method
        if self.skewed:
            return sd * (lot.standard_exponential(shape) - 1.0)
        return sd * lot.standard_normal(shape)

    def _plain(self, lot: np.random.Generator, true: Array) -> Array:
        trials, tasters = true.shape
        days = self._days(lot, trials)
        unit = math.sqrt(2.0 / self.design.units) * self.scatter.unit
        days += unit * lot.standard_normal(days.shape)
        each = math.sqrt(2.0 / (self.design.units * self.design.servings)) * self.scatter.score
        noise = each * lot.standard_normal((trials, self.design.cooks, tasters))
        return true[:, None, :] + days[:, :, None] + noise

    def _by_unit(self, lot: np.random.Generator, true: Array) -> Array:
        """Every single score drawn, written down if there is a scale, servings then averaged:
        (trials, cooks, tasters, 2, units)."""
        trials, tasters = true.shape
        c, u, s = self.design.cooks, self.design.units, self.design.servings

        def normal(sd: float, *shape: int) -> Array:
            return sd * lot.standard_normal((trials, *shape)) if sd else np.zeros((trials, *shape))

        day = normal(self.scatter.cook, c)[:, :, None] + normal(
            self.scatter.taster_cook, c, tasters
        )
        shared = (
            (self.scale.middle if self.scale else 0.0)
            + day
            + normal(self.scatter.taster, tasters)[:, None, :]
        )
        half = 0.5 * (true[:, None, :] + self._days(lot, trials)[:, :, None])
        means = []
        for sign in (1.0, -1.0):
            units = normal(self.scatter.unit, c, 1, u, 1)
            noise = normal(self.scatter.score, c, tasters, u, s)
            scores = (shared + sign * half)[..., None, None] + units + noise
            down = self.scale.apply(scores) if self.scale else scores
            means.append(down.mean(axis=4))
        return np.stack(means, axis=3)


@dataclass(frozen=True, slots=True)
class SimulatedTrials:
    """Shares of trials, each with its Monte Carlo standard error as (share, error).

    `winner`: for these tasters; `winner_others`: the interval for others like them excludes 0 too
    (None under three tasters); `enough`, `equal`: M and E of 6.6; `half_width`: mean half-width.
    Where `redraw` is True the redraw test had its say (6.5) and took winners away.
    """

    difference: float
    matters: float
    alpha: float
    winner: tuple[float, float]
    winner_others: tuple[float, float] | None
    enough: tuple[float, float]
    equal: tuple[float, float]
    half_width: float
    redraw: bool
    trials: int
    lot_number: int
    null_hypothesis: Message


def simulate_trials(
    kitchen: Kitchen,
    difference: float,
    matters: float,
    *,
    lot_number: int,
    trials: int = 20_000,
    alpha: float = 0.05,
    redraw: bool = True,
) -> SimulatedTrials | NotApplicable:
    """Draw `trials` trials with this true difference and judge each by the policy.

    `redraw=False` leaves the redraw test out (it never speaks where a taster missed a day).
    The same lot number gives the same shares. `NotApplicable` with fewer than two cooks.
    Raises `BadNumbers` for alpha, matters or trials out of range.
    """
    design = _small_enough(one_made(kitchen, Kitchen, "kitchen").design)
    difference, matters = any_number(difference, "difference"), above_zero(matters, "matters")
    alpha, trials = check_alpha(alpha), count(trials, "trials", 1, _MOST_TRIALS)
    lot_number, redraw = settings.lot(lot_number), one_flag(redraw, "redraw")
    if design.cooks < 2:
        return NotApplicable(msg("One cook day speaks for that day only."))
    lot = np.random.default_rng(lot_number)
    redraw = redraw and not kitchen.missing and redraw_speaks(design.cooks, design.units, alpha)
    parts = []
    for start in range(0, trials, _CHUNK):
        there = kitchen.attendance(lot)
        drawn = kitchen.draw(lot, min(_CHUNK, trials - start), difference, redraw)
        found = many_trials(drawn.differences, there, kitchen.step)
        parts.append(_judged(found, matters, alpha, drawn.unit_means if redraw else None, lot))
    claimed, enough, equal, others, widths = map(np.concatenate, zip(*parts, strict=True))
    panel = design.tasters >= 3 and len(others) == len(claimed)
    return SimulatedTrials(
        difference=difference,
        matters=matters,
        alpha=alpha,
        winner=rate(claimed),
        winner_others=rate(others) if panel else None,
        enough=rate(enough),
        equal=rate(equal),
        half_width=float(widths.mean()),
        redraw=redraw,
        trials=trials,
        lot_number=lot_number,
        null_hypothesis=msg("Over many cooks the mean of a - b is 0."),
    )


def _small_enough(design: TrialDesign) -> TrialDesign:
    """Raise `BadNumbers` for a design whose trials would not fit the memory."""
    if design.cooks * design.scores_per_cook > _MOST_SCORES:
        raise BadNumbers(
            f"{design.cooks * design.scores_per_cook:,} scores of each method in a trial.",
            where="kitchen",
            allowed=f"a design of up to {_MOST_SCORES:,} scores of each method",
        )
    return design


def _judged(
    found: ManyTrials,
    matters: float,
    alpha: float,
    unit_means: Array | None,
    lot: np.random.Generator,
) -> tuple[Array | Bools, ...]:
    """S, M, E, "excluded for others too" (empty under three tasters) and the half-width."""
    wide = found.these(alpha)
    cases = ManyCases.of(found.estimate, wide, found.these(2.0 * alpha), matters)
    claimed = cases.claimed.copy()
    if unit_means is not None:
        places = np.flatnonzero(claimed)
        for part in np.array_split(places, 1 + len(places) // _TOGETHER):
            if part.size:
                claimed[part] = redraws_below(unit_means[part], alpha, lot)
    panel = found.others(alpha)
    others: Bools = np.zeros(0, dtype=np.bool_)
    if panel is not None:
        others = claimed & (np.abs(found.estimate) > panel)
    return claimed, cases.enough & claimed, cases.equal, others, wide

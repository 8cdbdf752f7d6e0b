"""The policy's formulas (6.3, 6.6) on many trials at once, for planning and for calibration.

Differences have shape (trials, cooks, tasters); all trials of one call share the pattern of what is
there, (cooks, tasters) of bool. Results equal those of `over_cooks` trial by trial.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from trialbench.stats.mixed_reml import Array
from trialbench.stats.student import quantile

Bools = npt.NDArray[np.bool_]

_MOST_ASSIGNMENTS = 20_000
_MOST_OF_A_DAY = 200_000


@dataclass(frozen=True, slots=True)
class Scaled:
    """A standard error in each trial (trials,), with its df."""

    scale: Array
    df: int

    def squared(self, alpha: float) -> Array:
        """Squared half-width at level 1 - alpha."""
        return (quantile(alpha / 2.0, self.df) * self.scale) ** 2


@dataclass(frozen=True, slots=True)
class ManyTrials:
    """Estimate and the parts of both intervals in each trial; `tasters` None under three."""

    estimate: Array
    cooks: Scaled
    tasters: Scaled | None
    overlap: Scaled | None

    def these(self, alpha: float) -> Array:
        """Half-width for these tasters at level 1 - alpha."""
        return np.sqrt(self.cooks.squared(alpha))

    def others(self, alpha: float) -> Array | None:
        """Half-width for others like them; None under three tasters."""
        if self.tasters is None:
            return None
        of_cooks, of_tasters = self.cooks.squared(alpha), self.tasters.squared(alpha)
        twice = self.overlap.squared(alpha) if self.overlap is not None else 0.0
        return np.sqrt(np.maximum(np.maximum(of_cooks, of_tasters), of_cooks + of_tasters - twice))


@dataclass(frozen=True, slots=True)
class ManyCases:
    """In which trials the interval excludes 0, lies beyond d, lies inside d (6.6): S, M, E."""

    claimed: Bools
    enough: Bools
    equal: Bools

    @staticmethod
    def of(estimate: Array, wide: Array, narrow: Array, matters: float) -> ManyCases:
        """From half-widths at levels 1 - alpha (`wide`) and 1 - 2 alpha (`narrow`)."""
        size = np.abs(estimate)
        return ManyCases(size > wide, size - wide >= matters, size + narrow < matters)


def many_trials(differences: Array, there: Bools | None = None, step: float = 0.0) -> ManyTrials:
    """Section 6.3 on differences a - b; `step` as for `over_cooks` (0: no rounding floor).

    Cooks and tasters without any difference drop out. Needs two cooks with one.
    """
    if there is None:
        there = np.ones(differences.shape[1:], dtype=np.bool_)
    keep_cooks, keep_tasters = there.any(axis=1), there.any(axis=0)
    there = there[keep_cooks][:, keep_tasters]
    values = np.where(there, differences[:, keep_cooks][:, :, keep_tasters], 0.0)
    per_cook, per_taster = there.sum(axis=1), there.sum(axis=0)
    c, t = there.shape
    days = values.sum(axis=2) / per_cook
    cooks = Scaled(_standard_error(days, _floor(step, per_cook), 1.0 / c), c - 1)
    tasters = overlap = None
    if t >= 3:
        shares = (there / (c * per_cook[:, None])).sum(axis=0)
        own = values.sum(axis=1) / per_taster
        floor = _floor(step, per_taster)
        tasters = Scaled(_standard_error(own, floor, float((shares**2).sum())), t - 1)
        overlap = _overlap(values, there, float((1.0 / (c * c * per_cook)).sum()))
    return ManyTrials(days.mean(axis=1), cooks, tasters, overlap)


def _floor(step: float, counts: npt.NDArray[np.intp]) -> float:
    return float(np.mean(step**2 / (6.0 * counts)))


def _standard_error(values: Array, floor: float, share: float) -> Array:
    spread = np.maximum(values.var(axis=1, ddof=1), floor)
    return np.asarray(np.sqrt(spread * share))


def _overlap(values: Array, there: Bools, cells: float) -> Scaled | None:
    """What the additive cook + taster table leaves, as the standard error h_E is made from."""
    c, t = there.shape
    if there.all():
        df = (c - 1) * (t - 1)
        rest = values - values.mean(axis=1, keepdims=True) - values.mean(axis=2, keepdims=True)
        squares = ((rest + values.mean(axis=(1, 2), keepdims=True)) ** 2).sum(axis=(1, 2))
        return Scaled(np.sqrt(squares / df * cells), df) if df else None
    rows, columns = np.nonzero(there)
    design = np.zeros((len(rows), c + t))
    design[np.arange(len(rows)), rows] = 1.0
    design[np.arange(len(rows)), c + columns] = 1.0
    left, sizes, _ = np.linalg.svd(design, full_matrices=False)
    basis = left[:, sizes > 1e-9]
    df = len(rows) - basis.shape[1]
    seen = values[:, rows, columns]
    squares = (seen**2).sum(axis=1) - ((seen @ basis) ** 2).sum(axis=1)
    return Scaled(np.sqrt(np.maximum(squares, 0.0) / df * cells), df) if df else None


def redraw_speaks(cooks: int, units: int, alpha: float) -> bool:
    """Whether the redraw test's floor, 2 / C(2u, u)^c, is at most alpha / 3 (policy 6.5)."""
    return cooks * math.log(math.comb(2 * units, units)) >= math.log(6.0 / alpha) - 1e-12


def redraws_below(
    unit_means: Array, alpha: float, lot: np.random.Generator, draws: int = 2_000
) -> Bools:
    """In which trials the redraw test among the units of each cook reaches alpha: (trials,).

    `unit_means` (trials, cooks, 2, units) of A and of B. Every assignment is gone through up to
    20,000, above that `draws` are drawn from `lot` and p = (hits + 1) / (draws + 1).
    """
    trials, cooks, _, units = unit_means.shape
    pooled = unit_means.reshape(trials, cooks, 2 * units)
    if math.comb(2 * units, units) > _MOST_OF_A_DAY:
        return _sampled_below(pooled, alpha, lot, draws)
    signs = np.full((math.comb(2 * units, units), 2 * units), -1.0 / units)
    for row, chosen in enumerate(itertools.combinations(range(2 * units), units)):
        signs[row, list(chosen)] = 1.0 / units
    days = pooled @ signs.T
    seen = np.abs(days[:, :, 0].sum(axis=1))[:, None] * (1.0 - 1e-12) - 1e-9
    whole = len(signs) ** cooks
    if whole <= _MOST_ASSIGNMENTS:
        sums = days[:, 0]
        for day in range(1, cooks):
            sums = (sums[:, :, None] + days[:, day, None, :]).reshape(trials, -1)
        return np.asarray((np.abs(sums) >= seen).sum(axis=1) / whole <= alpha + 1e-12)
    sums = np.zeros((trials, draws))
    for day in range(cooks):
        sums += days[:, day][:, lot.integers(len(signs), size=draws)]
    hits = (np.abs(sums) >= seen).sum(axis=1)
    return np.asarray((hits + 1) / (draws + 1) <= alpha)


def _sampled_below(pooled: Array, alpha: float, lot: np.random.Generator, draws: int) -> Bools:
    """As `redraws_below` from `draws` assignments where a single day has too many to list."""
    trials, cooks, pieces = pooled.shape
    half = np.where(np.arange(pieces) < pieces // 2, 2.0 / pieces, -2.0 / pieces)
    seen = np.abs((pooled @ half).sum(axis=1))[:, None] * (1.0 - 1e-12) - 1e-9
    sums = np.zeros((trials, draws))
    for day in range(cooks):
        sums += pooled[:, day] @ lot.permuted(np.tile(half, (draws, 1)), axis=1).T
    hits = (np.abs(sums) >= seen).sum(axis=1)
    return np.asarray((hits + 1) / (draws + 1) <= alpha)


def rate(hits: Bools) -> tuple[float, float]:
    """Share of true values and its Monte Carlo standard error."""
    share = float(hits.mean())
    return share, math.sqrt(share * (1.0 - share) / hits.size)

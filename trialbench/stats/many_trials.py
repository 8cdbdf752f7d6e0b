"""The policy's formulas (6.3, 6.6) on many trials at once, for planning and for calibration.

Differences have shape (trials, cooks, tasters); all trials of one call share the pattern of what is
there, (cooks, tasters) of bool. Results equal those of `over_cooks` trial by trial.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from trialbench.stats.mixed_reml import Array
from trialbench.stats.student import quantile

Bools = npt.NDArray[np.bool_]


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


def flips_below(days: Array, alpha: float) -> Bools:
    """Whether the redraw test of one pair a cook (all 2^c signs) reaches alpha: (trials, c) in."""
    trials, c = days.shape
    signs = 1.0 - 2.0 * ((np.arange(2 ** (c - 1))[:, None] >> np.arange(c)) & 1)
    seen = np.abs(days.sum(axis=1))
    hits = np.zeros(trials, dtype=np.intp)
    for row in signs:
        total = np.abs(days @ row)
        hits += total >= seen - 1e-9 * np.maximum(seen, 1.0)
    return np.asarray(hits / 2 ** (c - 1) <= alpha + 1e-12)


def rate(hits: Bools) -> tuple[float, float]:
    """Share of true values and its Monte Carlo standard error."""
    share = float(hits.mean())
    return share, math.sqrt(share * (1.0 - share) / hits.size)

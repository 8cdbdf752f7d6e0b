"""Rates of one cell: how often each claim of the policy is false, and how often it is made."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass

import numpy as np
from scipy import stats

from tests.calibration.cells import Cell
from trialbench.stats.many_trials import (
    ManyCases,
    many_trials,
    redraw_speaks,
    redraws_below,
)
from trialbench.stats.scatter import sd_of_cook_difference
from trialbench.stats.student import quantile
from trialbench.stats.trial_simulation import Drawn

ALPHA = 0.05
CHUNK = 10_000
NOMINAL = {
    "false winner": ALPHA,
    "false winner, others": ALPHA,
    "false equality": ALPHA,
    "false enough": ALPHA / 2,
    "false at least as good": ALPHA,
    "any false headline": ALPHA,
}
"""Highest rate that each claim may have; the other rates have no limit."""
LOWER_LIMIT = 0.001


@dataclass(frozen=True)
class Rates:
    """By claim: in how many trials it was made, and in how many it could have been."""

    counts: dict[str, tuple[int, int]]

    @staticmethod
    def summed(parts: Iterable[dict[str, np.ndarray]]) -> Rates:
        """From arrays of hits, several parts of one cell."""
        counts: dict[str, tuple[int, int]] = {}
        for part in parts:
            for name, hits in part.items():
                made, trials = counts.get(name, (0, 0))
                counts[name] = made + int(hits.sum()), trials + len(hits)
        return Rates(counts)

    def share(self, name: str) -> float:
        made, trials = self.counts[name]
        return made / trials

    def lower(self, name: str) -> float:
        """99.9 % lower limit of the rate (exact binomial)."""
        made, trials = self.counts[name]
        return stats.beta.ppf(LOWER_LIMIT, made, trials - made + 1) if made else 0.0

    def exceeding(self, factor: float = 1.0) -> list[str]:
        """Claims whose rate is shown to exceed `factor` times what is nominal."""
        return [
            name
            for name, most in NOMINAL.items()
            if name in self.counts and self.lower(name) > factor * most
        ]


def matters_for(cell: Cell) -> float:
    """A smallest difference that matters which equality can be shown for: three half-widths."""
    c = cell.kitchen.design.cooks
    sd = sd_of_cook_difference(cell.kitchen.scatter, cell.kitchen.design)
    return 3.0 * quantile(ALPHA, c - 1) * max(sd, 0.1) / math.sqrt(c)


def rates(cell: Cell, lot_number: int, trials: int) -> Rates:
    """Draw the cell's trials at a true difference of 0 and read all claims off them.

    A written-down scale is not moved: there only claims at a true difference of 0 are counted.
    """
    lot = np.random.default_rng(lot_number)
    starts = range(0, trials, CHUNK)
    return Rates.summed(_chunk(cell, lot, min(CHUNK, trials - start)) for start in starts)


def _chunk(cell: Cell, lot: np.random.Generator, trials: int) -> dict[str, np.ndarray]:
    kitchen = cell.kitchen
    there = kitchen.attendance(lot)
    drawn = kitchen.draw(lot, trials, 0.0)
    found = many_trials(drawn.differences, there, kitchen.step)
    # What is true of these tasters: their own differences, weighed as the estimate weighs them.
    days = there.any(axis=1)
    weights = (there[days] / there[days].sum(axis=1, keepdims=True)).mean(axis=0)
    true = drawn.own @ weights
    estimate = found.estimate - true
    wide, narrow = found.these(ALPHA), found.these(2 * ALPHA)
    redrawn = _redrawn(cell, drawn, true, lot) if there.all() else None
    hits = {"false winner": _claimed(estimate, wide, 0.0, redrawn)}
    others = found.others(ALPHA)
    if others is not None:
        hits["false winner, others"] = np.abs(found.estimate) > others
    if kitchen.scale is None:
        hits |= _moved(estimate, wide, narrow, matters_for(cell))
        hits["power at 1"] = _claimed(estimate + 1.0, wide, 1.0, redrawn)
    return hits


def _redrawn(
    cell: Cell, drawn: Drawn, true: np.ndarray, lot: np.random.Generator
) -> Callable[[np.ndarray, float], np.ndarray] | None:
    """The redraw test at some of the trials with the difference moved; None where it is silent.

    Several units a day are only drawn one by one on a scale with steps; elsewhere t is exact.
    """
    design = cell.kitchen.design
    if not redraw_speaks(design.cooks, design.units, ALPHA):
        return None
    means = drawn.unit_means
    if means is None and design.units == 1:
        days = drawn.differences.mean(axis=2) - true[:, None]
        means = np.stack([days, np.zeros_like(days)], axis=2)[..., None]
    if means is None:
        return None

    def speaks(places: np.ndarray, moved: float) -> np.ndarray:
        own = means[places].copy()
        own[:, :, 0] += moved
        return redraws_below(own, ALPHA, lot)

    return speaks


def _claimed(
    estimate: np.ndarray, wide: np.ndarray, moved: float, redrawn: Callable | None
) -> np.ndarray:
    """S as the finding words it: the interval excludes 0 and the redraw test does not object."""
    claimed = np.abs(estimate) > wide
    if redrawn is not None:
        places = np.flatnonzero(claimed)
        for part in np.array_split(places, 1 + len(places) // 500):
            claimed[part] = redrawn(part, moved)
    return claimed


def _moved(
    estimate: np.ndarray, wide: np.ndarray, narrow: np.ndarray, d: float
) -> dict[str, np.ndarray]:
    """Claims where the true difference is d: equality is false, "by enough" only just true."""
    at_d = ManyCases.of(estimate + d, wide, narrow, d)
    wrong_way = estimate + d < -wide
    return {
        "false equality": at_d.equal,
        "false enough": at_d.enough,
        "false at least as good": estimate - d - narrow >= -d,
        "any false headline": at_d.equal | at_d.enough & (estimate + d < 0) | wrong_way,
        "equality shown": ManyCases.of(estimate, wide, narrow, d).equal,
    }

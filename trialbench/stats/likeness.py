"""Half-widths at any level, and the interval for others like these tasters."""

from __future__ import annotations

import math
from dataclasses import dataclass

from trialbench.stats.student import quantile, two_sided_p


@dataclass(frozen=True, slots=True)
class Spread:
    """A standard error with its degrees of freedom: half-width(alpha) = t(alpha / 2, df) scale."""

    scale: float
    df: int

    def half_width(self, alpha: float) -> float:
        """Half of the two-sided interval at level 1 - alpha."""
        return quantile(alpha / 2, self.df) * self.scale

    def level_at(self, distance: float) -> float:
        """The alpha at which the half-width is `distance` (the two-sided p of that distance)."""
        if self.scale == 0.0:
            return 1.0 if distance == 0.0 else 0.0
        return two_sided_p(distance / self.scale, self.df)


@dataclass(frozen=True, slots=True)
class OthersInterval:
    """The interval for others like these tasters, at level 1 - alpha, with its p.

    h^2 = max(h_C^2, h_T^2, h_C^2 + h_T^2 - h_E^2). `cooks`, `tasters` and `overlap` give h_C, h_T
    and h_E at any level (`overlap` None: df_E is 0 and h_E is 0). `p` is the largest level at
    which the interval still holds 0.
    """

    estimate: float
    low: float
    high: float
    p: float
    cooks: Spread
    tasters: Spread
    overlap: Spread | None

    @staticmethod
    def join(
        estimate: float, cooks: Spread, tasters: Spread, overlap: Spread | None, alpha: float
    ) -> OthersInterval:
        """Join the parts at level 1 - alpha."""
        half = joined_half_width(cooks, tasters, overlap, alpha)
        p = _largest_level(abs(estimate), cooks, tasters, overlap)
        return OthersInterval(
            estimate, estimate - half, estimate + half, p, cooks, tasters, overlap
        )

    @property
    def overlap_df(self) -> int:
        """df_E."""
        return self.overlap.df if self.overlap is not None else 0

    def half_width(self, alpha: float) -> float:
        """Half of the joined interval at level 1 - alpha."""
        return joined_half_width(self.cooks, self.tasters, self.overlap, alpha)

    def interval(self, alpha: float) -> tuple[float, float]:
        """The joined interval at level 1 - alpha."""
        half = self.half_width(alpha)
        return self.estimate - half, self.estimate + half


def joined_half_width(
    cooks: Spread, tasters: Spread, overlap: Spread | None, alpha: float
) -> float:
    """h at level 1 - alpha."""
    of_cooks = cooks.half_width(alpha) ** 2
    of_tasters = tasters.half_width(alpha) ** 2
    twice = overlap.half_width(alpha) ** 2 if overlap is not None else 0.0
    return math.sqrt(max(of_cooks, of_tasters, of_cooks + of_tasters - twice))


def _largest_level(
    distance: float, cooks: Spread, tasters: Spread, overlap: Spread | None
) -> float:
    """Largest alpha with h(alpha) >= distance.

    The first two parts give it in closed form; the third is searched for above that, from alpha 1
    downward, because h_E falls slower than h_C and h_T and the sum need not be monotone.
    """
    if distance == 0.0:
        return 1.0
    known = max(cooks.level_at(distance), tasters.level_at(distance))

    def holds(alpha: float) -> bool:
        return joined_half_width(cooks, tasters, overlap, alpha) >= distance

    # Levels between `known` and 1, evenly spaced in log odds.
    bottom = math.log(max(known, 1e-300)) - math.log1p(-min(known, 1 - 1e-12))
    levels = [1 / (1 + math.exp(-(bottom + (28.0 - bottom) * i / 64))) for i in range(65)]
    above = 64
    while above > 0 and not holds(levels[above]):
        above -= 1
    if above == 64:
        return levels[64]
    low, high = max(levels[above], known), levels[above + 1]
    if not holds(low) and above == 0:
        return known
    for _ in range(200):
        middle = math.sqrt(low * high) if low > 0 else high / 2
        if not low < middle < high:
            break
        low, high = (middle, high) if holds(middle) else (low, middle)
    return low

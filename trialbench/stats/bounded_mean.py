"""The mean of numbers that lie between known ends, with nothing else assumed about them.

The lower limit puts one more number at the lower end and gives all of them random shares of 1
(uniform over shares): Gaffke 2005, Mathematical Methods of Statistics 14, 451; Learned-Miller and
Thomas 2020, arXiv:1905.06208 (both cited from memory; that the limit holds is supported by the
calibration, a proof is not known to us). For numbers at the ends only it is the exact binomial
limit.
"""

from __future__ import annotations

from collections.abc import Sequence

from scipy import optimize


def share_mean_at_most(points: Sequence[float], limit: float) -> float:
    """P(random-share mean of `points` <= `limit`), shares uniform on those that add up to 1.

    Varsi 1973 (Pacific J. Mathematics 46, 315; cited from memory), whose terms are all positive.
    """
    below = [point - limit for point in points if point < limit]
    above = [point - limit for point in points if point >= limit]
    table = [1.0] + [0.0] * len(above)
    for low in below:
        for k, high in enumerate(above, start=1):
            table[k] = (high * table[k] - low * table[k - 1]) / (high - low)
    return table[-1]


def p_above(values: Sequence[float], mean: float, lowest: float) -> float:
    """One-sided p against "the mean is at most `mean`" for values that are never below `lowest`."""
    return share_mean_at_most([lowest, *values], mean)


def mean_limits(
    values: Sequence[float], ends: tuple[float, float], alpha: float
) -> tuple[float, float]:
    """Two-sided limits of the mean at level 1 - alpha."""
    lowest, highest = ends
    low = _lower(values, lowest, alpha / 2)
    high = -_lower([-value for value in values], -highest, alpha / 2)
    return low, high


def _lower(values: Sequence[float], lowest: float, tail: float) -> float:
    top = max(values)
    if top <= lowest:
        return lowest
    return float(optimize.brentq(
        lambda mean: p_above(values, mean, lowest) - tail, lowest, top, xtol=1e-13,
    ))  # fmt: skip

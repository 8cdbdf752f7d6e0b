"""Signed ranks, the sign test and the Hodges-Lehmann estimate of paired differences."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray
from scipy import special

from trialbench.stats.binomial import two_sided
from trialbench.stats.numbers import BadNumbers, listed, plain
from trialbench.stats.settings import between
from trialbench.stats.sign_flip import subset_counts

MOST_COUNTED = 300
"""Pairs up to which the signed-rank count is reckoned exactly for the interval."""
MOST_PAIRS = 3_000
"""Pairs up to which all their averages are held at once."""
MOST_SIGNS = 1_000
"""Signs up to which the tail is added up in whole numbers; the beta function is as good above."""


def doubled_ranks(sizes: Sequence[float]) -> list[int]:
    """Twice the mid-rank of each size: whole numbers even where sizes tie.

    Raises `BadNumbers` for what is no number, and where one is missing.
    """
    given = listed(sizes, "sizes")
    sizes = read_differences(given, "sizes")
    if len(sizes) < len(given):
        raise BadNumbers("A missing size has no rank.", where="sizes", allowed="numbers")
    order = sorted(range(len(sizes)), key=lambda place: sizes[place])
    ranks = [0] * len(sizes)
    start = 0
    while start < len(order):
        end = start
        while end + 1 < len(order) and sizes[order[end + 1]] == sizes[order[start]]:
            end += 1
        for place in order[start : end + 1]:
            ranks[place] = start + end + 2
        start = end + 1
    return ranks


def signed_rank_p(differences: Sequence[float]) -> float | None:
    """Exact two-sided signed-rank p, mid-ranks for ties, zeros dropped (the convention here).

    Give differences on their own grid (whole steps), else floats decide what ties. None where all
    are zero or there are none; above 60 pairs left the counts would not be exact, so None. Missing
    ones drop out. Raises `BadNumbers` for what is no number.
    """
    kept = [value for value in read_differences(differences) if value != 0]
    if not 1 <= len(kept) <= 60:
        return None
    ranks = doubled_ranks([abs(value) for value in kept])
    upper = sum(rank for rank, value in zip(ranks, kept, strict=True) if value > 0)
    counts = subset_counts(ranks)
    away = abs(2 * upper - sum(ranks))
    signed = np.abs(2 * np.arange(counts.size, dtype=np.int64) - sum(ranks))
    return int(counts[signed >= away].sum()) / 2.0 ** len(kept)


def sign_p(differences: Sequence[float]) -> float | None:
    """Two-sided sign test (binomial, one half), zeros dropped; None where nothing is left.

    Missing ones drop out. Raises `BadNumbers` for what is no number.
    """
    read = read_differences(differences)
    higher, lower = sum(value > 0 for value in read), sum(value < 0 for value in read)
    n = higher + lower
    if n == 0:
        return None
    if n > MOST_SIGNS:
        return two_sided(higher, n, 0.5)
    tail = sum(math.comb(n, k) for k in range(min(higher, lower) + 1))
    return min(1.0, float(Fraction(2 * tail, 1 << n)))


def hodges_lehmann(
    differences: Sequence[float], alpha: float = 0.05
) -> tuple[float, float | None, float | None]:
    """Median of all Walsh averages and its interval from their order statistics.

    The interval has at least level 1 - alpha (it is None where too few pairs allow none). Order
    index: lower alpha/2 quantile of the signed-rank count without ties (Hollander, Wolfe and
    Chicken 2014, Nonparametric Statistical Methods, section 3.3), above 300 pairs by its normal
    approximation. Missing differences drop out. Raises `BadNumbers` for what is no number, for
    none and for levels outside their range.
    """
    alpha = between(alpha, "alpha")
    values = np.array(read_differences(differences), dtype=float)
    if not values.size:
        raise BadNumbers("There is no difference.", where="differences", allowed="1 or more")
    at = _walsh_averages(values) if values.size <= MOST_PAIRS else _walsh_search(values)
    count, index = values.size * (values.size + 1) // 2, _order_index(values.size, alpha)
    median = at((count + 1) // 2) / 2 + at(count // 2 + 1) / 2
    if index == 0:
        return median, None, None
    return median, at(index), at(count - index + 1)


def _walsh_averages(values: NDArray[np.float64]) -> Callable[[int], float]:
    """The Walsh average of each rank, 1 for the lowest, from all of them."""
    row, column = np.triu_indices(values.size)
    # Halved first: the sum of two large numbers may be beyond what a float holds.
    walsh = np.sort(values[row] / 2 + values[column] / 2)
    return lambda rank: float(walsh[rank - 1])


def _walsh_search(values: NDArray[np.float64]) -> Callable[[int], float]:
    """The same by halving the range until it holds one number: for more than fit in memory."""
    halves = np.sort(values) / 2

    def up_to(limit: float) -> int:
        both = int(np.searchsorted(halves, limit - halves, side="right").sum())
        return (both + int((2 * halves <= limit).sum())) // 2

    def at(rank: int) -> float:
        low, high = 2 * float(halves[0]), 2 * float(halves[-1])
        while low < (middle := low / 2 + high / 2) < high:
            low, high = (low, middle) if up_to(middle) >= rank else (middle, high)
        return low if up_to(low) >= rank else high

    return at


def read_differences(values: object, where: str = "differences") -> list[float]:
    """The numbers that are there. Raises `BadNumbers` for text and for what is not finite."""
    read = [
        value if type(value) is float and math.isfinite(value) else plain(value, f"{where}[{i}]")
        for i, value in enumerate(listed(values, where))
    ]
    return [value for value in read if value is not None]


def _order_index(n: int, alpha: float) -> int:
    """Smallest k with P(signed-rank count <= k) at least alpha / 2; 0 where P(0) already is."""
    if n > MOST_COUNTED:
        middle, spread = n * (n + 1) / 4, math.sqrt(n * (n + 1) * (2 * n + 1) / 24)
        return max(0, math.ceil(middle + float(special.ndtri(alpha / 2)) * spread - 0.5))
    counts = np.zeros(n * (n + 1) // 2 + 1)
    counts[0] = 1.0
    for rank in range(1, n + 1):
        shifted = counts[: counts.size - rank].copy()
        counts[rank:] += shifted
        counts /= 2
    return int(np.searchsorted(np.cumsum(counts), alpha / 2, side="left"))

"""Signed ranks, the sign test and the Hodges-Lehmann estimate of paired differences."""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction

import numpy as np

from trialbench.stats.sign_flip import subset_counts


def doubled_ranks(sizes: Sequence[float]) -> list[int]:
    """Twice the mid-rank of each size: whole numbers even where sizes tie."""
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
    are zero or there are none; above 60 pairs left the counts would not be exact, so None.
    """
    kept = [value for value in differences if value != 0]
    if not 1 <= len(kept) <= 60:
        return None
    ranks = doubled_ranks([abs(value) for value in kept])
    upper = sum(rank for rank, value in zip(ranks, kept, strict=True) if value > 0)
    counts = subset_counts(ranks)
    away = abs(2 * upper - sum(ranks))
    signed = np.abs(2 * np.arange(counts.size, dtype=np.int64) - sum(ranks))
    return int(counts[signed >= away].sum()) / 2.0 ** len(kept)


def sign_p(differences: Sequence[float]) -> float | None:
    """Two-sided sign test (binomial, one half), zeros dropped; None where nothing is left."""
    higher = sum(value > 0 for value in differences)
    lower = sum(value < 0 for value in differences)
    n = higher + lower
    if n == 0:
        return None
    tail = sum(math.comb(n, k) for k in range(min(higher, lower) + 1))
    return min(1.0, float(Fraction(2 * tail, 1 << n)))


def hodges_lehmann(
    differences: Sequence[float], alpha: float = 0.05
) -> tuple[float, float | None, float | None]:
    """Median of all Walsh averages and its interval from their order statistics.

    The interval has at least level 1 - alpha (it is None where too few pairs allow none). Order
    index: lower alpha/2 quantile of the signed-rank count without ties (Hollander, Wolfe and
    Chicken 2014, Nonparametric Statistical Methods, section 3.3).
    """
    values = np.asarray(differences, dtype=float)
    row, column = np.triu_indices(values.size)
    walsh = np.sort((values[row] + values[column]) / 2)
    index = _order_index(values.size, alpha)
    if index == 0:
        return float(np.median(walsh)), None, None
    return float(np.median(walsh)), float(walsh[index - 1]), float(walsh[walsh.size - index])


def _order_index(n: int, alpha: float) -> int:
    """Smallest k with P(signed-rank count <= k) at least alpha / 2; 0 where P(0) already is."""
    counts = np.zeros(n * (n + 1) // 2 + 1)
    counts[0] = 1.0
    for rank in range(1, n + 1):
        shifted = counts[: counts.size - rank].copy()
        counts[rank:] += shifted
        counts /= 2
    return int(np.searchsorted(np.cumsum(counts), alpha / 2, side="left"))

"""Exact sign-flip test of paired differences: every difference could have had the other sign."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

MAX_PAIRS = 45
"""Up to here the test is exact."""
MAX_STEPS = 3_000_000
"""Longest table of sums reckoned by convolution; beyond it the halves are matched."""
TIE = 1e-9
"""Sums that differ by less than this share of the largest sum count as equal."""


def flip_p(differences: Sequence[float], steps: Sequence[int] | None = None) -> float | None:
    """Two-sided p: share of the 2^n sign patterns with |sum| at least that seen.

    `differences` a - b; `steps` the same on their own grid of whole numbers, if there is one (then
    ties are exact). None without differences and above 45 pairs, where it is not exact any more.
    """
    if not 1 <= len(differences) <= MAX_PAIRS:
        return None
    if steps is not None:
        common = math.gcd(*steps) or 1
        whole = [abs(step) // common for step in steps]
        seen = abs(sum(steps)) // common
        if sum(whole) <= MAX_STEPS:
            return _by_convolution(whole, seen)
        return _by_halves([float(step) for step in whole], float(seen), 0.5)
    total = math.fsum(abs(value) for value in differences)
    sizes = [abs(value) for value in differences]
    return _by_halves(sizes, abs(math.fsum(differences)), TIE * total)


def subset_counts(whole: Sequence[int]) -> NDArray[np.int64]:
    """How many subsets of the whole numbers have each sum 0 ... sum(whole). Exact to 2^62."""
    counts = np.zeros(sum(whole) + 1, dtype=np.int64)
    counts[0] = 1
    reach = 0
    for size in whole:
        reach += size
        shifted = counts[: reach + 1 - size].copy()
        counts[size : reach + 1] += shifted
    return counts


def _by_convolution(whole: Sequence[int], seen: int) -> float:
    counts = subset_counts(whole)
    # A subset keeps its sign: sum of signed values = 2 * subset - total.
    signed = 2 * np.arange(counts.size, dtype=np.int64) - (counts.size - 1)
    hits = int(counts[np.abs(signed) >= seen].sum())
    return hits / 2.0 ** len(whole)


def _by_halves(sizes: Sequence[float], seen: float, tie: float) -> float:
    if seen <= tie:
        return 1.0
    order = sorted(sizes)
    left, right = _signed_sums(order[::2]), _signed_sums(order[1::2])
    # Pairs with left + right >= seen; the other tail is its mirror image.
    below = np.searchsorted(right, (seen - tie) - left[::-1], side="left")
    hits = left.size * right.size - int(below.sum())
    return float(2.0 * hits / (float(left.size) * float(right.size)))


def _signed_sums(sizes: Sequence[float]) -> NDArray[np.float64]:
    """All 2^n signed sums in rising order (two sorted runs merge in linear time)."""
    sums = np.zeros(1)
    for size in sizes:
        sums = np.concatenate((sums - size, sums + size))
        sums.sort(kind="stable")
    return sums

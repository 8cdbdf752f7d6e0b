"""Did the blinding hold? What tasters guess they had, against what they had.

>>> from trialbench.stats import blinding
>>> blinding.by_method(82, 25, 170).index
0.2057...
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy import special

from trialbench.model.message import Message, msg
from trialbench.stats.binomial import whole
from trialbench.stats.not_applicable import NotApplicable
from trialbench.stats.numbers import BadNumbers, listed
from trialbench.stats.pairs import check_alpha

GUESSING = msg("As many guess right as wrong.")
ALL_GUESS = msg("Whoever names a method guesses at random.")


@dataclass(frozen=True, slots=True, kw_only=True)
class BlindingIndex:
    """An index with standard error and normal limits at level 1 - alpha (clipped to its range).

    By method: 1 all right, 0 as many right as wrong, -1 all wrong. Overall: 1 nobody knows
    anything, 0.5 those who name a method guess at random, 0 all name it rightly.
    """

    index: float
    se: float
    low: float
    high: float
    n: int
    alpha: float
    null_hypothesis: Message
    notes: tuple[Message, ...] = ()


def by_method(
    right: int, wrong: int, unsure: int = 0, *, alpha: float = 0.05
) -> BlindingIndex | NotApplicable:
    """Index of one method: (right - wrong) / all.

    Bang, Ni and Davis 2004, Controlled Clinical Trials 25, 143, with the variance of the trinomial.
    Raises `BadNumbers` for what is no count.
    """
    counts = [whole(right, "right"), whole(wrong, "wrong"), whole(unsure, "unsure")]
    alpha = check_alpha(alpha)
    n = sum(counts)
    if n == 0:
        return NotApplicable(msg("Nobody has guessed."))
    hit, miss = counts[0] / n, counts[1] / n
    index = hit - miss
    se = math.sqrt(max(0.0, (hit + miss - index * index) / n))
    return _index(index, se, n, alpha, GUESSING, (-1.0, 1.0))


def _index(
    index: float, se: float, n: int, alpha: float, null: Message, ends: tuple[float, float]
) -> BlindingIndex:
    half = -float(special.ndtri(alpha / 2)) * se
    notes = (msg("All answers are alike: a standard error of 0 says nothing."),) if se == 0 else ()
    return BlindingIndex(
        index=index, se=se, low=max(ends[0], index - half), high=min(ends[1], index + half),
        n=n, alpha=alpha, null_hypothesis=null, notes=notes,
    )  # fmt: skip


def overall(
    table: Sequence[Sequence[int]], *, alpha: float = 0.05
) -> BlindingIndex | NotApplicable:
    """Index over all methods from a table of counts.

    Rows: what was guessed, the methods in order and "unsure" last; columns: what was had, in the
    same order. James, Bloch, Lee, Kraemer and Fuller 1996, Statistics in Medicine 15, 1421: weight
    0 for a right guess, 1/2 for a wrong one, 1 for unsure; standard error by the delta method.
    Raises `BadNumbers` unless the table has one row more than columns.
    """
    alpha = check_alpha(alpha)
    rows = [
        [whole(count, f"row {i + 1}") for count in listed(row, f"row {i + 1}")]
        for i, row in enumerate(listed(table, "table"))
    ]
    methods = len(rows) - 1
    if methods < 2 or any(len(row) != methods for row in rows):
        raise BadNumbers(
            "The table of guesses does not fit.", where="table",
            allowed="one column a method; one row a method and one for unsure",
        )  # fmt: skip
    counts = np.array(rows, dtype=float)
    n = int(counts.sum())
    if n == 0:
        return NotApplicable(msg("Nobody has guessed."))
    shares = counts / n
    if counts[:-1].sum() == 0:
        return _index(1.0, 0.0, n, alpha, ALL_GUESS, (0.0, 1.0))
    if _by_chance(shares) == 0:
        return NotApplicable(msg("All who name a method name one that all of them had."))
    slopes = _slopes(shares)
    middle = float((slopes * shares).sum())
    variance = float((slopes**2 * shares).sum()) - middle * middle
    index = _james(shares)
    return _index(index, math.sqrt(max(0.0, variance) / n), n, alpha, ALL_GUESS, (0.0, 1.0))


def _james(shares: np.ndarray) -> float:
    """(1 + unsure + (1 - unsure) kappa) / 2, kappa of those who name a method."""
    named = shares[:-1]
    told = named.sum()
    seen = (named.sum() - np.trace(named)) / 2 / told
    by_chance = _by_chance(shares)
    kappa = (seen - by_chance) / by_chance
    return float((1 + (1 - told) + told * kappa) / 2)


def _by_chance(shares: np.ndarray) -> float:
    named = shares[:-1]
    guessed, had, told = named.sum(axis=1), named.sum(axis=0), named.sum()
    return float((guessed.sum() * had.sum() - guessed @ had) / 2 / told**2)


def _slopes(shares: np.ndarray) -> np.ndarray:
    """Derivatives of the index by each share."""
    result = np.zeros_like(shares)
    for at in np.ndindex(*shares.shape):
        step = 1e-5
        up, down = shares.copy(), shares.copy()
        up[at] += step
        down[at] -= step
        result[at] = (_james_of(up) - _james_of(down)) / (2 * step)
    return result


def _james_of(shares: np.ndarray) -> float:
    return _james(shares / shares.sum())

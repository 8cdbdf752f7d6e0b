"""Friedman's test on ranks within tasters, with ties, exact where small, and the pairs."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import combinations
from typing import Any

import numpy as np
from scipy import optimize, special

from trialbench.model.message import Message, msg
from trialbench.stats.block_sums import tail_of_squares
from trialbench.stats.families import holm
from trialbench.stats.not_applicable import NotApplicable
from trialbench.stats.pairs import check_alpha
from trialbench.stats.signed_ranks import sign_p
from trialbench.stats.table_of_rows import RowTable, as_written, doubled_row_ranks, read_rows

NULL_HYPOTHESIS = msg("Each taster could have ranked the methods in any order.")
EITHER_HIGHER = msg("Who tells the two apart is as likely to put either of them higher.")


@dataclass(frozen=True, slots=True, kw_only=True)
class RankPair:
    """Two methods, a < b as text: how many ranked which higher, exact sign test, Holm."""

    a: str
    b: str
    a_higher: int
    b_higher: int
    rank_sum_difference: float
    p: float | None
    p_holm: float | None
    null_hypothesis: Message = EITHER_HIGHER


@dataclass(frozen=True, slots=True, kw_only=True)
class FriedmanResult:
    """Ranks of k methods within n tasters, 1 for the lowest, mid-ranks for ties.

    `chi2` is tie-corrected with `df` k - 1 and its large-sample `p_chi2`; `F` with `df1`, `df2`,
    `p_f` is the F form (Iman and Davenport 1980); `p_exact` counts all orders within tasters, None
    where there are too many; `p` is the exact one where there is one, else that of F. `kendall_w`:
    agreement, 0 to 1, tie-corrected. `least_difference`: rank-sum difference at level alpha for one
    pair, `least_difference_all` for all pairs at once (both without ties, large-sample).
    """

    tasters: int
    methods: tuple[str, ...]
    rank_sums: tuple[float, ...]
    chi2: float
    df: int
    p_chi2: float
    F: float | None
    df1: int
    df2: int
    p_f: float
    p_exact: float | None
    p: float
    kendall_w: float
    pairs: tuple[RankPair, ...]
    least_difference: float
    least_difference_all: float
    alpha: float
    null_hypothesis: Message
    notes: tuple[Message, ...]


def friedman(table: Any, *, alpha: float = 0.05) -> FriedmanResult | NotApplicable:
    """Compare methods ranked or scored by the same tasters.

    `table`: a DataFrame or mapping with one column a method and one row a taster, or rows. Scores
    are ranked within the row. One answer a taster about one piece a method speaks of these pieces;
    over several cook days give each day as a row. `NotApplicable` where no row orders anything.
    Raises `BadNumbers`.
    """
    alpha = check_alpha(alpha)
    read = read_rows(table)
    if not read.rows:
        return NotApplicable(msg("No row is complete."))
    blocks = [doubled_row_ranks(row) for row in read.rows]
    sums, scatter, between = _sums_of_squares(blocks)
    if scatter == 0:
        return NotApplicable(msg("Nobody puts any method above another."))
    n, k = len(blocks), len(read.names)
    chi2 = (k - 1) * between / scatter
    df2 = (n - 1) * (k - 1)
    f, p_f = _f_form(between, scatter, n, k)
    exact = tail_of_squares(blocks, sum(each * each for each in sums))
    spread = math.sqrt(n * k * (k + 1) / 6)
    return FriedmanResult(
        tasters=n, methods=read.names, rank_sums=tuple(each / 2 for each in sums),
        chi2=chi2, df=k - 1, p_chi2=float(special.chdtrc(k - 1, chi2)),
        F=f, df1=k - 1, df2=df2, p_f=p_f, p_exact=exact, p=p_f if exact is None else exact,
        kendall_w=between / (n * scatter), pairs=_pairs(read, sums),
        least_difference=-float(special.ndtri(alpha / 2)) * spread,
        least_difference_all=_largest_range(alpha, k) * spread,
        alpha=alpha, null_hypothesis=NULL_HYPOTHESIS,
        notes=(*read.notes, *_notes(exact, n)),
    )  # fmt: skip


def _largest_range(alpha: float, k: int) -> float:
    """The z that the largest of all k (k - 1) / 2 normal differences exceeds with chance alpha."""
    line = np.arange(-9.0, 9.05, 0.1)
    weights = np.exp(-0.5 * line**2) / math.sqrt(2 * math.pi) * 0.1

    def over(z: float) -> float:
        inside = special.ndtr(line) - special.ndtr(line - z * math.sqrt(2))
        return 1 - alpha - float(k * (inside ** (k - 1)) @ weights)

    return float(optimize.brentq(over, 0.0, 40.0, xtol=1e-13))


def _sums_of_squares(blocks: list[tuple[int, ...]]) -> tuple[list[int], float, float]:
    """Doubled rank sums; scatter within tasters over n and between methods, same unit.

    Chi-squared = (k - 1) between / scatter, W = between / (n scatter): exact whole numbers.
    """
    n, k = len(blocks), len(blocks[0])
    sums = [sum(block[j] for block in blocks) for j in range(k)]
    within = sum(sum(v * v for v in block) for block in blocks) - n * k * (k + 1) ** 2
    between = sum(each * each for each in sums) - n * n * k * (k + 1) ** 2
    return sums, float(within), float(between)


def _f_form(between: float, within: float, n: int, k: int) -> tuple[float | None, float]:
    """F and its p; None with p 0 where all tasters agree fully, and with p 1 for one taster."""
    if n == 1:
        return None, 1.0
    left = n * within - between
    if left <= 0:
        return None, 0.0
    f = (n - 1) * between / left
    return f, float(special.fdtrc(k - 1, (n - 1) * (k - 1), f))


def _pairs(read: RowTable, sums: list[int]) -> tuple[RankPair, ...]:
    found = []
    for one, two in combinations(sorted(range(len(read.names)), key=lambda j: read.names[j]), 2):
        signs = [_sign(row[one], row[two]) for row in read.rows]
        found.append((one, two, signs, sign_p(signs)))
    return tuple(
        RankPair(
            a=read.names[one], b=read.names[two], a_higher=signs.count(1.0),
            b_higher=signs.count(-1.0), rank_sum_difference=(sums[one] - sums[two]) / 2,
            p=p, p_holm=adjusted,
        )
        for (one, two, signs, p), adjusted in zip(found, holm([p for *_, p in found]), strict=True)
    )  # fmt: skip


def _sign(first: float, second: float) -> float:
    one, two = as_written(first), as_written(second)
    return float((one > two) - (one < two))


def _notes(exact: float | None, n: int) -> list[Message]:
    notes = []
    if exact is None:
        notes.append(msg("Too many orders to count them all: p is that of F."))
    if n == 1:
        notes.append(msg("One taster only: no other order is less likely."))
    return notes

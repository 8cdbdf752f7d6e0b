"""Ticked boxes: check-all words (Cochran's Q, McNemar) and just-about-right with its penalties."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import combinations
from typing import Any

from scipy import special

from trialbench.model.message import Message, msg
from trialbench.stats.binomial import exact_limits, two_sided, whole
from trialbench.stats.block_sums import tail_of_squares
from trialbench.stats.families import holm
from trialbench.stats.not_applicable import NotApplicable
from trialbench.stats.numbers import BadNumbers
from trialbench.stats.pairs import check_alpha
from trialbench.stats.penalties import Penalty, PenaltyGroup, penalty
from trialbench.stats.preferences import net_limits
from trialbench.stats.table_of_rows import RowTable, read_rows

__all__ = [
    "BoxPair",
    "CochranResult",
    "McNemarResult",
    "Penalty",
    "PenaltyGroup",
    "cochran_q",
    "mcnemar",
    "penalty",
]

SAME_CHANCE = msg("Each taster could have ticked the box for any of the methods.")
EITHER_ONLY = msg("Who ticked it for one method only could as well have ticked it for the other.")


@dataclass(frozen=True, slots=True, kw_only=True)
class McNemarResult:
    """`b` ticked for the first only, `c` for the second only.

    `p`: exact, two-sided; `p_mid`: mid-p; `chi2` with its large-sample p, plain and with the
    continuity correction. `share_first` of b + c with exact limits at level 1 - alpha; `odds_ratio`
    b / c (None at c = 0) with limits from them. `difference` of the two shares, (b - c) / n, with
    score limits, where `n` is given.
    """

    b: int
    c: int
    n: int | None
    alpha: float
    p: float
    p_mid: float
    chi2: float | None
    p_chi2: float | None
    chi2_corrected: float | None
    p_chi2_corrected: float | None
    share_first: float | None
    share_low: float | None
    share_high: float | None
    odds_ratio: float | None
    odds_low: float | None
    odds_high: float | None
    difference: float | None
    difference_low: float | None
    difference_high: float | None
    null_hypothesis: Message = EITHER_ONLY
    notes: tuple[Message, ...] = ()


def mcnemar(b: int, c: int, n: int | None = None, *, alpha: float = 0.05) -> McNemarResult:
    """Compare a box ticked by the same tasters for two methods.

    McNemar 1947, Psychometrika 12, 153; exact as a binomial. `b` and `c` as in the result, `n` all
    tasters. Raises `BadNumbers` for what is no count, and for n below b + c.
    """
    b, c = whole(b, "b"), whole(c, "c")
    everybody = None if n is None else whole(n, "n")
    alpha = check_alpha(alpha)
    if everybody is not None and everybody < b + c:
        raise BadNumbers(f"{b + c} of {everybody}.", where="n", allowed=f"{b + c} or more")
    if b + c == 0:
        note = msg("Nobody ticked it for one method only: nothing tells them apart.")
        return McNemarResult(**_empty(b, c, everybody, alpha), notes=(note,))
    low, high = exact_limits(b, b + c, alpha)
    plain, corrected = (b - c) ** 2 / (b + c), max(0, abs(b - c) - 1) ** 2 / (b + c)
    net = net_limits(b, c, everybody, alpha) if everybody else (None, None)
    return McNemarResult(
        b=b, c=c, n=everybody, alpha=alpha, p=two_sided(b, b + c, 0.5), p_mid=_mid_p(b, c),
        chi2=plain, p_chi2=float(special.chdtrc(1, plain)),
        chi2_corrected=corrected, p_chi2_corrected=float(special.chdtrc(1, corrected)),
        share_first=b / (b + c), share_low=low, share_high=high,
        odds_ratio=b / c if c else None, odds_low=low / (1 - low),
        odds_high=high / (1 - high) if high < 1 else None,
        difference=(b - c) / everybody if everybody else None,
        difference_low=net[0], difference_high=net[1],
    )  # fmt: skip


def _empty(b: int, c: int, n: int | None, alpha: float) -> dict[str, Any]:
    nothing = (
        "chi2", "p_chi2", "chi2_corrected", "p_chi2_corrected", "share_first", "share_low",
        "share_high", "odds_ratio", "odds_low", "odds_high", "difference_low", "difference_high",
    )  # fmt: skip
    known = {"b": b, "c": c, "n": n, "alpha": alpha, "p": 1.0, "p_mid": 1.0}
    return {**dict.fromkeys(nothing), **known, "difference": 0.0 if n else None}


def _mid_p(b: int, c: int) -> float:
    """Twice the smaller tail with half the chance of what was seen (Lancaster 1961)."""
    n, fewer = b + c, min(b, c)
    if b == c:
        return 1.0
    here = math.exp(math.lgamma(n + 1) - math.lgamma(b + 1) - math.lgamma(c + 1) - n * math.log(2))
    return min(1.0, two_sided(fewer, n, 0.5) - here)


@dataclass(frozen=True, slots=True, kw_only=True)
class BoxPair:
    """Two methods, a < b as text: ticked for one only, exact McNemar, Holm over pairs."""

    a: str
    b: str
    a_only: int
    b_only: int
    p: float
    p_holm: float
    null_hypothesis: Message = EITHER_ONLY


@dataclass(frozen=True, slots=True, kw_only=True)
class CochranResult:
    """One box for k methods by n tasters. `p` is exact where it could be counted, else `p_chi2`."""

    tasters: int
    methods: tuple[str, ...]
    ticked: tuple[int, ...]
    Q: float
    df: int
    p_chi2: float
    p_exact: float | None
    p: float
    pairs: tuple[BoxPair, ...]
    null_hypothesis: Message = SAME_CHANCE
    notes: tuple[Message, ...] = ()


def cochran_q(table: Any) -> CochranResult | NotApplicable:
    """Compare how often a box is ticked for methods that the same tasters tasted.

    `table`: columns are methods, rows tasters, values 0 or 1 (as for `ranks.friedman`). Cochran
    1950, Biometrika 37, 256; exact: each taster's ticks in any order. `NotApplicable` where every
    taster ticks all or none. Raises `BadNumbers`.
    """
    read = read_rows(table)
    for number, row in enumerate(read.rows, start=1):
        if any(value not in (0.0, 1.0) for value in row):
            raise BadNumbers("A box is 0 or 1.", where=f"row {number}", allowed="0 or 1")
    rows = [tuple(int(value) for value in row) for row in read.rows]
    k = len(read.names)
    spread = sum(sum(row) * (k - sum(row)) for row in rows)
    if spread == 0:
        return NotApplicable(msg("Every taster ticks it for all methods or for none."))
    ticked = [sum(row[j] for row in rows) for j in range(k)]
    squares, total = sum(each * each for each in ticked), sum(ticked)
    q = (k - 1) * (k * squares - total * total) / spread
    p_chi2 = float(special.chdtrc(k - 1, q))
    exact = tail_of_squares(rows, squares)
    note = msg("Too many orders to count them all: p is a large-sample one.")
    return CochranResult(
        tasters=len(rows), methods=read.names, ticked=tuple(ticked), Q=q, df=k - 1, p_chi2=p_chi2,
        p_exact=exact, p=p_chi2 if exact is None else exact, pairs=_pairs(read, rows),
        notes=read.notes if exact is not None else (*read.notes, note),
    )  # fmt: skip


def _pairs(read: RowTable, rows: Iterable[tuple[int, ...]]) -> tuple[BoxPair, ...]:
    rows = list(rows)
    found = []
    for one, two in combinations(sorted(range(len(read.names)), key=lambda j: read.names[j]), 2):
        first = sum(row[one] > row[two] for row in rows)
        second = sum(row[one] < row[two] for row in rows)
        p = two_sided(first, first + second, 0.5) if first + second else 1.0
        found.append((read.names[one], read.names[two], first, second, p))
    adjusted = holm([p for *_, p in found])
    return tuple(
        BoxPair(a=a, b=b, a_only=first, b_only=second, p=p, p_holm=own or 0.0)
        for (a, b, first, second, p), own in zip(found, adjusted, strict=True)
    )

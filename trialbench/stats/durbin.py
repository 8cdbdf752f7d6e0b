"""Ranks where each taster tasted some of the methods only (incomplete blocks)."""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import dataclass
from itertools import combinations

import numpy as np
from scipy import special

from trialbench.model.message import Message, msg
from trialbench.stats import frames
from trialbench.stats.block_sums import all_sums
from trialbench.stats.not_applicable import NotApplicable
from trialbench.stats.numbers import BadNumbers
from trialbench.stats.table_of_rows import doubled_row_ranks

NULL_HYPOTHESIS = msg("Each taster could have ranked the methods tasted in any order.")
_TIE = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class DurbinResult:
    """Ranks within incomplete blocks; fields as for `friedman`.

    `balanced`: every block equally large, every method and every pair of methods equally often;
    then `chi2` is Durbin's, tie-corrected, and there is an F form. Else it is that of Benard and
    van Elteren, of which it is a case, and F is None.
    """

    tasters: int
    methods: tuple[str, ...]
    rank_sums: tuple[float, ...]
    times_tasted: tuple[int, ...]
    balanced: bool
    chi2: float
    df: int
    p_chi2: float
    F: float | None
    df1: int | None
    df2: int | None
    p_f: float | None
    p_exact: float | None
    p: float
    null_hypothesis: Message
    notes: tuple[Message, ...]


_Block = tuple[tuple[int, ...], tuple[int, ...]]
"""Places of the methods and their doubled ranks."""


def durbin(
    frame: frames.Frame, value: str = "score", method: str = "method", taster: str = "taster"
) -> DurbinResult | NotApplicable:
    """Compare methods ranked within tasters who did not taste them all.

    `frame` has one row per taster and method. Durbin 1951 (British J. Psychology, Statistical
    Section 4, 85); Benard and van Elteren 1953 (Indagationes Mathematicae 15, 358) for designs
    without balance. Missing values are left out; a taster with one method left says nothing.
    Raises `BadNumbers` for unknown columns, names that are missing, a method twice for a taster.
    """
    names, blocks, notes = _blocks(frame, value, method, taster)
    if not blocks:
        return NotApplicable(msg("No taster ranked two methods."))
    scores, cover = _scores_and_covariance(blocks, len(names))
    if not cover.any():
        return NotApplicable(msg("Nobody puts any method above another."))
    inverse, df = _inverse(cover)
    chi2 = float(scores @ inverse @ scores)
    exact = _exact_p(blocks, scores, inverse, chi2)
    balanced = _balanced(blocks, len(names))
    f, df1, df2, p_f = _f_form(chi2, blocks, df) if balanced else (None, None, None, None)
    p_chi2 = float(special.chdtrc(df, chi2))
    sums, times = _sums(blocks, len(names))
    if exact is None:
        notes.append(msg("Too many orders to count them all: p is a large-sample one."))
    if df < len(names) - 1:
        notes.append(msg("Some methods are linked by no taster: only linked ones are compared."))
    return DurbinResult(
        tasters=len(blocks), methods=tuple(names), rank_sums=sums, times_tasted=times,
        balanced=balanced, chi2=chi2, df=df, p_chi2=p_chi2, F=f, df1=df1, df2=df2, p_f=p_f,
        p_exact=exact, p=next(p for p in (exact, p_f, p_chi2) if p is not None),
        null_hypothesis=NULL_HYPOTHESIS, notes=tuple(notes),
    )  # fmt: skip


def _blocks(
    frame: frames.Frame, value: str, method: str, taster: str
) -> tuple[list[str], list[_Block], list[Message]]:
    rows: dict[str, dict[str, float]] = defaultdict(dict)
    columns = (
        frames.numbers(frame, value), frames.labels(frame, method), frames.labels(frame, taster),
    )  # fmt: skip
    frames.same_length(dict(zip(("values", "methods", "tasters"), columns, strict=True)))
    for row, (number, name, who) in enumerate(zip(*columns, strict=True), start=1):
        if number is None:
            continue
        if not name or not who:
            raise BadNumbers(
                f"Row {row} has a value and no name.", where=f"row {row}",
                allowed="a method and a taster",
            )  # fmt: skip
        if name in rows[who]:
            raise BadNumbers(
                f"Taster {who} has two values for {name}.", where=f"row {row}", allowed="one"
            )
        rows[who][name] = number
    telling = {who: own for who, own in rows.items() if len(own) > 1}
    names = sorted({name for own in telling.values() for name in own})
    blocks = []
    for _, own in sorted(telling.items()):
        there = sorted(own)
        ranks = doubled_row_ranks(tuple(own[name] for name in there))
        blocks.append((tuple(names.index(name) for name in there), ranks))
    lost = len(rows) - len(telling)
    notes = [msg("Tasters with one method only: {lost}, left out.", lost=lost)] if lost else []
    return names, blocks, notes


def _scores_and_covariance(blocks: list[_Block], k: int) -> tuple[np.ndarray, np.ndarray]:
    """Doubled rank sums less their mean under any order, and their covariance."""
    scores, cover = np.zeros(k), np.zeros((k, k))
    for places, ranks in blocks:
        size, at = len(ranks), list(places)
        away = np.array(ranks, dtype=float) - (size + 1)
        scores[at] += away
        spread = float(away @ away) / (size - 1)
        cover[np.ix_(at, at)] += spread * (np.eye(size) - 1 / size)
    return scores, cover


def _inverse(cover: np.ndarray) -> tuple[np.ndarray, int]:
    values, vectors = np.linalg.eigh(cover)
    kept = values > 1e-9 * values[-1]
    return (vectors[:, kept] / values[kept]) @ vectors[:, kept].T, int(kept.sum())


def _exact_p(
    blocks: list[_Block], scores: np.ndarray, inverse: np.ndarray, chi2: float
) -> float | None:
    # Blocks of one size first keep the sums in fewest places.
    sums = all_sums(sorted(blocks), len(scores))
    if sums is None:
        return None
    states, chances = sums
    middle = np.zeros(len(scores))
    for places, ranks in blocks:
        middle[list(places)] += len(ranks) + 1
    away = states - middle[:, None]
    reached = (away * (inverse @ away)).sum(axis=0)
    return min(1.0, float(chances[reached >= chi2 * (1 - _TIE)].sum()))


def _balanced(blocks: list[_Block], k: int) -> bool:
    sizes = {len(places) for places, _ in blocks}
    times = Counter(place for places, _ in blocks for place in places)
    pairs = Counter(pair for places, _ in blocks for pair in combinations(sorted(places), 2))
    everywhere = len(pairs) == k * (k - 1) // 2
    return len(sizes) == 1 and len(set(times.values())) == 1 and everywhere and (
        len(set(pairs.values())) == 1
    )  # fmt: skip


def _f_form(
    chi2: float, blocks: list[_Block], df: int
) -> tuple[float | None, int | None, int | None, float | None]:
    most = sum(len(places) - 1 for places, _ in blocks)
    df2 = most - df
    if df2 <= 0 or most - chi2 <= 1e-9:
        return None, None, None, None
    f = (chi2 / df) / ((most - chi2) / df2)
    return f, df, df2, float(special.fdtrc(df, df2, f))


def _sums(blocks: list[_Block], k: int) -> tuple[tuple[float, ...], tuple[int, ...]]:
    sums, times = [0] * k, [0] * k
    for places, ranks in blocks:
        for place, rank in zip(places, ranks, strict=True):
            sums[place] += rank
            times[place] += 1
    return tuple(each / 2 for each in sums), tuple(times)

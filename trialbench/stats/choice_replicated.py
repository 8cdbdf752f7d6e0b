"""Tasters who answered several times: the beta-binomial with the share of guessing taken off."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np
from numpy.typing import NDArray
from scipy import optimize, special

from trialbench.model.message import Message, msg
from trialbench.stats.binomial import at_least, check_counts, whole
from trialbench.stats.choice_forms import Form, form_named
from trialbench.stats.numbers import BadNumbers, listed
from trialbench.stats.pairs import check_alpha

NULL_HYPOTHESIS = msg("Nobody can tell: every answer of every taster is a guess.")
MOST_ANSWERS = 300
"""Answers of one taster up to which the chances stay within what a float holds."""
_EDGE = 1e-6
"""Estimates nearer to their bound than this stand on it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Replicated:
    """Answers of tasters who answered more than once.

    `p`: exact binomial over all answers (under guessing they are independent whoever gave them).
    A taster's chance to tell is spread over tasters as a beta with mean `share` and variance
    `spread` share (1 - share); `spread` 0: all alike, near 1: some always can, the others never.
    Limits are likelihood limits at level 1 - alpha; standard errors from the curvature (None on a
    bound). `alike_p`: likelihood ratio against spread 0, halved for the bound. `d_prime` is that of
    the mean share right, with limits from those of `share`.
    """

    tasters: int
    right: int
    of: int
    form: str
    alpha: float
    p: float
    share: float
    share_se: float | None
    share_low: float
    share_high: float
    spread: float
    spread_se: float | None
    spread_low: float
    spread_high: float
    alike_p: float
    d_prime: float | None
    d_prime_low: float | None
    d_prime_high: float | None
    log_likelihood: float
    null_hypothesis: Message = NULL_HYPOTHESIS
    notes: tuple[Message, ...] = ()


def replicated(
    right: Sequence[int], of: Sequence[int] | int, form: str = "triangle", *, alpha: float = 0.05
) -> Replicated:
    """Fit the beta-binomial above guessing to each taster's `right` out of `of` answers.

    Brockhoff 2003 (Food Quality and Preference 14, 405), by maximum likelihood. Raises
    `BadNumbers` for counts that do not fit or where nobody answered twice.
    """
    kind = form_named(form)
    alpha = check_alpha(alpha)
    counts = _counts(right, of)
    fit = _Fit(counts, kind)
    (share, spread), top = fit.best()
    low, high = fit.limits(0, (share, spread), top, alpha)
    spread_low, spread_high = fit.limits(1, (share, spread), top, alpha)
    errors = fit.errors(share, spread)
    ratio = max(0.0, 2 * (top - fit.best_given(1, 0.0)))
    hits, total = sum(x for x, _ in counts), sum(n for _, n in counts)
    told = [kind.d_prime(kind.right_if(each)) for each in (share, low, high)]
    return Replicated(
        tasters=len(counts), right=hits, of=total, form=kind.name, alpha=alpha,
        p=at_least(hits, total, kind.guess),
        share=share, share_se=errors[0], share_low=low, share_high=high,
        spread=spread, spread_se=errors[1], spread_low=spread_low, spread_high=spread_high,
        alike_p=float(special.chdtrc(1, ratio)) / 2 if ratio > 1e-10 else 1.0,
        d_prime=_finite(told[0]), d_prime_low=_finite(told[1]), d_prime_high=_finite(told[2]),
        log_likelihood=top, notes=_notes(share, spread),
    )  # fmt: skip


def _finite(value: float) -> float | None:
    return value if math.isfinite(value) else None


def _notes(share: float, spread: float) -> tuple[Message, ...]:
    notes = [msg("Tasters who repeat are still these tasters and these pieces.")]
    if share in (0.0, 1.0) or spread == 0.0:
        notes.append(msg("An estimate stands on its bound: it has no standard error."))
    return tuple(notes)


def _counts(right: object, of: object) -> list[tuple[int, int]]:
    hits = listed(right, "right")
    totals = listed(of, "of") if hasattr(of, "__iter__") else [whole(of, "of")] * len(hits)
    if len(hits) != len(totals) or not hits:
        raise BadNumbers(
            f"{len(hits)} tasters with right answers, {len(totals)} with answers.",
            where="right, of",
            allowed="one count a taster on both sides",
        )
    counts = [check_counts(x, n) for x, n in zip(hits, totals, strict=True)]
    if max(n for _, n in counts) > MOST_ANSWERS:
        raise BadNumbers("So many answers of one taster.", where="of",
                         allowed=f"up to {MOST_ANSWERS} a taster")  # fmt: skip
    if max(n for _, n in counts) < 2:
        raise BadNumbers("Nobody answered twice.", where="of", allowed="2 or more for some taster")
    return counts


def log_chances(
    counts: Sequence[tuple[int, int]], guess: float
) -> Callable[[float, float], NDArray[np.float64]]:
    """Log-chances of counts (right, of) as a function of (share, spread).

    The chance of `right` is a sum over the answers that were known rather than guessed. E of
    pi^i (1 - pi)^m under the beta, with g = spread / (1 - spread), is
    prod (share + j g) prod (1 - share + j g) / prod (1 + j g): positive terms, exact at spread 0.
    Each factor is taken over 1 + j g, so that no product leaves what a float holds.
    """
    most = max(of for _, of in counts)
    right, of = np.array(counts).T
    known = np.arange(right.max() + 1)
    wrong = (of - right)[:, None]
    known_of = np.minimum(known, right[:, None])
    parts = special.comb(right[:, None], known) * guess ** (right[:, None] - known_of)
    parts = parts * (1 - guess) ** (wrong + known) * special.comb(of, right)[:, None]
    steps = np.arange(most)

    def at(share: float, spread: float) -> NDArray[np.float64]:
        g = spread / (1 - spread)
        rising = [
            np.concatenate(([1.0], np.cumprod((start + g * steps) / (1 + g * steps))))
            for start in (share, 1 - share)
        ]
        ones = np.concatenate(([0.0], np.cumsum(np.log1p(g * steps))))
        # Known answers beyond the right ones have no chance (`parts` is 0 there).
        joined = np.exp(ones[known_of] + ones[wrong] - ones[known_of + wrong])
        terms = parts * rising[0][known] * rising[1][wrong] * joined
        return np.asarray(np.log(np.maximum(terms.sum(axis=1), 1e-300)))

    return at


class _Fit:
    """The likelihood of all tasters in (share, spread), both 0 to 1."""

    def __init__(self, counts: list[tuple[int, int]], kind: Form) -> None:
        different = sorted(set(counts))
        self.times = np.array([counts.count(pair) for pair in different])
        self.log_chances = log_chances(different, kind.guess)

    def at(self, share: float, spread: float) -> float:
        """Log-likelihood with its constants."""
        return float(self.times @ self.log_chances(share, min(spread, 1 - 1e-9)))

    def best(self) -> tuple[tuple[float, float], float]:
        """Estimates and the highest log-likelihood, bounds included."""
        starts = [(s, g) for s in (0.05, 0.3, 0.7) for g in (0.05, 0.5)]
        found = [
            optimize.minimize(
                lambda at: -max(self.at(*np.clip(at, 0.0, 1.0)), -1e9), start,
                method="L-BFGS-B", bounds=[(0.0, 1.0), (0.0, 1 - 1e-6)],
            )
            for start in starts
        ]  # fmt: skip
        share, spread = min(found, key=lambda each: each.fun).x
        # Coordinate by coordinate to the last digits, then onto the bounds where they are near.
        for _ in range(60):
            before = share, spread
            share = _top(partial(self.at, spread=spread), 0.0, 1.0, share)
            spread = _top(partial(self.at, share), 0.0, 1 - 1e-6, spread)
            if max(abs(share - before[0]), abs(spread - before[1])) < 1e-10:
                break
        if share == 0.0:
            spread = 0.0
        return (share, spread), self.at(share, spread)

    def best_given(self, which: int, value: float) -> float:
        """Highest log-likelihood with the share (0) or the spread (1) held at `value`."""

        def at(other: float) -> float:
            return self.at(value, other) if which == 0 else self.at(other, value)

        tried = [_top(at, 0.0, 1.0 - 1e-6 * (which == 0), start) for start in (0.05, 0.5)]
        return max(at(each) for each in (*tried, 0.0))

    def limits(
        self, which: int, best: tuple[float, float], top: float, alpha: float
    ) -> tuple[float, float]:
        """Values the profile likelihood keeps at level 1 - alpha."""
        wanted = top - float(special.chdtri(1, alpha)) / 2

        def above(value: float) -> float:
            return max(self.best_given(which, value), -1e9) - wanted

        end = 1.0 if which == 0 else 1 - 1e-6
        here = best[which]
        low = 0.0 if above(0.0) >= 0 else optimize.brentq(above, 0.0, here, xtol=1e-10)
        high = 1.0 if above(end) >= 0 else optimize.brentq(above, here, end, xtol=1e-10)
        return float(low), float(high)

    def errors(self, share: float, spread: float) -> tuple[float | None, float | None]:
        """Standard errors from the curvature; None on a bound."""
        if min(share, 1 - share) < 1e-3:
            return None, None
        free = [0, 1] if 1e-3 < spread < 1 - 1e-3 else [0]
        curve = -_hessian(lambda x: self.at(*x), np.array([share, spread]), free)
        try:
            spread_of = np.linalg.inv(curve).diagonal()
        except np.linalg.LinAlgError:
            return None, None
        roots = [math.sqrt(v) if v > 0 else None for v in spread_of]
        return roots[0], roots[1] if len(free) == 2 else None


def _top(function: Callable[[float], float], low: float, high: float, start: float) -> float:
    """Where a function of one share is highest, the bounds included."""
    left, right = max(low, start - 0.2), min(high, start + 0.2)
    while True:
        found = optimize.minimize_scalar(
            lambda x: -max(function(x), -1e9), bounds=(left, right), method="bounded",
            options={"xatol": 1e-11},
        )  # fmt: skip
        at = float(found.x)
        if at - left < 1e-7 and left > low:
            left = max(low, left - 0.3)
        elif right - at < 1e-7 and right < high:
            right = min(high, right + 0.3)
        else:
            break
    for bound in (low, high):
        if abs(at - bound) < _EDGE and function(bound) >= function(at) - 1e-12:
            return bound
    return at


def _hessian(
    function: Callable[[np.ndarray], float], at: np.ndarray, free: list[int], step: float = 2e-4
) -> np.ndarray:
    result = np.zeros((len(free), len(free)))
    for row, i in enumerate(free):
        for col, j in enumerate(free):
            total = 0.0
            for one, two in ((1, 1), (1, -1), (-1, 1), (-1, -1)):
                moved = at.copy()
                moved[i] += one * step
                moved[j] += two * step
                total += one * two * function(moved)
            result[row, col] = total / (4 * step * step)
    return result

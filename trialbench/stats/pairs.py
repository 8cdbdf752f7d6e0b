"""Paired numbers: the t interval, and beside it what ranks, signs and sign-flips say."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

from trialbench.model.message import Message, msg, msg_n
from trialbench.stats import sign_flip, signed_ranks
from trialbench.stats.numbers import (
    BadNumbers,
    listed,
    mean,
    on_own_grid,
    plain,
    variance,
)
from trialbench.stats.settings import between, size_or_none
from trialbench.stats.student import quantile, two_sided_p, upper_tail

NULL_HYPOTHESIS = msg(
    "The true mean of a - b is 0 (t); each difference could as well have had the other sign "
    "(signed ranks, signs, sign-flips)."
)
LEAST_ALPHA = 1e-12
"""Limits at a smaller level would be made of rounding."""
ALL_EQUAL = 1e-9
"""Differences closer together than this share of the range of the numbers are all equal."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PairedResult:
    """Paired comparison a - b. Numbers in the units of the data; None has its reason in `notes`.

    `low`, `high` (t) and `hodges_lehmann_low`, `_high` (Walsh averages) are at level 1 - alpha,
    `inner_low`, `inner_high` (t) at 1 - 2 alpha. `dz` = mean / sd of differences, `hedges_g` = dz
    times the exact small-sample factor J. `signed_rank_p` (zeros dropped), `sign_p` and
    `sign_flip_p` are exact and two-sided, `smallest_possible_p` = 2 / 2^n. `equivalence_p` is the
    larger of the two one-sided p against -matters and +matters (Schuirmann 1987).
    """

    n: int
    estimate: float | None = None
    se: float | None = None
    df: int | None = None
    t: float | None = None
    p: float | None = None
    low: float | None = None
    high: float | None = None
    inner_low: float | None = None
    inner_high: float | None = None
    sd: float | None = None
    dz: float | None = None
    hedges_g: float | None = None
    signed_rank_p: float | None = None
    sign_p: float | None = None
    hodges_lehmann: float | None = None
    hodges_lehmann_low: float | None = None
    hodges_lehmann_high: float | None = None
    sign_flip_p: float | None = None
    equivalence_p: float | None = None
    smallest_possible_p: float | None = None
    alpha: float
    matters: float | None = None
    null_hypothesis: Message = NULL_HYPOTHESIS
    notes: tuple[Message, ...] = ()


def paired(
    a: Iterable[object], b: Iterable[object], matters: float | None = None, alpha: float = 0.05
) -> PairedResult:
    """Compare paired numbers of equal length, a[i] with b[i].

    A pair with a missing number (None, NaN) is left out and counted in `notes`. Raises
    `BadNumbers` (a ValueError) for text, infinities, unequal lengths, matters not above 0 or
    alpha outside 0 to 0.5.
    """
    alpha, matters = check_alpha(alpha), check_matters(matters)
    pairs, notes = _complete(listed(a, "a"), listed(b, "b"))
    result = PairedResult(n=len(pairs), alpha=alpha, matters=matters, notes=tuple(notes))
    if not pairs:
        return _noted(result, msg("No complete pair: nothing to reckon."))
    return _with_exact(_with_t(result, pairs), pairs)


def _noted(result: PairedResult, *notes: Message) -> PairedResult:
    return replace(result, notes=(*result.notes, *notes))


def check_alpha(alpha: float) -> float:
    """alpha as a plain number; raises `BadNumbers` unless 1e-12 < alpha < 0.5."""
    return between(alpha, "alpha", LEAST_ALPHA, 0.5)


def check_matters(matters: float | None) -> float | None:
    """matters as a plain number or None; raises `BadNumbers` unless it is above 0 or None."""
    return size_or_none(matters, "matters")


def _complete(a: list[object], b: list[object]) -> tuple[list[tuple[float, float]], list[Message]]:
    if len(a) != len(b):
        raise BadNumbers(
            f"{len(a)} numbers in a, {len(b)} in b: they cannot be paired.",
            where="a, b",
            allowed="the same number on both sides; a missing one as None or NaN",
        )
    both = [
        (plain(x, f"a[{i}]"), plain(y, f"b[{i}]"))
        for i, (x, y) in enumerate(zip(a, b, strict=True))
    ]
    kept = [(x, y) for x, y in both if x is not None and y is not None]
    notes = []
    if len(kept) < len(both):
        notes.append(
            msg_n(
                "{count} pair has a missing number and is left out.",
                "{count} pairs have a missing number and are left out.",
                len(both) - len(kept),
            )
        )
    return kept, notes


def _with_t(result: PairedResult, pairs: list[tuple[float, float]]) -> PairedResult:
    """The fields that come from t; None with a note where there is no scatter to reckon from."""
    differences = [first - second for first, second in pairs]
    values = [value for pair in pairs for value in pair]
    n, estimate = result.n, mean(differences)
    result = replace(result, estimate=estimate)
    if n < 2:
        return _noted(result, msg("Fewer than two pairs: no scatter, so no interval and no p."))
    result = replace(result, df=n - 1)
    if max(differences) - min(differences) <= ALL_EQUAL * (max(values) - min(values)):
        note = msg("All differences are equal: no scatter, so no interval and no t.")
        return _noted(replace(result, se=0.0, sd=0.0), note)
    sd = math.sqrt(variance(differences))
    se = sd / math.sqrt(n)
    wide, narrow = (quantile(tail, n - 1) * se for tail in (result.alpha / 2, result.alpha))
    result = replace(
        result,
        se=se,
        sd=sd,
        t=estimate / se,
        p=two_sided_p(estimate / se, n - 1),
        low=estimate - wide,
        high=estimate + wide,
        inner_low=estimate - narrow,
        inner_high=estimate + narrow,
        dz=estimate / sd,
    )
    if result.matters is not None:
        p = equivalence_p(estimate, se, n - 1, result.matters)
        result = replace(result, equivalence_p=p)
    if n == 2:
        return _noted(result, msg("Two pairs: the small-sample factor of Hedges' g has no value."))
    return replace(result, hedges_g=estimate / sd * small_sample_factor(n - 1))


def equivalence_p(estimate: float, se: float, df: float, matters: float) -> float:
    """Larger of the two one-sided p: is the true value above -matters, and below +matters?"""
    return max(upper_tail((estimate + matters) / se, df), upper_tail((matters - estimate) / se, df))


def small_sample_factor(df: int) -> float:
    """Exact J with `df` >= 2 (Hedges 1981, J. Educational Statistics 6, 107)."""
    return math.exp(math.lgamma(df / 2) - math.lgamma((df - 1) / 2)) / math.sqrt(df / 2)


def _with_exact(result: PairedResult, pairs: list[tuple[float, float]]) -> PairedResult:
    """The exact tests, on the numbers' own grid where they have one."""
    differences = [first - second for first, second in pairs]
    steps = on_own_grid(pairs)
    tied = [float(step) for step in steps] if steps is not None else differences
    estimate, low, high = signed_ranks.hodges_lehmann(differences, result.alpha)
    result = replace(
        result,
        signed_rank_p=signed_ranks.signed_rank_p(tied),
        sign_p=signed_ranks.sign_p(tied),
        hodges_lehmann=estimate,
        hodges_lehmann_low=low,
        hodges_lehmann_high=high,
        sign_flip_p=sign_flip.flip_p(differences, steps),
        smallest_possible_p=min(1.0, 2.0 / 2.0**result.n),
    )
    return _noted(result, *_why_not_exact(result, tied))


def _why_not_exact(result: PairedResult, tied: list[float]) -> list[Message]:
    notes = []
    if result.sign_flip_p is None:
        most = sign_flip.MAX_PAIRS
        notes.append(msg("More than {most} pairs: no exact sign-flip test.", most=most))
    if result.hodges_lehmann_low is None:
        notes.append(msg("Too few pairs for an interval from ranks at this level."))
    if result.signed_rank_p is None:
        notes.append(
            msg("Too many pairs for an exact signed-rank test.")
            if any(tied)
            else msg("All differences are 0: nothing is left for ranks and signs.")
        )
    return notes

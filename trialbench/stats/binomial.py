"""The binomial: exact tails, exact limits of a share, and what the likelihood leaves possible."""

from __future__ import annotations

import math
from collections.abc import Callable

from scipy import optimize, special

from trialbench.stats.numbers import BadNumbers, plain, shown

MOST = 1_000_000_000
"""The largest count: up to here the tails are exact and quick."""


def at_least(hits: int, of: int, share: float) -> float:
    """P(X >= hits) for `of` tries with this `share`."""
    return (
        1.0
        if hits <= 0
        else float(special.betainc(hits, of - hits + 1, share))
        if hits <= of
        else 0.0
    )


def at_most(hits: int, of: int, share: float) -> float:
    """P(X <= hits)."""
    return at_least(of - hits, of, 1 - share)


def two_sided(hits: int, of: int, share: float) -> float:
    """Twice the smaller tail, at most 1: it agrees with `exact_limits`."""
    return min(1.0, 2 * min(at_least(hits, of, share), at_most(hits, of, share)))


def exact_limits(hits: int, of: int, alpha: float) -> tuple[float, float]:
    """Limits of the share at level 1 - alpha (Clopper and Pearson 1934, Biometrika 26, 404)."""
    low = float(special.betaincinv(hits, of - hits + 1, alpha / 2)) if hits else 0.0
    high = float(special.betainccinv(hits + 1, of - hits, alpha / 2)) if hits < of else 1.0
    return low, high


def log_likelihood(hits: int, of: int, share: float) -> float:
    """Log-likelihood of the share, without its constant."""
    return float(special.xlogy(hits, share) + special.xlog1py(of - hits, -share))


def likelihood_limits(
    hits: int, of: int, alpha: float, best: float | None = None
) -> tuple[float, float]:
    """Shares whose likelihood ratio against `best` chi-squared (1 df) keeps at level 1 - alpha.

    `best` is the most likely share unless given (where shares below a bound are impossible).
    """
    top = hits / of if best is None else best
    drop = float(special.chdtri(1, alpha)) / 2
    wanted = log_likelihood(hits, of, top) - drop

    def above(share: float) -> float:
        return log_likelihood(hits, of, share) - wanted

    low = 0.0 if top <= 0 or above(0.0) >= 0 else _crossing(above, 0.0, top)
    high = 1.0 if top >= 1 or above(1.0) >= 0 else _crossing(above, 1.0, top)
    return low, high


def _crossing(above: Callable[[float], float], outside: float, inside: float) -> float:
    # An outside of 0 or 1 may have log-likelihood minus infinity: come in until it is finite.
    if math.isinf(above(outside)):
        near = inside
        while above(near) >= 0:
            near = outside + (near - outside) / 8
        outside = near
    return float(optimize.brentq(above, outside, inside, xtol=1e-15, rtol=1e-14))


def check_counts(hits: object, of: object) -> tuple[int, int]:
    """Both as whole numbers, 0 <= hits <= of, of >= 1; raises `BadNumbers` else."""
    right, total = whole(hits, "right"), whole(of, "of")
    if total < 1:
        raise BadNumbers("Nobody has answered.", where="of", allowed="1 or more")
    if right > total:
        raise BadNumbers(f"{right} right of {total}.", where="right", allowed=f"0 to {total}")
    return right, total


def whole(value: object, where: str) -> int:
    """A count of 0 or more, up to `MOST`; raises `BadNumbers` for anything else."""
    allowed = f"0, 1, 2 ... {MOST}"
    number = plain(value, where)
    if number is None or not (0 <= number <= MOST and number.is_integer()):
        raise BadNumbers(f"{where} is {shown(value)}.", where=where, allowed=allowed)
    return int(number)

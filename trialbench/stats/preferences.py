"""Which of two is preferred, with or without the answer "no preference"."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from scipy import optimize, special

from trialbench.model.message import Message, msg
from trialbench.stats.binomial import exact_limits, two_sided, whole
from trialbench.stats.pairs import check_alpha

NULL_HYPOTHESIS = msg("Among those who prefer one, either is as likely.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Preference:
    """`a` prefer a, `b` prefer b, `neither` say no preference (None: it was no answer).

    `p`: exact, two-sided, from those who prefer one (also called the sign test); `needed`: fewest
    on one side with p <= alpha. `share_a` of those, with exact limits `share_low`, `share_high`.
    `net` = (a - b) / all, with score limits (Tango 1998, Statistics in Medicine 17, 891).
    `d_prime`: sensory or liking difference a - b of a two-sample comparison with normal noise, with
    `band`: differences smaller than it are called no preference (both in units of the noise of one
    sample; None where the counts give no finite value), `d_prime_se` and likelihood limits.
    """

    a: int
    b: int
    neither: int | None
    alpha: float
    p: float | None
    needed: int | None
    share_a: float | None
    share_low: float | None
    share_high: float | None
    net: float | None
    net_low: float | None
    net_high: float | None
    d_prime: float | None
    d_prime_se: float | None
    d_prime_low: float | None
    d_prime_high: float | None
    band: float | None
    null_hypothesis: Message = NULL_HYPOTHESIS
    notes: tuple[Message, ...] = ()


def preference(a: int, b: int, neither: int | None = None, *, alpha: float = 0.05) -> Preference:
    """Judge a paired preference by different tasters. Raises `BadNumbers` for what is no count."""
    a, b = whole(a, "a"), whole(b, "b")
    unsure = None if neither is None else whole(neither, "neither")
    alpha = check_alpha(alpha)
    one_side, everybody = a + b, a + b + (unsure or 0)
    low, high = exact_limits(a, one_side, alpha) if one_side else (None, None)
    net_low, net_high = net_limits(a, b, everybody, alpha) if everybody else (None, None)
    d_prime, se, band, limits, notes = _on_one_axis(a, b, unsure or 0, alpha)
    return Preference(
        a=a,
        b=b,
        neither=unsure,
        alpha=alpha,
        p=two_sided(a, one_side, 0.5) if one_side else None,
        needed=_needed(one_side, alpha),
        share_a=a / one_side if one_side else None,
        share_low=low,
        share_high=high,
        net=(a - b) / everybody if everybody else None,
        net_low=net_low,
        net_high=net_high,
        d_prime=d_prime,
        d_prime_se=se,
        d_prime_low=limits[0],
        d_prime_high=limits[1],
        band=band,
        notes=notes,
    )


def _needed(one_side: int, alpha: float) -> int | None:
    """Fewest on one side, of all who prefer one, with p at most alpha: p falls from the middle."""
    low, high = (one_side + 1) // 2, one_side + 1
    while low < high:
        middle = (low + high) // 2
        enough = two_sided(middle, one_side, 0.5) <= alpha
        low, high = (low, middle) if enough else (middle + 1, high)
    return low if low <= one_side else None


def net_limits(a: int, b: int, n: int, alpha: float) -> tuple[float, float]:
    """Score limits of the difference of two paired shares, (a - b) / n, at level 1 - alpha."""
    z = -float(special.ndtri(alpha / 2))

    def score(difference: float) -> float:
        # Most likely share of b at this difference (Tango 1998, equation 5).
        first = -a - b + (2 * n - a + b) * difference
        last = -b * difference * (1 - difference)
        share_b = (math.sqrt(max(first * first - 8 * n * last, 0.0)) - first) / (4 * n)
        spread = n * (2 * share_b + difference * (1 - difference))
        away = a - b - n * difference
        return away / math.sqrt(spread) if spread > 0 else math.copysign(math.inf, away or 1.0)

    net = (a - b) / n
    low = -1.0 if a == 0 and b == n else _root(lambda d: score(d) - z, -1 + 1e-12, net)
    high = 1.0 if a == n else _root(lambda d: score(d) + z, net, 1 - 1e-12)
    return low, high


def _root(function: Callable[[float], float], left: float, right: float) -> float:
    at_left, at_right = function(left), function(right)
    if at_left * at_right > 0:
        return left if abs(at_left) < abs(at_right) else right
    return float(optimize.brentq(function, left, right, xtol=1e-14))


_Limits = tuple[float | None, float | None]


def _on_one_axis(
    a: int, b: int, neither: int, alpha: float
) -> tuple[float | None, float | None, float | None, _Limits, tuple[Message, ...]]:
    """d', its standard error, the band, its likelihood limits, and what to note.

    Differences are normal with sd sqrt(2); above the band a is preferred, below minus the band b.
    Christensen, Lee and Brockhoff 2012, Food Quality and Preference 26, 57 (from memory).
    """
    n = a + b + neither
    if a == 0 or b == 0:
        if n == 0:
            return None, None, None, (None, None), (msg("Nobody has answered."),)
        note = msg("Everybody who prefers one prefers the same: d-prime has no finite value.")
        return None, None, None, (None, None), (note,)
    to_a, to_b = float(special.ndtri(a / n)), float(special.ndtri(b / n))
    d_prime = (to_a - to_b) / math.sqrt(2)
    band = max(0.0, -(to_a + to_b) / math.sqrt(2)) if neither else 0.0
    limits = _profile_limits(a, b, neither, d_prime, alpha)
    return d_prime, _standard_error(a, b, n), band, limits, ()


def _standard_error(a: int, b: int, n: int) -> float:
    """From the covariance of the two shares (the estimates are functions of them)."""
    shares = a / n, b / n
    slopes = [1 / (_density(float(special.ndtri(share))) * math.sqrt(2)) for share in shares]
    own = sum(s * s * p * (1 - p) for s, p in zip(slopes, shares, strict=True))
    return math.sqrt((own + 2 * slopes[0] * slopes[1] * shares[0] * shares[1]) / n)


def _density(z: float) -> float:
    return math.exp(-z * z / 2) / math.sqrt(2 * math.pi)


def _profile_limits(a: int, b: int, neither: int, d_prime: float, alpha: float) -> _Limits:
    drop = float(special.chdtri(1, alpha)) / 2

    def log_likelihood(d: float, band: float) -> float:
        up = float(special.log_ndtr((d - band) / math.sqrt(2)))
        down = float(special.log_ndtr((-d - band) / math.sqrt(2)))
        middle = -math.expm1(math.log(math.exp(up) + math.exp(down) + 1e-300))
        rest = neither * math.log(max(middle, 1e-300)) if neither else 0.0
        return a * up + b * down + rest

    def profile(d: float) -> float:
        if not neither:
            return log_likelihood(d, 0.0)
        best = optimize.minimize_scalar(
            lambda band: -log_likelihood(d, band), bounds=(1e-9, abs(d) + 12.0), method="bounded",
            options={"xatol": 1e-10},
        )  # fmt: skip
        return -float(best.fun)

    wanted = profile(d_prime) - drop
    ends = []
    for way in (-1.0, 1.0):
        reach = 0.5
        while profile(d_prime + way * reach) > wanted:
            reach *= 2
        ends.append(_root(lambda d: profile(d) - wanted, *sorted((d_prime, d_prime + way * reach))))
    return ends[0], ends[1]

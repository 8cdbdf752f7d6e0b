"""The variance between trials: five ways to estimate it, and its limits from the generalised Q."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray
from scipy import optimize, special

Floats = NDArray[np.float64]

BETWEEN = ("restricted-likelihood", "moments", "generalised-q", "likelihood", "none")


def between_variance(y: Floats, v: Floats, how: str) -> tuple[float, float | None]:
    """Variance between trials (never below 0) and its large-sample standard error."""
    if how == "none":
        return 0.0, None
    k = len(y)
    if how == "moments":
        slope = float(_projection(v, 0.0).trace())
        tau2 = max(0.0, (generalised_q(y, v, 0.0) - (k - 1)) / slope)
    elif how == "generalised-q":
        tau2 = _solve_q(y, v, float(k - 1))
    else:
        tau2 = _most_likely(y, v, restricted=how == "restricted-likelihood")
    return tau2, _standard_error(v, tau2, how)


def generalised_q(y: Floats, v: Floats, tau2: float) -> float:
    """Weighted squares about the pooled effect at this variance between trials."""
    weights = 1 / (v + tau2)
    middle = weights @ y / weights.sum()
    return float(weights @ (y - middle) ** 2)


def q_limits(y: Floats, v: Floats, alpha: float) -> tuple[float, float]:
    """Limits of the variance between trials (Viechtbauer 2007, Statistics in Medicine 26, 37)."""
    df = len(y) - 1
    high, low = float(special.chdtri(df, alpha / 2)), float(special.chdtri(df, 1 - alpha / 2))
    return _solve_q(y, v, high), _solve_q(y, v, low)


def _solve_q(y: Floats, v: Floats, wanted: float) -> float:
    """The variance at which the generalised Q, which falls, is `wanted`; 0 where it is below."""
    if generalised_q(y, v, 0.0) <= wanted:
        return 0.0
    high = float(v.max() + y.var())
    while generalised_q(y, v, high) > wanted:
        high *= 4
    return float(
        optimize.brentq(
            lambda t: generalised_q(y, v, t) - wanted, 0.0, high, xtol=1e-300, rtol=1e-15
        )
    )


def _projection(v: Floats, tau2: float) -> Floats:
    weights = 1 / (v + tau2)
    return np.asarray(np.diag(weights) - np.outer(weights, weights) / weights.sum())


def _slope(y: Floats, v: Floats, tau2: float, restricted: bool) -> float:
    """Derivative of twice the log-likelihood."""
    weights = 1 / (v + tau2)
    total = weights.sum()
    away = y - weights @ y / total
    slope = float((weights**2) @ away**2 - total)
    return slope + float((weights**2).sum() / total) if restricted else slope


def _log_likelihood(y: Floats, v: Floats, tau2: float, restricted: bool) -> float:
    weights = 1 / (v + tau2)
    found = float(np.log(weights).sum()) - generalised_q(y, v, tau2)
    return found - math.log(float(weights.sum())) if restricted else found


def _most_likely(y: Floats, v: Floats, restricted: bool) -> float:
    """Highest of all tops: the likelihood can have two, so it is looked at on a fine grid first."""
    reach = float(((y - y.mean()) ** 2).sum() + v.max())
    grid = np.concatenate(([0.0], np.geomspace(v.min() * 1e-4, reach * 4, 160)))
    slopes = [_slope(y, v, float(t), restricted) for t in grid]
    tops = [0.0]
    for i in range(len(grid) - 1):
        if slopes[i] > 0 >= slopes[i + 1]:
            tops.append(float(optimize.brentq(
                lambda t: _slope(y, v, t, restricted), grid[i], grid[i + 1], xtol=1e-300,
                rtol=1e-15,
            )))  # fmt: skip
    return max(tops, key=lambda t: _log_likelihood(y, v, t, restricted))


def _standard_error(v: Floats, tau2: float, how: str) -> float:
    projection, k = _projection(v, tau2), len(v)
    if how == "likelihood":
        return math.sqrt(2 / float(((v + tau2) ** -2).sum()))
    if how == "restricted-likelihood":
        return math.sqrt(2 / float((projection * projection.T).sum()))
    if how == "generalised-q":
        return math.sqrt(2 * k * k / (k - 1)) / float((1 / (v + tau2)).sum())
    plain = _projection(v, 0.0)
    one, two = float(plain.trace()), float((plain * plain.T).sum())
    return math.sqrt((2 * (k - 1) + 4 * tau2 * one + 2 * tau2**2 * two) / one**2)

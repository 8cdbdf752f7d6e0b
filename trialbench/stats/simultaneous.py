"""Largest of several t: all pairs (Tukey-Kramer) and each against the usual one (Dunnett).

Both are averages over the spread's own distribution s (chi / sqrt(df)) of a normal integral; with
log s and the normal value as variables both integrands die away on either side, where the
trapezoidal rule is exact to rounding.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import lru_cache

import numpy as np
from scipy import optimize, special

from trialbench.stats.mixed_reml import Array
from trialbench.stats.student import quantile, two_sided_p

_STEP = 0.1
_NORMAL = np.arange(-9.0, 9.0 + _STEP / 2, _STEP)
_DENSITY = np.exp(-0.5 * _NORMAL**2) / math.sqrt(2.0 * math.pi) * _STEP
_MOST_DF = 1e6
_LEAST_DF = 0.5
"""Below this the bound of Bonferroni is given."""


@lru_cache(maxsize=256)
def spread_nodes(df: float) -> tuple[Array, Array]:
    """Values of s = chi / sqrt(df) and their weights, which add up to 1 to about 1e-14."""
    df = min(df, _MOST_DF)
    low = -34.0 / df - 7.0 / math.sqrt(2.0 * df)
    high = 0.5 * math.log1p(24.0 / math.sqrt(df) + 90.0 / df)
    logs = np.linspace(low, high, max(600, math.ceil((high - low) / 0.06)))
    log_density = (
        math.log(2.0) + df / 2.0 * math.log(df / 2.0) - math.lgamma(df / 2.0)
        + df * logs - 0.5 * df * np.exp(2.0 * logs)
    )  # fmt: skip
    weights = np.exp(log_density) * (logs[1] - logs[0])
    kept = weights > 1e-18
    return np.exp(logs[kept]), weights[kept]


def tukey_p(t: float, groups: int, df: float) -> float:
    """P(largest |t| of all pairs of `groups` equal means >= |t|) (Tukey-Kramer).

    Tukey 1953 and Kramer 1956 (Biometrics 12, 307): the studentised range at |t| sqrt(2).
    """
    if groups == 2:
        return two_sided_p(t, df)
    if df < _LEAST_DF:
        return min(1.0, groups * (groups - 1) / 2 * two_sided_p(t, df))
    spread, weights = spread_nodes(df)
    width = (abs(t) * math.sqrt(2.0) * spread)[:, None]
    inside = special.ndtr(_NORMAL) - special.ndtr(_NORMAL - width)
    within = groups * (inside ** (groups - 1)) @ _DENSITY
    return _clipped(float(weights @ (1.0 - within)))


def tukey_quantile(alpha: float, groups: int, df: float) -> float:
    """The |t| that `tukey_p` gives `alpha` for."""
    return _quantile(lambda t: tukey_p(t, groups, df), alpha, groups * (groups - 1) // 2, df)


def dunnett_p(t: float, loadings: Array, df: float) -> float:
    """P(largest |t_i| >= |t|), the t_i having correlations loading_i * loading_j (m loadings).

    Dunnett 1955 (J. American Statistical Association 50, 1096), two-sided.
    """
    if len(loadings) == 1:
        return two_sided_p(t, df)
    if df < _LEAST_DF:
        return min(1.0, len(loadings) * two_sided_p(t, df))
    spread, weights = spread_nodes(df)
    within = np.ones((spread.size, _NORMAL.size))
    for loading in loadings:
        own = math.sqrt(1.0 - float(loading) ** 2)
        middle, reach = float(loading) * _NORMAL / own, (abs(t) * spread)[:, None] / own
        within *= special.ndtr(middle + reach) - special.ndtr(middle - reach)
    return _clipped(float(weights @ (1.0 - within @ _DENSITY)))


def dunnett_quantile(alpha: float, loadings: Array, df: float) -> float:
    """The |t| that `dunnett_p` gives `alpha` for."""
    return _quantile(lambda t: dunnett_p(t, loadings, df), alpha, len(loadings), df)


def loadings_of(correlation: Array) -> Array:
    """One-factor loadings nearest to a correlation matrix (m, m); exact for balanced designs.

    Hsu 1992 (J. Computational and Graphical Statistics 1, 151).
    """
    m = len(correlation)
    upper = np.triu_indices(m, 1)
    wanted = correlation[upper]
    if m < 2:
        return np.zeros(m)
    start = np.full(m, math.sqrt(min(0.99, max(0.01, float(np.abs(wanted).mean())))))
    fit = optimize.least_squares(
        lambda own: np.outer(own, own)[upper] - wanted, start, bounds=(-0.999, 0.999), xtol=1e-14,
        ftol=1e-14, gtol=1e-14,
    )  # fmt: skip
    return np.asarray(fit.x)


def _quantile(tail: Callable[[float], float], alpha: float, claims: int, df: float) -> float:
    low, high = quantile(alpha / 2.0, df), quantile(alpha / (2.0 * claims), df)
    if df < _LEAST_DF or high - low < 1e-12 * high:
        return high
    # The share of a single claim and Bonferroni's bound hold the answer between them.
    return float(optimize.brentq(lambda t: tail(t) - alpha, low * 0.999, high * 1.001, xtol=1e-10))


def _clipped(p: float) -> float:
    return min(1.0, max(0.0, p))

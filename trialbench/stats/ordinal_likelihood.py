"""The likelihood of ordered answers: thresholds less a linear part, logit or probit, in one sweep.

P(answer <= j) = F(threshold_j - x beta - sd u), u standard normal for each taster. Parameters are
(thresholds, betas), then log sd where there is a random taster.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from scipy import special

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

NODES = 31
_SOLVED = 1e-11


@dataclass(frozen=True)
class Answers:
    """n answers in categories 0 ... `categories` - 1, their design (n, p), and whose they are.

    `taster`: 0, 1, 2 ... in rising order; None without a random taster.
    """

    category: Ints
    design: Floats
    categories: int
    link: str
    taster: Ints | None = None

    @cached_property
    def tasters(self) -> int:
        """Number of tasters."""
        return 0 if self.taster is None else int(self.taster.max()) + 1

    @property
    def thresholds(self) -> int:
        """Number of thresholds."""
        return self.categories - 1


def _edges(answers: Answers, at: Floats) -> tuple[Floats, Floats]:
    """Upper and lower edge of each answer on the latent scale, infinite at the ends."""
    m = answers.thresholds
    padded = np.concatenate(([-np.inf], at[:m], [np.inf]))
    linear = answers.design @ at[m : m + answers.design.shape[1]]
    return padded[answers.category + 1] - linear, padded[answers.category] - linear


def _pieces(link: str, upper: Floats, lower: Floats) -> tuple[Floats, Floats, Floats]:
    """Log of F(upper) - F(lower), and its derivatives by upper and by lower."""
    # Mirrored where both lie above 0, so that no difference of numbers near 1 is taken.
    flip = lower > 0
    high, low = np.where(flip, -lower, upper), np.where(flip, -upper, lower)
    if link == "logit":
        span = special.expit(high) - special.expit(low)
        upper_density = special.expit(upper) * special.expit(-upper)
        lower_density = special.expit(lower) * special.expit(-lower)
    else:
        span = special.ndtr(high) - special.ndtr(low)
        upper_density, lower_density = _normal(upper), _normal(lower)
    span = np.maximum(span, 1e-300)
    return np.log(span), upper_density / span, -lower_density / span


def _normal(z: Floats) -> Floats:
    return np.asarray(np.exp(-0.5 * np.minimum(z * z, 1400.0)) / math.sqrt(2 * math.pi))


def _slope_of_density(link: str, z: Floats, ratio: Floats) -> Floats:
    """Density's derivative over the span, from density over the span."""
    finite = np.where(np.isfinite(z), z, 0.0)
    if link == "logit":
        return np.asarray(ratio * (1 - 2 * special.expit(finite)))
    return -finite * ratio


def log_likelihood(answers: Answers, at: Floats) -> float:
    """Log-likelihood; minus infinity where the thresholds do not rise."""
    if np.any(np.diff(at[: answers.thresholds]) <= 0):
        return -math.inf
    if answers.taster is None:
        upper, lower = _edges(answers, at)
        return float(_pieces(answers.link, upper, lower)[0].sum())
    return float(_integrals(answers, at)[0].sum())


def gradient(answers: Answers, at: Floats) -> Floats:
    """Derivatives of the log-likelihood by all parameters."""
    m, p = answers.thresholds, answers.design.shape[1]
    if answers.taster is None:
        upper, lower = _edges(answers, at)
        _, by_upper, by_lower = _pieces(answers.link, upper, lower)
        return _collected(answers, by_upper, by_lower)
    _, weights, nodes, by_upper, by_lower = _integrals(answers, at)
    # Fisher's identity: the mean of the derivatives over each taster's own distribution of u.
    own = weights[answers.taster]
    result = np.empty(m + p + 1)
    result[: m + p] = _collected(answers, (own * by_upper).sum(1), (own * by_lower).sum(1))
    sd = math.exp(at[-1])
    moved = -(by_upper + by_lower) * nodes[answers.taster] * sd
    result[-1] = float((own * moved).sum())
    return result


def _collected(answers: Answers, by_upper: Floats, by_lower: Floats) -> Floats:
    m, k = answers.thresholds, answers.categories
    up = np.bincount(answers.category, by_upper, k)[:m]
    down = np.bincount(answers.category, by_lower, k)[1:]
    return np.concatenate((up + down, -(by_upper + by_lower) @ answers.design))


def _integrals(answers: Answers, at: Floats) -> tuple[Floats, Floats, Floats, Floats, Floats]:
    """Per taster: log of the integral over u; weights and nodes (tasters, nodes); derivatives.

    Adaptive Gauss-Hermite: nodes are centred and scaled by each taster's own mode and curvature
    (Pinheiro and Bates 1995, J. Computational and Graphical Statistics 4, 12).
    """
    assert answers.taster is not None
    upper, lower = _edges(answers, at)
    sd, who, tasters = math.exp(at[-1]), answers.taster, answers.tasters
    mode, spread = _modes(answers, upper, lower, sd)
    points, weights = np.polynomial.hermite_e.hermegauss(NODES)
    nodes = mode[:, None] + spread[:, None] * points
    shift = sd * nodes[who]
    logs, by_upper, by_lower = _pieces(answers.link, upper[:, None] - shift, lower[:, None] - shift)
    # Rows stand in order of tasters, each of whom has one at least.
    total = np.add.reduceat(logs, np.searchsorted(who, np.arange(tasters)), axis=0)
    total += np.log(weights) + points**2 / 2 - nodes**2 / 2 - math.log(2 * math.pi) / 2
    top = total.max(axis=1, keepdims=True)
    shares = np.exp(total - top)
    sums = shares.sum(axis=1)
    logs_of = np.log(sums) + top[:, 0] + np.log(spread)
    return logs_of, shares / sums[:, None], nodes, by_upper, by_lower


def _modes(answers: Answers, upper: Floats, lower: Floats, sd: float) -> tuple[Floats, Floats]:
    """Most likely u of each taster and the spread there (the integrand is log-concave)."""
    assert answers.taster is not None
    who, tasters = answers.taster, answers.tasters
    mode = np.zeros(tasters)
    for _ in range(100):
        above, below = upper - sd * mode[who], lower - sd * mode[who]
        _, by_upper, by_lower = _pieces(answers.link, above, below)
        both = by_upper + by_lower
        curve = (
            _slope_of_density(answers.link, above, by_upper)
            + _slope_of_density(answers.link, below, by_lower) - both**2
        )  # fmt: skip
        slope = -sd * np.bincount(who, both, tasters) - mode
        bend = np.minimum(sd**2 * np.bincount(who, curve, tasters), 0.0) - 1
        step = np.clip(-slope / bend, -2.0, 2.0)
        mode = mode + step
        if np.abs(step).max() < _SOLVED:
            break
    return mode, 1 / np.sqrt(-bend)


def hessian(answers: Answers, at: Floats, slope: Floats | None = None) -> Floats:
    """Second derivatives, from differences of the exact gradient (to about nine digits).

    With the `slope` at this place in hand, from one difference each (to about five digits).
    """
    size = len(at)
    result = np.zeros((size, size))
    if slope is not None:
        for i in range(size):
            moved = at.copy()
            moved[i] += 1e-6
            result[i] = (gradient(answers, moved) - slope) * 1e6
        return (result + result.T) / 2
    for i in range(size):
        step = 1e-4 * max(1.0, abs(at[i]))
        parts = []
        for times in (1, 2):
            moved = np.zeros(size)
            moved[i] = times * step
            parts.append((gradient(answers, at + moved) - gradient(answers, at - moved)) / 2 / step)
        result[i] = (8 * parts[0] - parts[1]) / 6
    return (result + result.T) / 2

"""Restricted maximum likelihood for random intercepts, by variance ratios and Woodbury's identity.

Model: y = X b + sum_k Z_k u_k + e, var(u_k) = ratio_k * s2, var(e) = s2, V = I + sum_k ratio_k Z_k
Z_k'. Everything is reckoned from the cross products of X, Z and y, so that cost grows with the
number of random effects and not with the rows cubed (Harville 1977, J. American Statistical
Association 72, 320; Searle, Casella and McCulloch 1992, Variance Components, chapter 6).

Shapes: n rows, p fixed columns (orthonormal), q random effects in K terms.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy.linalg import lapack

Array = npt.NDArray[np.float64]

VANISHED, CEILING = 1e6, 1e8
"""From the first ratio on nothing is left for the residual; none goes past the second."""
_ITERATIONS = 200
_RIDGE = 1e-3
"""Keeps a scoring step short where two terms can hardly be told apart."""


@dataclass(frozen=True, slots=True)
class CrossProducts:
    """What the data come to: `zz` (q, q), `zx` (q, p), `zy` (q,), `xy` (p,), `yy`; K `starts`.

    y is the residual of ordinary least squares, so that a large mean costs no digits.
    """

    rows: int
    zz: Array
    zx: Array
    zy: Array
    xy: Array
    yy: float
    starts: npt.NDArray[np.intp]
    sizes: npt.NDArray[np.intp]

    @property
    def df(self) -> int:
        """n - p."""
        return self.rows - int(self.zx.shape[1])

    def only(self, terms: list[int]) -> CrossProducts:
        """The same with some of the random terms."""
        keep = [
            np.arange(self.starts[k], self.starts[k] + self.sizes[k], dtype=np.intp) for k in terms
        ]
        places = np.concatenate(keep) if keep else np.zeros(0, dtype=np.intp)
        sizes = self.sizes[terms] if terms else np.zeros(0, dtype=np.intp)
        return CrossProducts(
            self.rows,
            self.zz[np.ix_(places, places)],
            self.zx[places],
            self.zy[places],
            self.xy,
            self.yy,
            np.concatenate([[0], np.cumsum(sizes)[:-1]]).astype(np.intp) if terms else sizes,
            sizes,
        )


@dataclass(frozen=True, slots=True)
class Point:
    """Everything at one set of ratios, for s2 = 1. P = V^-1 - V^-1 X (X'V^-1X)^-1 X'V^-1.

    `deviance` = log|V| + log|X'V^-1X| + (n - p) log y'Py, `zpz` = Z'PZ (q, q), `zvx` = Z'V^-1X,
    `zpy` = Z'Py, `phi` = (X'V^-1X)^-1, `xvx` its inverse, `beta` (p,), `ypy` = y'Py.
    """

    ratios: Array
    deviance: float
    log_det: float
    zpz: Array
    zvx: Array
    zpy: Array
    phi: Array
    xvx: Array
    beta: Array
    ypy: float


def point(data: CrossProducts, ratios: Array) -> Point | None:
    """All quantities at `ratios` (K,), each >= 0; None where they cannot be reckoned."""
    scale = np.repeat(np.sqrt(ratios), data.sizes)
    used = scale > 0.0
    if used.all():
        scaled, weights = data.zz, scale
    else:
        scaled, weights = data.zz[used], scale[used]
    half = weights[:, None] * scaled
    inner = half[:, used] * weights
    inner.flat[:: inner.shape[0] + 1] += 1.0
    if inner.size:
        low, info = lapack.dpotrf(inner, lower=1, overwrite_a=1)
        if info:
            return None
        right = np.hstack(
            [half, weights[:, None] * data.zx[used], (weights * data.zy[used])[:, None]]
        )
        solved, _ = lapack.dtrtrs(low, right, lower=1)
        log_v = 2.0 * float(np.log(np.diagonal(low)).sum())
    else:
        solved = np.zeros((0, data.zz.shape[0] + data.zx.shape[1] + 1))
        log_v = 0.0
    return _finish(data, ratios, solved, log_v)


def _finish(data: CrossProducts, ratios: Array, solved: Array, log_v: float) -> Point | None:
    q, p = data.zx.shape
    hz, hx, hy = solved[:, :q], solved[:, q : q + p], solved[:, -1]
    xvx = np.eye(p) - hx.T @ hx
    try:
        root = np.linalg.cholesky(xvx)
    except np.linalg.LinAlgError:
        return None
    inverse = np.linalg.inv(root)
    phi = inverse.T @ inverse
    xvy = data.xy - hx.T @ hy
    beta = phi @ xvy
    ypy = data.yy - float(hy @ hy) - float(xvy @ beta)
    if not ypy > 0.0:
        return None
    zvx = data.zx - hz.T @ hx
    tall = inverse @ zvx.T
    zpz = data.zz - hz.T @ hz - tall.T @ tall
    zpy = data.zy - hz.T @ hy - zvx @ beta
    log_x = 2.0 * float(np.log(np.diagonal(root)).sum())
    deviance = log_v + log_x + data.df * math.log(ypy)
    return Point(ratios, deviance, log_v + log_x, zpz, zvx, zpy, phi, xvx, beta, ypy)


def block_sums(matrix: Array, starts: npt.NDArray[np.intp]) -> Array:
    """(K, K) sums over the blocks of a (q, q) matrix."""
    if not starts.size:
        return np.zeros((0, 0))
    return np.add.reduceat(np.add.reduceat(matrix, starts, axis=0), starts, axis=1)


def information(data: CrossProducts, at: Point) -> Array:
    """tr(P V_r P V_s) for r, s in the K terms and the residual, (K + 1, K + 1), s2 = 1.

    Twice the expected information of the variances. Rows of the residual follow from
    P V P = P, V being the sum of all V_r.
    """
    terms = block_sums(at.zpz * at.zpz, data.starts)
    traces = _traces(data, at)
    return _with_residual(terms, traces, float(data.df), at.ratios)


def observed(data: CrossProducts, at: Point) -> Array:
    """y'P V_r P V_s P y / s2, as `information` (K + 1, K + 1)."""
    s2 = at.ypy / data.df
    terms = block_sums(at.zpy[:, None] * at.zpz * at.zpy, data.starts) / s2
    return _with_residual(terms, _squares(data, at) / s2, float(data.df), at.ratios)


def _with_residual(terms: Array, ones: Array, total: float, ratios: Array) -> Array:
    """Border of a bilinear form b with sum_s ratio_s b(r, s) = ones(r), and sum over r = total."""
    border = ones - terms @ ratios
    corner = total - float(ratios @ ones) - float(ratios @ border)
    return np.block([[terms, border[:, None]], [border[None, :], np.array([[corner]])]])


def _traces(data: CrossProducts, at: Point) -> Array:
    if not data.starts.size:
        return np.zeros(0)
    return np.add.reduceat(np.diagonal(at.zpz), data.starts)


def _squares(data: CrossProducts, at: Point) -> Array:
    if not data.starts.size:
        return np.zeros(0)
    return np.add.reduceat(at.zpy * at.zpy, data.starts)


def slope(data: CrossProducts, at: Point) -> tuple[Array, Array, Array]:
    """First derivative (K,), second (K, K) and its always usable stand-in, of `deviance`."""
    traces, squares = _traces(data, at), _squares(data, at)
    spread = block_sums(at.zpz * at.zpz, data.starts)
    bent = block_sums(at.zpy[:, None] * at.zpz * at.zpy, data.starts)
    share = squares / at.ypy
    first = traces - data.df * share
    second = -spread + data.df * (2.0 * bent / at.ypy - np.outer(share, share))
    return first, second, spread - np.outer(traces, traces) / data.df


def maximise(data: CrossProducts, start: Array) -> Point | None:
    """Newton with variances held at zero where the likelihood falls away from it.

    Returns the point reached; a ratio at `CEILING` says that the residual has vanished.
    """
    here = point(data, start)
    if here is None or not start.size:
        return here
    for _ in range(_ITERATIONS):
        first, second, safe = slope(data, here)
        free = ~((here.ratios <= 0.0) & (first >= 0.0))
        if not free.any():
            return here
        step, exact = _direction(first[free], second[np.ix_(free, free)], safe[np.ix_(free, free)])
        gain = -float(first[free] @ step)
        after = _advance(data, here, free, step, gain if exact else math.inf)
        if after is None and not exact:
            # A step along a ridge may end at once where a variance is zero: go straight down.
            down = -first / np.maximum(np.abs(np.diagonal(safe)), 1e-300)
            after = _advance(data, here, free, down[free], math.inf)
        if after is None:
            return here
        done = exact and gain < 1e-20 * data.df
        here = after
        if done or float(here.ratios.max()) >= CEILING:
            return here
    return here


def _direction(first: Array, second: Array, safe: Array) -> tuple[Array, bool]:
    """A step downhill: Newton's where the surface is curved upward, else by scoring."""
    for matrix, exact in ((second, True), (safe, False)):
        weights = np.sqrt(np.abs(np.diagonal(matrix)))
        weights[weights == 0.0] = 1.0
        scaled = matrix / np.outer(weights, weights)
        if not exact:
            scaled.flat[:: len(scaled) + 1] += _RIDGE
        try:
            root = np.linalg.cholesky(scaled)
        except np.linalg.LinAlgError:
            continue
        if np.diagonal(root).min() < 1e-7:
            continue
        half = np.linalg.solve(root, first / weights)
        return -np.linalg.solve(root.T, half) / weights, exact
    return -first / np.maximum(np.abs(np.diagonal(safe)), 1e-300), False


def _advance(
    data: CrossProducts, here: Point, free: npt.NDArray[np.bool_], step: Array, gain: float
) -> Point | None:
    """The point after a step that does not climb; None when no step helps any more."""
    whole = np.zeros_like(here.ratios)
    whole[free] = step
    ceiling = np.minimum(CEILING, 10.0 * here.ratios + 10.0)
    noise = 1e-12 * max(1.0, abs(here.deviance))
    length = 1.0
    for _ in range(50):
        ratios = np.clip(here.ratios + length * whole, 0.0, ceiling)
        there = point(data, ratios)
        if there is not None:
            if gain < 1e-7 and there.deviance <= here.deviance + noise:
                return there
            if there.deviance < here.deviance:
                return there
        length *= 0.5
    return None

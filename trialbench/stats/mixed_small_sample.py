"""Degrees of freedom for few cooks and few tasters: Kenward-Roger and Satterthwaite.

Kenward and Roger 1997 (Biometrics 53, 983) with the expected information and every variance kept,
one at zero too; Satterthwaite 1946 (Biometrics Bulletin 2, 110) as in Fai and Cornelius 1996
(J. Statistical Computation and Simulation 54, 363), with the observed information and a variance at
zero taken for absent. Contrasts are rows over the p fixed columns.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from trialbench.stats.mixed_reml import Array, CrossProducts, Point, information, observed


@dataclass(frozen=True, slots=True)
class SmallSample:
    """Covariance to use with contrasts (p, p), and their degrees of freedom.

    `one_df(row)` takes (p,), `many_df(rows)` takes (m, p) of full rank and gives the factor of F
    and its denominator's degrees of freedom.
    """

    covariance: Array
    one_df: Callable[[Array], float]
    many_df: Callable[[Array], tuple[float, float]]


def small_sample(data: CrossProducts, at: Point, method: str) -> SmallSample:
    """`method` is "kenward-roger" or "satterthwaite"."""
    return _kenward_roger(data, at) if method == "kenward-roger" else _satterthwaite(data, at)


def _slopes(data: CrossProducts, at: Point) -> Array:
    """X'V^-1 V_r V^-1 X for each of the K terms and the residual: (K + 1, p, p), s2 = 1."""
    p = at.phi.shape[0]
    found = np.zeros((data.starts.size + 1, p, p))
    for k, part in enumerate(_parts(data)):
        found[k] = at.zvx[part].T @ at.zvx[part]
    found[-1] = at.xvx - np.tensordot(at.ratios, found[:-1], axes=1)
    return found


def _parts(data: CrossProducts) -> list[slice]:
    return [slice(start, start + size) for start, size in zip(data.starts, data.sizes, strict=True)]


def _sandwiches(data: CrossProducts, at: Point) -> Array:
    """X'V^-1 V_r P V_s V^-1 X: (K + 1, K + 1, p, p). Sums over s, weighted by ratio, are 0."""
    terms, p = data.starts.size, at.phi.shape[0]
    found = np.zeros((terms + 1, terms + 1, p, p))
    for k, part in enumerate(_parts(data)):
        wide = at.zvx[part].T @ at.zpz[part]
        for m, other in enumerate(_parts(data)):
            found[k, m] = wide[:, other] @ at.zvx[other]
    found[:-1, -1] = -np.einsum("s,rsij->rij", at.ratios, found[:-1, :-1])
    found[-1, :-1] = np.swapaxes(found[:-1, -1], -1, -2)
    found[-1, -1] = -np.tensordot(at.ratios, found[:-1, -1], axes=1)
    return found


def variances_covariance(data: CrossProducts, at: Point) -> Array:
    """Asymptotic covariance of the K variances and the residual (K + 1, K + 1), s2 = 1."""
    return 2.0 * _inverse(information(data, at))


def _inverse(matrix: Array) -> Array:
    """Inverse of a symmetric matrix whose entries differ in size; pseudo-inverse if singular."""
    weights = np.sqrt(np.abs(np.diagonal(matrix)))
    weights[weights == 0.0] = 1.0
    scaled = matrix / np.outer(weights, weights)
    values, vectors = np.linalg.eigh(scaled)
    kept = values > 1e-12 * max(float(values.max()), 0.0)
    inverse = (vectors[:, kept] / values[kept]) @ vectors[:, kept].T
    return np.asarray(inverse / np.outer(weights, weights))


def _kenward_roger(data: CrossProducts, at: Point) -> SmallSample:
    weights = variances_covariance(data, at)
    middle = np.einsum("rs,rsij->ij", weights, _sandwiches(data, at))
    adjusted = at.phi + 2.0 * at.phi @ middle @ at.phi
    leans = np.einsum("ij,rjk,kl->ril", at.phi, _slopes(data, at), at.phi)

    def one_df(row: Array) -> float:
        lean = np.einsum("i,rij,j->r", row, leans, row) / float(row @ at.phi @ row)
        return 2.0 / float(lean @ weights @ lean)

    def many_df(rows: Array) -> tuple[float, float]:
        root = np.linalg.inv(np.linalg.cholesky(rows @ at.phi @ rows.T)) @ rows
        lean = np.einsum("ai,rij,bj->rab", root, leans, root)
        traces = np.trace(lean, axis1=1, axis2=2)
        first = float(traces @ weights @ traces)
        second = float(np.einsum("rs,rab,sba->", weights, lean, lean))
        return _scaled_f(rows.shape[0], first, second)

    return SmallSample(adjusted, one_df, many_df)


def _scaled_f(q: int, a1: float, a2: float) -> tuple[float, float]:
    """Factor and df of F for q contrasts from A1 and A2 (Kenward and Roger 1997, section 3).

    One contrast has df 2/A2 directly: the general formula is 0/0 at exactly two.
    """
    if q == 1:
        return 1.0, 2.0 / a2
    b = (a1 + 6.0 * a2) / (2.0 * q)
    g = ((q + 1) * a1 - (q + 4) * a2) / ((q + 2) * a2)
    below = 3 * q + 2 * (1 - g)
    v0, v1, v2 = 1 + g / below * b, 1 - (q - g) / below * b, 1 - (q + 2 - g) / below * b
    v0 = 0.0 if abs(v0) < 1e-10 else v0
    left = 1 - a2 / q
    ratio = 1.0 if abs(left) < 1e-14 and abs(v1) < 1e-14 else left / v1
    rho = ratio**2 * v0 / v2 / q
    df = 4 + (q + 2) / (q * rho - 1)
    factor = 1.0 if abs(df - 2) < 1e-2 else df * left / (df - 2)
    return factor, df


def _satterthwaite(data: CrossProducts, at: Point) -> SmallSample:
    used = np.append(at.ratios > 0.0, True)
    curved = 2.0 * observed(data, at) - information(data, at)
    weights = 2.0 * _inverse(curved[np.ix_(used, used)])
    slopes = _slopes(data, at)[used]
    leans = np.einsum("ij,rjk,kl->ril", at.phi, slopes, at.phi)

    def one_df(row: Array) -> float:
        lean = np.einsum("i,rij,j->r", row, leans, row)
        return 2.0 * float(row @ at.phi @ row) ** 2 / float(lean @ weights @ lean)

    def many_df(rows: Array) -> tuple[float, float]:
        _, vectors = np.linalg.eigh(rows @ at.phi @ rows.T)
        return 1.0, _pooled_df([one_df(row) for row in vectors.T @ rows])

    return SmallSample(at.phi, one_df, many_df)


def _pooled_df(dfs: list[float]) -> float:
    """Denominator df of a mean of independent t^2 (Fai and Cornelius 1996)."""
    if len(dfs) == 1:
        return dfs[0]
    if max(dfs) - min(dfs) < 1e-8 * len(dfs):
        return math.fsum(dfs) / len(dfs)
    if min(dfs) <= 2.0:
        return 2.0
    expected = math.fsum(df / (df - 2.0) for df in dfs)
    return 2.0 * expected / (expected - len(dfs))

"""Heat conduction into a slab, cylinder or sphere by the full series.

theta = (T - around) / (T0 - around) = sum of C_n exp(-l_n^2 Fo) X(l_n x / L), with Bi = h L / k,
Fo = alpha t / L^2 and L the half-thickness or radius (texts citing Bergman and others 2011, chapter
5; Berk, equations 3.37 to 3.43). Constant properties, constant surroundings, no loss of moisture,
no shrinking: good for a water bath or chilling of a sealed or wet piece, poor for smoking.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import lru_cache
from typing import Literal

import numpy as np
from scipy.optimize import brentq
from scipy.special import j0, j1, jn_zeros

from trialbench.thermal.bad_figures import BadFigures
from trialbench.thermal.curves import Floats

Shape = Literal["slab", "cylinder", "sphere"]
SHAPES: tuple[Shape, ...] = ("slab", "cylinder", "sphere")

MOST_TERMS = 300
LEAST_FO = 5e-5
"""With `MOST_TERMS` terms the series is exact to 1e-6 from here on; earlier times count as this."""
ONE_TERM_FO = 0.2
"""From here on the first term alone is within about 2 % (Bergman and others 2011, chapter 5)."""
_ENDLESS_BI = 1e9


@lru_cache(maxsize=256)
def eigenvalues(shape: Shape, bi: float, count: int) -> Floats:
    """The first `count` roots, in rad, for Bi above 0.

    slab l tan l = Bi; cylinder l J1(l) / J0(l) = Bi; sphere 1 - l cot l = Bi. Raises BadFigures.
    """
    _check(shape, bi)
    bi = min(bi, _ENDLESS_BI)
    equation, brackets = _EQUATIONS[shape]
    found = [brentq(equation, low, high, args=(bi,), xtol=1e-14, rtol=4e-15)
             for low, high in brackets(count)]  # fmt: skip
    roots = np.array(found)
    roots.setflags(write=False)
    return roots


def coefficients(shape: Shape, eigenvalue: Floats) -> Floats:
    """C_n of each root: 4 sin l / (2l + sin 2l), 2 J1 / (l (J0^2 + J1^2)), 4 (sin l - l cos l) /
    (2l - sin 2l)."""
    length = eigenvalue
    if shape == "slab":
        made = 4 * np.sin(length) / (2 * length + np.sin(2 * length))
    elif shape == "cylinder":
        made = 2 * j1(length) / (length * (j0(length) ** 2 + j1(length) ** 2))
    else:
        made = 4 * (np.sin(length) - length * np.cos(length)) / (2 * length - np.sin(2 * length))
    return np.asarray(made, dtype=float)


def theta(shape: Shape, bi: float, fo: float, at: float = 0.0) -> float:
    """What is left of the first difference at `at` = x / L (0 middle, 1 surface). Full series.

    Raises BadFigures for Bi not above 0, Fo below 0, or a place outside 0 to 1.
    """
    _check_place(fo, at)
    if fo == 0:
        return 1.0
    roots = _roots(shape, bi, fo)
    return float(np.sum(_weights(shape, roots, fo) * _profile(shape, roots * at)))


def mean_theta(shape: Shape, bi: float, fo: float) -> float:
    """The same, averaged over the volume."""
    _check_place(fo, 0.0)
    if fo == 0:
        return 1.0
    roots = _roots(shape, bi, fo)
    if shape == "slab":
        factor = np.sin(roots) / roots
    elif shape == "cylinder":
        factor = 2 * j1(roots) / roots
    else:
        factor = 3 * (np.sin(roots) - roots * np.cos(roots)) / roots**3
    return float(np.sum(_weights(shape, roots, fo) * factor))


def one_term_theta(shape: Shape, bi: float, fo: float, at: float = 0.0) -> float:
    """The first term alone, as in printed tables and charts; only from Fo 0.2 on.

    Raises BadFigures below it: meat in an oven is often there, and the full series is not.
    """
    if fo < ONE_TERM_FO:
        raise BadFigures(f"Fo is {fo:g}: one term does not do.", where="fo",
                       allowed=f"{ONE_TERM_FO:g} and more; the full series below")  # fmt: skip
    _check_place(fo, at)
    root = eigenvalues(shape, bi, 1)
    return float((_weights(shape, root, fo) * _profile(shape, root * at))[0])


def _roots(shape: Shape, bi: float, fo: float) -> Floats:
    wanted = math.sqrt(40.0 / max(fo, LEAST_FO)) / math.pi + 3
    # in steps, so that a search over times finds its roots in the cache
    return eigenvalues(shape, bi, min(MOST_TERMS, 10 * math.ceil(wanted / 10)))


def _weights(shape: Shape, roots: Floats, fo: float) -> Floats:
    return coefficients(shape, roots) * np.exp(-(roots**2) * max(fo, LEAST_FO))


def _profile(shape: Shape, place: Floats) -> Floats:
    if shape == "slab":
        return np.cos(place)
    if shape == "cylinder":
        return np.asarray(j0(place), dtype=float)
    return np.sinc(place / math.pi)


def _slab(length: float, bi: float) -> float:
    return length * math.sin(length) - bi * math.cos(length)


def _cylinder(length: float, bi: float) -> float:
    return float(length * j1(length) - bi * j0(length))


def _sphere(length: float, bi: float) -> float:
    return (1 - bi) * math.sin(length) - length * math.cos(length)


Brackets = Callable[[int], list[tuple[float, float]]]


def _slab_brackets(count: int) -> list[tuple[float, float]]:
    return [(n * math.pi, (n + 0.5) * math.pi) for n in range(count)]


def _cylinder_brackets(count: int) -> list[tuple[float, float]]:
    lows = [0.0, *jn_zeros(1, count)[:-1].tolist()] if count > 1 else [0.0]
    return list(zip(lows, jn_zeros(0, count).tolist(), strict=True))


def _sphere_brackets(count: int) -> list[tuple[float, float]]:
    return [(max((n - 1) * math.pi, 1e-7), n * math.pi) for n in range(1, count + 1)]


_EQUATIONS: dict[Shape, tuple[Callable[[float, float], float], Brackets]] = {
    "slab": (_slab, _slab_brackets),
    "cylinder": (_cylinder, _cylinder_brackets),
    "sphere": (_sphere, _sphere_brackets),
}


def _check(shape: str, bi: float) -> None:
    if shape not in SHAPES:
        raise BadFigures(f"No shape is called {shape!r}.", where="shape", allowed=", ".join(SHAPES))
    if not bi > 0:
        raise BadFigures(f"Bi is {bi:g}.", where="bi", allowed="above 0")


def _check_place(fo: float, at: float) -> None:
    if not fo >= 0 or not math.isfinite(fo):
        raise BadFigures(f"Fo is {fo:g}.", where="fo", allowed="0 and more")
    if not 0 <= at <= 1:
        raise BadFigures(f"The place is {at:g}.", where="at", allowed="0 (middle) to 1 (surface)")

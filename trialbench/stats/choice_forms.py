"""Forms of choice: the share of right answers that a sensory difference d' gives, and back.

Unequal samples differ by d' on one axis with normal noise of sd 1 in each (Ennis 1993, J. Sensory
Studies 8, 353; tetrad: Ennis, Ennis, Palen and O'Mahony 1998, J. Mathematical Psychology 42, 205).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy import optimize, special

from trialbench.stats.numbers import BadNumbers, one_number, one_of

MOST_D_PRIME = 40.0
"""Here every form gives 1 to the last digit."""


def _density(z: Any) -> Any:
    return np.exp(-0.5 * np.asarray(z) ** 2) / math.sqrt(2 * math.pi)


def _whole_line() -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Points and normal weights: evenly spaced points are exact to the last digits here."""
    points = np.arange(-9.5, 9.5 + 1e-9, 0.1)
    return points, _density(points) * 0.1


def _upper_half() -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    nodes, weights = np.polynomial.legendre.leggauss(120)
    points = 4.75 * (nodes + 1)
    return points, _density(points) * weights * 4.75


_LINE, _LINE_WEIGHT = _whole_line()
_HALF, _HALF_WEIGHT = _upper_half()
_ROOT2, _ROOT3, _ROOT6 = math.sqrt(2.0), math.sqrt(3.0), math.sqrt(6.0)


def _two_afc(d: float) -> tuple[float, float]:
    return float(special.ndtr(d / _ROOT2)), float(_density(d / _ROOT2)) / _ROOT2


def _three_afc(d: float) -> tuple[float, float]:
    # P(both weaker samples below the stronger one).
    below = special.ndtr(_LINE + d)
    share = float(_LINE_WEIGHT @ below**2)
    return share, float(_LINE_WEIGHT @ (2 * below * _density(_LINE + d)))


def _duo_trio(d: float) -> tuple[float, float]:
    first, second = float(special.ndtr(d / _ROOT2)), float(special.ndtr(d / _ROOT6))
    share = 1 - first - second + 2 * first * second
    slope = float(_density(d / _ROOT2)) / _ROOT2 * (2 * second - 1)
    return share, slope + float(_density(d / _ROOT6)) / _ROOT6 * (2 * first - 1)


def _triangle(d: float) -> tuple[float, float]:
    away = d * math.sqrt(2 / 3)
    near, far = away - _ROOT3 * _HALF, -away - _ROOT3 * _HALF
    share = 2 * float(_HALF_WEIGHT @ (special.ndtr(near) + special.ndtr(far)))
    slope = 2 * math.sqrt(2 / 3) * float(_HALF_WEIGHT @ (_density(near) - _density(far)))
    return share, slope


def _tetrad(d: float) -> tuple[float, float]:
    here, there = special.ndtr(_LINE), special.ndtr(_LINE - d)
    share = 1 - 2 * float(_LINE_WEIGHT @ (2 * here * there - there**2))
    slope = 4 * float(_LINE_WEIGHT @ ((here - there) * _density(_LINE - d)))
    return share, slope


@dataclass(frozen=True)
class Form:
    """One form of choice: its name, the share right by guessing, and share and slope at d'."""

    name: str
    guess: float
    of_d_prime: Callable[[float], tuple[float, float]]

    def share_right(self, d_prime: float) -> float:
        """Share of right answers at `d_prime`, 0 to 40. Raises `BadNumbers`."""
        return self.of_d_prime(_within(d_prime, "d_prime", MOST_D_PRIME))[0]

    def slope(self, d_prime: float) -> float:
        """Derivative of `share_right` at `d_prime`, 0 to 40. Raises `BadNumbers`."""
        return self.of_d_prime(_within(d_prime, "d_prime", MOST_D_PRIME))[1]

    @cached_property
    def _bottom(self) -> float:
        # Integrated, the share at d' 0 may be off from guessing in its last digit.
        return max(self.guess, self.of_d_prime(0.0)[0])

    @cached_property
    def _top(self) -> float:
        return min(1.0, self.share_right(MOST_D_PRIME))

    def d_prime(self, share_right: float) -> float:
        """The d' that gives this share of right answers; 0 at or below guessing, inf at 1.

        Raises `BadNumbers` unless the share is 0 to 1.
        """
        share_right = _within(share_right, "share_right", 1.0)
        if share_right <= self._bottom:
            return 0.0
        if share_right >= self._top:
            return math.inf
        return float(
            optimize.brentq(
                lambda d: self.of_d_prime(d)[0] - share_right, 0.0, MOST_D_PRIME, xtol=1e-14,
                rtol=1e-14,
            )
        )  # fmt: skip

    def right_if(self, share_who_can_tell: float) -> float:
        """Share right where this share can tell and the others guess (Abbott's formula).

        Raises `BadNumbers` unless the share is 0 to 1.
        """
        told = _within(share_who_can_tell, "share_who_can_tell", 1.0)
        return self.guess + told * (1 - self.guess)

    def who_can_tell(self, share_right: float) -> float:
        """Share who can tell, never below 0. Raises `BadNumbers` unless the share is 0 to 1."""
        right = _within(share_right, "share_right", 1.0)
        return max(0.0, (right - self.guess) / (1 - self.guess))


def _within(value: float, where: str, highest: float) -> float:
    allowed = f"0 to {highest:g}"
    number = one_number(value, where, allowed)
    # A share reckoned from others may be off in its last digit.
    if not 0 <= number <= highest * (1 + 1e-12):
        raise BadNumbers(f"{where} is {number:g}.", where=where, allowed=allowed)
    return min(number, highest)


FORMS = {
    form.name: form
    for form in (
        Form("triangle", 1 / 3, _triangle),
        Form("duo-trio", 1 / 2, _duo_trio),
        Form("2-afc", 1 / 2, _two_afc),
        Form("3-afc", 1 / 3, _three_afc),
        Form("tetrad", 1 / 3, _tetrad),
    )
}


def form_named(name: str) -> Form:
    """The form of this name. Raises `BadNumbers` naming those there are."""
    return FORMS[one_of(name, "form", tuple(FORMS))]

"""Thermal properties of food from its composition (Choi and Okos 1986).

Each property of a component is A + B T + C T^2, T in °C; coefficients as reprinted in an Ibarz text
on food engineering and compared with a second copy. Known misprints elsewhere: water 4.1289 for
4.1762, fat conductivity with B times ten. Exponent of B for the heat capacity of fat: from memory.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from trialbench.thermal.bad_figures import BadFigures

_K = {
    "water": (0.57109, 1.7625e-3, -6.7036e-6),
    "protein": (0.17881, 1.1958e-3, -2.7178e-6),
    "fat": (0.18071, -2.7604e-4, -1.7749e-7),
    "carbohydrate": (0.20141, 1.3874e-3, -4.3312e-6),
    "fibre": (0.18331, 1.2497e-3, -3.1683e-6),
    "ash": (0.32962, 1.4011e-3, -2.9069e-6),
}
_RHO = {
    "water": (997.18, 3.1439e-3, -3.7574e-3),
    "protein": (1329.9, -0.5184, 0.0),
    "fat": (925.59, -0.41757, 0.0),
    "carbohydrate": (1599.1, -0.31046, 0.0),
    "fibre": (1311.5, -0.36589, 0.0),
    "ash": (2423.8, -0.28063, 0.0),
}
_CP = {
    "water": (4.1762, -9.0864e-5, 5.4731e-6),
    "protein": (2.0082, 1.2089e-3, -1.3129e-6),
    "fat": (1.9842, 1.4733e-3, -4.8008e-6),
    "carbohydrate": (1.5488, 1.9625e-3, -5.9399e-6),
    "fibre": (1.8459, 1.8306e-3, -4.6509e-6),
    "ash": (1.0926, 1.8896e-3, -3.6817e-6),
}
COMPONENTS = tuple(_K)
"""What a composition may name."""
LOWEST_C, HIGHEST_C = 0.0, 150.0
"""Range: water freezes below it, and the coefficients end above it."""


@dataclass(frozen=True, slots=True)
class Properties:
    """Of food at one temperature: `rho` kg/m3, `cp` kJ/(kg K), `k` W/(m K), `alpha` m2/s.

    Fibres along the heat (parallel) and across it (series) are bounds; food lies between.
    """

    rho: float
    cp: float
    k_parallel: float
    k_series: float

    @property
    def alpha_parallel(self) -> float:
        """Diffusivity with the upper bound of k."""
        return self.k_parallel / (self.rho * self.cp * 1000)

    @property
    def alpha_series(self) -> float:
        """Diffusivity with the lower bound of k."""
        return self.k_series / (self.rho * self.cp * 1000)


def properties(composition: Mapping[str, float], temp_c: float) -> Properties:
    """Properties of food made of these mass fractions (0 to 1, together 1 within 0.005).

    Components: water, protein, fat, carbohydrate, fibre, ash. Density: sum of volumes; heat
    capacity: by mass; conductivity: by volume, parallel and series. Raises BadFigures for another
    component, fractions that do not add up, or a temperature outside 0 to 150 °C.
    """
    _check(composition, temp_c)
    volumes = {name: share / _at(_RHO[name], temp_c) for name, share in composition.items()}
    whole = sum(volumes.values())
    by_volume = {name: volume / whole for name, volume in volumes.items()}
    conductivity = {name: _at(_K[name], temp_c) for name in composition}
    return Properties(
        rho=sum(composition.values()) / whole,
        cp=sum(share * _at(_CP[name], temp_c) for name, share in composition.items()),
        k_parallel=sum(share * conductivity[name] for name, share in by_volume.items()),
        k_series=1 / sum(share / conductivity[name] for name, share in by_volume.items()),
    )


def _at(coefficients: tuple[float, float, float], temp_c: float) -> float:
    a, b, c = coefficients
    return a + b * temp_c + c * temp_c**2


def _check(composition: Mapping[str, float], temp_c: float) -> None:
    strange = sorted(set(composition) - set(COMPONENTS))
    if strange:
        raise BadFigures(f"No component is called {strange[0]!r}.", where="composition",
                       allowed=", ".join(COMPONENTS))  # fmt: skip
    total = math.fsum(composition.values())
    if min(composition.values(), default=-1.0) < 0 or abs(total - 1) > 0.005:
        raise BadFigures(f"The fractions add up to {total:g}.", where="composition",
                       allowed="fractions of the mass from 0 to 1, together 1")  # fmt: skip
    if not LOWEST_C <= temp_c <= HIGHEST_C:
        raise BadFigures(f"{temp_c:g} °C is outside the range.", where="temp_c",
                       allowed=f"{LOWEST_C:g} to {HIGHEST_C:g} °C")  # fmt: skip

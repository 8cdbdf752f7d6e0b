"""Our number for each check value on conduction; sizes that a row leaves out are given here.

Cengel 11-44: steaks 2 cm thick from 25 °C into air at -11 °C until their surface has 2 °C.
Cengel 4-65: as the row. Rib roast (Cengel): 3.2 kg, 1200 kg/m3, 4.1 kJ/(kg K), k 0.45, alpha
0.91e-7, a sphere from 4.5 °C, 60 °C in the middle after 2 h 45 min at 163 °C. Incropera 5.4: steel
wall 40 mm, k 63.9, alpha 18.8e-6, h 500, from -20 °C to oil at 60 °C, 8 min. The finite-volume
rows: k 0.48 W/(m K), 1025 kg/m3, 3.6 kJ/(kg K), found from the two rows of the slab.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable

from scipy.optimize import brentq

from trialbench.thermal.bodies import Body, Heating, cylinder, slab, temperature_c, time_to_s
from trialbench.thermal.changing import warmed
from trialbench.thermal.conduction import coefficients, eigenvalues

Reckon = Callable[[dict], float]

_SHAPES = {"slab": "slab", "cyl": "cylinder", "sphere": "sphere", "steak": "slab", "sph": "sphere"}
_NUMBER = r"([\d.]+)"
_STEAK_BI, _SPH_BI = 0.2, 1.5


def _root(shape: str, bi: float, n: int = 1) -> float:
    return float(eigenvalues(_SHAPES[shape], bi, n)[n - 1])


def _coefficient(shape: str, bi: float) -> float:
    return float(coefficients(_SHAPES[shape], eigenvalues(_SHAPES[shape], bi, 1))[0])


def by_name(case: dict) -> float:
    """Roots and coefficients that are named in the id: sphere_eig_Bi1.5_4, cyl_A1_Bi100."""
    name = case["id"]
    if found := re.fullmatch(rf"(\w+)_eig_Bi{_NUMBER}_(\d)", name):
        return _root(found[1], float(found[2]), int(found[3]))
    if found := re.fullmatch(rf"(\w+)_l1_Bi{_NUMBER}", name):
        return _root(found[1], float(found[2]))
    found = re.fullmatch(rf"(\w+)_A1_Bi{_NUMBER}", name)
    assert found is not None, name
    return _coefficient(found[1], float(found[2]))


def _steak_s(case: dict) -> float:
    heating = Heating(25, -11, 9, 0.45, 0.91e-7)
    steak = slab(0.02)

    def away(t: float) -> float:
        return temperature_c(steak, heating, t, [1.0]) - 2

    return brentq(away, 1000, 20000)


def _carcass_h(case: dict) -> float:
    return time_to_s(cylinder(0.24), Heating(37, -10, 22, 0.47, 1.3e-7), 4) / 3600


def _rib_surface(case: dict) -> float:
    roast = Body((("sphere", (3 * 3.2 / 1200 / (4 * math.pi)) ** (1 / 3)),))
    after = 2.75 * 3600

    def away(h: float) -> float:
        return temperature_c(roast, Heating(4.5, 163, h, 0.45, 0.91e-7), after) - 60

    h = brentq(away, 10, 1000)
    return temperature_c(roast, Heating(4.5, 163, h, 0.45, 0.91e-7), after, [1.0])


def _pipe_flux(case: dict) -> float:
    wall = temperature_c(slab(0.08), Heating(-20, 60, 500, 63.9, 18.8e-6), 480, [1.0])
    return 500 * (wall - 60)


def _numerical(shape: str, mean: bool) -> float:
    k = 0.48
    found = warmed(shape, 0.03, [0, 2400], [60, 60], start_c=5, h=100, k=k,
                   alpha=k / (1025 * 3600))  # fmt: skip
    return float((found.mean_c if mean else found.core_c)[-1])


def _core_50(case: dict) -> float:
    return time_to_s(slab(0.03), Heating(5, 60, 100, 0.48, 1.3e-7), 32.5) / 60


CONDUCTION: dict[str, Reckon] = {
    "slab_eig_inf": lambda case: _root("slab", 1e6),
    "steak_l1": lambda case: _root("slab", _STEAK_BI),
    "steak_A1": lambda case: _coefficient("slab", _STEAK_BI),
    "steak_t": _steak_s,
    "carcass_t": _carcass_h,
    "egg_Bi": lambda case: 800 * 0.0275 / 0.607,
    "egg_lsq": lambda case: _root("sphere", 800 * 0.0275 / 0.607) ** 2,
    "rib_surface": _rib_surface,
    "pipe_q": _pipe_flux,
    "sph_l1": lambda case: _root("sphere", _SPH_BI),
    "sph_C1": lambda case: _coefficient("sphere", _SPH_BI),
    "fv1_slab": lambda case: _numerical("slab", mean=False),
    "fv1_mean_slab": lambda case: _numerical("slab", mean=True),
    "fv1_cyl": lambda case: _numerical("cylinder", mean=False),
    "fv1_mean_cyl": lambda case: _numerical("cylinder", mean=True),
    "core_50": _core_50,
}


def one_term_cells(row: dict[str, str]) -> list[tuple[str, float, float]]:
    """(name, ours, theirs) for each cell of a row of the one-term table."""
    bi = float(row["Bi"])
    found = []
    for shape in ("slab", "cyl", "sphere"):
        found.append((f"{shape}_l1", _root(shape, bi), float(row[f"{shape}_l1"])))
        found.append((f"{shape}_A1", _coefficient(shape, bi), float(row[f"{shape}_A1"])))
    return found

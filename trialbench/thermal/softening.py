"""Two histories of the same cut compared as equivalent hours at 66 °C: a number to compare with.

z is an assumption. A rough inference from published times (24 to 48 h at 60 °C against 45 min at
100 °C, different papers and species: Bouton and Harris 1981, Vasanthi and others 2007, abstracts)
gives 22 to 27 K; so the band 16 to 33 K is looked at and nothing is said when the order flips in
it. No share rendered, no verdict, never in a test; the blind tasting decides. Moisture loss and
hardening of the fibres run the other way and are not in it: show the weight loss beside it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from trialbench.thermal.bad_figures import BadFigures
from trialbench.thermal.curves import Curve
from trialbench.thermal.heat_effect import lethality_of

REF_C = 66.0
Z_SHOWN_C = (16.0, 24.0, 33.0)
_EQUAL = 1e-9
_Z_LOOKED_AT_C = tuple(np.linspace(Z_SHOWN_C[0], Z_SHOWN_C[-1], 35).tolist())


@dataclass(frozen=True, slots=True)
class EquivalentHours:
    """Hours at `REF_C` for each z of `Z_SHOWN_C`, and seconds that are not in them."""

    hours: tuple[float, float, float]
    not_shown_s: float


@dataclass(frozen=True, slots=True)
class Comparison:
    """`more` is a, b, or cannot_say: the order flips inside the band, or a log has a gap."""

    more: Literal["a", "b", "cannot_say"]
    a: EquivalentHours
    b: EquivalentHours


def equivalent_hours(
    curve: Curve, start_s: float | None = None, end_s: float | None = None
) -> EquivalentHours:
    """Equivalent hours of one history at 66 °C for z 16, 24 and 33 K."""
    found = [lethality_of(curve, REF_C, z, start_s, end_s) for z in Z_SHOWN_C]
    low, middle, high = (each.equal_s / 3600 for each in found)
    return EquivalentHours((low, middle, high), found[0].not_shown_s)


def compare(a: Curve, b: Curve) -> Comparison:
    """Which of two whole histories has more equivalent hours, over the whole band of z.

    Raises BadFigures when a curve has a single reading and so no time.
    """
    if len(a) < 2 or len(b) < 2:
        raise BadFigures("A single reading is no history.", where="a, b", allowed="two readings")
    away = [
        lethality_of(a, REF_C, z).equal_s / lethality_of(b, REF_C, z).equal_s - 1
        for z in _Z_LOOKED_AT_C
    ]
    ours, theirs = equivalent_hours(a), equivalent_hours(b)
    whole = ours.not_shown_s <= 0 and theirs.not_shown_s <= 0
    if whole and min(away) > _EQUAL:
        return Comparison("a", ours, theirs)
    return Comparison("b" if whole and max(away) < -_EQUAL else "cannot_say", ours, theirs)

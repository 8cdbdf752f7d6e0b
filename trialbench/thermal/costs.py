"""What a served portion costs: what was bought, labour and fuel over what was edible."""

from __future__ import annotations

import math
from dataclasses import dataclass

from trialbench.thermal.bad_figures import BadFigures


@dataclass(frozen=True, slots=True)
class Cost:
    """In the cook's own money. `portions` is before rounding down, `whole_portions` after."""

    total: float
    per_kg_edible: float
    per_portion: float
    portions: float

    @property
    def whole_portions(self) -> int:
        """Portions that can be served in full."""
        return math.floor(self.portions + 1e-9)


def served_cost(
    bought_g: float,
    price_per_kg: float,
    edible_g: float,
    portion_g: float,
    *,
    labour: float = 0.0,
    fuel: float = 0.0,
    other: float = 0.0,
) -> Cost:
    """price x bought + labour + fuel + other, per kg that is edible and per portion.

    Masses in g (as bought, edible, one portion), money in one currency. Raises BadFigures for a
    mass that is not above 0 and for money below 0.
    """
    for name, mass_g in (("bought_g", bought_g), ("edible_g", edible_g), ("portion_g", portion_g)):
        if not (mass_g > 0 and math.isfinite(mass_g)):
            raise BadFigures(f"{name} is {mass_g:g} g.", where=name, allowed="above 0 g")
    for name, money in (("price_per_kg", price_per_kg), ("labour", labour), ("fuel", fuel),
                        ("other", other)):  # fmt: skip
        if not (money >= 0 and math.isfinite(money)):
            raise BadFigures(f"{name} is {money:g}.", where=name, allowed="0 and more")
    total = price_per_kg * bought_g / 1000 + labour + fuel + other
    per_g = total / edible_g
    return Cost(total, 1000 * per_g, per_g * portion_g, edible_g / portion_g)

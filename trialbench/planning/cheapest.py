"""The cheapest design for a question, and what more tasters would do. Loads the engine."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import product

from trialbench.planning.plan_prices import PlanPrices
from trialbench.planning.spread import Parts
from trialbench.planning.units import PlannedUnits

MOST_COOKS = 40
TASTERS = (3, 4, 5, 6, 8, 10, 12)
UNITS = (1, 2, 3, 4)


@dataclass(frozen=True, slots=True)
class Target:
    """What is to be reached: `matters` told apart eight times in ten, or shown as good so often.

    `methods` are cooked, `alpha` is that of one comparison.
    """

    matters: float
    alpha: float
    as_good: bool = False
    methods: int = 2


@dataclass(frozen=True, slots=True)
class Design:
    """So many cook days, pieces of each method a day and tasters; `price` None without prices."""

    cooks: int
    units: int
    tasters: int
    price: float | None = None


@dataclass(frozen=True, slots=True)
class MoreTasters:
    """What endless tasters would leave. `smallest` is then told apart eight times in ten.

    `cooks` is how many cook days the target would still take, None above 40; `share` the part of
    sd(D) that no taster touches.
    """

    smallest: float
    cooks: int | None
    share: float


def cheapest_of(units: PlannedUnits, parts: Parts, target: Target) -> list[Design]:
    """Designs that reach the target: the fewest cook days for each number of pieces and tasters."""
    each, tasters = _units(units, parts), _tasters(units)
    reach = _as_good if target.as_good else _told_apart
    return reach(units, parts, target, each, tasters)


def by_price(
    found: Sequence[Design], target: Target, prices: PlanPrices | None
) -> tuple[Design, ...]:
    """The cheapest first; without prices by cook days, then tasters."""
    if prices is None:
        return tuple(sorted(found, key=lambda d: (d.cooks, d.tasters, d.units)))
    priced = [replace(d, price=price_of(d, target, prices)) for d in found]
    return tuple(sorted(priced, key=lambda d: (d.price or 0.0, d.cooks, d.units, d.tasters)))


def _told_apart(
    units: PlannedUnits,
    parts: Parts,
    target: Target,
    each: Sequence[int],
    tasters: Sequence[int],
) -> list[Design]:
    """By the engine's own search: fewest cook days for each number of pieces and tasters."""
    from trialbench.stats import NotApplicable, Prices, Scatter, cheapest_designs

    scatter = Scatter(cook_method=parts.cook_method, unit=parts.unit, score=parts.score)
    found = cheapest_designs(
        scatter, Prices(1.0, 0.0), target.matters, units=each, tasters=tasters,
        servings=units.servings, alpha=target.alpha, most_cooks=MOST_COOKS,
    )  # fmt: skip
    if isinstance(found, NotApplicable):
        return []
    return [Design(one.design.cooks, one.design.units, one.design.tasters) for one in found]


def _as_good(
    units: PlannedUnits,
    parts: Parts,
    target: Target,
    each: Sequence[int],
    tasters: Sequence[int],
) -> list[Design]:
    from trialbench.stats import power

    found = []
    for u, t in product(each, tasters):
        sd = parts.sd(u, t, units.servings)
        cooks = power.fewest_cooks_at_least_as_good(target.matters, sd, target.alpha)
        if cooks is not None:
            found.append(Design(cooks, u, t))
    return found


def price_of(design: Design, target: Target, prices: PlanPrices) -> float:
    """What a design costs as a whole."""
    day = prices.cook_day + target.methods * design.units * prices.piece
    return design.cooks * (day + design.tasters * prices.taster)


def _units(units: PlannedUnits, parts: Parts) -> tuple[int, ...]:
    """Pieces of each method a day that are asked about: those of the plan where more tell nothing.

    Pieces of a load count as one, and a borrowed scatter does not say what more pieces bring.
    """
    alone = units.unit == "piece" and parts.unit > 0.0
    planned = max(units.each, 1)
    return tuple(sorted({*UNITS, planned})) if alone else (planned,)


def _tasters(units: PlannedUnits) -> tuple[int, ...]:
    if not units.tasted:
        return (0,)
    return tuple(sorted({*TASTERS, *((units.tasters,) if units.tasters else ())}))


def more_tasters(units: PlannedUnits, parts: Parts, target: Target) -> MoreTasters | None:
    """What is left with tasters without end; None for a measurement or one cook day."""
    from trialbench.stats import power

    if not units.tasted or units.cooks < 2 or parts.score <= 0.0:
        return None
    left = Parts(parts.cook_method, parts.unit).sd(max(units.each, 1))
    whole = parts.sd(max(units.each, 1), units.tasters or 1, units.servings)
    if target.as_good:
        cooks = power.fewest_cooks_at_least_as_good(target.matters, left, target.alpha)
    else:
        cooks = power.fewest_cooks(target.matters, left, target.alpha)
    smallest = power.smallest_difference(units.cooks, left, target.alpha)
    return MoreTasters(smallest, cooks, left / whole if whole else 0.0)

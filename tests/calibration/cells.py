"""The cells of the calibration: kitchens in which trials are drawn."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import dataclass

from trialbench.stats.scatter import Scatter, TrialDesign
from trialbench.stats.trial_simulation import Kitchen, Rounding

ZERO, SMALL, LARGE = 0.0, 0.4, 1.5
"""Standard deviations in units of a single score's."""
MIDDLES = {"rounded": 5.0, "bounded": 8.0}
"""Mean on the scale 1 to 9 by 1: in its middle, or near its end."""


@dataclass(frozen=True)
class Exempt:
    """A known exception: its reason, and how many times the nominal rate it may reach."""

    reason: str
    factor: float


SKEWED = Exempt("a t over a few cooks is wrong where their differences are skewed", 3.0)
SCALE_END = Exempt("the end of the scale cuts into cook days that differ by points", 1.2)
COARSE = Exempt("scores scatter by less than a third of the scale's step", 1.2)


@dataclass(frozen=True)
class Cell:
    """One kitchen of a family; `exempt` where its rates are known to exceed what is nominal."""

    family: str
    kitchen: Kitchen
    exempt: Exempt | None = None

    @property
    def columns(self) -> dict[str, object]:
        design, scatter = self.kitchen.design, self.kitchen.scatter
        return {
            "family": self.family,
            "cooks": design.cooks,
            "units": design.units,
            "tasters": design.tasters,
            "cook_method": scatter.cook_method,
            "unit": scatter.unit,
            "taster_method": scatter.taster_method,
            "score": scatter.score,
            "missing": self.kitchen.missing,
        }


def _cell(family: str, cooks: int, units: int, tasters: int, scatter: Scatter, **more) -> Cell:
    exempt = more.pop("exempt", None)
    design = TrialDesign(cooks=cooks, units=units, tasters=tasters)
    return Cell(family, Kitchen(design=design, scatter=scatter, **more), exempt)


def balanced(cooks=(2, 3, 4, 5, 6, 7, 8), tasters=(2, 3, 4, 6, 8, 12)) -> Iterator[Cell]:
    pieces = [(1, ZERO), (1, LARGE), (2, ZERO), (2, SMALL), (3, SMALL), (3, LARGE)]
    sizes = (ZERO, SMALL, LARGE)
    for c, t, (u, unit), cm, tm in itertools.product(cooks, tasters, pieces, sizes, sizes):
        scatter = Scatter(cook_method=cm, unit=unit, taster_method=tm, score=1.0)
        yield _cell("balanced", c, u, t, scatter)


def no_single_scatter(cooks=(2, 3, 5, 8), tasters=(3, 6)) -> Iterator[Cell]:
    for c, t, tm in itertools.product(cooks, tasters, (ZERO, SMALL, LARGE)):
        yield _cell("score 0", c, 1, t, Scatter(cook_method=SMALL, taster_method=tm))


def missing(cooks=(3, 4, 5, 8), tasters=(3, 6, 12), shares=(0.15, 0.3)) -> Iterator[Cell]:
    sizes = (ZERO, SMALL, LARGE)
    for c, t, share, cm, tm in itertools.product(cooks, tasters, shares, sizes, sizes):
        scatter = Scatter(cook_method=cm, taster_method=tm, score=1.0)
        yield _cell("missing", c, 1, t, scatter, missing=share)


def measured(cooks=(2, 3, 4, 5, 6, 7, 8)) -> Iterator[Cell]:
    for c, u, unit, cm in itertools.product(cooks, (1, 2, 3), (ZERO, LARGE), (ZERO, SMALL, LARGE)):
        yield _cell("measured", c, u, 0, Scatter(cook_method=cm, unit=unit, score=1.0))


def written(
    cooks=(2, 3, 4, 5, 6, 8), tasters=(2, 3, 6, 12), units=(1, 2), scores=(0.3, 1.2)
) -> Iterator[Cell]:
    """Rounded to whole points, in the middle of the scale and near its end."""
    for (family, middle), c, t, u, cm, score in itertools.product(
        MIDDLES.items(), cooks, tasters, units, (ZERO, SMALL, LARGE), scores
    ):
        scatter = Scatter(cook=0.4, cook_method=cm, unit=0.3, taster=0.6, score=score)
        scale = Rounding(low=1, high=9, step=1, middle=middle)
        exempt = SCALE_END if family == "bounded" and cm == LARGE else None
        exempt = exempt or (COARSE if score == scores[0] and t <= 3 else None)
        yield _cell(family, c, u, t, scatter, scale=scale, exempt=exempt)


def skewed(cooks=(2, 3, 4, 5, 6, 7, 8), tasters=(6,)) -> Iterator[Cell]:
    for c, t, cm in itertools.product(cooks, tasters, (SMALL, LARGE)):
        scatter = Scatter(cook_method=cm, taster_method=SMALL, score=1.0)
        yield _cell("skewed", c, 1, t, scatter, skewed=True, exempt=SKEWED)


def direct() -> Iterator[Cell]:
    """Every cell of the direct rules."""
    for family in (balanced, no_single_scatter, missing, measured, written, skewed):
        yield from family()


def few() -> Iterator[Cell]:
    """A small version that the tests run."""
    yield from balanced((2, 5), (3, 6))
    yield from missing((4,), (6,), (0.3,))
    yield from measured((3,))
    yield from written((3, 8), (6,), (1,), (1.2,))

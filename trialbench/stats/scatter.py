"""Where scatter comes from, and the design of a trial: what plans and simulations start from."""

from __future__ import annotations

import math
from dataclasses import dataclass, fields

from trialbench.stats.mixed import MixedFit
from trialbench.stats.numbers import one_text
from trialbench.stats.settings import count, one_made, zero_or_above

MOST_EACH = 1_000_000
"""The largest number of cook days, units, tasters or servings of a design."""


def parts_of(*terms: str) -> frozenset[str]:
    """The columns of a random term, in whatever order they stand: "a:b" is "b:a"."""
    return frozenset(part.strip() for term in terms for part in term.split(":"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Scatter:
    """Standard deviations in the outcome's units, each of one component.

    `cook_method`: how a method's advantage changes from cook day to cook day (per method);
    `unit`: pieces of one method and day; `taster_method`: how a taster's liking of one method
    differs from other tasters'; `score`: one taster's single score (or one measurement). Each is 0
    or a number above it up to 1e100. Raises `BadNumbers`.
    """

    cook: float = 0.0
    cook_method: float = 0.0
    unit: float = 0.0
    taster: float = 0.0
    taster_method: float = 0.0
    taster_cook: float = 0.0
    score: float = 0.0

    def __post_init__(self) -> None:
        for each in fields(self):
            sd = zero_or_above(getattr(self, each.name), each.name)
            object.__setattr__(self, each.name, sd)

    @staticmethod
    def of_fit(
        fit: MixedFit, *, method: str, taster: str = "", cook: str = "", unit: str = ""
    ) -> Scatter:
        """Scatter of a fitted model whose grouping columns have these names; absent ones are 0."""
        one_made(fit, MixedFit, "fit")
        for where, column in {
            "method": method,
            "taster": taster,
            "cook": cook,
            "unit": unit,
        }.items():
            one_text(column, where, "a grouping column of the model")
        found = {parts_of(name): size for name, size in fit.variances.items()}
        terms = {
            "cook": (cook,), "cook_method": (cook, method), "unit": (unit,), "taster": (taster,),
            "taster_method": (taster, method), "taster_cook": (taster, cook),
        }  # fmt: skip
        sizes = {
            name: found.get(parts_of(*columns), 0.0) if all(columns) else 0.0
            for name, columns in terms.items()
        }
        residual = fit.variances["residual"]
        return Scatter(
            **{name: math.sqrt(size) for name, size in sizes.items()},
            score=math.sqrt(residual) if residual > 0.0 else 0.0,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class TrialDesign:
    """Cook days, units per method and day, tasters (0: a measurement), servings of each unit.

    Whole numbers, tasters from 0, the others from 1. Raises `BadNumbers`.
    """

    cooks: int
    units: int = 1
    tasters: int = 0
    servings: int = 1

    def __post_init__(self) -> None:
        least = {"cooks": 1, "units": 1, "tasters": 0, "servings": 1}
        for name, lowest in least.items():
            number = count(getattr(self, name), name, lowest, MOST_EACH)
            object.__setattr__(self, name, number)

    @property
    def scores_per_cook(self) -> int:
        """Single scores of one method on one cook day."""
        return self.units * self.servings * max(1, self.tasters)


def sd_of_cook_difference(scatter: Scatter, design: TrialDesign) -> float:
    """sd(D): scatter of a cook day's difference, for these tasters.

    var(D) = 2 (cook_method^2 + unit^2 / units + score^2 / scores): what tasters differ in by nature
    is the same on every day and does not scatter it.
    """
    return math.sqrt(
        2.0
        * (
            scatter.cook_method**2
            + scatter.unit**2 / design.units
            + scatter.score**2 / design.scores_per_cook
        )
    )


def sd_of_panel(scatter: Scatter, design: TrialDesign) -> float:
    """Scatter of the difference from one panel of this size to another, beyond sd(D)."""
    return (
        math.sqrt(2.0 / max(1, design.tasters)) * scatter.taster_method if design.tasters else 0.0
    )

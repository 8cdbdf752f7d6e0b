"""Invented scores: a mean for each method and the scatter that EXAMPLES states, drawn by lot.

Every effect has a stream of its own, named after what it belongs to, so that nothing depends on the
order in which cells are asked for.
"""

from __future__ import annotations

from dataclasses import dataclass
from statistics import NormalDist

from trialbench.model.numbers import rounded
from trialbench.model.scales import Scale
from trialbench.planning.lots import Lots

_NORMAL = NormalDist()
_FINE = 1 << 53


@dataclass(frozen=True)
class Scatter:
    """Standard deviations: between cooks, cook by method, unit, taster, taster by method, score."""

    cook: float
    cook_method: float
    unit: float
    taster: float
    taster_method: float
    score: float


@dataclass(frozen=True)
class Cell:
    """One portion: the cook day, the unit, its method, the taster."""

    cook: str
    unit: str
    method: str
    taster: str
    repeat: int = 1


def normal(lot_number: int, purpose: str) -> float:
    """A standard normal number of its own for every purpose."""
    return _NORMAL.inv_cdf((Lots(lot_number, purpose).below(_FINE) + 0.5) / _FINE)


class Drawn:
    """Scores of one attribute. `means` maps a method's letter to its true mean."""

    def __init__(
        self,
        lot_number: int,
        attribute: str,
        means: dict[str, float],
        scatter: Scatter,
        scale: Scale,
    ) -> None:
        self.lot_number = lot_number
        self.attribute = attribute
        self.means = means
        self.scatter = scatter
        self.low, self.high, self.step = scale.low, scale.high, scale.step or 0.1
        self._known: dict[str, float] = {}

    def _effect(self, sd: float, *names: str) -> float:
        if not sd:
            return 0.0
        key = "/".join((self.attribute, *names))
        if key not in self._known:
            self._known[key] = sd * normal(self.lot_number, key)
        return self._known[key]

    def score(self, cell: Cell, shift: float = 0.0) -> float:
        """The score of one portion, rounded to the step and clipped to the scale."""
        sd = self.scatter
        value = self.means[cell.method] + shift
        value += self._effect(sd.cook, "cook", cell.cook)
        value += self._effect(sd.cook_method, "cook method", cell.cook, cell.method)
        value += self._effect(sd.unit, "unit", cell.cook, cell.unit)
        value += self._effect(sd.taster, "taster", cell.taster)
        value += self._effect(sd.taster_method, "taster method", cell.taster, cell.method)
        single = (cell.cook, cell.unit, cell.taster, str(cell.repeat))
        value += self._effect(sd.score, "score", *single)
        steps = rounded((value - self.low) / self.step, 0)
        return min(self.high, max(self.low, round(self.low + float(steps) * self.step, 6)))

"""What a piece weighs on its way: losses with their base, parts by name, and what is unaccounted.

Yield = 100 after / before, loss = 100 (before - after) / before (Rezler 2023). A percentage always
names its base. Yields of stages multiply to the whole yield; losses of stages do not add. What goes
in (cure, rub, butter) is counted, or a yield exceeds 100 %. Loss that was not weighed as anything
is unaccounted: vapour and handling together, and not called evaporation.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from trialbench.model.message import Message, msg
from trialbench.model.numbers import figure
from trialbench.thermal.bad_figures import BadFigures


@dataclass(frozen=True, slots=True)
class Share:
    """A percentage with the base that it is of."""

    percent: float
    base: str

    @property
    def says(self) -> Message:
        """ "28.0 % of trimmed"."""
        return msg("{percent} % of {base}", percent=figure(self.percent, 1), base=self.base)


@dataclass(frozen=True, slots=True)
class Balance:
    """before + went in = after + came out + unaccounted, all in g.

    `unaccounted_g` below 0 means that more was found than was lost: a weight or a tare is wrong.
    """

    before_g: float
    after_g: float
    went_in_g: tuple[tuple[str, float], ...]
    came_out_g: tuple[tuple[str, float], ...]
    unaccounted_g: float

    @property
    def loss_g(self) -> float:
        """before + went in - after."""
        return self.before_g + _total(self.went_in_g) - self.after_g

    @property
    def parts_g(self) -> tuple[tuple[str, float], ...]:
        """Where the loss is: each part by its name, then "unaccounted"."""
        return (*self.came_out_g, ("unaccounted", self.unaccounted_g))


def mass_balance(
    before_g: float,
    after_g: float,
    *,
    went_in_g: Mapping[str, float] | None = None,
    came_out_g: Mapping[str, float] | None = None,
) -> Balance:
    """The balance of one stage or of a whole cook.

    `went_in_g`, `came_out_g`: what was added and what was weighed apart (drip, bag juice, fat cap,
    jelly), in g by name. Raises BadFigures for a weight that is missing or below 0, and for a base
    of 0.
    """
    added, apart = tuple((went_in_g or {}).items()), tuple((came_out_g or {}).items())
    for name, weight in (("before_g", before_g), ("after_g", after_g), *added, *apart):
        _check(weight, name)
    _check_base(before_g, "before_g")
    left = before_g + _total(added) - after_g - _total(apart)
    return Balance(before_g, after_g, added, apart, left)


def loss(before_g: float, after_g: float, base: str) -> Share:
    """Loss in percent of the weight before, which `base` names ("trimmed")."""
    return Share(100 - yield_(before_g, after_g, base).percent, base)


def yield_(before_g: float, after_g: float, base: str) -> Share:
    """Yield in percent of the weight before, which `base` names."""
    _check(after_g, "after_g")
    _check_base(before_g, "before_g")
    return Share(100 * after_g / before_g, base)


def yield_uncertainty_percent(before_g: float, after_g: float, scale_g: float) -> float:
    """Percentage points of a yield when each weight may be off by `scale_g`, added in squares."""
    _check_base(before_g, "before_g")
    return 100 * scale_g / before_g * math.hypot(1, after_g / before_g)


def chained_yield(yields_percent: Sequence[float], base: str) -> Share:
    """The whole yield of stages that follow each other, of the first base."""
    return Share(100 * math.prod(each / 100 for each in yields_percent), base)


def constituent_change_percent(
    raw_g: float, cooked_g: float, raw_percent: float, cooked_percent: float
) -> float:
    """Gain (+) or loss (-) of moisture or fat in percent of the raw mass.

    (cooked * content cooked - raw * content raw) / raw, contents in percent of each mass (USDA
    Table of Cooking Yields, Release 2, 2014; formula from memory).
    """
    _check_base(raw_g, "raw_g")
    return (cooked_g * cooked_percent - raw_g * raw_percent) / raw_g


def retention_percent(
    raw_g: float, cooked_g: float, raw_percent: float, cooked_percent: float
) -> float:
    """Retention of a constituent: concentration ratio times yield, in percent (EuroFIR 2008)."""
    _check_base(raw_g, "raw_g")
    _check_base(raw_percent, "raw_percent")
    return 100 * (cooked_g * cooked_percent) / (raw_g * raw_percent)


def _total(parts: Sequence[tuple[str, float]]) -> float:
    return math.fsum(weight for _, weight in parts)


def _check(weight_g: float, name: str) -> None:
    if not (weight_g >= 0 and math.isfinite(weight_g)):
        raise BadFigures(f"{name} is {weight_g:g} g.", where=name, allowed="0 g and more")


def _check_base(weight_g: float, name: str) -> None:
    _check(weight_g, name)
    if weight_g == 0:
        raise BadFigures(f"{name} is 0 g: nothing can be a share of it.", where=name,
                       allowed="above 0 g")  # fmt: skip

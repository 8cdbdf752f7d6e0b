"""How far the difference between two methods scatters from cook day to cook day: sd(D).

A kitchen's own finished trials say it best. Until there are any, a typical figure from open data
stands in (resources/planning/typical_spread.csv), scaled to the outcome and the number of tasters,
and the page says so.
"""

from __future__ import annotations

import csv
import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from trialbench import paths
from trialbench.model.message import Message, msg
from trialbench.model.numbers import figure
from trialbench.model.records import Outcome
from trialbench.notebook.views import range_of
from trialbench.planning.stage_words import listed

USUAL_TASTERS = 6
"""Tasters taken for a plan that does not say how many."""


@dataclass(frozen=True, slots=True)
class Spread:
    """sd(D) in the outcome's unit and where it comes from. `df` is None for a typical figure."""

    sd: float
    origin: Message
    df: int | None = None

    @property
    def typical(self) -> bool:
        """Whether it was borrowed and not seen in this kitchen."""
        return self.df is None


@dataclass(frozen=True, slots=True)
class TypicalShares:
    """Shares of a scale's range: what cook days add, and what one taster adds."""

    cook: float
    taster: float

    def with_tasters(self, tasters: int) -> float:
        """The spread of cook differences with so many tasters, as a share of the range."""
        return math.sqrt(self.cook**2 + self.taster**2 / max(tasters, 1))


@cache
def _rows() -> tuple[dict[str, str], ...]:
    text = paths.resource("planning", "typical_spread.csv").read_text("utf-8")
    lines = [line for line in text.splitlines() if line and not line.startswith("#")]
    return tuple(csv.DictReader(lines))


def _root_mean_square(values: Sequence[float]) -> float:
    return math.sqrt(math.fsum(v * v for v in values) / len(values))


@cache
def typical_shares() -> TypicalShares:
    """Root mean squares over the attributes of the table."""
    rows = [row for row in _rows() if row["data"] == "fries"]
    return TypicalShares(
        cook=_root_mean_square([float(row["cook_share"]) for row in rows]),
        taster=_root_mean_square([float(row["taster_share"]) for row in rows]),
    )


def typical_spread(outcome: Outcome, tasters: int | None = None) -> Spread | None:
    """A typical sd(D) for an outcome; None where no open data speak of it (a mass, no range)."""
    unit = unit_words(outcome)
    if outcome.source in ("loss", "yield"):
        sd = next(float(row["cook_share"]) for row in _rows() if row["data"] == "loss")
        origin = msg(
            "Spread borrowed from published cooking losses of pork loin: {sd} {unit}. Yours will "
            "show after the first trial.",
            sd=figure(sd, 1),
            unit=unit,
        )
        return Spread(sd, origin)
    span = range_of(outcome)
    if outcome.source != "attribute" or span.low is None or span.high is None:
        return None
    sd = typical_shares().with_tasters(tasters or USUAL_TASTERS) * (span.high - span.low)
    origin = msg(
        "Spread borrowed from open tasting data, for {tasters} tasters on this scale: {sd} {unit}. "
        "Yours will show after the first trial.",
        tasters=tasters or USUAL_TASTERS,
        sd=figure(sd, 2),
        unit=unit,
    )
    return Spread(sd, origin)


def own_spread(trials: Sequence[tuple[int, Sequence[float]]], outcome: Outcome) -> Spread | None:
    """This kitchen's own sd(D): pooled over finished trials given as (number, cook differences).

    Each trial's differences scatter about their own mean; trials with fewer than two are left out.
    None where nothing is left.
    """
    kept = [(number, list(d)) for number, d in trials if len(d) >= 2]
    if not kept:
        return None
    df = sum(len(d) - 1 for _, d in kept)
    squares = math.fsum((x - math.fsum(d) / len(d)) ** 2 for _, d in kept for x in d)
    sd = math.sqrt(squares / df)
    numbers = listed([str(number) for number, _ in kept])
    origin = msg(
        "Spread from cook day to cook day in trial {numbers}: {sd} {unit}.",
        numbers=numbers,
        sd=figure(sd, 2),
        unit=unit_words(outcome),
    )
    return Spread(sd, origin, df)


def unit_words(outcome: Outcome) -> Message | str:
    """What differences of an outcome are counted in."""
    if outcome.source in ("attribute", "loss", "yield"):
        return msg("points")
    return outcome.unit or "g"

"""How far the difference between two methods scatters from cook day to cook day: sd(D).

A kitchen's own finished trials say it best. Until there are any, a typical figure from open data
stands in (resources/planning/typical_spread.csv), scaled to the outcome and the number of tasters,
and the page says so.
"""

from __future__ import annotations

import csv
import math
from collections.abc import Sequence
from dataclasses import dataclass, fields
from functools import cache

from trialbench import paths
from trialbench.model.message import Message, msg, msg_n
from trialbench.model.numbers import figure
from trialbench.model.records import Outcome
from trialbench.notebook.views import range_of
from trialbench.planning.stage_words import listed

USUAL_TASTERS = 6
"""Tasters taken for a plan that does not say how many."""

PIECE_SHARE = 2.878 / 40.0
"""How pieces of one method and day scatter, as a share of the scale: tenderness of beef roasts, sum
of four judges 0 to 40 (Paul 1943, in Cochran and Cox 1957, section 11.51; stats.TYPICAL)."""


@dataclass(frozen=True, slots=True)
class Parts:
    """What sd(D) is made of: standard deviations of one method, in the outcome's unit.

    `cook_method`: how a method's advantage changes from cook day to cook day; `unit`: what more
    pieces a day average out (0 where nothing is known of it); `score`: one taster's score of one
    serving; `taster_method`: what tasters differ in by nature. `piece` is how pieces of one method
    and day scatter, where `unit` does not say it.
    """

    cook_method: float
    unit: float = 0.0
    score: float = 0.0
    taster_method: float = 0.0
    piece: float = 0.0

    def sd(self, units: int = 1, tasters: int = 1, servings: int = 1) -> float:
        """sd(D), as `stats.scatter.sd_of_cook_difference`; `tasters` 0 for a measurement."""
        scores = units * servings * max(tasters, 1)
        squares = self.cook_method**2 + self.unit**2 / units + self.score**2 / scores
        return math.sqrt(2.0 * squares)

    def times(self, factor: float) -> Parts:
        """Every part larger by a factor."""
        return Parts(
            self.cook_method * factor, self.unit * factor, self.score * factor,
            self.taster_method * factor, self.piece * factor,
        )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Spread:
    """sd(D) of the plan in the outcome's unit, and where it comes from.

    `df` is None for a typical figure; `parts` is what it is made of, where that is known.
    """

    sd: float
    origin: Message
    df: int | None = None
    parts: Parts | None = None

    @property
    def typical(self) -> bool:
        """Whether it was borrowed and not seen in this kitchen."""
        return self.df is None


@dataclass(frozen=True, slots=True)
class PastTrial:
    """What a finished trial of this kitchen showed of an outcome's scatter.

    `variance` is that of the cook differences D_k with `df` (over all pairs of its methods),
    `parts` what it was made of in its own design of `units`, `tasters` and `servings`.
    """

    number: int
    cooks: int
    df: int
    variance: float
    units: int
    tasters: int
    servings: int
    parts: Parts


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
        return Spread(sd, origin, parts=Parts(sd / math.sqrt(2), piece=sd / math.sqrt(2)))
    span = range_of(outcome)
    if outcome.source != "attribute" or span.low is None or span.high is None:
        return None
    width, shares = span.high - span.low, typical_shares()
    sd = shares.with_tasters(tasters or USUAL_TASTERS) * width
    parts = Parts(
        shares.cook * width / math.sqrt(2), score=shares.taster * width / math.sqrt(2),
        piece=PIECE_SHARE * width,
    )  # fmt: skip
    origin = msg(
        "Spread borrowed from open tasting data, for {tasters} tasters on this scale: {sd} {unit}. "
        "Yours will show after the first trial.",
        tasters=tasters or USUAL_TASTERS,
        sd=figure(sd, 2),
        unit=unit,
    )
    return Spread(sd, origin, parts=parts)


def own_spread(
    past: Sequence[PastTrial], outcome: Outcome, *, units: int = 1, tasters: int = 0,
    servings: int = 1,
) -> Spread | None:  # fmt: skip
    """This kitchen's own sd(D): pooled over finished trials by their degrees of freedom.

    Each trial's variance is brought to this plan's units, tasters (0 for a measurement, or where
    the plan does not say) and servings by its own parts. None where nothing is left.
    """
    kept = [trial for trial in past if trial.df > 0]
    df = sum(trial.df for trial in kept)
    if not df:
        return None
    usual = round(sum(t.df * t.tasters for t in kept) / df)
    parts = _pooled([(trial.df, _as_seen(trial)) for trial in kept])
    sd = parts.sd(max(units, 1), tasters or usual, servings)
    numbers = listed([str(trial.number) for trial in kept])
    days = msg_n("{count} cook day", "{count} cook days", sum(trial.cooks for trial in kept))
    origin = msg(
        "Your own spread from cook day to cook day, from trial {numbers}, {days}: {sd} {unit}.",
        numbers=numbers,
        days=days,
        sd=figure(sd, 2),
        unit=unit_words(outcome),
    )
    if tasters and tasters != usual:
        origin = msg("{origin} Reckoned for {tasters} tasters; {usual} sat there.",
                     origin=origin, tasters=tasters, usual=usual)  # fmt: skip
    return Spread(sd, origin, df, parts)


def _as_seen(trial: PastTrial) -> Parts:
    """The parts, brought to what the cook differences themselves showed in that design."""
    own = trial.parts.sd(trial.units, trial.tasters, trial.servings)
    if own > 0.0:
        return trial.parts.times(math.sqrt(trial.variance) / own)
    return Parts(math.sqrt(trial.variance / 2.0))


def _pooled(found: Sequence[tuple[int, Parts]]) -> Parts:
    df = sum(weight for weight, _ in found)

    def root(name: str) -> float:
        squares = math.fsum(weight * getattr(parts, name) ** 2 for weight, parts in found)
        return math.sqrt(squares / df)

    return Parts(*(root(field.name) for field in fields(Parts)))


def unit_words(outcome: Outcome) -> Message | str:
    """What differences of an outcome are counted in."""
    if outcome.source in ("attribute", "loss", "yield"):
        return msg("points")
    return outcome.unit or "g"

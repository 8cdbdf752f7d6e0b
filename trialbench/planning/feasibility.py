"""What a plan can and cannot show, before anything is bought.

Noncentral t over cook days (policy 6.6), the floor of the redraw test (6.5), and whether "no
difference that matters" is within reach at all (6.10). With more than two methods every comparison
is asked about at Holm's first step (6.7). `plan_figures` is quick and reads the notebook;
`feasibility_of` loads the engine and may run elsewhere.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from math import comb, sqrt
from typing import TYPE_CHECKING, Any

from trialbench.model.message import Message
from trialbench.model.records import Outcome, Piece, Trial
from trialbench.notebook.records_read import Reads
from trialbench.notebook.views import OneTrial, deciding, range_of
from trialbench.planning.assignments import allowed_assignments
from trialbench.planning.cheapest import (
    Design,
    MoreTasters,
    Target,
    by_price,
    cheapest_of,
    more_tasters,
)
from trialbench.planning.claims import PlannedClaim
from trialbench.planning.matched_blocks import will_be_matched
from trialbench.planning.of_trial import methods_of
from trialbench.planning.one_day import OneDay, one_day_of, with_borrowed
from trialbench.planning.plan_prices import PlanPrices, plan_prices
from trialbench.planning.spread import (
    Parts,
    PastTrial,
    Spread,
    own_spread,
    typical_spread,
    unit_words,
)
from trialbench.planning.units import PlannedUnits, planned_units

if TYPE_CHECKING:
    from trialbench import stats

CURVE_COOKS = range(3, 11)
MOST_COOKS = 40


@dataclass(frozen=True, slots=True)
class PlanFigures:
    """All that feasibility is reckoned from. `ways` counts the draws of the plan laid out now.

    `ways` is None where nothing is laid out for all cook days, or it cannot be counted.
    """

    units: PlannedUnits
    question: str
    matters: float | None
    alpha: float
    spread: Spread | None
    unit: Message | str
    ways: int | None
    places: bool
    claims: tuple[PlannedClaim, ...] = ()
    prices: PlanPrices | None = None
    span: float | None = None
    """From one end of the scale to the other; None where it has none."""
    borrowed: Parts | None = None
    """A typical scatter, for what this kitchen's own trials could not show."""

    @property
    def leading(self) -> PlannedClaim | None:
        """The comparison that the picture is of; None with two methods. One of two methods where
        there is one: what matters was said of such a difference."""
        roles = ("pair", "simple", "trend")
        return next((c for role in roles for c in self.claims if c.role == role), None)


@dataclass(frozen=True, slots=True)
class Shown:
    """What one comparison shows with the planned cook days.

    `smallest` is told apart eight times in ten, `half_width` the expected reach of the interval,
    `chance` that of telling a true difference of d, `chance_equal` and `chance_as_good` those of
    showing that nothing matters, or at least as good, where nothing differs. The last three are
    None without d, `panel_half_width` (for others like these tasters) below three tasters.
    """

    claim: PlannedClaim | None
    smallest: float
    half_width: float
    panel_half_width: float | None = None
    chance: float | None = None
    chance_equal: float | None = None
    chance_as_good: float | None = None


@dataclass(frozen=True, slots=True)
class Curve:
    """Smallest difference found eight times in ten, by cook days; in the outcome's unit.

    `planned` is the plan's own point, None below two cook days.
    """

    points: tuple[tuple[int, float], ...]
    planned: tuple[int, float] | None
    matters: float | None
    unit: Message | str
    origin: Message


@dataclass(frozen=True, slots=True)
class Feasibility:
    """What the plan can show. Counts of cook days are None where more than 40 would be needed.

    `floor` is the smallest p of the redraw test, `floor_cooks` the cook days from which it can
    speak (alpha / 3). `smallest` is what is found eight times in ten; `cooks_for_matters` what d
    takes; `equality_cooks` from how many "no difference that matters" can come out at all;
    `as_good_cooks` how many show "at least as good" eight times in ten when nothing differs.
    `shown` tells of each comparison, `one_day` what a single cook day can still tell, `cheapest`
    the designs that reach d, `more_tasters` what endless tasters would leave.
    """

    figures: PlanFigures
    floor: float | None
    floor_cooks: int | None
    curve: Curve | None = None
    smallest: float | None = None
    cooks_for_matters: int | None = None
    equality_cooks: int | None = None
    as_good_cooks: int | None = None
    shown: tuple[Shown, ...] = ()
    one_day: OneDay | None = None
    cheapest: tuple[Design, ...] = ()
    more_tasters: MoreTasters | None = None

    @property
    def leading(self) -> Shown | None:
        """What the comparison of the picture shows; None below two cook days."""
        wanted = self.figures.leading
        return next((each for each in self.shown if each.claim == wanted), None)


def plan_figures(
    book: Reads,
    trial_id: str,
    own: Spread | Sequence[PastTrial] | None = None,
    claims: tuple[PlannedClaim, ...] = (),
) -> PlanFigures:
    """Read a plan's figures.

    `own` is the kitchen's own spread, or the finished trials it comes from; else a typical one is
    taken. `claims` are the comparisons of a plan of more than two methods.
    """
    records, trial = OneTrial(book, trial_id), book.get(Trial, trial_id)
    ways_now = allowed_assignments(records)
    outcome = deciding(book, trial_id)
    methods = len(methods_of(records))
    tasted = outcome is None or outcome.source == "attribute"
    units = planned_units(trial, methods, ways_now.units, tasted=tasted)
    units = replace(units, paired=units.paired or will_be_matched(records))
    laid_out = len({unit.cook_id for unit in ways_now.units}) == units.cooks
    two = laid_out and methods == 2 and ways_now.units and trial.loads == "alone"
    return PlanFigures(
        units=units,
        question=trial.question,
        matters=trial.matters,
        alpha=trial.alpha,
        spread=_spread(outcome, trial, units, own),
        unit=unit_words(outcome) if outcome else "",
        ways=ways_now.count if two else None,
        places=ways_now.places_count,
        claims=claims,
        prices=plan_prices(book, trial_id, tuple(records.of(Piece))),
        span=_span(outcome),
        borrowed=_borrowed(outcome, trial),
    )


def _borrowed(outcome: Outcome | None, trial: Trial) -> Parts | None:
    found = typical_spread(outcome, trial.planned_tasters) if outcome else None
    return found.parts if found else None


def _span(outcome: Outcome | None) -> float | None:
    if outcome is None:
        return None
    if outcome.source in ("loss", "yield"):
        return 100.0
    limits = range_of(outcome)
    return None if limits.low is None or limits.high is None else limits.high - limits.low


def _spread(
    outcome: Outcome | None,
    trial: Trial,
    units: PlannedUnits,
    own: Spread | Sequence[PastTrial] | None,
) -> Spread | None:
    if isinstance(own, Spread) or outcome is None:
        return own if isinstance(own, Spread) else None
    tasters = (trial.planned_tasters or 0) if units.tasted else 0
    seen = own_spread(own or (), outcome, units=units.each, tasters=tasters,
                      servings=trial.servings)  # fmt: skip
    return seen or typical_spread(outcome, trial.planned_tasters)


def ways_by_figures(units: PlannedUnits, cooks: int, *, places: bool) -> int:
    """Draws of two methods over so many cook days, from the plan's figures alone.

    With places that each pair exchanges, only draws that share them evenly count.
    """
    if not (units.paired and units.unit == "piece"):
        each_day = comb(2 * units.each, units.each)
        return int(each_day**cooks)
    pairs = units.each * cooks
    if not places:
        return 1 << pairs
    return comb(pairs, pairs // 2) * (2 if pairs % 2 else 1)


def floor_of(figures: PlanFigures) -> float | None:
    """Smallest p that the redraw test can give: 2 / draws, as every block has equal counts.

    None for more than two methods: each pair has its own.
    """
    units = figures.units
    if units.cooks < 1 or units.each < 1 or units.methods > 2:
        return None
    ways = figures.ways or ways_by_figures(units, units.cooks, places=figures.places)
    return min(1.0, 2 / ways)


def floor_cooks_of(figures: PlanFigures) -> int | None:
    """Cook days from which that floor is at most alpha / 3; None above 40."""
    units, wanted = figures.units, figures.alpha / 3 * (1 + 1e-12)
    if units.each < 1 or units.methods > 2:
        return None
    return _fewest(lambda c: 2 / ways_by_figures(units, c, places=figures.places) <= wanted)


def _fewest(enough: Callable[[int], bool]) -> int | None:
    return next((cooks for cooks in range(1, MOST_COOKS + 1) if enough(cooks)), None)


def feasibility_of(figures: PlanFigures) -> Feasibility:
    """Reckon what a plan can show. Loads the engine on first use."""
    from trialbench.stats import power

    found = Feasibility(figures, floor_of(figures), floor_cooks_of(figures))
    if figures.spread is None or figures.spread.sd <= 0:
        return found
    sd, alpha, matters = _of_leading(figures, figures.spread), _alpha(figures), figures.matters
    curve = _curve(figures, figures.spread)
    found = replace(
        found,
        curve=curve,
        smallest=curve.planned[1] if curve.planned else None,
        shown=tuple(_shown(figures, figures.spread)),
        one_day=_one_day(figures, figures.spread),
    )
    if matters is None:
        return found
    return replace(
        found,
        cooks_for_matters=power.fewest_cooks(matters, sd, alpha),
        equality_cooks=power.fewest_cooks_for_equality(matters, sd, alpha),
        as_good_cooks=power.fewest_cooks_at_least_as_good(matters, sd, alpha),
        **_designs(figures, figures.spread, matters),
    )


def _of_leading(figures: PlanFigures, spread: Spread) -> float:
    return figures.leading.sd(spread.sd) if figures.leading else spread.sd


def _alpha(figures: PlanFigures) -> float:
    return figures.leading.share(figures.alpha) if figures.leading else figures.alpha


def _shown(figures: PlanFigures, spread: Spread) -> Iterator[Shown]:
    if figures.units.cooks < 2:
        return
    for claim in figures.claims or (None,):
        sd = claim.sd(spread.sd) if claim else spread.sd
        yield _one_shown(figures, claim, sd, claim.share(figures.alpha) if claim else figures.alpha)


def _one_shown(figures: PlanFigures, claim: PlannedClaim | None, sd: float, alpha: float) -> Shown:
    from trialbench.stats import NotApplicable, power, precision

    matters, cooks = figures.matters, figures.units.cooks
    scatter, design = _as_planned(figures, claim, sd)
    found = precision(design, scatter, matters or sd, alpha=alpha)
    assert not isinstance(found, NotApplicable)
    panel = found.panel_half_width if design.tasters >= 3 else None
    smallest = power.smallest_difference(cooks, sd, alpha)
    plain = Shown(claim, smallest, found.half_width, panel)
    if matters is None or (claim is not None and claim.role == "bend"):
        return plain
    return replace(
        plain,
        chance=found.chance_of_winner,
        chance_equal=found.chance_of_equality,
        chance_as_good=found.chance_at_least_as_good,
    )


def _as_planned(
    figures: PlanFigures, claim: PlannedClaim | None, sd: float
) -> tuple[stats.Scatter, stats.TrialDesign]:
    """The engine's scatter and design whose sd(D) is `sd`; by their parts where those are known.

    Without parts, and for a comparison of several methods, all of it stands as one part.
    """
    from trialbench.stats import Scatter, TrialDesign

    units, spread = figures.units, figures.spread
    parts = spread.parts if spread else None
    if parts is None or claim is not None or not units.tasted or not units.tasters:
        return Scatter(cook_method=sd / sqrt(2.0)), TrialDesign(cooks=units.cooks)
    scatter = Scatter(
        cook_method=parts.cook_method, unit=parts.unit, score=parts.score,
        taster_method=parts.taster_method,
    )  # fmt: skip
    if spread is not None and spread.typical:
        return scatter, TrialDesign(cooks=units.cooks, tasters=units.tasters)
    return scatter, TrialDesign(
        cooks=units.cooks, units=max(units.each, 1), tasters=units.tasters, servings=units.servings
    )


def _one_day(figures: PlanFigures, spread: Spread) -> OneDay | None:
    if spread.parts is None:
        return None
    parts, borrowed = with_borrowed(figures.units, spread.parts, figures.borrowed)
    found = one_day_of(figures.units, parts, _alpha(figures), figures.matters)
    return replace(found, borrowed=borrowed or spread.typical) if found else None


def _designs(figures: PlanFigures, spread: Spread, matters: float) -> dict[str, Any]:
    """The cheapest designs and what more tasters bring, where the parts of the spread are known.

    A borrowed spread says nothing of more pieces or servings: it counts one of each.
    """
    if spread.parts is None or figures.question == "same_recipe":
        return {}
    units, leading = figures.units, figures.leading
    if spread.typical:
        units = replace(units, servings=1)
    factor = leading.sd(1.0) if leading else 1.0
    parts = spread.parts.times(factor)
    target = Target(matters, _alpha(figures), figures.question == "at_least_as_good", units.methods)
    known = replace(units, each=1) if spread.typical else units
    cheapest = cheapest_of(known, parts, target)
    designs = (
        [replace(d, units=max(units.each, 1)) for d in cheapest] if spread.typical else cheapest
    )
    return {
        "cheapest": by_price(designs, target, figures.prices),
        "more_tasters": more_tasters(known, parts, target),
    }


def _curve(figures: PlanFigures, spread: Spread) -> Curve:
    from trialbench.stats import power

    sd, alpha = _of_leading(figures, spread), _alpha(figures)

    def found(cooks: int) -> float:
        return float(power.smallest_difference(cooks, sd, alpha))

    planned = figures.units.cooks
    shown = sorted({*CURVE_COOKS, *((planned,) if planned >= 2 else ())})
    points = tuple((cooks, found(cooks)) for cooks in shown)
    return Curve(
        points=points,
        planned=next((p for p in points if p[0] == planned), None),
        matters=figures.matters,
        unit=figures.unit,
        origin=spread.origin,
    )

"""What a plan can and cannot show, before anything is bought.

Noncentral t over cook days (policy 6.6), the floor of the redraw test (6.5), and whether "no
difference that matters" is within reach at all (6.10). `plan_figures` is quick and reads the
notebook; `feasibility_of` loads the engine and may run elsewhere.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import comb

from trialbench.model.message import Message
from trialbench.model.records import Outcome, Trial
from trialbench.notebook.records_read import Reads
from trialbench.notebook.views import OneTrial, deciding
from trialbench.planning.assignments import allowed_assignments
from trialbench.planning.of_trial import methods_of
from trialbench.planning.spread import Spread, typical_spread, unit_words
from trialbench.planning.units import PlannedUnits, planned_units

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
    """

    figures: PlanFigures
    floor: float | None
    floor_cooks: int | None
    curve: Curve | None = None
    smallest: float | None = None
    cooks_for_matters: int | None = None
    equality_cooks: int | None = None
    as_good_cooks: int | None = None


def plan_figures(book: Reads, trial_id: str, own: Spread | None = None) -> PlanFigures:
    """Read a plan's figures. `own` is the kitchen's own spread, else a typical one is taken."""
    records, trial = OneTrial(book, trial_id), book.get(Trial, trial_id)
    ways_now = allowed_assignments(records)
    outcome = deciding(book, trial_id)
    methods = len(methods_of(records))
    tasted = outcome is None or outcome.source == "attribute"
    units = planned_units(trial, methods, ways_now.units, tasted=tasted)
    laid_out = len({unit.cook_id for unit in ways_now.units}) == units.cooks
    two = laid_out and methods == 2 and ways_now.units and trial.loads == "alone"
    return PlanFigures(
        units=units,
        question=trial.question,
        matters=trial.matters,
        alpha=trial.alpha,
        spread=own or _typical(outcome, trial),
        unit=unit_words(outcome) if outcome else "",
        ways=ways_now.count if two else None,
        places=ways_now.places_count,
    )


def _typical(outcome: Outcome | None, trial: Trial) -> Spread | None:
    return typical_spread(outcome, trial.planned_tasters) if outcome else None


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
    """Smallest p that the redraw test can give: 2 / draws, as every block has equal counts."""
    units = figures.units
    if units.cooks < 1 or units.each < 1:
        return None
    ways = figures.ways or ways_by_figures(units, units.cooks, places=figures.places)
    return min(1.0, 2 / ways)


def floor_cooks_of(figures: PlanFigures) -> int | None:
    """Cook days from which that floor is at most alpha / 3; None above 40."""
    units, wanted = figures.units, figures.alpha / 3 * (1 + 1e-12)
    if units.each < 1:
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
    sd, alpha, matters = figures.spread.sd, figures.alpha, figures.matters
    curve = _curve(figures, figures.spread)
    if matters is None:
        return Feasibility(
            figures, found.floor, found.floor_cooks, curve, curve.planned and curve.planned[1]
        )
    return Feasibility(
        figures=figures,
        floor=found.floor,
        floor_cooks=found.floor_cooks,
        curve=curve,
        smallest=curve.planned[1] if curve.planned else None,
        cooks_for_matters=power.fewest_cooks(matters, sd, alpha),
        equality_cooks=power.fewest_cooks_for_equality(matters, sd, alpha),
        as_good_cooks=power.fewest_cooks_at_least_as_good(matters, sd, alpha),
    )


def _curve(figures: PlanFigures, spread: Spread) -> Curve:
    from trialbench.stats import power

    def found(cooks: int) -> float:
        return float(power.smallest_difference(cooks, spread.sd, figures.alpha))

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

"""What a trial of more than two methods compares: its pairs, or the contrasts of its factors.

Every comparison is a weighted sum over methods. They follow from the shape, the factors and the
method held as usual, all written down before the seal; none is chosen by what came out.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations, product
from typing import Literal

from trialbench.findings.snapshot import TrialRecords
from trialbench.model.records import Factor, Level, Method, Setting
from trialbench.notebook.views import cover

Role = Literal["pair", "main", "simple", "interaction", "trend", "bend"]


@dataclass(frozen=True, slots=True)
class FactorLevel:
    """One level: its number in the unit of the factor's field, or its text."""

    number: float | None = None
    text: str = ""

    @property
    def plain(self) -> float | str:
        """The number, or the text where there is none."""
        return self.text if self.number is None else self.number


@dataclass(frozen=True, slots=True)
class PlanFactor:
    """What is varied on purpose, with its levels in order. `field` is the field of a stage."""

    name: str
    field: str
    ordered: bool
    levels: tuple[FactorLevel, ...]

    @property
    def numeric(self) -> bool:
        """Whether every level is a number."""
        return all(level.number is not None for level in self.levels)


@dataclass(frozen=True, slots=True)
class Contrast:
    """A weighted sum over methods, `weights` by letter.

    `a` and `b` name what is held against what: letters of a pair; places of a factor's levels
    ("1", "0") for an effect of `factor` (its place among the factors). `at` holds the place of the
    other factors' levels of a simple effect; of an interaction, which two levels of which factor
    the effect of `factor` is compared at.
    """

    role: Role
    a: str
    b: str
    weights: tuple[tuple[str, float], ...]
    factor: int = 0
    at: tuple[tuple[int, int], ...] = ()


@dataclass(frozen=True, slots=True)
class MethodPlan:
    """How the methods of a trial lie: `levels` maps a letter to its places in each factor.

    `temperature_unit` is what the screen shows, C or F; numbers inside stay °C.
    """

    shape: Literal["pairs", "crossed", "ordered"]
    letters: tuple[str, ...]
    factors: tuple[PlanFactor, ...] = ()
    levels: tuple[tuple[str, tuple[int, ...]], ...] = ()
    usual: str | None = None
    temperature_unit: str = "C"

    def places(self) -> dict[str, tuple[int, ...]]:
        """Letter to the place of its level in each factor."""
        return dict(self.levels)

    def number_of(self, letter: str) -> float:
        """The setting of a method of an ordered trial."""
        number = self.factors[0].levels[self.places()[letter][0]].number
        assert number is not None
        return number


def method_plan(records: TrialRecords, letters: Sequence[str]) -> MethodPlan:
    """The plan of the methods that have numbers.

    A crossed trial without every combination, and an ordered one without a number for each method,
    are read pair by pair.
    """
    trial = records.trial
    there = tuple(sorted(letters))
    usual = records.find(Method, trial.usual_id)
    held = usual.letter if usual is not None and trial.compares == "with_usual" else None
    unit = cover(records).temperature_unit
    plain = MethodPlan("pairs", there, usual=held if held in there else None, temperature_unit=unit)
    if trial.shape not in ("crossed", "ordered"):
        return plain
    factors = sorted(records.of(Factor), key=lambda f: (f.position, f.id))
    levels = _levels(records, factors)
    places = _places(records, factors, levels, there)
    if places is None:
        return plain
    found = tuple(
        PlanFactor(f.name, f.field, f.ordered, tuple(FactorLevel(x.number, x.text) for x in own))
        for f, own in zip(factors, levels, strict=True)
    )
    shape: Literal["crossed", "ordered"] = "crossed" if trial.shape == "crossed" else "ordered"
    whole = replace(plain, shape=shape, factors=_used(found, places), levels=_renumbered(places))
    return whole if _complete(whole) else plain


def _levels(records: TrialRecords, factors: Sequence[Factor]) -> list[list[Level]]:
    found = []
    for factor in factors:
        own = [level for level in records.of(Level) if level.factor_id == factor.id]
        numbers = [level.number for level in own if level.number is not None]
        if len(numbers) == len(own):
            own.sort(key=lambda level: level.number or 0.0)
        else:
            own.sort(key=lambda level: (level.position, level.id))
        found.append(own)
    return found


def _places(
    records: TrialRecords,
    factors: Sequence[Factor],
    levels: Sequence[Sequence[Level]],
    letters: Sequence[str],
) -> dict[str, tuple[int, ...]] | None:
    """Letter to its places in every factor; None where a method lacks one."""
    settings: dict[str, set[str]] = {}
    for setting in records.of(Setting):
        settings.setdefault(setting.method_id, set()).add(setting.level_id)
    found: dict[str, tuple[int, ...]] = {}
    for method in records.of(Method):
        if method.letter not in letters:
            continue
        own = settings.get(method.id, set())
        places = [[n for n, x in enumerate(each) if x.id in own] for each in levels]
        if not factors or any(len(each) != 1 for each in places):
            return None
        found[method.letter] = tuple(each[0] for each in places)
    return found


def _used(
    factors: Sequence[PlanFactor], places: Mapping[str, tuple[int, ...]]
) -> tuple[PlanFactor, ...]:
    """The factors with the levels that a method with numbers has."""
    kept = []
    for n, factor in enumerate(factors):
        used = sorted({own[n] for own in places.values()})
        levels = tuple(factor.levels[place] for place in used)
        kept.append(PlanFactor(factor.name, factor.field, factor.ordered, levels))
    return tuple(kept)


def _renumbered(places: Mapping[str, tuple[int, ...]]) -> tuple[tuple[str, tuple[int, ...]], ...]:
    count = len(next(iter(places.values())))
    used = [sorted({own[n] for own in places.values()}) for n in range(count)]
    return tuple(
        (letter, tuple(used[n].index(place) for n, place in enumerate(own)))
        for letter, own in sorted(places.items())
    )


def _complete(plan: MethodPlan) -> bool:
    cells = set(plan.places().values())
    if plan.shape == "ordered":
        numbers = {level.number for level in plan.factors[0].levels}
        one = len(plan.factors) == 1 and plan.factors[0].numeric
        return one and len(numbers) == len(plan.letters) == len(cells) >= 3
    wanted = set(product(*(range(len(factor.levels)) for factor in plan.factors)))
    several = len(plan.factors) >= 2 and all(len(f.levels) >= 2 for f in plan.factors)
    return several and cells == wanted and len(cells) == len(plan.letters)


# --- the comparisons ---------------------------------------------------------------------------


def pairs_of(plan: MethodPlan) -> tuple[Contrast, ...]:
    """Every pair of letters, a before b as text; with a usual method, those with it."""
    return tuple(
        Contrast("pair", a, b, ((a, 1.0), (b, -1.0)))
        for a, b in combinations(plan.letters, 2)
        if plan.usual is None or plan.usual in (a, b)
    )


def effects_of(plan: MethodPlan) -> tuple[Contrast, ...]:
    """Main effects, interactions and simple effects of a crossed trial, higher place less lower."""
    return (*_main(plan), *_interactions(plan), *_simple(plan))


def _steps(plan: MethodPlan, factor: int) -> list[tuple[int, int]]:
    """(higher, lower) places of a factor's levels."""
    count = len(plan.factors[factor].levels)
    return [(high, low) for low, high in combinations(range(count), 2)]


def _weights(
    plan: MethodPlan, parts: Mapping[int, Mapping[int, float]]
) -> tuple[tuple[str, float], ...]:
    """The product of each factor's own weights, an equal share where it has none."""
    found = []
    for letter, places in plan.levels:
        weight = 1.0
        for n, place in enumerate(places):
            own = parts.get(n)
            weight *= 1.0 / len(plan.factors[n].levels) if own is None else own.get(place, 0.0)
        if weight:
            found.append((letter, weight))
    return tuple(found)


def _main(plan: MethodPlan) -> Iterator[Contrast]:
    for n in range(len(plan.factors)):
        for high, low in _steps(plan, n):
            weights = _weights(plan, {n: {high: 1.0, low: -1.0}})
            yield Contrast("main", str(high), str(low), weights, n)


def _interactions(plan: MethodPlan) -> Iterator[Contrast]:
    lead = leading_factor(plan)
    for one, two in combinations(range(len(plan.factors)), 2):
        inner, outer = (two, one) if lead == two else (one, two)
        for high, low in _steps(plan, inner):
            for more, less in _steps(plan, outer):
                weights = _weights(
                    plan, {inner: {high: 1.0, low: -1.0}, outer: {more: 1.0, less: -1.0}}
                )
                yield Contrast(
                    "interaction", str(high), str(low), weights, inner,
                    ((outer, more), (outer, less)),
                )  # fmt: skip


def _simple(plan: MethodPlan) -> Iterator[Contrast]:
    for n in range(len(plan.factors)):
        others = [m for m in range(len(plan.factors)) if m != n]
        for held in product(*(range(len(plan.factors[m].levels)) for m in others)):
            at = tuple(zip(others, held, strict=True))
            for high, low in _steps(plan, n):
                parts = {n: {high: 1.0, low: -1.0}, **{m: {place: 1.0} for m, place in at}}
                yield Contrast("simple", str(high), str(low), _weights(plan, parts), n, at)


def leading_factor(plan: MethodPlan) -> int:
    """The factor whose effect is told at the levels of the others: the last ordered or numeric one.

    Where none is, the last one.
    """
    ordered = [n for n, f in enumerate(plan.factors) if f.ordered or f.numeric]
    return ordered[-1] if ordered else len(plan.factors) - 1


def trend_of(plan: MethodPlan) -> tuple[Contrast, ...]:
    """The rise of the fitted line over all that was tried, and the bend, in the outcome's units.

    Least squares on the settings' own spacing. The bend is how far the fitted second-degree curve
    lies above the line between its own ends, half-way.
    """
    settings = sorted((plan.number_of(letter), letter) for letter in plan.letters)
    x = [setting for setting, _ in settings]
    span = x[-1] - x[0]
    rise = [span * weight for weight in _slope(x)]
    bend = [-(span**2) / 4.0 * weight for weight in _second_degree(x)]
    ends = (settings[-1][1], settings[0][1])
    letters = [letter for _, letter in settings]
    return (
        Contrast("trend", *ends, tuple(zip(letters, rise, strict=True))),
        Contrast("bend", *ends, tuple(zip(letters, bend, strict=True))),
    )


def _slope(x: Sequence[float]) -> list[float]:
    middle = sum(x) / len(x)
    squares = sum((each - middle) ** 2 for each in x)
    return [(each - middle) / squares for each in x]


def _second_degree(x: Sequence[float]) -> list[float]:
    """Weights of the second-degree coefficient (orthogonal polynomials, Fisher 1925)."""
    middle, count = sum(x) / len(x), len(x)
    first = [each - middle for each in x]
    squares = [each**2 for each in first]
    level = sum(squares) / count
    slope = sum(a * b for a, b in zip(first, squares, strict=True)) / sum(squares)
    rest = [s - level - slope * f for s, f in zip(squares, first, strict=True)]
    total = sum(r * r for r in rest)
    return [r / total for r in rest]

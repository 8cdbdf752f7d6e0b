"""From one score per cook, unit and taster to one difference per cook and taster, and per cook."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property

from trialbench.model.message import Message, msg_n
from trialbench.stats.numbers import mean

NOBODY = ""
"""The taster of a measurement."""


@dataclass(frozen=True, slots=True)
class UnitScore:
    """One score: cook, unit (its name within cook and method), method, taster ("" measured)."""

    cook: str
    method: str
    unit: str
    taster: str
    score: float


@dataclass(frozen=True, slots=True)
class TasterRow:
    """One taster in one cook who scored both methods: mean over the units of each."""

    cook: str
    taster: str
    mean_a: float
    mean_b: float

    @property
    def difference(self) -> float:
        """The taster's a - b in this cook."""
        return self.mean_a - self.mean_b


@dataclass(frozen=True, slots=True)
class CookDifference:
    """D_k of one cook, with the means of both methods over the same n_k `tasters`."""

    cook: str
    difference: float
    mean_a: float
    mean_b: float
    tasters: int
    units_a: int
    units_b: int


def unit_scores(rows: Iterable[tuple[str, str, str, str, float]]) -> list[UnitScore]:
    """Average repeats: rows (cook, method, unit, taster, value) to one score each, sorted."""
    cells: dict[tuple[str, str, str, str], list[float]] = defaultdict(list)
    for cook, method, unit, taster, value in rows:
        cells[cook, method, unit, taster].append(value)
    return [
        UnitScore(*key, values[0] if len(values) == 1 else mean(values))
        for key, values in sorted(cells.items())
    ]


def taster_rows(scores: Iterable[UnitScore], a: str, b: str) -> list[TasterRow]:
    """One row per cook and taster, only where that taster scored both methods there."""
    cells: dict[tuple[str, str], tuple[list[float], list[float]]] = {}
    for each in scores:
        both = cells.setdefault((each.cook, each.taster), ([], []))
        if each.method in (a, b):
            both[0 if each.method == a else 1].append(each.score)
    return [
        TasterRow(cook, taster, mean(of_a), mean(of_b))
        for (cook, taster), (of_a, of_b) in cells.items()
        if of_a and of_b
    ]


@dataclass(frozen=True, slots=True)
class TasterMean:
    """A taster's plain mean difference a - b over the `cooks` in which both were scored."""

    taster: str
    difference: float
    cooks: int


@dataclass(frozen=True, slots=True)
class CookCounts:
    """What entered the estimate; `scores` counts averaged scores (one per cook, unit, taster)."""

    cooks: int
    units: int
    tasters: int
    scores: int
    cooks_without: int
    tasters_without: int


@dataclass(frozen=True)
class CookTable:
    """The scores of two methods, a < b, seen by cook and by taster."""

    a: str
    b: str
    scores: tuple[UnitScore, ...]

    @cached_property
    def rows(self) -> tuple[TasterRow, ...]:
        """One row per cook and taster who scored both methods there."""
        return tuple(taster_rows(self.scores, self.a, self.b))

    @cached_property
    def counting(self) -> frozenset[tuple[str, str]]:
        """(cook, taster) of the rows."""
        return frozenset((row.cook, row.taster) for row in self.rows)

    @property
    def measured(self) -> bool:
        """True where nobody tasted."""
        return bool(self.scores) and self.scores[0].taster == NOBODY

    @cached_property
    def value_range(self) -> float:
        """Highest less lowest score."""
        values = [each.score for each in self.scores]
        return max(values) - min(values) if values else 0.0

    @cached_property
    def units(self) -> dict[tuple[str, str], int]:
        """Number of units of each (cook, method) scored by a taster who counts there."""
        names: dict[tuple[str, str], set[str]] = defaultdict(set)
        for each in self.scores:
            if (each.cook, each.taster) in self.counting:
                names[each.cook, each.method].add(each.unit)
        return {key: len(units) for key, units in names.items()}

    @cached_property
    def cook_differences(self) -> tuple[CookDifference, ...]:
        """D_k of every cook with a row, in order of the cooks' names."""
        by_cook: dict[str, list[TasterRow]] = defaultdict(list)
        for row in self.rows:
            by_cook[row.cook].append(row)
        return tuple(self._cook(cook, own) for cook, own in sorted(by_cook.items()))

    def _cook(self, cook: str, own: Sequence[TasterRow]) -> CookDifference:
        return CookDifference(
            cook,
            mean(row.difference for row in own),
            mean(row.mean_a for row in own),
            mean(row.mean_b for row in own),
            0 if self.measured else len(own),
            self.units[cook, self.a],
            self.units[cook, self.b],
        )

    @cached_property
    def taster_means(self) -> tuple[TasterMean, ...]:
        """Each taster's mean difference, in order of names; none for measurements."""
        own: dict[str, list[float]] = defaultdict(list)
        for row in self.rows:
            if row.taster != NOBODY:
                own[row.taster].append(row.difference)
        return tuple(TasterMean(who, mean(them), len(them)) for who, them in sorted(own.items()))

    @property
    def counts(self) -> CookCounts:
        """What entered, and what did not."""
        days, tasters = len(self.cook_differences), len(self.taster_means)
        return CookCounts(
            cooks=days,
            units=sum(self.units.values()),
            tasters=tasters,
            scores=sum((each.cook, each.taster) in self.counting for each in self.scores),
            cooks_without=len({each.cook for each in self.scores}) - days,
            tasters_without=len({each.taster for each in self.scores} - {NOBODY}) - tasters,
        )

    def dropped(self) -> tuple[Message, ...]:
        """Sentences on cooks and tasters that have no difference."""
        there = {row.cook for row in self.rows}
        lost = sorted({each.cook for each in self.scores} - there)
        single = {(s.cook, s.taster) for s in self.scores if s.cook in there} - self.counting
        notes = []
        if lost:
            notes.append(msg_n(
                "{count} cook has no difference and drops out: {cooks}.",
                "{count} cooks have no difference and drop out: {cooks}.",
                len(lost),
                cooks=", ".join(lost),
            ))  # fmt: skip
        if single:
            notes.append(msg_n(
                "{count} time a taster scored only one of the two methods in a cook: not counted.",
                "{count} times a taster scored only one of the two methods in a cook: not counted.",
                len(single),
            ))  # fmt: skip
        return tuple(notes)

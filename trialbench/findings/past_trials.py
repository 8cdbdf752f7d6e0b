"""What this kitchen's finished trials say of an outcome's scatter, for the next plan.

Moments of balanced tables: the cook differences of every pair of methods give var(D); what is left
of tasters' differences after cook days and tasters gives the score; pieces within a method and day
give the piece. A part that the trial could not show counts as 0 and stays with the cook days.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations
from math import fsum, sqrt

from trialbench.findings.snapshot import TrialRecords, records_of
from trialbench.findings.tables import Row, Table, tables_of
from trialbench.model.records import Outcome, Sitting, Trial
from trialbench.notebook import views
from trialbench.notebook.records_read import Reads
from trialbench.planning.spread import Parts, PastTrial

Key = tuple[str, str, str, str]


def past_of(book: Reads, trial_id: str) -> tuple[PastTrial, ...]:
    """The finished trials that scored or measured what decides here, on the same scale.

    Finished: two cook days or more are in, no key is still sealed, no planned cook day is still to
    come. Invented trials count beside invented ones alone. Runs in the worker, on a snapshot.
    """
    trial = book.get(Trial, trial_id)
    outcome = views.deciding(book, trial_id)
    if outcome is None:
        return ()
    found = []
    for other in book.all(Trial):
        if other.id == trial_id or other.invented != trial.invented:
            continue
        records = records_of(book, other.id)
        table = _same(records, outcome)
        seen = past_trial(records, table) if table is not None and _finished(records) else None
        if seen is not None:
            found.append(seen)
    return tuple(found)


def _same(records: TrialRecords, outcome: Outcome) -> Table | None:
    """The table of the same attribute on the same scale, or of the same kind of loss."""
    wanted = _what(records, outcome)
    if not any(_what(records, other) == wanted for other in records.of(Outcome)):
        return None
    return next(t for t in tables_of(records) if _what(records, t.outcome) == wanted)


def _what(records: TrialRecords, outcome: Outcome) -> tuple[object, ...]:
    if outcome.source != "attribute":
        return outcome.source, outcome.name.casefold()
    span = views.range_of(outcome)
    return outcome.source, outcome.name.casefold(), span.low, span.high


def _finished(records: TrialRecords) -> bool:
    if any(sitting.key_state != "open" for sitting in records.of(Sitting)):
        return False
    planned = records.trial.planned_cooks
    return planned is None or len({s.cook_id for s in records.of(Sitting)}) in (0, planned)


def past_trial(records: TrialRecords, table: Table) -> PastTrial | None:
    """What one table shows; None with fewer than two cook days or two methods."""
    cells = _Cells.of(table.rows)
    cooks, methods = cells.whole()
    df = (len(cooks) - 1) * (len(methods) - 1)
    if df < 1:
        return None
    pairs = list(combinations(methods, 2))
    variance = _mean([_variance(cells.differences(a, b, cooks)) for a, b in pairs])
    units, tasters = cells.counts(cooks, methods)
    servings = records.trial.servings if table.tasted else 1
    step = views.range_of(table.outcome).step if table.tasted else None
    if step is not None and tasters:
        variance = max(variance, step**2 / (6.0 * tasters))
    parts = _parts(cells, cooks, methods, variance, (units, tasters, servings))
    return PastTrial(
        records.trial.number, len(cooks), df, variance, units, tasters if table.tasted else 0,
        servings, parts,
    )  # fmt: skip


def _parts(
    cells: _Cells,
    cooks: Sequence[str],
    methods: Sequence[str],
    variance: float,
    design: tuple[int, int, int],
) -> Parts:
    units, tasters, servings = design
    pairs = list(combinations(methods, 2))
    residual = _mean([r for a, b in pairs for r in cells.residual(a, b, cooks)])
    score = residual * units * servings / 2.0
    within = cells.within(cooks)
    piece = max(0.0, within - score / (max(tasters, 1) * servings))
    rest = variance / 2.0 - piece / units - score / (units * servings * max(tasters, 1))
    return Parts(
        sqrt(max(0.0, rest)), sqrt(piece), sqrt(score), sqrt(cells.by_taster(pairs, cooks)),
        sqrt(piece),
    )  # fmt: skip


@dataclass(frozen=True)
class _Cells:
    """Numbers by cook, method, unit and taster ("" measured), repeats averaged."""

    values: dict[Key, float]

    @classmethod
    def of(cls, rows: Sequence[Row]) -> _Cells:
        found: dict[Key, list[float]] = defaultdict(list)
        for row in rows:
            found[row.cook, row.method, row.load or row.unit, row.taster].append(row.value)
        return cls({key: _mean(values) for key, values in found.items()})

    def whole(self) -> tuple[list[str], list[str]]:
        """The methods, and the cook days that carry all of them."""
        methods = sorted({key[1] for key in self.values})
        there: dict[str, set[str]] = defaultdict(set)
        for cook, method, _, _ in self.values:
            there[cook].add(method)
        return sorted(c for c, own in there.items() if len(own) == len(methods)), methods

    def taster_rows(self, a: str, b: str) -> dict[tuple[str, str], float]:
        """(cook, taster) to that taster's a - b, where both were scored."""
        sides: dict[tuple[str, str], dict[str, list[float]]] = defaultdict(dict)
        for (cook, method, _, taster), value in self.values.items():
            sides[cook, taster].setdefault(method, []).append(value)
        return {
            key: _mean(own[a]) - _mean(own[b])
            for key, own in sides.items()
            if a in own and b in own
        }

    def differences(self, a: str, b: str, cooks: Sequence[str]) -> list[float]:
        """D of each cook day (policy 6.3)."""
        rows = self.taster_rows(a, b)
        own = [[d for (cook, _), d in rows.items() if cook == day] for day in cooks]
        return [_mean(each) for each in own if each]

    def residual(self, a: str, b: str, cooks: Sequence[str]) -> Iterator[float]:
        """Mean square of what cook days and tasters leave, over tasters who came every day."""
        table = self._every_day(a, b, cooks)
        c, t = len(cooks), len(table)
        if t < 2 or c < 2:
            return
        days = [_mean([row[k] for row in table]) for k in range(c)]
        own, whole = [_mean(row) for row in table], _mean(days)
        squares = fsum(
            (row[k] - own[n] - days[k] + whole) ** 2 for n, row in enumerate(table)
            for k in range(c)
        )  # fmt: skip
        yield squares / ((c - 1) * (t - 1))

    def by_taster(self, pairs: Sequence[tuple[str, str]], cooks: Sequence[str]) -> float:
        """Variance of taste for one method: tasters' mean differences, less their own scatter."""
        found = []
        for a, b in pairs:
            table = self._every_day(a, b, cooks)
            if len(table) >= 2:
                noise = _mean(list(self.residual(a, b, cooks))) / len(cooks)
                found.append((_variance([_mean(row) for row in table]) - noise) / 2.0)
        return max(0.0, _mean(found))

    def _every_day(self, a: str, b: str, cooks: Sequence[str]) -> list[list[float]]:
        rows = self.taster_rows(a, b)
        tasters = sorted({taster for _, taster in rows if taster})
        return [
            [rows[cook, taster] for cook in cooks]
            for taster in tasters
            if all((cook, taster) in rows for cook in cooks)
        ]

    def within(self, cooks: Sequence[str]) -> float:
        """Mean variance of unit means among the units of a method and day; 0 with one of each."""
        units: dict[tuple[str, str], dict[str, list[float]]] = defaultdict(dict)
        for (cook, method, unit, _), value in self.values.items():
            units[cook, method].setdefault(unit, []).append(value)
        means = [[_mean(v) for v in own.values()] for (c, _), own in units.items() if c in cooks]
        return _mean([_variance(each) for each in means if len(each) >= 2])

    def counts(self, cooks: Sequence[str], methods: Sequence[str]) -> tuple[int, int]:
        """Usual units of a method and day, and tasters of a day; at least 1 each."""
        units: dict[tuple[str, str], set[str]] = defaultdict(set)
        tasters: dict[str, set[str]] = defaultdict(set)
        for cook, method, unit, taster in self.values:
            if cook in cooks:
                units[cook, method].add(unit)
                tasters[cook].add(taster)
        each = _mean([float(len(own)) for own in units.values()])
        return max(1, round(each)), max(1, round(_mean([float(len(t)) for t in tasters.values()])))


def _mean(values: Sequence[float]) -> float:
    return fsum(values) / len(values) if values else 0.0


def _variance(values: Sequence[float]) -> float:
    if len(values) < 2:
        return 0.0
    middle = _mean(values)
    return fsum((value - middle) ** 2 for value in values) / (len(values) - 1)

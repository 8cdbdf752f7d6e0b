"""Search for the lot numbers of the example trials: `python -m tests.examples.search [MOST]`.

For each trial the first lot number, counted from 1, whose scores show the case and the figures that
the trial is to show. What is asked of a draw stands in WANTED; the numbers found are written into
the trials' modules by hand.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import dataclass
from statistics import fmean, stdev
from types import ModuleType

from scipy.stats import t as student

from tests.examples import beans, octopus, ribs, thighs, turkey
from tests.examples.scatter import Cell
from trialbench.findings.tables import opened_samples
from trialbench.findings.units import places_of
from trialbench.model.numbers import rounded
from trialbench.model.records import Taster

Key = tuple[str, str]


@dataclass(frozen=True)
class Seen:
    """One attribute over cook days: means of A and B, D_k = A - B, and the intervals over cooks.

    `days` holds the mean of every method on each cook day.
    """

    a: float
    b: float
    differences: tuple[float, ...]
    days: tuple[dict[str, float], ...] = ()

    @property
    def gap(self) -> float:
        """The mean of the cook differences."""
        return fmean(self.differences)

    def half(self, level: float) -> float:
        """Half-width of the two-sided interval of this level."""
        count = len(self.differences)
        spread = stdev(self.differences) / count**0.5
        return float(student.isf((1 - level) / 2, count - 1)) * spread

    def of(self, **weights: float) -> Seen:
        """The same for a weighted sum of methods."""
        values = tuple(sum(w * day[m] for m, w in weights.items()) for day in self.days)
        return Seen(fmean(values), 0.0, values)

    def level(self) -> float:
        """The two-sided p over cook days."""
        spread = stdev(self.differences) / len(self.differences) ** 0.5
        return 2 * float(student.sf(abs(self.gap) / spread, len(self.differences) - 1))

    def shown(self) -> tuple[str, str]:
        """Both means with one decimal."""
        return str(rounded(self.a, 1)), str(rounded(self.b, 1))


def seen(cells: list[Cell], scores: list[float], without: str = "") -> Seen:
    """Scores to cook differences, as policy 6.3 has it for complete tables."""
    table: dict[Key, dict[str, list[float]]] = {}
    for cell, score in zip(cells, scores, strict=True):
        if cell.unit != without:
            row = table.setdefault((cell.cook, cell.taster), {"A": [], "B": []})
            row.setdefault(cell.method, []).append(score)
    cooks: dict[str, list[tuple[float, float]]] = {}
    for (cook, _), row in table.items():
        if row["A"] and row["B"]:
            cooks.setdefault(cook, []).append((fmean(row["A"]), fmean(row["B"])))
    a = [fmean(pair[0] for pair in pairs) for pairs in cooks.values()]
    b = [fmean(pair[1] for pair in pairs) for pairs in cooks.values()]
    days: dict[str, list[dict[str, float]]] = {}
    for (cook, _), row in table.items():
        days.setdefault(cook, []).append({m: fmean(own) for m, own in row.items() if own})
    means = tuple({m: fmean(own[m] for own in rows) for m in rows[0]} for rows in days.values())
    return Seen(fmean(a), fmean(b), tuple(x - y for x, y in zip(a, b, strict=True)), means)


Look = Callable[[str], Seen]


def _turkey(look: Look) -> bool:
    juice = look("juiciness")
    return (
        look("crisp skin").shown() == ("7.1", "3.9")
        and -1.8 <= juice.gap <= -1.4
        and juice.gap + juice.half(0.95) <= -0.85
        and abs(look("saltiness").gap) < look("saltiness").half(0.95)
    )


def _beans(look: Look) -> bool:
    cream = look("creaminess")
    return (
        abs(cream.gap) < 0.15
        and cream.half(0.90) > 0.2
        and abs(cream.gap) + cream.half(0.90) < 0.45
        and abs(look("liking").gap) < 0.25
    )


def _ribs(look: Look) -> bool:
    liking = look("liking")
    return (
        look("bark").shown() == ("7.0", "4.4")
        and look("tenderness").shown() == ("6.0", "6.9")
        and -0.8 <= liking.gap <= -0.4
        and abs(liking.gap) < liking.half(0.95) * 0.8
    )


def _thighs(look: Look) -> bool:
    liking, without = look("liking"), look(f"liking/{thighs.SHORT[1]}")
    inside = abs(liking.gap) + liking.half(0.90) < 0.75
    return inside and abs(liking.gap - without.gap) > 0.05 and abs(without.gap) < 0.35


def _octopus(look: Look) -> bool:
    tender = look("tenderness")
    stock, bag = tender.of(B=1, A=-1), tender.of(D=1, C=-1)
    both = tender.of(D=1, C=-1, B=-1, A=1)
    # Four simple effects are read at once: 4 claims, 98.75 % limits.
    enough = stock.gap - stock.half(0.9875) >= 1.0 and 2.2 <= stock.gap <= 2.6
    quiet = bag.level() > 0.2 and bag.gap > 0 and bag.gap + bag.half(0.975) > 1.0
    between = [tender.of(C=1, A=-1).level(), tender.of(D=1, B=-1).level()]
    # Two main effects and the interaction are read at once: it is told at any rank of Holm.
    return enough and quiet and both.level() < 0.05 / 3 and min(between) * 3 > 0.06


WANTED: dict[ModuleType, Callable[[Look], bool]] = {
    turkey: _turkey,
    beans: _beans,
    ribs: _ribs,
    thighs: _thighs,
    octopus: _octopus,
}


def _cells(trial: ModuleType) -> list[tuple[Cell, str]]:
    records = trial.make(1).records()
    places = places_of(records)
    number = {taster.id: str(taster.position) for taster in records.of(Taster)}
    found: list[tuple[Cell, str]] = []
    for sample in opened_samples(records):
        place = places[sample.piece_id or ""]
        cook = int(place.cook)
        came = trial.TABLE.left.get((cook, int(number[sample.taster_id])), (99, ""))[0]
        if sample.position <= came:
            cell = Cell(place.cook, place.unit, place.method, number[sample.taster_id])
            found.append((cell, place.piece))
    return found


def search(trial: ModuleType, most: int) -> int | None:
    """The first lot number from 1 to `most` that shows what is wanted, or None."""
    cells = _cells(trial)
    attributes = {one.name: one for one in trial.ATTRIBUTES}
    for lot_number in range(1, most + 1):

        def look(name: str, lot_number: int = lot_number) -> Seen:
            attribute, _, without = name.partition("/")
            drawn = attributes[attribute].drawn(lot_number, trial.SCATTER)
            scores = [
                drawn.score(cell, trial.TABLE.shifts.get((cell.cook, piece, attribute), 0.0))
                for cell, piece in cells
            ]
            return seen([cell for cell, _ in cells], scores, without)

        if WANTED[trial](look):
            return lot_number
    return None


if __name__ == "__main__":
    for trial in WANTED:
        found = search(trial, int(sys.argv[1]) if len(sys.argv) > 1 else 100_000)
        print(f"{trial.SLUG}: {found} (written: {trial.LOT_NUMBER})", flush=True)

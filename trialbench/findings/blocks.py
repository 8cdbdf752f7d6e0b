"""Where lots were drawn: pairs inside cooks, or whole cooks; unit means and the redraw test."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence

from trialbench.findings.design import Reckoned
from trialbench.findings.finding import Redraw, UnitMean
from trialbench.findings.question import AnalysisQuestion
from trialbench.findings.rows import Rows
from trialbench.stats.lots import redraw
from trialbench.stats.numbers import mean
from trialbench.stats.taster_rows import CookTable, UnitScore, taster_rows

MOST_ASKED = 1e-12
"""Slack for comparing a floor with alpha / 3, so that 2/128 at alpha 6/128 is not lost."""


def pairs_of_units(rows: Rows, question: AnalysisQuestion) -> dict[tuple[str, str, str], str]:
    """The pair in which each (cook, method, unit) was drawn; "" where in the whole cook.

    A cook in which a load holds pieces of several pairs was not drawn by pairs.
    """
    found: dict[tuple[str, str, str], set[str]] = defaultdict(set)
    for row in rows.rows:
        found[row.cook, row.method, "\0".join(row.unit)].add(row.pair)
    mixed = {key[0] for key, pairs in found.items() if len(pairs) > 1}
    if not question.draw_within_pairs:
        mixed = {key[0] for key in found}
    return {key: "" if key[0] in mixed else next(iter(pairs)) for key, pairs in found.items()}


def pair_differences(
    rows: Rows, table: CookTable, question: AnalysisQuestion
) -> dict[tuple[str, str], float]:
    """a - b of each (cook, pair) whose two sides one taster at least has scored.

    The mean over the tasters who scored both sides; for measurements the plain difference.
    """
    pairs = pairs_of_units(rows, question)
    sides: dict[tuple[str, str], list[UnitScore]] = defaultdict(list)
    for each in table.scores:
        pair = pairs[each.cook, each.method, each.unit]
        if pair:
            sides[each.cook, pair].append(each)
    found = {}
    for place, own in sorted(sides.items()):
        both = taster_rows(own, rows.a, rows.b)
        if both:
            found[place] = mean(row.difference for row in both)
    return found


def unit_means(reckoned: Reckoned, question: AnalysisQuestion) -> tuple[UnitMean, ...]:
    """Each unit's mean over tasters: over cooks those who count there, in one cook all."""
    table = reckoned.table
    pairs = pairs_of_units(reckoned.rows, question)
    cells: dict[tuple[str, str, str], list[float]] = defaultdict(list)
    for each in table.scores:
        if reckoned.scope != "method" or (each.cook, each.taster) in table.counting:
            cells[each.cook, each.method, each.unit].append(each.score)
    return tuple(
        UnitMean(
            cook=cook,
            method=method,
            unit=unit.partition("\0")[2],
            mean=mean(scores),
            tasters=0 if table.measured else len(scores),
            pair=pairs[cook, method, unit] or None,
            is_load=unit.startswith("load\0"),
        )
        for (cook, method, unit), scores in sorted(cells.items())
    )


def redrawn(units: Sequence[UnitMean], question: AnalysisQuestion) -> Redraw | None:
    """The redraw test over these units; None where there is nothing to redraw."""
    result = redraw(
        [unit.mean for unit in units],
        [unit.method for unit in units],
        [f"{unit.cook}\0{unit.pair or ''}" for unit in units],
        _allowed(units, question.assignments),
        seed=question.lot_number,
        cook=[unit.cook for unit in units],
    )
    if result.p is None or result.smallest_possible_p is None:
        return None
    may_speak = result.smallest_possible_p <= question.alpha / 3 + MOST_ASKED
    return Redraw(
        p=result.p,
        smallest_possible_p=result.smallest_possible_p,
        assignments=result.assignments,
        seed=result.seed,
        enumerated=result.enumerated,
        hits=result.hits,
        cooks_needed=None if may_speak else result.cooks_needed(question.alpha),
        may_speak=may_speak,
    )


def _allowed(
    units: Sequence[UnitMean], assignments: Sequence[Mapping[tuple[str, str], str]] | None
) -> list[list[str]] | None:
    """The plan's draws as label vectors of these units; None where they do not speak of them."""
    if not assignments or any((unit.cook, unit.unit) not in assignments[0] for unit in units):
        return None
    return [[draw[unit.cook, unit.unit] for unit in units] for draw in assignments]

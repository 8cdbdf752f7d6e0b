"""Where lots were drawn: pairs inside cooks, or whole cooks; unit means and the redraw test."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence

from trialbench.findings.design import Reckoned
from trialbench.findings.finding import Redraw, UnitMean
from trialbench.findings.question import AnalysisQuestion
from trialbench.findings.rows import Rows
from trialbench.stats.lots import RedrawResult, redraw
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


def redrawn(
    reckoned: Reckoned, units: Sequence[UnitMean], question: AnalysisQuestion
) -> Redraw | None:
    """The redraw test over these units; None where there is nothing to redraw.

    Its statistic is the estimate: over cooks that of each taster's own differences, in one cook
    that of the unit means.
    """
    if reckoned.scope == "method":
        rows = _by_taster(reckoned.table)
    else:
        named = [(each.cook, each.method, _key(each)) for each in units]
        rows = dict(zip(named, ([each.mean] for each in units), strict=True))
    pairs = pairs_of_units(reckoned.rows, question)
    result = redraw(
        list(rows.values()),
        [method for _, method, _ in rows],
        [f"{key[0]}\0{pairs[key]}" for key in rows],
        _allowed(rows, question.assignments),
        seed=question.lot_number,
        cook=[cook for cook, _, _ in rows],
    )
    return as_redraw(result, question.alpha)


def as_redraw(result: RedrawResult, alpha: float) -> Redraw | None:
    """The engine's answer as a finding keeps it; None where there was nothing to redraw."""
    if result.p is None or result.smallest_possible_p is None:
        return None
    may_speak = result.smallest_possible_p <= alpha / 3 + MOST_ASKED
    return Redraw(
        p=result.p,
        smallest_possible_p=result.smallest_possible_p,
        assignments=result.assignments,
        seed=result.seed,
        enumerated=result.enumerated,
        hits=result.hits,
        cooks_needed=None if may_speak else result.cooks_needed(alpha),
        may_speak=may_speak,
    )


def _key(unit: UnitMean) -> str:
    """A unit's name with what it is, as in the scores."""
    kind = "load" if unit.is_load else "piece" if unit.unit else ""
    return f"{kind}\0{unit.unit}"


def _by_taster(table: CookTable) -> dict[tuple[str, str, str], list[float | None]]:
    """Scores of each (cook, method, unit), a column per taster, of cooks with a difference.

    All scores of such a cook: who counts depends on the draw, and is settled draw by draw.
    """
    cooks = {day.cook for day in table.cook_differences}
    tasters = {name: i for i, name in enumerate(sorted({each.taster for each in table.scores}))}
    rows: dict[tuple[str, str, str], list[float | None]] = {}
    for each in table.scores:
        if each.cook in cooks:
            row = rows.setdefault((each.cook, each.method, each.unit), [None] * len(tasters))
            row[tasters[each.taster]] = each.score
    return rows


def _allowed(
    rows: Iterable[tuple[str, str, str]],
    assignments: Sequence[Mapping[tuple[str, str], str]] | None,
) -> list[list[str]] | None:
    """The plan's draws as label vectors of these units; None where they do not speak of them."""
    keys = [(cook, unit.partition("\0")[2]) for cook, _, unit in rows]
    if not assignments or any(key not in assignments[0] for key in keys):
        return None
    return [[draw[key] for key in keys] for draw in assignments]

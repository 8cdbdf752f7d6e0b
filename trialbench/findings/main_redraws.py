"""The redraw test of a main effect: lots that would have changed one factor and no other.

A draw counts where every unit keeps its levels of all other factors, so that the test speaks of one
factor alone. It is made where each cook day has equally many units of every method, because only
then is its statistic the estimate.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import replace

from trialbench.findings.blocks import as_redraw, pairs_of_units
from trialbench.findings.cases import Judged, overruled
from trialbench.findings.contrasts import MethodPlan
from trialbench.findings.finding import Redraw
from trialbench.findings.question import AnalysisQuestion
from trialbench.findings.rows import Rows
from trialbench.findings.several_finding import Claim
from trialbench.stats.lots import redraw

_Unit = tuple[str, str, str]
"""Cook day, letter, and the unit's name with what it is."""
_CLOSE = 1e-9


def with_redraws(
    rows: Rows, question: AnalysisQuestion, plan: MethodPlan, claims: Sequence[Claim]
) -> tuple[Claim, ...]:
    """The claims of main effects with their redraw tests, heard as for two methods (6.5)."""
    if question.planned_cooks not in (None, rows.cooks_in):
        return tuple(claims)
    return tuple(_heard(claim, _test(rows, question, plan, claim)) for claim in claims)


def _heard(claim: Claim, test: Redraw | None) -> Claim:
    finding = claim.finding
    if test is None or finding.procedure != "over_cooks":
        return claim
    if not (test.may_speak and test.p > finding.alpha) or finding.case == "no_claim":
        return replace(claim, finding=replace(finding, redraw=test))
    seen = Judged(finding.case, finding.favours)
    heard = overruled(seen)
    test = replace(test, overruled=heard != seen)
    found = replace(finding, case=heard.case, favours=heard.favours, redraw=test)
    return replace(claim, finding=found)


def _test(rows: Rows, question: AnalysisQuestion, plan: MethodPlan, claim: Claim) -> Redraw | None:
    units = _units(rows, plan, claim)
    estimate = claim.finding.comparison.estimate
    if not units or estimate is None:
        return None
    contrast, places = claim.contrast, plan.places()
    pairs = pairs_of_units(rows, question)
    level = [str(places[letter][contrast.factor]) for _, letter, _ in units]
    rest = [_rest(places[letter], contrast.factor) for _, letter, _ in units]
    blocks = [f"{unit[0]}\0{other}\0{pairs[unit]}" for unit, other in zip(units, rest, strict=True)]
    result = redraw(
        list(units.values()),
        level,
        blocks,
        _allowed(rows, question, plan, claim, list(units)),
        seed=question.lot_number,
        cook=[cook for cook, _, _ in units],
    )
    reach = max(row.value for row in rows.rows) - min(row.value for row in rows.rows)
    if result.statistic is None or abs(result.statistic - abs(estimate)) > _CLOSE * reach:
        return None
    return as_redraw(result, claim.finding.alpha)


def _rest(places: Sequence[int], factor: int) -> str:
    return ",".join(str(place) for n, place in enumerate(places) if n != factor)


def _units(rows: Rows, plan: MethodPlan, claim: Claim) -> dict[_Unit, list[float | None]]:
    """Scores of the units that the contrast weighs, a column per taster; {} where uneven."""
    weights = dict(claim.contrast.weights)
    scores = [each for each in rows.unit_scores() if each.method in weights]
    cooks = {cook for cook, _ in claim.cook_values}
    tasters = {name: n for n, name in enumerate(sorted({each.taster for each in scores}))}
    found: dict[_Unit, list[float | None]] = {}
    for each in scores:
        if each.cook in cooks:
            row = found.setdefault((each.cook, each.method, each.unit), [None] * len(tasters))
            row[tasters[each.taster]] = each.score
    counts = Counter((cook, letter) for cook, letter, _ in found)
    by_cook: dict[str, set[int]] = defaultdict(set)
    for cook, letter in ((cook, letter) for cook in cooks for letter in weights):
        by_cook[cook].add(counts[cook, letter])
    return found if all(len(each) == 1 for each in by_cook.values()) else {}


def _allowed(
    rows: Rows,
    question: AnalysisQuestion,
    plan: MethodPlan,
    claim: Claim,
    units: Sequence[_Unit],
) -> list[list[str]] | None:
    """The plan's draws in which nothing but this factor's two levels changes hands."""
    if not question.assignments:
        return None
    factor, places = claim.contrast.factor, plan.places()
    two = {claim.contrast.a, claim.contrast.b}
    made = {(row.cook, row.unit[1]): row.method for row in rows.rows}
    keys = [(cook, unit.partition("\0")[2]) for cook, _, unit in units]

    def keeps(draw: Mapping[tuple[str, str], str]) -> bool:
        for key, letter in made.items():
            drawn = draw.get(key)
            if drawn is None or drawn not in places:
                return False
            if _rest(places[drawn], factor) != _rest(places[letter], factor):
                return False
            if str(places[letter][factor]) not in two and drawn != letter:
                return False
            if str(places[letter][factor]) in two and str(places[drawn][factor]) not in two:
                return False
        return True

    kept = [draw for draw in question.assignments if keeps(draw)]
    return [[str(places[draw[key]][factor]) for key in keys] for draw in kept] or None

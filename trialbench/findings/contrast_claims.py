"""Contrasts of more than two methods with one value per cook each (policy 1, section 6.7).

Main effects, interactions, the rise and the bend of ordered settings. The engine reckons them over
cooks; on one cook day the formulas of section 6.2 are those for two methods, for a weighted sum:
matched sets where lots were drawn within them, else units, else tasters of one unit of each.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace

from trialbench.findings import cases
from trialbench.findings.blocks import pairs_of_units
from trialbench.findings.contrasts import Contrast
from trialbench.findings.design import Reckoned, others_of
from trialbench.findings.finding import Comparison, Counts, Finding, Procedure, Scope, Who
from trialbench.findings.judging import interval_case, settling
from trialbench.findings.one_cook import with_interval
from trialbench.findings.pair_claims import read_by_holm
from trialbench.findings.question import AnalysisQuestion
from trialbench.findings.rows import Rows
from trialbench.findings.several_finding import Claim
from trialbench.model.message import Message, msg
from trialbench.stats.cook_contrasts import CellScores, CookContrast, Question, read_cells
from trialbench.stats.families import holm
from trialbench.stats.likeness import Spread
from trialbench.stats.numbers import mean
from trialbench.stats.one_cook import OneCook, of_differences
from trialbench.stats.pairs import ALL_EQUAL
from trialbench.stats.taster_rows import CookTable, UnitScore

Table = dict[str, list[object]]


@dataclass(frozen=True, slots=True)
class Weighed:
    """A contrast reckoned at one level: its comparison, and what it rests on."""

    comparison: Comparison
    scope: Scope
    procedure: Procedure
    no_spread: bool
    cook_values: tuple[tuple[str, float], ...]
    notes: tuple[Message, ...]


def contrast_claims(
    rows: Rows, question: AnalysisQuestion, contrasts: Sequence[Contrast]
) -> tuple[Claim, ...]:
    """One claim a contrast; all of them are one family at `question.alpha`."""
    waits = question.planned_cooks not in (None, rows.cooks_in)
    alone = [reckon_contrast(rows, question, each) for each in contrasts]
    p_values = [None if waits else each.comparison.p for each in alone]
    share = question.alpha / max(1, sum(each.comparison.p is not None for each in alone))
    one = replace(question, alpha=share, kind="better", easier=None)
    claims = []
    for contrast, found, p, holm_p in zip(contrasts, alone, p_values, holm(p_values), strict=True):
        at_once = reckon_contrast(rows, one, contrast)
        finding = _finding(rows, one, at_once, waits=waits)
        claims.append(
            Claim(
                contrast,
                read_by_holm(finding, p, holm_p, question),
                holm_p,
                found.comparison.low,
                found.comparison.high,
                found.cook_values,
            )
        )
    return tuple(claims)


def reckon_contrast(rows: Rows, question: AnalysisQuestion, contrast: Contrast) -> Weighed:
    """The interval that the design allows at `question.alpha`."""
    cells = cells_of(rows)
    asked = Question(step=question.step, matters=question.matters, alpha=question.alpha)
    found = cells.contrast(msg("this contrast"), _cell_weights(contrast), asked)
    if found.df is not None:
        return _over_cooks(rows, found, contrast, question.alpha)
    if len({row.cook for row in rows.rows}) == 1:
        return _one_day(rows, contrast, question)
    lacks = msg("Fewer than two cook days carry all that this weighs: nothing is claimed of it.")
    return Weighed(
        Comparison(contrast.a, contrast.b, estimate=found.estimate),
        "batch", "none", False, found.cook_values, (lacks,),
    )  # fmt: skip


def table_of(rows: Rows) -> Table:
    """The averaged scores as columns for the engine: value, method, cook, unit, taster."""
    scores = rows.unit_scores()
    return {
        "value": [each.score for each in scores],
        "method": [each.method for each in scores],
        "cook": [each.cook for each in scores],
        "unit": ["\0".join(("unit", each.unit)) for each in scores],
        "taster": [each.taster for each in scores],
    }


def cells_of(rows: Rows) -> CellScores:
    """The averaged scores by method."""
    taster = None if rows.measured else "taster"
    return read_cells(table_of(rows), "value", ["method"], "cook", "unit", taster)


def _cell_weights(contrast: Contrast) -> dict[tuple[str, ...], float]:
    return {(letter,): weight for letter, weight in contrast.weights}


def _over_cooks(rows: Rows, found: CookContrast, contrast: Contrast, alpha: float) -> Weighed:
    values = [value for _, value in found.cook_values]
    reach = max(row.value for row in rows.rows) - min(row.value for row in rows.rows)
    count = (found.df or 0) + 1
    return Weighed(
        Comparison(
            a=contrast.a,
            b=contrast.b,
            estimate=found.estimate,
            se=found.se,
            df=found.df,
            t=found.t,
            p=found.p,
            low=found.low,
            high=found.high,
            inner_low=found.inner_low,
            inner_high=found.inner_high,
            half_width=None if found.low is None else ((found.high or 0.0) - found.low) / 2,
            sd=None if found.se is None else found.se * math.sqrt(count),
            others=others_of(found.others, alpha),
        ),
        "method",
        "over_cooks",
        max(values) - min(values) <= ALL_EQUAL * reach,
        found.cook_values,
        found.notes,
    )


# --- one cook day ------------------------------------------------------------------------------


def _one_day(rows: Rows, contrast: Contrast, question: AnalysisQuestion) -> Weighed:
    procedure, found, value = _formula(rows, contrast, question)
    cook = rows.rows[0].cook
    plain = Comparison(contrast.a, contrast.b, estimate=value, sd=found.sd if found else None)
    if found is None:
        lacks = msg(
            "One cook day and too few units or tasters: a second unit of each, a second cook day"
            " or three tasters are missing."
        )
        return Weighed(plain, "batch", "none", False, ((cook, value),), (lacks,))
    own = procedure == "tasters_of_these_pieces"
    return Weighed(
        with_interval(plain, found, question.alpha, tasters=own),
        "batch",
        procedure,
        found.no_spread,
        ((cook, value),),
        (),
    )


def _formula(
    rows: Rows, contrast: Contrast, question: AnalysisQuestion
) -> tuple[Procedure, OneCook | None, float]:
    weights = dict(contrast.weights)
    squares = math.fsum(weight**2 for weight in weights.values())
    # A weighted sum of rounded numbers: a difference of two has squares that add up to 2.
    step = question.step * math.sqrt(squares / 2) if question.step else None
    scores = [each for each in rows.unit_scores() if each.method in weights]
    reach = max(each.score for each in scores) - min(each.score for each in scores)
    units = _unit_means(scores)
    value = math.fsum(weight * mean(units[m].values()) for m, weight in weights.items())
    sets = _by_set(rows, scores, contrast, question)
    drawn = set(pairs_of_units(rows, question).values()) - {""}
    if len(sets) >= 2:
        found = of_differences(sets, reach, step)
        return "pairs_of_one_cook", found, mean(sets)
    if len(drawn) < 2 and all(len(units[m]) >= 2 for m in weights):
        groups = [(weight, list(units[m].values())) for m, weight in weights.items()]
        return "units_of_one_cook", _pooled(groups, reach, question.step), value
    tasters = _by_taster(scores, weights)
    single = all(len(units[m]) == 1 for m in weights) and not rows.measured
    if single and len(tasters) >= 3:
        return "tasters_of_these_pieces", of_differences(tasters, reach, step), mean(tasters)
    return "none", None, value


def _unit_means(scores: Sequence[UnitScore]) -> dict[str, dict[str, float]]:
    cells: dict[str, dict[str, list[float]]] = defaultdict(lambda: defaultdict(list))
    for each in scores:
        cells[each.method][each.unit].append(each.score)
    return {m: {unit: mean(own) for unit, own in units.items()} for m, units in cells.items()}


def _by_taster(scores: Sequence[UnitScore], weights: dict[str, float]) -> list[float]:
    """The contrast of each taster who scored all that it weighs."""
    own: dict[str, dict[str, list[float]]] = defaultdict(lambda: defaultdict(list))
    for each in scores:
        own[each.taster][each.method].append(each.score)
    return [
        math.fsum(weight * mean(found[m]) for m, weight in weights.items())
        for _, found in sorted(own.items())
        if len(found) == len(weights)
    ]


def _by_set(
    rows: Rows, scores: Sequence[UnitScore], contrast: Contrast, question: AnalysisQuestion
) -> list[float]:
    """The contrast of each matched set in which lots were drawn, a mean over its tasters."""
    sets = pairs_of_units(rows, question)
    own: dict[str, list[UnitScore]] = defaultdict(list)
    for each in scores:
        name = sets[each.cook, each.method, each.unit]
        if name:
            own[name].append(each)
    found = [_by_taster(each, dict(contrast.weights)) for _, each in sorted(own.items())]
    return [mean(values) for values in found if values]


def _pooled(
    groups: Sequence[tuple[float, Sequence[float]]], reach: float, step: float | None
) -> OneCook:
    """Pooled t of a weighted sum of means; all equal: the floor step^2 / 12 of one number."""
    estimate = math.fsum(weight * mean(own) for weight, own in groups)
    df = sum(len(own) - 1 for _, own in groups)
    equal = max(max(own) - min(own) for _, own in groups) <= ALL_EQUAL * reach
    squares = math.fsum((x - mean(own)) ** 2 for _, own in groups for x in own)
    sd = (step / math.sqrt(12) if step else 0.0) if equal else math.sqrt(squares / df)
    scale = sd * math.sqrt(math.fsum(weight**2 / len(own) for weight, own in groups))
    return OneCook(estimate, df, sd, Spread(scale, df) if sd else None, equal)


# --- the case ----------------------------------------------------------------------------------


def _finding(rows: Rows, question: AnalysisQuestion, found: Weighed, *, waits: bool) -> Finding:
    silent = waits or found.procedure == "none"
    plain = found.comparison
    own = replace(rows, a=plain.a, b=plain.b)
    reckoned = Reckoned(
        scope=found.scope,
        procedure=found.procedure,
        comparison=plain,
        rows=own,
        table=CookTable(plain.a, plain.b, ()),
        no_spread=found.no_spread,
    )
    judged, widened = interval_case(reckoned, question)
    if silent:
        judged, widened = cases.Judged("no_claim", None), False
        others = replace(plain.others, p=None) if plain.others else None
        plain = replace(plain, t=None, p=None, others=others)
    finding = Finding(
        outcome=question.outcome or question.columns.value,
        scope=found.scope,
        tasters=_who(rows, found, widened),
        unit="",
        case=judged.case,
        comparison=plain,
        counts=Counts(cooks=len(found.cook_values)),
        favours=judged.favours,
        alpha=question.alpha,
        matters=question.matters,
        step=question.step,
        better=question.better,
        procedure=found.procedure,
        planned_cooks=question.planned_cooks,
        cooks_in=rows.cooks_in,
        no_spread=found.no_spread,
        notes=found.notes,
    )
    return finding if silent else replace(finding, **settling(reckoned, question))  # type: ignore[arg-type]


def _who(rows: Rows, found: Weighed, widened: bool) -> Who | None:
    if rows.measured:
        return None
    if len({row.taster for row in rows.rows}) == 1:
        return "one"
    if found.procedure == "tasters_of_these_pieces":
        return "others_like_them"
    return "others_like_them" if widened else "these"

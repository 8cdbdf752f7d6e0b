"""From a table to a Finding, by policy 1 of what a finding may say."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace

from trialbench.findings import cases
from trialbench.findings.blocks import pair_differences, redrawn, unit_means
from trialbench.findings.design import Reckoned, over_cooks_reckoned
from trialbench.findings.finding import (
    Case,
    Comparison,
    CookDifference,
    Counts,
    Family,
    Finding,
    OtherOutcome,
    PairDifference,
    TasterDifference,
    UnitMean,
    Who,
)
from trialbench.findings.one_cook import nothing_reckoned, one_cook_reckoned
from trialbench.findings.question import AnalysisQuestion
from trialbench.findings.remarks import remarks
from trialbench.findings.rows import Rows, read
from trialbench.stats import power
from trialbench.stats.families import holm
from trialbench.stats.frames import Frame
from trialbench.stats.over import over_unit_scores
from trialbench.stats.taster_rows import CookTable


def judge(table: Frame, question: AnalysisQuestion) -> Finding:
    """The finding of one outcome.

    `table` is a pandas DataFrame or a mapping of columns with one row per score or measurement;
    `question` names the columns and what was decided beforehand. Raises `BadNumbers` (a BadInput)
    for a table or a question that cannot be answered.
    """
    question.check()
    rows = read(table, question)
    question.check_easier((rows.a, rows.b))
    return judge_rows(rows, question)


def judge_rows(rows: Rows, question: AnalysisQuestion) -> Finding:
    """The finding of two methods whose rows are read already."""
    reckoned = reckon_rows(rows, question)
    units = unit_means(reckoned, question)
    waiting = question.planned_cooks not in (None, rows.cooks_in)
    if waiting or reckoned.procedure == "none":
        return _silent(reckoned, question, units)
    test = redrawn(reckoned, units, question)
    judged, widened = interval_case(reckoned, question)
    if test is not None and test.may_speak and test.p > question.alpha:
        heard = cases.overruled(judged)
        test = replace(test, overruled=heard != judged)
        judged, widened = heard, widened and cases.claims(heard.case)
    return _finding(
        reckoned,
        question,
        units,
        case=judged.case,
        favours=judged.favours,
        tasters=for_whom(reckoned, widened),
        redraw=test,
        **settling(reckoned, question),
    )


def judge_family(
    deciding: tuple[Frame, AnalysisQuestion], others: Sequence[tuple[Frame, AnalysisQuestion]]
) -> Family:
    """The outcome that decides, and the others read as one family (Holm, section 6.7)."""
    first = judge(*deciding)
    second = [judge(*each) for each in others]
    # While the deciding outcome waits for its cooks, none of the others may speak.
    speaking = [None if first.waiting else each.comparison.p for each in second]
    adjusted = holm(speaking)
    return Family(
        first,
        tuple(
            _other_outcome(each, p, spoken=not first.waiting)
            for each, p in zip(second, adjusted, strict=True)
        ),
    )


def reckon_rows(rows: Rows, question: AnalysisQuestion) -> Reckoned:
    """The interval that the design allows, before any case is told."""
    table = CookTable(rows.a, rows.b, tuple(rows.unit_scores()))
    over = over_unit_scores(table, question.step, question.alpha)
    if len(over.cook_differences) >= 2:
        return over_cooks_reckoned(rows, table, over, question)
    cooks = [day.cook for day in over.cook_differences] or rows.cooks_with_both()
    if len(cooks) != 1:
        return nothing_reckoned(rows, table)
    found = one_cook_reckoned(rows.of_cook(cooks[0]), question)
    # Said of the whole table: which cooks dropped out.
    return replace(found, notes=tuple(dict.fromkeys((*table.dropped(), *found.notes))))


def interval_case(reckoned: Reckoned, question: AnalysisQuestion) -> tuple[cases.Judged, bool]:
    """The case by the interval, and whether the second interval gives the same one."""
    interval = cases.Interval.of(reckoned.comparison)
    if interval is None:
        return cases.no_interval(question), False
    a, b = reckoned.rows.a, reckoned.rows.b
    judged = cases.judge_interval(interval, question, a, b, no_spread=reckoned.no_spread)
    second = cases.Interval.of_others(reckoned.comparison)
    if second is None or not cases.claims(judged.case):
        return judged, False
    other = cases.judge_interval(second, question, a, b, no_spread=reckoned.no_spread)
    return judged, other == judged


def for_whom(reckoned: Reckoned, widened: bool) -> Who | None:
    """For whom: set by the design; over cooks it widens only where the second interval agrees."""
    if reckoned.rows.measured:
        return None
    if len({each.taster for each in reckoned.table.scores}) == 1:
        return "one"
    if reckoned.scope == "method" and len(reckoned.table.taster_means) == 1:
        return "one"
    if reckoned.procedure == "tasters_of_these_pieces":
        return "others_like_them"
    return "others_like_them" if widened else "these"


def _silent(reckoned: Reckoned, question: AnalysisQuestion, units: tuple[UnitMean, ...]) -> Finding:
    """No claim: the interval may be shown greyed while cooks are still to come, p never."""
    plain = reckoned.comparison
    others = replace(plain.others, p=None) if plain.others else None
    hushed = replace(reckoned, comparison=replace(plain, t=None, p=None, others=others))
    return _finding(hushed, question, units, case="no_claim", tasters=for_whom(reckoned, False))


def settling(reckoned: Reckoned, question: AnalysisQuestion) -> dict[str, object]:
    """Cooks that would probably settle it, from the spread of cook differences."""
    sd = reckoned.comparison.sd
    if reckoned.scope != "method" or question.matters is None or not sd or question.same_recipe:
        return {}
    fewest = (
        power.fewest_cooks if question.kind == "better" else power.fewest_cooks_at_least_as_good
    )(question.matters, sd, question.alpha)
    width = power.fewest_cooks_for_width(question.matters / 2, sd, question.alpha)
    return {
        "cooks_to_settle": fewest,
        "more_than_40": fewest is None,
        "cooks_to_pin_down": width,
    }


def _finding(
    reckoned: Reckoned,
    question: AnalysisQuestion,
    units: tuple[UnitMean, ...],
    *,
    case: Case,
    **more: object,
) -> Finding:
    finding = Finding(
        outcome=question.outcome or question.columns.value,
        scope=reckoned.scope,
        unit=_unit_word(units),
        case=case,
        comparison=reckoned.comparison,
        counts=_counts(reckoned, units),
        alpha=question.alpha,
        matters=question.matters,
        step=question.step,
        kind=question.kind,
        better=question.better,
        easier=question.easier,
        procedure=reckoned.procedure,
        planned_cooks=question.planned_cooks,
        cooks_in=reckoned.rows.cooks_in,
        no_spread=reckoned.no_spread,
        cook_differences=_cook_differences(reckoned, question),
        unit_means=units,
        taster_differences=tuple(
            TasterDifference(each.taster, each.difference, each.cooks)
            for each in reckoned.table.taster_means
        ),
        **more,  # type: ignore[arg-type]
    )
    return replace(finding, notes=remarks(finding, reckoned))


def _unit_word(units: Sequence[UnitMean]) -> str:
    kinds = {unit.is_load for unit in units}
    if kinds == {True, False}:
        return "piece or load"
    return "load" if kinds == {True} else "piece"


def _counts(reckoned: Reckoned, units: Sequence[UnitMean]) -> Counts:
    counting = reckoned.table.counting
    used = [
        row
        for row in reckoned.rows.rows
        if reckoned.scope != "method" or (row.cook, row.taster) in counting
    ]
    pieces = {(row.cook, row.method, row.piece) for row in used}
    named = reckoned.rows.names_pieces
    return Counts(
        cooks=len({row.cook for row in used}),
        units=len(units),
        pieces=len(pieces) if named else None if reckoned.rows.names_loads else len(units),
        tasters=0 if reckoned.rows.measured else len({row.taster for row in used}),
        scores=len(used),
    )


def _cook_differences(reckoned: Reckoned, question: AnalysisQuestion) -> tuple[CookDifference, ...]:
    by_cook: dict[str, list[PairDifference]] = defaultdict(list)
    for (cook, pair), value in pair_differences(reckoned.rows, reckoned.table, question).items():
        by_cook[cook].append(PairDifference(pair, value))
    return tuple(
        CookDifference(
            cook=day.cook,
            difference=day.difference,
            mean_a=day.mean_a,
            mean_b=day.mean_b,
            tasters=day.tasters,
            units_a=day.units_a,
            units_b=day.units_b,
            pairs=tuple(by_cook[day.cook]),
        )
        for day in reckoned.table.cook_differences
    )


def _other_outcome(finding: Finding, holm_p: float | None, *, spoken: bool) -> OtherOutcome:
    also = holm_p is not None and holm_p <= finding.alpha and finding.case != "same_recipe"
    plain: Comparison = finding.comparison
    if not spoken:
        plain = replace(plain, t=None, p=None)
    ahead = (
        cases.favoured(plain.a, plain.b, plain.estimate, finding.better)
        if also and plain.estimate is not None
        else None
    )
    return OtherOutcome(
        outcome=finding.outcome,
        comparison=plain,
        counts=finding.counts,
        better=finding.better,
        step=finding.step,
        holm_p=holm_p,
        also=also,
        favours=ahead,
        cook_differences=finding.cook_differences,
        notes=finding.notes,
    )

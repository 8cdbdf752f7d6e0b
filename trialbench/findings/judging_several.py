"""From a table of three methods or more to what they support (policy 1, sections 6.3 and 6.7)."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace

from trialbench.findings.contrast_claims import contrast_claims, table_of
from trialbench.findings.contrasts import (
    Contrast,
    MethodPlan,
    Role,
    effects_of,
    leading_factor,
    pairs_of,
    trend_of,
)
from trialbench.findings.explaining import redraw_sentence
from trialbench.findings.finding import Counts, Scope, Who
from trialbench.findings.main_redraws import with_redraws
from trialbench.findings.pair_claims import pair_claims
from trialbench.findings.question import AnalysisQuestion
from trialbench.findings.remarks import of_rows
from trialbench.findings.rows import Rows, read_methods
from trialbench.findings.several_finding import (
    Best,
    Claim,
    CurvePoint,
    MethodMean,
    SettingCurve,
    SeveralFinding,
    SeveralOther,
)
from trialbench.findings.wording_several import claim_name
from trialbench.model.message import Message, msg
from trialbench.stats import ordered_settings
from trialbench.stats.families import holm
from trialbench.stats.frames import Frame
from trialbench.stats.numbers import mean


def judge_several(
    deciding: tuple[Frame, AnalysisQuestion],
    plan: MethodPlan,
    others: Sequence[tuple[Frame, AnalysisQuestion]] = (),
) -> SeveralFinding:
    """What the outcome that decides supports, and the others read as one family by Holm.

    Each table is a DataFrame or a mapping of columns with one row per score or measurement of the
    methods of `plan`. Raises `BadNumbers` (a BadInput) for what cannot be answered.
    """
    table, question = deciding
    _check(question)
    rows = read_methods(table, question.columns)
    claims = _claims(rows, question, plan)
    lead = _lead(claims, plan)
    leading = [c for c in claims if c.contrast.role in _roles(lead)]
    waits = question.planned_cooks not in (None, rows.cooks_in)
    found = SeveralFinding(
        outcome=question.outcome or question.columns.value,
        plan=plan,
        claims=claims,
        lead=lead,
        scope=_scope(leading),
        tasters=_who(_in_the_headline(leading, lead, plan)),
        unit=_unit(rows),
        counts=_counts(rows),
        means=means_of(rows),
        curve=_curve(rows, question, plan),
        alpha=question.alpha,
        matters=question.matters,
        step=question.step,
        better=question.better,
        kind=question.kind,
        same_recipe=question.same_recipe,
        planned_cooks=question.planned_cooks,
        cooks_in=rows.cooks_in,
    )
    found = replace(found, notes=tuple(_notes(found, rows, question)))
    return replace(found, others=_others(others, plan, lead, waits=waits))


def _check(question: AnalysisQuestion) -> None:
    # Which of two is the easier way is asked pair by pair.
    replace(question, kind="better", easier=None).check()


def _claims(rows: Rows, question: AnalysisQuestion, plan: MethodPlan) -> tuple[Claim, ...]:
    if plan.shape == "pairs":
        return pair_claims(rows, question, pairs_of(plan), plan.usual)
    if plan.shape == "ordered":
        return contrast_claims(rows, question, trend_of(plan))
    effects = effects_of(plan)
    mains, interactions = (_of_role(effects, role) for role in ("main", "interaction"))
    # One family: the interaction decides what leads, so it must not have an alpha of its own.
    found = contrast_claims(rows, question, (*mains, *interactions))
    as_read = replace(question, kind="better", easier=None)
    told = with_redraws(rows, as_read, plan, found[: len(mains)])
    simple = pair_claims(rows, as_read, _of_role(effects, "simple"))
    return (*told, *found[len(mains) :], *simple)


def _of_role(contrasts: Sequence[Contrast], role: Role) -> tuple[Contrast, ...]:
    return tuple(each for each in contrasts if each.role == role)


def _lead(claims: Sequence[Claim], plan: MethodPlan) -> Role:
    """With an interaction the simple effects lead, else the main effects (section 6.7).

    Main effects and interactions are one family by Holm, the simple effects one of their own that
    is heard only when an interaction is told. So no false headline exceeds alpha: 0.050 at most,
    for two factors of two levels, in 60,000 drawn trials of each of 72 settings (3 to 12 cook days,
    12 patterns of means); with families of their own it was 0.098.
    """
    if plan.shape == "pairs":
        return "pair"
    if plan.shape == "ordered":
        return "trend"
    apart = [c for c in claims if c.contrast.role == "interaction" and c.told]
    return "simple" if apart else "main"


def _roles(lead: Role) -> tuple[Role, ...]:
    return ("trend", "bend") if lead == "trend" else (lead,)


def _scope(leading: Sequence[Claim]) -> Scope:
    speaking = [c.finding.scope for c in leading if not c.silent] or [
        c.finding.scope for c in leading
    ]
    order: tuple[Scope, ...] = ("taster", "batch", "method")
    return min(speaking, key=order.index, default="batch")


def _in_the_headline(leading: Sequence[Claim], lead: Role, plan: MethodPlan) -> list[Claim]:
    """The claims that the headline says something of: of the other factors only what is told."""
    if lead != "simple":
        return list(leading)
    first = leading_factor(plan)
    return [c for c in leading if c.told or c.contrast.factor == first]


def _who(leading: Sequence[Claim]) -> Who | None:
    """For whom all of what the headline tells apart holds."""
    spoken = [c for c in leading if c.told or c.equal_enough] or list(leading)
    found = {c.finding.tasters for c in spoken}
    for who in ("one", "these", "others_like_them"):
        if who in found:
            return who
    return None


def _unit(rows: Rows) -> str:
    kinds = {row.unit[0] == "load" for row in rows.rows}
    if kinds == {True, False}:
        return "piece or load"
    return "load" if kinds == {True} else "piece"


def _counts(rows: Rows) -> Counts:
    units = {(row.cook, row.method, row.unit) for row in rows.rows}
    pieces = {(row.cook, row.method, row.piece) for row in rows.rows}
    return Counts(
        cooks=len({row.cook for row in rows.rows}),
        units=len(units),
        pieces=len(pieces) if rows.names_pieces else None if rows.names_loads else len(units),
        tasters=0 if rows.measured else len({row.taster for row in rows.rows}),
        scores=len(rows.rows),
    )


def means_of(rows: Rows) -> tuple[MethodMean, ...]:
    """The mean of each method: units of a cook day, then its tasters, then cook days."""
    cells: dict[str, dict[str, dict[str, list[float]]]] = defaultdict(
        lambda: defaultdict(lambda: defaultdict(list))
    )
    for each in rows.unit_scores():
        cells[each.method][each.cook][each.taster].append(each.score)
    found = []
    for letter, cooks in sorted(cells.items()):
        days = [
            (cook, mean(mean(own) for own in tasters.values()))
            for cook, tasters in sorted(cooks.items())
        ]
        found.append(MethodMean(letter, mean(value for _, value in days), tuple(days)))
    return tuple(found)


# --- ordered settings --------------------------------------------------------------------------


def _curve(rows: Rows, question: AnalysisQuestion, plan: MethodPlan) -> SettingCurve | None:
    if plan.shape != "ordered":
        return None
    table = table_of(rows)
    table["setting"] = [plan.number_of(str(letter)) for letter in table["method"]]
    upward = question.better != "lower"
    found = ordered_settings.trend(
        table, "value", "setting", "cook", "unit", None if rows.measured else "taster",
        better=ordered_settings.HIGHER if upward else ordered_settings.LOWER,
        step=question.step, alpha=question.alpha,
    )  # fmt: skip
    if not isinstance(found, ordered_settings.Trend):
        return None
    points = tuple(CurvePoint(p.setting, p.estimate, p.low, p.high) for p in found.curve)
    if question.better == "neither" or not isinstance(found.best, ordered_settings.BestSetting):
        return SettingCurve(points)
    best = found.best
    inside = found.settings[0] < best.estimate < found.settings[-1]
    return SettingCurve(
        points,
        Best(best.estimate, best.low, best.high, best.value, best.at_edge, inside, best.notes),
    )


# --- what else ---------------------------------------------------------------------------------


def _others(
    others: Sequence[tuple[Frame, AnalysisQuestion]], plan: MethodPlan, lead: Role, *, waits: bool
) -> tuple[SeveralOther, ...]:
    """Unadjusted intervals; Holm's p over every claim of every other outcome (section 6.7)."""
    made = [_other(table, question, plan, lead) for table, question in others]
    p_values = [
        None if waits else claim.finding.comparison.p for other in made for claim in other.claims
    ]
    adjusted = iter(holm(p_values))
    return tuple(
        replace(
            other,
            claims=tuple(_other_claim(c, next(adjusted), waits=waits) for c in other.claims),
        )
        for other in made
    )


def _other(table: Frame, question: AnalysisQuestion, plan: MethodPlan, lead: Role) -> SeveralOther:
    _check(question)
    rows = read_methods(table, question.columns)
    there = [c for c in _contrasts(plan, lead) if {m for m, _ in c.weights} <= set(rows.methods)]
    one = replace(question, planned_cooks=None, kind="better", easier=None, matters=None)
    claims: list[Claim] = []
    for contrast in there:
        maker = contrast_claims if plan.shape == "ordered" or lead == "main" else pair_claims
        claims += maker(rows, one, [contrast])
    return SeveralOther(
        question.outcome or question.columns.value, tuple(claims), means_of(rows), question.better
    )


def _contrasts(plan: MethodPlan, lead: Role) -> tuple[Contrast, ...]:
    if plan.shape == "pairs":
        return pairs_of(plan)
    if plan.shape == "ordered":
        return trend_of(plan)
    first = leading_factor(plan)
    return tuple(sorted(_of_role(effects_of(plan), lead), key=lambda c: c.factor != first))


def _other_claim(claim: Claim, holm_p: float | None, *, waits: bool) -> Claim:
    """An other outcome never has a case of its own: told apart by Holm or not."""
    finding = claim.finding
    also = (
        holm_p is not None
        and holm_p <= finding.alpha
        and finding.case not in ("same_recipe", "no_claim")
    )
    plain = finding.comparison
    ahead = None
    if also and plain.estimate is not None:
        up = plain.estimate > 0
        ahead = plain.a if up != (finding.better == "lower") else plain.b
    if waits:
        plain = replace(plain, t=None, p=None)
    case = finding.case if finding.case in ("same_recipe", "no_claim") else (
        "better_size_open" if also else "not_settled"
    )  # fmt: skip
    return replace(
        claim,
        holm_p=holm_p,
        finding=replace(finding, case="no_claim" if waits else case, favours=ahead,
                        comparison=plain),
    )  # fmt: skip


# --- notes -------------------------------------------------------------------------------------


def _notes(found: SeveralFinding, rows: Rows, question: AnalysisQuestion) -> list[Message]:
    notes: list[Message] = []
    if found.counts.cooks == 2 and found.scope == "method" and not found.waiting:
        notes.append(msg("It rests on two cook days."))
    if question.kind == "at-least-as-good" and found.plan.shape != "pairs":
        notes.append(
            msg("Whether one way is at least as good is asked of two methods; effects of factors"
                " are read as differences.")
        )  # fmt: skip
    notes += of_rows(rows.missing, rows.repeats)
    if found.curve is not None and found.curve.best is not None:
        notes += found.curve.best.notes
    notes += [
        msg("{what}: the redraw test speaks against the interval, so no difference is told.",
            what=claim_name(claim, found))
        for claim in found.claims
        if claim.finding.redraw is not None and claim.finding.redraw.overruled
    ]  # fmt: skip
    claimed = (
        note
        for claim in found.leading
        for note in claim.finding.notes
        if note != redraw_sentence(claim.finding)
    )
    return list(dict.fromkeys([*notes, *claimed]))

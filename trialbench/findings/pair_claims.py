"""Each pair of several methods by itself (policy 1, section 6.3), the claims read together (6.7).

A pair is judged as two methods are, with its own cook differences and its own redraw test. Its
limits hold for all pairs of the family at once (level 1 - alpha / number of claims, Bonferroni);
whether a pair is told apart from none is Holm's to say, as one family at alpha.

These are two families. Simulated at alpha 0.05 with 3 to 5 methods on 3 to 8 cook days: a pair
falsely told apart in at most 0.051 of trials, a false size in at most 0.033, one or the other in at
most 0.079 (three methods, two true gaps of exactly d, a spread far below d).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from trialbench.findings import cases
from trialbench.findings.contrasts import Contrast
from trialbench.findings.design import Reckoned
from trialbench.findings.finding import Comparison, Finding, Who
from trialbench.findings.judging import judge_rows, reckon_rows
from trialbench.findings.question import AnalysisQuestion
from trialbench.findings.rows import Rows
from trialbench.findings.several_finding import Claim
from trialbench.model.message import msg
from trialbench.stats.families import holm


def pair_claims(
    rows: Rows, question: AnalysisQuestion, contrasts: Sequence[Contrast], usual: str | None = None
) -> tuple[Claim, ...]:
    """One claim a contrast of two methods, the first of its weights less the second.

    `question.alpha` is that of the whole family.
    """
    asked = [_asked(rows, question, contrast, usual) for contrast in contrasts]
    alone = [reckon_rows(own, each) for own, each in asked]
    speaks = [_speaks(rows, found) for found in alone]
    p_values = [
        found.comparison.p if speaking and not _waits(rows, question) else None
        for found, speaking in zip(alone, speaks, strict=True)
    ]
    share = question.alpha / max(1, _claimed(alone, speaks))
    claims = []
    for contrast, (own, each), found, speaking, p, holm_p in zip(
        contrasts, asked, alone, speaks, p_values, holm(p_values), strict=True
    ):
        finding = judge_rows(own, replace(each, alpha=share))
        if not speaking:
            finding = _hushed(finding, found)
        claim = Claim(
            contrast,
            read_by_holm(finding, p, holm_p, question),
            holm_p,
            found.comparison.low,
            found.comparison.high,
            tuple((day.cook, day.difference) for day in finding.cook_differences),
        )
        claims.append(_named_by(claim))
    return tuple(claims)


def _claimed(alone: Sequence[Reckoned], speaks: Sequence[bool]) -> int:
    """How many claims the family has once all is in."""
    found = zip(alone, speaks, strict=True)
    return sum(each.comparison.p is not None and speaking for each, speaking in found)


def sides(contrast: Contrast) -> tuple[str, str]:
    """The letter that a contrast of two methods adds, and the one it takes off."""
    (one, weight), (other, _) = contrast.weights
    return (one, other) if weight > 0 else (other, one)


def _waits(rows: Rows, question: AnalysisQuestion) -> bool:
    return question.planned_cooks not in (None, rows.cooks_in)


def _speaks(rows: Rows, found: Reckoned) -> bool:
    """Whether a pair speaks as its trial does: over cooks where the trial has several."""
    if found.comparison.p is None and not found.no_spread:
        return False
    several = len({row.cook for row in rows.rows}) > 1
    return found.scope == "method" or not several


def _asked(
    rows: Rows, question: AnalysisQuestion, contrast: Contrast, usual: str | None
) -> tuple[Rows, AnalysisQuestion]:
    a, b = sides(contrast)
    easier = _easier(question, a, b, usual)
    as_good = question.kind == "at-least-as-good" and easier is not None
    asked = replace(
        question,
        kind="at-least-as-good" if as_good else "better",
        easier=easier if as_good else None,
        compare=(a, b),
        assignments=draws_of_pair(rows, question.assignments, a, b),
    )
    return rows.of_pair(a, b), asked


def _easier(question: AnalysisQuestion, a: str, b: str, usual: str | None) -> str | None:
    """The easier one of two: the one named, else the one that is not the usual way."""
    if question.easier in (a, b):
        return question.easier
    if usual in (a, b) and question.easier is None:
        return b if usual == a else a
    return None


def draws_of_pair(
    rows: Rows,
    assignments: Sequence[Mapping[tuple[str, str], str]] | None,
    a: str,
    b: str,
) -> tuple[dict[tuple[str, str], str], ...] | None:
    """The allowed draws in which the units of all other methods keep theirs; None where all are."""
    if not assignments:
        return None
    made = {(row.cook, row.unit[1]): row.method for row in rows.rows}
    own = {key for key, method in made.items() if method in (a, b)}
    rest = {key: method for key, method in made.items() if method not in (a, b)}
    kept = [
        {key: draw[key] for key in own}
        for draw in assignments
        if own <= draw.keys()
        and all(draw.get(key) == method for key, method in rest.items())
        and all(draw[key] in (a, b) for key in own)
    ]
    return tuple(kept) or None


def _hushed(finding: Finding, found: Reckoned) -> Finding:
    """No claim of a pair that has no interval of its own, or shares fewer than two cook days."""
    plain = finding.comparison
    note = msg(
        "{a} and {b} share fewer than two cook days: nothing is claimed of them.",
        a=plain.a,
        b=plain.b,
    )
    notes = finding.notes
    if found.scope != "method" and found.comparison.p is not None:
        notes = (note, *notes)
    return replace(
        finding,
        case="no_claim",
        favours=None,
        comparison=Comparison(
            plain.a, plain.b, estimate=plain.estimate, mean_a=plain.mean_a, mean_b=plain.mean_b
        ),
        redraw=None,
        cooks_to_settle=None,
        more_than_40=False,
        cooks_to_pin_down=None,
        notes=notes,
    )


def read_by_holm(
    finding: Finding, p: float | None, holm_p: float | None, question: AnalysisQuestion
) -> Finding:
    """The finding with Holm's word on whether there is a difference; sizes stay the interval's.

    The interval that holds for all claims at once excludes none only where Holm's p is at most
    alpha; where Holm alone says so, the size stays open. The redraw test is heard as ever.
    """
    if p is None or holm_p is None or holm_p > question.alpha or finding.no_spread:
        return finding
    if finding.favours is not None or finding.case in ("no_claim", "same_recipe"):
        return finding
    level = question.alpha * (p / holm_p) if holm_p > 0 else question.alpha
    test = finding.redraw
    if test is not None and (test.overruled or (test.may_speak and test.p > level)):
        return replace(finding, redraw=replace(test, overruled=True))
    plain = finding.comparison
    winner = cases.favoured(plain.a, plain.b, plain.estimate or 0.0, finding.better)
    if finding.kind == "at-least-as-good":
        return replace(finding, favours=winner)
    little = finding.case == "no_difference_that_matters"
    return replace(
        finding,
        case="better_too_little" if little else "better_size_open",
        favours=winner,
        tasters=_widened(finding, level),
    )


def _widened(finding: Finding, level: float) -> Who | None:
    """For others too, only where the second interval alone says the same at that level."""
    if finding.tasters not in ("these", "others_like_them") or finding.scope != "method":
        return finding.tasters
    second = finding.comparison.others
    open_ = finding.case == "not_settled"
    same = open_ and second is not None and second.p is not None and second.p <= level
    return "others_like_them" if same else "these"


def _named_by(claim: Claim) -> Claim:
    """The comparison under the contrast's own names: places of levels where they are no letters."""
    finding, contrast = claim.finding, claim.contrast
    first, second = sides(contrast)
    named = {first: contrast.a, second: contrast.b}
    return replace(
        claim,
        finding=replace(
            finding,
            comparison=replace(finding.comparison, a=contrast.a, b=contrast.b),
            favours=named.get(finding.favours) if finding.favours else None,
            easier=named.get(finding.easier) if finding.easier else None,
        ),
    )

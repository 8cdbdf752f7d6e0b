"""Crossed factors: with an interaction the simple effects, else the main effects."""

from __future__ import annotations

from collections.abc import Sequence

from trialbench.findings.contrasts import Contrast, leading_factor
from trialbench.findings.level_words import (
    Text,
    both,
    held,
    how_much_more,
    level_name,
    levels_of,
    where,
)
from trialbench.findings.phrases import Names, opening
from trialbench.findings.several_finding import Claim, SeveralFinding
from trialbench.model.message import Message, msg, say

_MOST = 4
"""Effects that one sentence names; the table has the rest."""


def headline(found: SeveralFinding, names: Names) -> Message:
    """ "In stock, 11 °C more make it more tender by 2.4 points, enough to matter; in a sealed bag
    no difference was told apart."
    """
    return _simple(found, names) if found.lead == "simple" else _main(found, names)


def claim_name(claim: Claim, found: SeveralFinding) -> Text:
    """ "88 °C over 77 °C, in stock"."""
    plan, contrast = found.plan, claim.contrast
    plain = over(contrast, found)
    if contrast.role == "simple":
        return msg("{over}, {held}", over=plain, held=held(plan, contrast) or "")
    if contrast.role == "interaction":
        one, two = _two_places(found, contrast)
        return msg("{over}, {one} less {two}", over=plain, one=one, two=two)
    return plain


def over(contrast: Contrast, found: SeveralFinding) -> Message:
    """ "88 °C over 77 °C", wherever it is told."""
    plan = found.plan
    factor, unit = plan.factors[contrast.factor], plan.temperature_unit
    first, second = (level_name(factor, level, unit) for level in levels_of(plan, contrast))
    return msg("{first} over {second}", first=first, second=second)


def _two_places(found: SeveralFinding, contrast: Contrast) -> tuple[Text, Text]:
    """The two places between which an interaction compares."""
    plan = found.plan
    return tuple(
        where(plan.factors[n], plan.factors[n].levels[place], plan.temperature_unit)
        for n, place in contrast.at
    )  # type: ignore[return-value]


# --- effects -----------------------------------------------------------------------------------


def effect(claim: Claim, found: SeveralFinding, names: Names) -> Message:
    """One effect told apart, with its place, its size and whether that matters."""
    plan, contrast = found.plan, claim.contrast
    said = _clause(claim, found, names)
    place = held(plan, contrast)
    if place is not None:
        said = msg("{place}, {said}", place=place, said=said)
    size = names.size(abs(claim.finding.comparison.estimate or 0.0))
    match claim.finding.case:
        case "better_enough":
            return msg("{said} by {size}, enough to matter", said=said, size=size)
        case "better_too_little":
            return msg("{said} by {size}, too little to matter", said=said, size=size)
    return msg("{said}, by how much is not pinned down", said=said)


def _clause(claim: Claim, found: SeveralFinding, names: Names) -> Message:
    """ "11 °C more make it more tender", "it is more tender in a sealed bag than in stock"."""
    plan, contrast = found.plan, claim.contrast
    factor, unit = plan.factors[contrast.factor], plan.temperature_unit
    a, b = levels_of(plan, contrast)
    up = (claim.finding.comparison.estimate or 0.0) > 0
    past = found.scope != "method"
    more = how_much_more(factor, a, b, unit)
    if more is not None:
        return _more_makes(names, more, up=up, past=past)
    return _is_than(names, where(factor, a, unit), where(factor, b, unit), up=up, past=past)


def _more_makes(names: Names, more: Message, *, up: bool, past: bool) -> Message:
    word = names.word(up)
    if names.form == "adjective":
        if past:
            return msg("{more} made it {word}", more=more, word=word)
        return msg("{more} make it {word}", more=more, word=word)
    if names.form == "verb" and not past:
        return msg("with {more} it {word}", more=more, word=word)
    word = msg("higher") if up else msg("lower")
    if past:
        return msg("{more} made {outcome} {word}", more=more, outcome=names.outcome, word=word)
    return msg("{more} make {outcome} {word}", more=more, outcome=names.outcome, word=word)


def _is_than(names: Names, one: Text, two: Text, *, up: bool, past: bool) -> Message:
    shown = {"word": names.word(up), "one": one, "two": two}
    if names.form == "adjective":
        if past:
            return msg("it came out {word} {one} than {two}", **shown)
        return msg("it is {word} {one} than {two}", **shown)
    if names.form == "verb" and not past:
        return msg("it {word} {one} than {two}", **shown)
    shown |= {"word": msg("higher") if up else msg("lower"), "outcome": names.outcome}
    if past:
        return msg("{outcome} came out {word} {one} than {two}", **shown)
    return msg("{outcome} is {word} {one} than {two}", **shown)


def _sentence(clauses: Sequence[Message]) -> Message:
    first, *rest = clauses
    for each in rest:
        first = msg("{first}; {second}", first=first, second=each)
    return msg("{text}.", text=opening(say(first)))


# --- with an interaction -----------------------------------------------------------------------


def _simple(found: SeveralFinding, names: Names) -> Message:
    lead = leading_factor(found.plan)
    own = [c for c in found.leading if c.contrast.factor == lead]
    rest = [c for c in found.leading if c.contrast.factor != lead and c.told]
    told = [c for c in own if c.told]
    if not told:
        first = _only_together(found)
    else:
        clauses = [effect(c, found, names) for c in told[:_MOST]]
        first = _sentence([*clauses, *_quiet(own, found)])
    if not rest:
        return first
    second = _sentence([effect(c, found, names) for c in rest[:2]])
    return msg("{first} {second}", first=first, second=second)


def _quiet(own: Sequence[Claim], found: SeveralFinding) -> list[Message]:
    """Where the leading factor makes no difference that was told apart."""
    said: list[Message] = []
    open_ = [held(found.plan, c.contrast) or "" for c in own if not c.told and not c.equal_enough]
    equal = [held(found.plan, c.contrast) or "" for c in own if c.equal_enough]
    if open_:
        places = both(list(dict.fromkeys(open_)))
        said.append(msg("{places} no difference was told apart", places=places))
    if equal:
        places = both(list(dict.fromkeys(equal)))
        said.append(msg("{places} there is no difference that matters", places=places))
    return said


def _only_together(found: SeveralFinding) -> Message:
    apart = [c for c in found.of_role("interaction") if c.told]
    one, two = _two_places(found, apart[0].contrast)
    factor = found.plan.factors[apart[0].contrast.factor]
    return msg(
        "What {factor} does is not alike {one} and {two}; by itself it is told apart in neither.",
        factor=factor.name, one=one, two=two,
    )  # fmt: skip


# --- without one -------------------------------------------------------------------------------


def _main(found: SeveralFinding, names: Names) -> Message:
    told = list(found.told)
    if not told:
        return _none_told(found, names)
    clauses = [_averaged(c, found, names) for c in told[:_MOST]]
    clauses += [_no_difference(c, found) for c in found.leading if not c.told][:2]
    return msg("{first} {second}", first=_sentence(clauses), second=_alike(found))


def _averaged(claim: Claim, found: SeveralFinding, names: Names) -> Message:
    plan = found.plan
    others = [
        level_name(factor, level, plan.temperature_unit)
        for n, factor in enumerate(plan.factors)
        if n != claim.contrast.factor
        for level in factor.levels
    ]
    return msg(
        "{effect}, averaged over {others}", effect=effect(claim, found, names), others=both(others)
    )


def _no_difference(claim: Claim, found: SeveralFinding) -> Message:
    plan = found.plan
    factor, unit = plan.factors[claim.contrast.factor], plan.temperature_unit
    a, b = levels_of(plan, claim.contrast)
    shown = {"one": level_name(factor, b, unit), "two": level_name(factor, a, unit)}
    if claim.equal_enough:
        return msg("no difference that matters between {one} and {two}", **shown)
    return msg("{one} and {two} are not told apart", **shown)


def _alike(found: SeveralFinding) -> Message:
    """Whether the effects are alike at each level of the others: only as far as was shown."""
    crossed = found.of_role("interaction")
    if crossed and all(claim.equal_enough for claim in crossed):
        return msg("They do not work together in a way that matters.")
    return msg("Whether the one works alike with the other is open.")


def _none_told(found: SeveralFinding, names: Names) -> Message:
    factors = both([factor.name for factor in found.plan.factors])
    everything = (*found.leading, *found.of_role("interaction"))
    if all(claim.equal_enough for claim in everything):
        return msg(
            "No difference that matters in {outcome}, whatever {factors}.",
            outcome=names.outcome,
            factors=factors,
        )
    return msg(
        "Not settled: no effect of {factors} on {outcome} is told apart, nor shown not to matter.",
        outcome=names.outcome,
        factors=factors,
    )


def short_form(found: SeveralFinding, names: Names) -> Message:
    """ "More tender at 88 °C in stock, by enough" and no more than the strongest effect."""
    told = sorted(found.told, key=lambda c: (
        c.finding.case != "better_enough",
        c.contrast.factor != leading_factor(found.plan),
        -abs(c.finding.comparison.estimate or 0.0),
    ))  # fmt: skip
    if not told:
        if found.lead == "simple":
            return msg("The factors work together; no effect by itself")
        alike = all(c.equal_enough for c in (*found.leading, *found.of_role("interaction")))
        return msg("No difference that matters") if alike else msg("Not settled")
    claim = told[0]
    plan = found.plan
    factor, unit = plan.factors[claim.contrast.factor], plan.temperature_unit
    a, b = levels_of(plan, claim.contrast)
    # Said with the word that is wanted, at the level that has it.
    better_up = claim.finding.better != "lower"
    up = (claim.finding.comparison.estimate or 0.0) > 0
    level = a if up == better_up else b
    word = names.word(better_up)
    if names.form == "plain":
        word = msg("{outcome} {word}", outcome=names.outcome, word=word)
    said = msg("{word} {where}", word=opening(say(word)), where=where(factor, level, unit))
    place = held(plan, claim.contrast)
    if place is not None:
        said = msg("{said} {place}", said=said, place=place)
    if claim.finding.case == "better_enough":
        return msg("{said}, and by enough", said=said)
    if claim.finding.case == "better_too_little":
        return msg("{said}, too little to matter", said=said)
    return msg("{said}; how much is not pinned down", said=said)

"""From a Finding to sentences. Language never says more than the finding's scope."""

from __future__ import annotations

from trialbench.findings.explaining import cost, model_in_words, redraw_sentence
from trialbench.findings.finding import Finding, OtherOutcome
from trialbench.findings.phrases import (
    Names,
    by_more_than,
    compares,
    for_whom,
    is_up,
    opening,
    outward,
    would_be,
)
from trialbench.findings.short_forms import short_form, verdict
from trialbench.model.message import Message, msg, msg_n
from trialbench.planning.number_words import in_words

__all__ = [
    "Names",
    "cost",
    "headline",
    "holds_for",
    "model_in_words",
    "other_verdict",
    "redraw_sentence",
    "ruled_out",
    "seen_on",
    "short_form",
    "verdict",
    "whole_headline",
]


def whole_headline(finding: Finding, names: Names) -> Message:
    """The headline with what it holds for and for whom, as one text."""
    first = headline(finding, names)
    if finding.case == "no_claim":
        return first
    what, who = holds_for(finding, names)
    if finding.scope == "method" and who is not None:
        return msg("{headline} {what}, {who}.", headline=first, what=what, who=who)
    if finding.scope == "method":
        return msg("{headline} {what}.", headline=first, what=what)
    if finding.scope == "taster" or who is None:
        return first
    return msg("{headline} It holds {who}.", headline=first, who=who)


def headline(finding: Finding, names: Names) -> Message:
    """At most two sentences: who is ahead and how far that is pinned down.

    What one cook day says is said in the past tense, and the second sentence limits it.
    """
    said = _said(finding, names)
    limit = None if finding.case in ("no_claim", "same_recipe") else _limit(finding)
    if limit is not None:
        said = msg("{said} {limit}", said=said, limit=limit)
    return msg("{food}: {said}", food=opening(names.food), said=said) if names.food else said


def _limit(finding: Finding) -> Message | None:
    """What a finding of one cook day is limited to; None for a finding about the method."""
    if finding.scope == "method":
        return None
    if finding.scope == "taster":
        return msg("This tells you about one palate and these two pieces, not about the method.")
    if finding.two_pieces:
        return msg("This tells you about these two pieces, not about the method.")
    return msg("This tells you about these pieces on this day, not about the method.")


def _said(finding: Finding, names: Names) -> Message:
    plain = finding.comparison
    if finding.case == "no_claim":
        return _nothing_claimed(finding)
    if finding.case == "same_recipe":
        return msg("One recipe cooked twice: this is what no difference looks like here.")
    if finding.kind == "at-least-as-good" and finding.easier is not None:
        return _easier_said(finding, names, finding.easier)
    one, two = names.of(plain.a), names.of(plain.b)
    if finding.case == "no_difference_that_matters":
        return msg(
            "No difference that matters in {outcome} between {one} and {two}.",
            outcome=names.outcome,
            one=one,
            two=two,
        )
    if finding.case == "not_settled" and finding.redraw is not None and finding.redraw.overruled:
        return msg(
            "Not settled: the interval alone would tell {one} and {two} apart in {outcome}, and the"
            " redraw test speaks against it.",
            outcome=names.outcome,
            one=one,
            two=two,
        )
    if finding.case == "not_settled":
        return msg(
            "Not settled: {one} and {two} are not told apart in {outcome}, nor shown to be alike.",
            outcome=names.outcome,
            one=one,
            two=two,
        )
    return _winner_said(finding, names)


def _nothing_claimed(finding: Finding) -> Message:
    if finding.waiting and finding.cooks_in < (finding.planned_cooks or 0):
        return msg_n(
            "{there} of {count} cook day in: nothing is claimed yet.",
            "{there} of {count} cook days in: nothing is claimed yet.",
            finding.planned_cooks or 0,
            there=finding.cooks_in,
        )
    if finding.waiting:
        return msg("Cook days were added to the planned number: nothing is claimed.")
    if finding.comparison.estimate is None:
        return msg("Nothing is claimed: there is nothing to compare.")
    if finding.scope == "taster":
        return msg(
            "Nothing is claimed: one bite of each tells you about these two pieces, not about the"
            " method."
        )
    if finding.counts.units <= 2 and not finding.two_pieces:
        return msg(
            "Nothing is claimed: one load of each on one cook day tells you about these pieces, not"
            " about the method."
        )
    if finding.two_pieces:
        return msg(
            "Nothing is claimed: one piece of each on one cook day tells you about these two"
            " pieces, not about the method."
        )
    return msg(
        "Nothing is claimed: too few pieces on one cook day, and they tell you about that day, not"
        " about the method."
    )


def _winner_said(finding: Finding, names: Names) -> Message:
    first, second = finding.favours or "", finding.other or ""
    up, past = is_up(finding, first), finding.scope != "method"
    said = compares(names, first, second, up=up, past=past)
    if finding.case == "better_enough":
        return msg("{said}, by enough to matter.", said=said)
    if finding.case == "better_too_little":
        return msg("{said}, by too little to matter.", said=said)
    if past:
        return msg("{said}; by how much is not pinned down.", said=said)
    if names.form == "verb":
        return msg("{said}. How much is not pinned down.", said=said)
    return msg("{said}. How much {word} is not pinned down.", said=said, word=names.word(up))


def _easier_said(finding: Finding, names: Names, easier: str) -> Message:
    """The pair of a question sealed as "at least as good", and the winner where there is one."""
    usual = finding.comparison.a if easier == finding.comparison.b else finding.comparison.b
    one, two = names.of(easier), names.of(usual)
    past = finding.scope != "method"
    if finding.case == "at_least_as_good":
        said = _as_good(one, two, names.outcome, names.as_typed(finding.matters or 0.0), past=past)
    else:
        said = msg(
            "Not shown that {one} is at least as good as {two} in {outcome}.",
            one=one,
            two=two,
            outcome=names.outcome,
        )
    if finding.favours is None:
        return said
    up = is_up(finding, finding.favours)
    winner = compares(names, finding.favours, finding.other or "", up=up, past=past)
    if finding.case == "at_least_as_good" and finding.favours == usual:
        return msg("{said} {winner}, by too little to matter.", said=said, winner=winner)
    return msg("{said} {winner}.", said=said, winner=winner)


def _as_good(one: str, two: str, outcome: str, size: str, *, past: bool) -> Message:
    if past:
        return msg(
            "{one} came out at least as good as {two} in {outcome}: not worse by {size} or more.",
            one=opening(one),
            two=two,
            outcome=outcome,
            size=size,
        )
    return msg(
        "{one} is at least as good as {two} in {outcome}: not worse by {size} or more.",
        one=opening(one),
        two=two,
        outcome=outcome,
        size=size,
    )


def holds_for(finding: Finding, names: Names) -> tuple[Message, Message | None]:
    """What it holds for (shown bold) and for whom; nobody is named where nobody tasted."""
    who = for_whom(finding.scope, finding.tasters, finding.counts.tasters)
    return _holds_for_what(finding), who


def _holds_for_what(finding: Finding) -> Message:
    if finding.scope == "taster":
        return msg("For these two pieces, on one palate")
    if finding.scope == "batch":
        return (
            msg("For these two pieces")
            if finding.two_pieces
            else msg("For these pieces on this day")
        )
    two = finding.counts.cooks == 2
    if finding.case in ("not_settled", "not_shown", "same_recipe", "no_claim"):
        return msg("About the method, from two cook days") if two else msg("About the method")
    if two:
        return msg("For the method, next time too, though it rests on two cook days")
    return msg("For the method, next time too")


def seen_on(finding: Finding) -> Message:
    """ "Seen on 4 cook days, two pairs each." """
    cooks = finding.counts.cooks
    pairs = {len(day.pairs) for day in finding.cook_differences}
    each = pairs.pop() if len(pairs) == 1 else 0
    if each:
        many = in_words(each)
        pair = msg("one pair each") if each == 1 else msg("{pairs} pairs each", pairs=many)
        return msg_n(
            "Seen on {count} cook day, {pair}.",
            "Seen on {count} cook days, {pair}.",
            cooks,
            pair=pair,
        )
    return msg_n("Seen on {count} cook day.", "Seen on {count} cook days.", cooks)


def ruled_out(finding: Finding, names: Names) -> Message | None:
    """What the interval rules out, in words; limits are rounded so that never too much is."""
    plain = finding.comparison
    if plain.low is None or plain.high is None or finding.case == "no_claim":
        return None
    if finding.case == "same_recipe":
        return None
    up = finding.better != "lower"
    first = finding.leading
    second = plain.b if first == plain.a else plain.a
    # The gap is counted as the leading method's gain: more where more is better, else less.
    seen = plain.seen_from(first if up else second)
    low, high = seen.low or 0.0, seen.high or 0.0
    top = names.size(outward(high, names.decimals, up=True))
    if low > 0 and finding.redraw is not None and finding.redraw.overruled:
        return msg("Ruled out: any gap above {top}.", top=top)
    if low > 0:
        return _ruled_out_beside(names, would_be(names, second, up=up), low, top)
    bottom = names.size(outward(-low, names.decimals, up=True))
    return msg(
        "Ruled out: that {first}, or that {second}.",
        first=by_more_than(names, second, bottom, up=up),
        second=by_more_than(names, first, top, up=up),
    )


def _ruled_out_beside(names: Names, other: Message, low: float, top: str) -> Message:
    bottom = outward(low, names.decimals, up=False)
    if bottom <= 0:
        return msg("Ruled out: that {other}, and any gap above {top}.", other=other, top=top)
    return msg(
        "Ruled out: that {other}, and any gap below {bottom} or above {top}.",
        other=other,
        bottom=names.figure(bottom),
        top=top,
    )


def other_verdict(other: OtherOutcome, names: Names, leading: str) -> Message:
    """What else we looked at, said of the `leading` method: "also loses less", "not told apart"."""
    if not other.also or other.comparison.estimate is None:
        return msg("not told apart")
    up = (other.comparison.estimate > 0) == (leading == other.comparison.a)
    return msg("also {word}", word=names.word(up))

"""From a SeveralFinding to sentences: what every shape has in common.

`wording_pairs`, `wording_crossed` and `wording_ordered` say what is told apart; language never says
more than the scope of the claims that lead.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from trialbench.findings import wording_crossed, wording_ordered, wording_pairs
from trialbench.findings.finding import Finding
from trialbench.findings.level_words import both, held
from trialbench.findings.phrases import Names, for_whom, is_up, outward
from trialbench.findings.several_finding import Claim, SeveralFinding, SeveralOther
from trialbench.findings.short_forms import told_verdict, verdict
from trialbench.model.message import Message, msg, msg_n
from trialbench.planning.number_words import in_words

_SHAPES = {"pairs": wording_pairs, "crossed": wording_crossed, "ordered": wording_ordered}
Text = Message | str


def headline(found: SeveralFinding, names: Names) -> Message:
    """At most two sentences: what is told apart, and what is not; on one day, what limits it."""
    if found.claims_nothing:
        return _nothing_claimed(found)
    if found.same_recipe:
        return msg(
            "One recipe cooked {times} ways: this is what no difference looks like here.",
            times=in_words(len(found.plan.letters)),
        )
    said: Message = _SHAPES[found.plan.shape].headline(found, names)
    if found.scope == "method":
        return said
    limit = msg("This tells you about these pieces on this day, not about the methods.")
    if found.scope == "taster":
        limit = msg("This tells you about one palate and these pieces, not about the methods.")
    return msg("{said} {limit}", said=said, limit=limit)


def whole_headline(found: SeveralFinding, names: Names) -> Message:
    """The headline with what it holds for and for whom, as one text."""
    first = headline(found, names)
    if found.claims_nothing:
        return first
    what, who = holds_for(found)
    if found.scope == "method" and who is not None:
        return msg("{headline} {what}, {who}.", headline=first, what=what, who=who)
    if found.scope == "method":
        return msg("{headline} {what}.", headline=first, what=what)
    if found.scope == "taster" or who is None:
        return first
    return msg("{headline} It holds {who}.", headline=first, who=who)


def holds_for(found: SeveralFinding) -> tuple[Message, Message | None]:
    """What it holds for (shown bold) and for whom; nobody is named where nobody tasted."""
    who = for_whom(found.scope, found.tasters, found.counts.tasters)
    return _what(found), who


def _what(found: SeveralFinding) -> Message:
    if found.scope == "taster":
        return msg("For these pieces, on one palate")
    if found.scope == "batch":
        return msg("For these pieces on this day")
    two = found.counts.cooks == 2
    told = bool(found.told) or all(claim.equal_enough for claim in found.leading)
    if not told or found.same_recipe:
        return msg("About the methods, from two cook days") if two else msg("About the methods")
    if two:
        return msg("For the methods, next time too, though it rests on two cook days")
    return msg("For the methods, next time too")


def seen_on(found: SeveralFinding) -> Message:
    """ "Seen on 5 cook days, 20 pots"."""
    cooks = msg_n("{count} cook day", "{count} cook days", found.counts.cooks)
    if found.unit == "load":
        units = msg_n("{count} load", "{count} loads", found.counts.units)
    elif found.unit == "piece":
        units = msg_n("{count} piece", "{count} pieces", found.counts.units)
    else:
        units = msg_n("{count} unit", "{count} units", found.counts.units)
    return msg("Seen on {cooks}, {units}.", cooks=cooks, units=units)


def _nothing_claimed(found: SeveralFinding) -> Message:
    if found.waiting and found.cooks_in < (found.planned_cooks or 0):
        return msg_n(
            "{there} of {count} cook day in: nothing is claimed yet.",
            "{there} of {count} cook days in: nothing is claimed yet.",
            found.planned_cooks or 0,
            there=found.cooks_in,
        )
    if found.waiting:
        return msg("Cook days were added to the planned number: nothing is claimed.")
    if found.counts.cooks > 1:
        return msg("Nothing is claimed: no two cook days carry what is to be compared.")
    return msg(
        "Nothing is claimed: too few pieces or tasters on one cook day, and they tell you about"
        " that day, not about the methods."
    )


def claim_name(claim: Claim, found: SeveralFinding) -> Text:
    """What is compared, as a row of a table begins: "B over A", "88 °C over 77 °C, in stock"."""
    name: Text = _SHAPES[found.plan.shape].claim_name(claim, found)
    return name


def turned(claim: Claim, found: SeveralFinding) -> Claim:
    """The claim as it is shown: of a pair the favoured method first, else the better by estimate.

    Effects, trends and bends are always shown as the plan has them.
    """
    if claim.contrast.role != "pair":
        return claim
    finding = claim.finding
    plain = finding.comparison
    first = finding.favours or finding.easier or finding.leading
    if found.plan.usual in (plain.a, plain.b) and finding.favours is None:
        first = plain.b if plain.a == found.plan.usual else plain.a
    if first == plain.a:
        return claim
    low, high = claim.alone_low, claim.alone_high
    return Claim(
        claim.contrast,
        _seen_from(finding, first),
        claim.holm_p,
        None if high is None else -high,
        None if low is None else -low,
        tuple((cook, -value) for cook, value in claim.cook_values),
    )


def _seen_from(finding: Finding, first: str) -> Finding:
    return replace(finding, comparison=finding.comparison.seen_from(first), cook_differences=())


def claim_verdict(claim: Claim, names: Names) -> Message:
    """What one comparison supports, in a cell."""
    if claim.contrast.role in ("interaction", "bend"):
        return _apart(claim)
    case = claim.finding.case
    if case == "same_recipe":
        return msg("one recipe")
    if case == "not_settled":
        return msg("not told apart")
    if claim.contrast.role == "pair":
        return verdict(claim.finding, names)
    return verdict(_upward(claim.finding), names)


def _upward(finding: Finding) -> Finding:
    """Said of level a, whichever of the two is favoured: its word is that of the estimate."""
    return replace(finding, favours=finding.comparison.a) if finding.favours else finding


def _apart(claim: Claim) -> Message:
    word = msg("bent") if claim.contrast.role == "bend" else msg("differs")
    match claim.finding.case:
        case "no_difference_that_matters":
            return msg("no difference that matters")
        case "no_claim":
            return msg("nothing claimed")
    return told_verdict(claim.finding.case, word) or msg("not told apart")


def other_verdict(other: SeveralOther, found: SeveralFinding, names: Names) -> Message:
    """What else we looked at: who also came out how, where Holm allows; else "not told apart"."""
    said = list(_also(other, found, names))
    if not said:
        return msg("not told apart")
    return msg("also {said}", said=joined(said[:3], more=len(said) - 3))


def _also(other: SeveralOther, found: SeveralFinding, names: Names) -> Iterator[Message]:
    """ "loses less: B over A and C", "more tender: 88 °C over 77 °C, in stock"."""
    groups: dict[tuple[object, ...], list[Claim]] = {}
    for claim in other.also:
        shown = turned(claim, found)
        plain, contrast = shown.finding.comparison, claim.contrast
        up = is_up(shown.finding, plain.a)
        # Pairs with one winner stand together, and one effect at several places.
        one = (plain.a,) if contrast.role == "pair" else (contrast.factor, contrast.a, contrast.b)
        groups.setdefault((contrast.role, up, *one), []).append(shown)
    for (role, higher, *_), claims in groups.items():
        if role in ("interaction", "bend"):
            yield msg("{what}", what=claim_name(claims[0], found))
            continue
        what = _together(claims, found)
        yield msg("{word}: {what}", word=names.word(bool(higher)), what=what)


def _together(claims: list[Claim], found: SeveralFinding) -> Text:
    first = claims[0]
    if first.contrast.role == "pair":
        others = both([claim.finding.comparison.b for claim in claims])
        return msg("{first} over {second}", first=first.finding.comparison.a, second=others)
    if first.contrast.role != "simple":
        return claim_name(first, found)
    places = both([held(found.plan, claim.contrast) or "" for claim in claims])
    over = wording_crossed.over(first.contrast, found)
    return msg("{over}, {held}", over=over, held=places)


def joined(said: list[Message], more: int = 0) -> Message:
    """Clauses with semicolons; `more` counts those that are left to the table."""
    first, *rest = said
    for each in rest:
        first = msg("{first}; {second}", first=first, second=each)
    if more > 0:
        return msg_n("{first}; and {count} more", "{first}; and {count} more", more, first=first)
    return first


def short_form(found: SeveralFinding, names: Names) -> Message:
    """A few words that stand alone, for the contents line."""
    if found.waiting and found.planned_cooks is not None:
        if found.cooks_in > found.planned_cooks:
            return msg("Cook days were added")
        return msg_n(
            "{there} of {count} cook day in",
            "{there} of {count} cook days in",
            found.planned_cooks,
            there=found.cooks_in,
        )
    if found.claims_nothing:
        return msg("Nothing claimed")
    if found.same_recipe:
        return msg("What no difference looks like")
    said: Message = _SHAPES[found.plan.shape].short_form(found, names)
    if found.scope == "method":
        return said
    if found.scope == "taster":
        return msg("{said}; one palate only", said=said)
    return msg("{said}; these pieces only", said=said)


def ruled_out(found: SeveralFinding, names: Names) -> Message | None:
    """What all intervals that lead rule out together, rounded so that never too much is."""
    if found.claims_nothing or found.same_recipe:
        return None
    tops = []
    for claim in found.leading:
        plain = claim.finding.comparison
        if plain.low is None or plain.high is None:
            return None
        tops.append(max(abs(plain.low), abs(plain.high)))
    top = names.size(outward(max(tops), names.decimals, up=True))
    if found.plan.shape == "pairs":
        return msg("Ruled out, of all pairs at once: any gap above {top}.", top=top)
    if found.plan.shape == "ordered":
        return msg("Ruled out over what was tried: any rise, fall or bend above {top}.", top=top)
    return msg("Ruled out, of all of these at once: any effect above {top}.", top=top)


def cost(found: SeveralFinding, names: Names) -> Message | None:
    """How many cook days would probably tell each leading comparison apart at d, taken one by one.

    From the largest spread from day to day among them, never from what was seen; None where all is
    settled, or where those that are in were as many.
    """
    unsettled = [c for c in found.leading if c.finding.case in
                 ("not_settled", "better_size_open", "not_shown")]  # fmt: skip
    if found.claims_nothing or found.same_recipe or not unsettled:
        return None
    if found.matters is None:
        return msg(
            "Without the smallest difference that matters, nothing can be said of how many cook"
            " days would do."
        )
    if found.scope != "method":
        return msg(
            "One cook day does not show the spread from day to day, so it cannot say how many"
            " would do."
        )
    spread = max((c.finding.comparison.sd or 0.0 for c in unsettled), default=0.0)
    if not spread:
        return None
    shown = {
        "spread": names.size(spread, names.decimals + 1),
        "size": names.as_typed(found.matters),
    }
    needed = found.cooks_to_settle
    if needed is None:
        return msg(
            "With this spread, up to {spread} from day to day, finding {size} in each of these at"
            " once would probably take more than 40 cook days.",
            **shown,
        )
    if needed <= found.counts.cooks:
        return None
    return msg_n(
        "With this spread, up to {spread} from day to day, {count} cook day would probably find"
        " {size} in each of these.",
        "With this spread, up to {spread} from day to day, {count} cook days would probably find"
        " {size} in each of these.",
        needed,
        **shown,
    )


def model_in_words(found: SeveralFinding) -> Message:
    """How the intervals were reckoned, for "How it was reckoned" and for exports."""
    count = len(found.leading)
    if found.scope == "method":
        return msg(
            "One number a cook day for each comparison: the mean over tasters of each taster's own."
            " Two-sided t over cook days; {count} comparisons lead, their limits hold for all of"
            " them at once (Bonferroni), and Holm says which are told apart.",
            count=count,
        ) if found.tasters is not None else msg(
            "One number a cook day for each comparison. Two-sided t over cook days; {count}"
            " comparisons lead, their limits hold for all of them at once (Bonferroni), and Holm"
            " says which are told apart.",
            count=count,
        )  # fmt: skip
    return msg(
        "One cook day: what is compared within it is the yardstick; {count} comparisons lead, their"
        " limits hold for all of them at once (Bonferroni), and Holm says which are told apart.",
        count=count,
    )

"""The margin of Findings for three methods or more."""

from __future__ import annotations

from collections.abc import Iterator

from trialbench.findings.phrases import Names
from trialbench.findings.several_finding import SeveralFinding
from trialbench.findings.snapshot import TrialRecords
from trialbench.findings.trial_finding import TrialFinding
from trialbench.findings.wording_several import cost, ruled_out
from trialbench.model.margin import Margin, MarginNote, NoteVerb
from trialbench.model.message import Message, msg, msg_n
from trialbench.planning.number_words import in_words
from trialbench.planning.stage_words import listed
from trialbench.report.claims import riders
from trialbench.ui.pages.left_out_margin import missing_notes, set_aside_notes

_WAITS = msg("Nothing is claimed until the planned cook days are in.")
_ADDED = msg("Cook days were added to the planned number, so nothing is claimed.")
_SAME = msg("Gaps as large as these come of nothing in this kitchen.")
_NO_MORE = msg("A finding says what the trial supports, and no more.")


def margin_of_several(records: TrialRecords, found: TrialFinding) -> Margin:
    """Notes beside "headline", "holds", "interval", "missing", "others", "set_aside"."""
    several = found.several
    assert several is not None
    names = found.names_of(several.outcome)
    notes = (
        *_rider_notes(records, several),
        *_who_notes(several),
        *_cost_notes(records, several, names),
        *_family_notes(several),
        *_redraw_notes(several),
        *missing_notes(found, several.outcome),
        *set_aside_notes(found.other_several),
        *_other_notes(found),
    )
    return Margin(_standing(several, names), notes)


def _standing(several: SeveralFinding, names: Names) -> Message:
    if several.waiting:
        return _WAITS if several.cooks_in < (several.planned_cooks or 0) else _ADDED
    if several.same_recipe:
        return _SAME
    return ruled_out(several, names) or _NO_MORE


def _rider_notes(records: TrialRecords, several: SeveralFinding) -> Iterator[MarginNote]:
    came = riders(records)
    if not came or several.claims_nothing or several.same_recipe:
        return
    label = msg_n(
        "The headline: {words} rider", "The headline: {words} riders", len(came),
        words=in_words(len(came)),
    )  # fmt: skip
    named = msg("This came along: {riders}.", riders=listed(came))
    says = msg("The question may have done it, or what came along, or all of it together.")
    verb = NoteVerb(msg("Ask which one, in a new trial"), "ask_again", (records.trial.id, ""))
    yield MarginNote("headline", "differs", label, (named, says), (verb,), dear=60)


def _who_notes(several: SeveralFinding) -> Iterator[MarginNote]:
    if several.tasters != "these" or several.claims_nothing or several.same_recipe:
        return
    label = msg("For whom: these tasters")
    if several.counts.tasters < 3:
        says = msg("Fewer than three tasters say nothing of others.")
    elif not several.told:
        says = msg("It is not settled for these tasters, so nothing is said of others.")
    else:
        says = msg("With others in their place not all of it could be said: they differ too much.")
    yield MarginNote("holds", "shows", label, (says,), dear=25)


def _cost_notes(
    records: TrialRecords, several: SeveralFinding, names: Names
) -> Iterator[MarginNote]:
    price = cost(several, names)
    if price is None:
        return
    label = msg_n(
        "{count} cook day: what more would bring",
        "{count} cook days: what more would bring",
        several.counts.cooks,
    )
    yield MarginNote("interval", "shows", label, (price,), dear=50)


def _family_notes(several: SeveralFinding) -> Iterator[MarginNote]:
    if several.claims_nothing or several.same_recipe:
        return
    count = len(several.leading)
    if several.plan.shape == "crossed":
        if several.lead == "simple":
            label = msg("The two factors: they act on each other")
            says: tuple[Message, ...] = (
                msg("So each effect is told at each level of the other, never as one mean."),
            )
        else:
            label = msg("The two factors: no action on each other was told apart")
            says = (
                msg("So each effect is a mean over the levels of the other. That they act alike is"
                    " not shown by that."),
            )  # fmt: skip
        yield MarginNote("days", "shows", label, says, dear=35)
    if count > 1 and several.plan.shape == "pairs":
        label = msg("{count} pairs: looked at together", count=count)
        says = (
            msg("The more pairs, the easier one of them comes out by chance; the threads are longer"
                " for it."),
        )  # fmt: skip
        yield MarginNote("days", "shows", label, says, dear=28)
    if several.curve is not None and several.curve.best is not None and several.curve.best.at_edge:
        label = msg("The edge of what was tried")
        says = several.curve.best.notes
        yield MarginNote("interval", "shows", label, says, dear=45)


def _redraw_notes(several: SeveralFinding) -> Iterator[MarginNote]:
    tests = [c.finding.redraw for c in several.leading if c.finding.redraw is not None]
    if several.claims_nothing or several.same_recipe:
        return
    if any(test.overruled for test in tests):
        label = msg("Redraw: it speaks against an interval")
        says = msg("Where it does, no winner is named. “How it was reckoned” says where.")
        yield MarginNote("interval", "shows", label, (says,), dear=52)
        return
    if several.plan.shape == "ordered":
        label = msg("Redraw: none for a trend")
        says = msg("It compares two methods. Here the interval over cook days stands alone.")
        yield MarginNote("interval", "shows", label, (says,), dear=15)


def _other_notes(found: TrialFinding) -> Iterator[MarginNote]:
    several = found.several
    if several is None or not several.others:
        return
    label = msg("What else we looked at")
    if found.waiting:
        says = msg("Nothing is said of these either until the planned cook days are in.")
        yield MarginNote("others", "passage", label, (says,), dear=20)
        return
    claims = sum(len(other.claims) for other in several.others)
    read = msg_n(
        "{count} comparison; its interval stands as it is.",
        "{count} comparisons in other outcomes, read as one family.",
        claims,
    )
    also = msg("“Also” is said only where it survives that.")
    yield MarginNote("others", "passage", label, (read, also), dear=30)

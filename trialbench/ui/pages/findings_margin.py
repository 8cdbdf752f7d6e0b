"""The margin of Findings: what is ruled out, riders, what more would bring, what is missing."""

from __future__ import annotations

from collections.abc import Iterator

from trialbench.findings.finding import Finding, Redraw
from trialbench.findings.phrases import Names
from trialbench.findings.snapshot import TrialRecords
from trialbench.findings.trial_finding import TrialFinding
from trialbench.findings.wording import cost, ruled_out
from trialbench.model.margin import Margin, MarginNote, NoteVerb
from trialbench.model.message import Message, msg, msg_n
from trialbench.planning.number_words import in_words
from trialbench.planning.stage_words import listed
from trialbench.report.claims import riders
from trialbench.ui.pages.left_out_margin import missing_notes, set_aside_notes
from trialbench.ui.pages.several_margin import margin_of_several

_WAITS = msg("Nothing is claimed until the planned cook days are in.")
_ADDED = msg("Cook days were added to the planned number, so nothing is claimed.")
_SAME = msg("A gap as large as this one comes of nothing in this kitchen.")
_NO_MORE = msg("A finding says what the trial supports, and no more.")


def margin_of_findings(records: TrialRecords, found: TrialFinding) -> Margin:
    """Notes beside "headline", "holds", "interval", "days", "missing", "others", "set_aside"."""
    if found.several is not None:
        return margin_of_several(records, found)
    finding = found.deciding
    if finding is None:
        return Margin(_NO_MORE, tuple(_before_anything(found)))
    names = found.names_of(finding.outcome)
    notes = (
        *_rider_notes(records, finding),
        *_who_notes(finding),
        *_cost_notes(records, finding, names),
        *_redraw_notes(finding),
        *missing_notes(found, finding.outcome),
        *set_aside_notes(found.other_answers),
        *_family_notes(found),
    )
    return Margin(_standing(finding, names), notes)


def _standing(finding: Finding, names: Names) -> Message:
    if finding.case == "same_recipe":
        return _SAME
    if finding.waiting:
        return _WAITS if finding.cooks_in < (finding.planned_cooks or 0) else _ADDED
    return ruled_out(finding, names) or _NO_MORE


def _before_anything(found: TrialFinding) -> Iterator[MarginNote]:
    label = msg("The finding: not yet")
    says = msg(
        "It is reckoned by itself as soon as there is something to reckon with, and never from"
        " cards under a sealed key."
    )
    yield MarginNote("headline", "missing", label, (says,), dear=20)


def _rider_notes(records: TrialRecords, finding: Finding) -> Iterator[MarginNote]:
    came = riders(records)
    if not came or finding.case in ("same_recipe", "no_claim"):
        return
    count = len(came)
    label = msg_n(
        "The headline: {words} rider", "The headline: {words} riders", count, words=in_words(count)
    )
    named = msg("This came along: {riders}.", riders=listed(came))
    if finding.favours is not None:
        says = msg("The question may have done it, or what came along, or all of it together.")
    else:
        says = msg("What came along may have hidden a difference, or made one.")
    verb = NoteVerb(msg("Ask which one, in a new trial"), "ask_again", (records.trial.id, ""))
    yield MarginNote("headline", "differs", label, (named, says), (verb,), dear=60)


def _who_notes(finding: Finding) -> Iterator[MarginNote]:
    if finding.tasters != "these" or finding.case in ("no_claim", "same_recipe"):
        return
    label = msg("For whom: these tasters")
    if finding.comparison.others is None:
        says = msg("Fewer than three tasters say nothing of others.")
    elif finding.case in ("not_settled", "not_shown"):
        says = msg("It is not settled for these tasters, so nothing is said of others.")
    else:
        says = msg("With others in their place the same could not be said: they differ too much.")
    yield MarginNote("holds", "shows", label, (says,), dear=25)


def _cost_notes(records: TrialRecords, finding: Finding, names: Names) -> Iterator[MarginNote]:
    price = cost(finding, names)
    if price is None:
        return
    label = msg_n(
        "{count} cook day: what more would bring",
        "{count} cook days: what more would bring",
        finding.counts.cooks,
    )
    needed = finding.cooks_to_settle
    verbs: tuple[NoteVerb, ...] = ()
    if needed is not None and needed > finding.counts.cooks:
        plan = msg_n("Begin a trial of {count} cook day", "Begin a trial of {count} cook days",
                     needed)  # fmt: skip
        verbs = (NoteVerb(plan, "ask_again", (records.trial.id, str(needed))),)
    yield MarginNote("interval", "shows", label, (price,), verbs, dear=50)


def _redraw_notes(finding: Finding) -> Iterator[MarginNote]:
    test = finding.redraw
    if test is None or finding.case in ("no_claim", "same_recipe"):
        return
    verb = NoteVerb(msg("See how it was reckoned"), "reckoned")
    if test.overruled:
        label = msg("Redraw: it overrules the interval")
        says = msg("Other draws give gaps as wide too often, so no winner is named.")
        yield MarginNote("interval", "shows", label, (says,), (verb,), dear=70)
    elif not test.may_speak:
        label = msg("Redraw: too coarse to overrule")
        says = msg("So few draws were possible that it cannot speak against the interval.")
        yield MarginNote("interval", "shows", label, (says, *_heard(test)), (verb,), dear=15)


def _heard(test: Redraw) -> Iterator[Message]:
    if test.cooks_needed is not None:
        yield msg_n(
            "From {count} cook day laid out like this it could.",
            "From {count} cook days laid out like these it could.",
            test.cooks_needed,
        )


def _family_notes(found: TrialFinding) -> Iterator[MarginNote]:
    if not found.others or found.deciding is None:
        return
    label = msg("What else we looked at")
    if found.waiting:
        says = msg("Nothing is said of these either until the planned cook days are in.")
        yield MarginNote("others", "passage", label, (says,), dear=20)
        return
    count = len(found.others)
    read = msg_n(
        "One outcome; its interval stands as it is.",
        "{words} outcomes, read as one family; their intervals are not widened for it.",
        count,
        words=in_words(count, first=True),
    )
    also = msg("“Also” is said only where it survives that.")
    yield MarginNote("others", "passage", label, (read, also) if count > 1 else (read,), dear=30)

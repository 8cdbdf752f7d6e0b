"""The margin of "How it was reckoned": what the numbers do not say by themselves."""

from __future__ import annotations

from collections.abc import Iterator

from trialbench.findings.finding import Finding
from trialbench.findings.several_finding import SeveralFinding
from trialbench.findings.trial_finding import TrialFinding
from trialbench.model.margin import Margin, MarginNote
from trialbench.model.message import Message, msg, msg_n, say
from trialbench.planning.number_words import in_words

_STANDING = msg("A second leaf of Findings: for whoever asks.")


def margin_of_reckoned(found: TrialFinding | None) -> Margin:
    """Notes beside the sections, whose lines are their labels."""
    if found is not None and found.several is not None:
        return Margin(_STANDING, tuple(_several_notes(found.several)))
    finding = found.deciding if found is not None else None
    if finding is None:
        return Margin(_STANDING)
    return Margin(_STANDING, (*_counting_notes(finding), *_redraw_notes(finding)))


def _several_notes(several: SeveralFinding) -> Iterator[MarginNote]:
    tasters = several.counts.tasters
    if several.scope == "method" and tasters >= 2:
        label = msg("What counts: more mouths, no more meat")
        surer = msg("{words} tasters make each day's number surer.",
                    words=in_words(tasters, first=True))  # fmt: skip
        days = msg("They do not make it more days.")
        line = say(msg("What counts"))
        yield MarginNote(line, "passage", label, (surer, days), dear=40)
    if not several.claims_nothing:
        label = msg("The comparisons: two questions to each")
        says = (
            msg("Is there a difference at all? Holm answers that for all of them together."),
            msg("How large is it? The limits “at once” answer that for all of them together."),
        )
        yield MarginNote(say(msg("The comparisons")), "shows", label, says, dear=35)


def _counting_notes(finding: Finding) -> Iterator[MarginNote]:
    tasters, line = finding.counts.tasters, say(msg("What counts"))
    if finding.procedure != "over_cooks" or tasters < 2:
        return
    label = msg("What counts: more mouths, no more meat")
    surer = msg("{words} tasters make each day's number surer.",
                words=in_words(tasters, first=True))  # fmt: skip
    days = msg("They do not make it more days.")
    yield MarginNote(line, "passage", label, (surer, days), dear=40)


def _redraw_notes(finding: Finding) -> Iterator[MarginNote]:
    test, line = finding.redraw, say(msg("Redraw"))
    if test is None or finding.case in ("no_claim", "same_recipe"):
        return
    if test.may_speak:
        label = msg("Redraw: fine enough to be heard")
        says: tuple[Message, ...] = (
            msg("It may take a winner back. It never names one, and its silence shows nothing."),
        )
    else:
        label = msg("Redraw: too coarse to overrule")
        says = (msg("The interval decides."),)
        if test.cooks_needed is not None:
            says += (
                msg_n("{count} cook day laid out like this could speak against it.",
                      "{count} cook days laid out like these could speak against it.",
                      test.cooks_needed),
            )  # fmt: skip
    yield MarginNote(line, "shows", label, says, dear=30)

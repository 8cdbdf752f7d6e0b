"""What the Findings page says around the finding's own sentences, worked out without painting."""

from __future__ import annotations

from collections.abc import Iterator

from trialbench.findings.finding import Finding
from trialbench.findings.phrases import Names
from trialbench.findings.wording import headline, holds_for, seen_on
from trialbench.model.message import Message, msg, msg_n, say
from trialbench.model.numbers import shortest
from trialbench.report.reckoned import notes_of


def holds_words(finding: Finding, names: Names) -> tuple[Message, Message]:
    """What it holds for, and the rest of that sentence: for whom, and what it was seen on."""
    what, who = holds_for(finding, names)
    seen = seen_on(finding)
    if who is None:
        return what, msg(". {seen}", seen=seen)
    return what, msg(", {who}. {seen}", who=who, seen=seen)


def supports(finding: Finding) -> Message:
    """The line under the title."""
    if finding.case == "no_claim":
        return msg("What is in so far.")
    return msg_n(
        "What this one cook day supports, and no more.",
        "What these {count} cook days support, and no more.",
        finding.counts.cooks,
    )


def how_to_read(finding: Finding) -> Message:
    """What stitch, ring and thread are in the pictures."""
    said = _stitch(finding)
    plain = finding.comparison
    if plain.low is None or plain.inner_low is None:
        return said
    outer, inner = (shortest(100 * (1 - part * finding.alpha), 1) for part in (1, 2))
    if finding.case == "no_claim":
        return msg("{stitch} The thread is grey: nothing is claimed from it yet.", stitch=said)
    return msg(
        "{stitch} Thread: {outer} in 100 such threads hold the true size; doubled: {inner}.",
        stitch=said,
        outer=outer,
        inner=inner,
    )


def _stitch(finding: Finding) -> Message:
    if finding.procedure == "tasters_of_these_pieces":
        return msg("Tall stitch: a taster, who counts here because there is one piece of each.")
    days = finding.cook_differences
    if finding.procedure == "pairs_of_one_cook" and len(days) == 1:
        return msg("Tall stitch: a pair, which counts here because there is one cook day.")
    if finding.procedure in ("units_of_one_cook", "servings_of_one_taster", "none"):
        return msg("Tall stitch: the one cook day.")
    if any(len(day.pairs) > 1 for day in days):
        return msg("Tall stitch: a cook day, the thing that counts; pale ring and line: a pair.")
    return msg("Tall stitch: a cook day, the thing that counts.")


def why_nothing_claimed(finding: Finding, names: Names) -> Iterator[Message]:
    """What is missing for an interval or a claim, beyond what the headline says."""
    if finding.case != "no_claim" and finding.comparison.low is not None:
        return
    head = say(headline(finding, names))
    for note in notes_of(finding):
        if say(note).rstrip(".") not in head:
            yield note

"""What Findings says around the sentences of three methods or more, without painting."""

from __future__ import annotations

from collections.abc import Iterator

from trialbench.findings.phrases import Names
from trialbench.findings.several_finding import SeveralFinding
from trialbench.findings.wording_several import headline, holds_for, seen_on
from trialbench.model.message import Message, msg, msg_n, say
from trialbench.model.numbers import shortest


def supports(found: SeveralFinding) -> Message:
    """The line under the title."""
    if found.claims_nothing:
        return msg("What is in so far.")
    return msg_n(
        "What this one cook day supports, and no more.",
        "What these {count} cook days support, and no more.",
        found.counts.cooks,
    )


def holds_words(found: SeveralFinding) -> tuple[Message, Message]:
    """What it holds for, and the rest of that sentence: for whom, and what it was seen on."""
    what, who = holds_for(found)
    seen = seen_on(found)
    if who is None:
        return what, msg(". {seen}", seen=seen)
    return what, msg(", {who}. {seen}", who=who, seen=seen)


def how_to_read(found: SeveralFinding) -> Message:
    """What stitch, ring and thread are in the pictures."""
    if found.plan.shape == "ordered":
        return _curve(found)
    count = len(found.leading)
    if found.claims_nothing:
        return msg("The threads are grey: nothing is claimed from them yet. Pale ring: a cook day.")
    outer = shortest(100 * (1 - found.alpha), 1)
    said = _toned(found, msg_n(
        "Tall stitch: the difference; pale ring: a cook day. Thread: in {outer} of 100 such trials"
        " it holds the true size.",
        "Tall stitch: the difference; pale ring: a cook day. Threads: in {outer} of 100 such trials"
        " all {count} of a kind hold the true sizes at once.",
        count,
        outer=outer,
    ))  # fmt: skip
    sharper = [c for c in found.told if _across(c.finding.comparison)]
    if not sharper:
        return said
    return msg(
        "{said} Holm tells some apart whose thread still touches none: their size stays open.",
        said=said,
    )


def _toned(found: SeveralFinding, said: Message) -> Message:
    """What the tone at none says, where a size that matters was written."""
    if found.matters is None:
        return said
    size = shortest(found.matters)
    return msg("{said} Within the tone: less than {size}, too little to matter.", said=said,
               size=size)  # fmt: skip


def _across(plain: object) -> bool:
    low, high = plain.low, plain.high  # type: ignore[attr-defined]
    return low is not None and high is not None and low <= 0 <= high


def _curve(found: SeveralFinding) -> Message:
    said = msg("Knot: the mean of a setting; pale ring: a cook day.")
    if found.curve is None:
        return said
    outer = shortest(100 * (1 - found.alpha), 1)
    return msg(
        "{said} Line: the fitted curve; thin lines: at each setting by itself {outer} in 100 such"
        " bands hold the true height.",
        said=said,
        outer=outer,
    )


def about_means() -> Message:
    """What the second picture is."""
    return msg("means, each cook day thin")


def notes_beside(found: SeveralFinding, names: Names) -> Iterator[Message]:
    """What must be known of the numbers, beyond what the headline says."""
    head = say(headline(found, names))
    for note in found.notes:
        if say(note).rstrip(".") not in head:
            yield note


def about_intervals(found: SeveralFinding) -> Message:
    """What the intervals of the tables are, said under them."""
    if found.others:
        return msg(
            "One outcome decides; its intervals hold for all comparisons of a kind at once. Of the"
            " others only what survives Holm is said."
        )
    return msg("The intervals hold for all comparisons of a kind at once.")

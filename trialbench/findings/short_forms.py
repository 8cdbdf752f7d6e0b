"""A finding in a few words: for the contents line, the spine and the table of outcomes."""

from __future__ import annotations

from trialbench.findings.finding import Case, Finding
from trialbench.findings.phrases import Names, is_up, opening
from trialbench.model.message import Message, msg, msg_n, say


def short_form(finding: Finding, names: Names) -> Message:
    """A few words that stand alone: "Juicier, and by enough", "Not settled; 8 cook days would do".

    Said of the favoured method; one cook day says that it is no more than that.
    """
    said = _short(finding, names)
    if finding.scope == "method" or finding.case in ("no_claim", "same_recipe"):
        return said
    if finding.scope == "taster":
        return msg("{said}; one palate only", said=said)
    if finding.two_pieces:
        return msg("{said}; these two pieces only", said=said)
    return msg("{said}; these pieces only", said=said)


def _short(finding: Finding, names: Names) -> Message:
    match finding.case:
        case "better_enough":
            return msg("{word}, and by enough", word=_word(finding, names))
        case "better_size_open":
            return msg("{word}; how much is not pinned down", word=_word(finding, names))
        case "better_too_little":
            return msg("{word}, too little to matter", word=_word(finding, names))
        case "no_difference_that_matters":
            return msg("No difference that matters")
        case "not_settled":
            return _open(msg("Not settled"), finding)
        case "at_least_as_good":
            if finding.favours is not None and finding.favours == finding.easier:
                up = is_up(finding, finding.favours)
                return msg("At least as good, and {word}", word=names.word(up))
            return msg("At least as good")
        case "not_shown":
            return _open(msg("Not shown to be as good"), finding)
        case "same_recipe":
            return msg("What no difference looks like")
    return _nothing(finding)


def _word(finding: Finding, names: Names) -> str:
    return opening(say(names.word(is_up(finding, finding.favours or ""))))


def _open(said: Message, finding: Finding) -> Message:
    if finding.more_than_40:
        return msg("{said}; more than 40 cook days would do", said=said)
    needed = finding.cooks_to_settle
    if needed is None or needed <= finding.counts.cooks:
        return said
    return msg_n(
        "{said}; {count} cook day would do", "{said}; {count} cook days would do", needed, said=said
    )


def not_settled(needed: int | None, there: int) -> Message:
    """ "Not settled; 8 cook days would do", where those are more than the ones that are there."""
    if needed is None or needed <= there:
        return msg("Not settled")
    return msg_n(
        "Not settled; {count} cook day would do", "Not settled; {count} cook days would do", needed
    )


def _nothing(finding: Finding) -> Message:
    if finding.planned_cooks is not None and finding.cooks_in > finding.planned_cooks:
        return msg("Cook days were added")
    if finding.waiting and finding.planned_cooks is not None:
        return msg_n(
            "{there} of {count} cook day in",
            "{there} of {count} cook days in",
            finding.planned_cooks,
            there=finding.cooks_in,
        )
    return msg("Nothing claimed")


def verdict(finding: Finding, names: Names) -> Message:
    """What the deciding outcome supports, in a cell: "juicier; how much is open"."""
    word = names.word(is_up(finding, finding.favours)) if finding.favours else ""
    match finding.case:
        case "no_difference_that_matters":
            return msg("no difference that matters")
        case "not_settled":
            return msg("not settled")
        case "at_least_as_good":
            return msg("at least as good")
        case "not_shown":
            return msg("not shown to be as good")
        case "same_recipe":
            return msg("one recipe, twice")
    return told_verdict(finding.case, word) or msg("nothing claimed")


def told_verdict(case: Case, word: Message | str) -> Message | None:
    """How far what was told apart goes, in a cell; None where nothing was."""
    match case:
        case "better_enough":
            return msg("{word}, by enough", word=word)
        case "better_size_open":
            return msg("{word}; how much is open", word=word)
        case "better_too_little":
            return msg("{word}, too little to matter", word=word)
    return None

"""What a recipe note may say of a finding, and what it must not: both from the finding alone."""

from __future__ import annotations

from collections.abc import Iterator

from trialbench.figures.directed import leading_of, second_of, turned
from trialbench.findings import wording_several
from trialbench.findings.finding import Finding
from trialbench.findings.phrases import opening
from trialbench.findings.snapshot import TrialRecords
from trialbench.findings.trial_finding import TrialFinding
from trialbench.findings.wording import (
    cost,
    other_verdict,
    ruled_out,
    seen_on,
    short_form,
    whole_headline,
)
from trialbench.model.message import Message, msg
from trialbench.notebook import views
from trialbench.planning.difference_words import how_much
from trialbench.planning.differences import MethodDifference, differences_of
from trialbench.planning.differences_of_pieces import differences_of_pieces
from trialbench.planning.stage_words import the_stage
from trialbench.report.claims_several import not_known, several_does_not_show, several_shows
from trialbench.report.words import Text, interval


def it_shows(found: TrialFinding) -> tuple[Text, ...]:
    """The headline with its size and scope, then what else came out."""
    if found.several is not None:
        return several_shows(found)
    deciding = found.deciding
    if deciding is None:
        return (found.why_nothing,) if found.why_nothing is not None else ()
    names = found.names_of(deciding.outcome)
    lines: list[Text] = [whole_headline(deciding, names)]
    size = _size(found, deciding)
    if size is not None:
        lines.append(size)
    if not found.waiting:
        lines += _also(found, leading_of(deciding))
    out = ruled_out(deciding, names)
    return tuple(lines if out is None else [*lines, out])


def _size(found: TrialFinding, deciding: Finding) -> Message | None:
    names, first = found.names_of(deciding.outcome), leading_of(deciding)
    estimate, low, high, _, _ = turned(deciding.comparison, first)
    if estimate is None:
        return None
    plain = deciding.comparison
    return msg(
        "{first} over {second}: {size} ({interval}). {seen}",
        first=first,
        second=second_of(plain, first),
        size=names.difference(estimate),
        interval=interval(low, high, names.decimals),
        seen=seen_on(deciding),
    )


def _also(found: TrialFinding, leading: str) -> Iterator[Message]:
    for other in found.others:
        if not other.also:
            continue
        names = found.names_of(other.outcome)
        estimate, low, high, _, _ = turned(other.comparison, leading)
        if estimate is None:
            continue
        yield msg(
            "{outcome}, {first} over {second}: {verdict}, {size} ({interval}).",
            outcome=opening(other.outcome),
            first=leading,
            second=second_of(other.comparison, leading),
            verdict=other_verdict(other, names, leading),
            size=names.difference(estimate),
            interval=interval(low, high, names.decimals),
        )


def it_does_not_show(records: TrialRecords, found: TrialFinding) -> tuple[Text, ...]:
    """What it would cost to know, outcomes not told apart, riders, who else."""
    if found.several is not None:
        return several_does_not_show(found, riders(records))
    deciding = found.deciding
    if deciding is None or deciding.case == "same_recipe":
        return ()
    price = cost(deciding, found.names_of(deciding.outcome))
    apart = [] if found.waiting else [o.outcome for o in found.others if not o.also]
    return not_known(price, apart, riders(records), deciding.tasters)


def riders(records: TrialRecords) -> tuple[Message, ...]:
    """What came along with the question, one by one: "the rest, 1 h longer in B".

    Written lines first, then what went with the method in the pieces themselves: salt as weighed,
    source, place in the cooker.
    """
    unit = views.cover(records).temperature_unit
    came = [d for d in differences_of(records, records.trial.id) if not d.asked]
    in_pieces = differences_of_pieces(records, records.trial.id)
    return (*(_rider(each, unit) for each in came), *(each.short for each in in_pieces))


def _rider(rider: MethodDifference, unit: str) -> Message:
    gap = str(how_much(rider, unit)).strip().rstrip(".")
    return msg("{stage}, {gap}", stage=the_stage(rider.stage), gap=gap[:1].lower() + gap[1:])


def in_short(found: TrialFinding) -> Message:
    """A few words for a head line."""
    if found.several is not None:
        return wording_several.short_form(found.several, found.names_of(found.several.outcome))
    deciding = found.deciding
    if deciding is None:
        return msg("Nothing claimed")
    return short_form(deciding, found.names_of(deciding.outcome))

"""The lines of outcomes: the deciding one first, verdicts, differences, intervals."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from trialbench.figures.directed import leading_of, second_of, turned
from trialbench.findings.finding import Comparison, Finding
from trialbench.findings.phrases import Names, opening
from trialbench.findings.trial_finding import TrialFinding
from trialbench.findings.wording import other_verdict, verdict
from trialbench.model.message import Message, msg, say
from trialbench.model.numbers import figure, shortest
from trialbench.report.claims_several import claims_table
from trialbench.report.words import ReportTable, Text, interval, signed

_NONE = "\u2013"
Part = Literal["decides", "other", "silent", "set_aside"]


@dataclass(frozen=True, slots=True)
class OutcomeLine:
    """One outcome in words: means of the leading and the other method, leading less other.

    `measure` is what the numbers count where that is not points. `part` tells what the line is:
    the outcome that decides, one of the others, one without an interval ("silent"), or the
    deciding one reckoned the other way about what was set aside.
    """

    name: Text
    measure: Text
    part: Part
    said: Text
    first: str = _NONE
    second: str = _NONE
    difference: str = _NONE
    interval: Text = _NONE


def outcome_lines(found: TrialFinding) -> tuple[OutcomeLine, ...]:
    """One line an outcome; none while nothing is reckoned."""
    return tuple(_lines(found))


def _lines(found: TrialFinding) -> Iterator[OutcomeLine]:
    deciding = found.deciding
    if deciding is None:
        return
    leading, names = leading_of(deciding), found.names_of(deciding.outcome)
    said: Text = verdict(deciding, names)
    yield _line(names, deciding.outcome, deciding.comparison, leading, "decides", said)
    for each in found.others:
        own = found.names_of(each.outcome)
        said = "" if found.waiting else other_verdict(each, own, leading)
        yield _line(own, each.outcome, each.comparison, leading, "other", said)
    for name, why in found.not_reckoned:
        yield OutcomeLine(opening(name), "", "silent", why)


def set_aside_lines(found: TrialFinding) -> tuple[OutcomeLine, ...]:
    """The deciding outcome reckoned the other way, where something was set aside."""
    if found.deciding is None:
        return ()
    leading = leading_of(found.deciding)
    return tuple(
        _line(
            found.names_of(answer.finding.outcome),
            _other_way(answer.way, answer.subjects),
            answer.finding.comparison,
            leading,
            "set_aside",
            verdict(answer.finding, found.names_of(answer.finding.outcome)),
        )
        for answer in found.other_answers
    )


def _other_way(way: str, subjects: tuple[tuple[str, str], ...]) -> Message:
    what = ", ".join(f"{name} ({why.rstrip('.')})" for name, why in subjects)
    return msg("without {what}", what=what) if way == "without" else msg("with {what}", what=what)


def _line(
    names: Names, name: Text, plain: Comparison, leading: str, part: Part, said: Text
) -> OutcomeLine:
    estimate, low, high, _, _ = turned(plain, leading)
    means = (plain.mean_a, plain.mean_b)
    first, second = means if leading == plain.a else means[::-1]
    return OutcomeLine(
        name=opening(name) if isinstance(name, str) else name,
        measure=names.measure if say(names.measure) != "points" else "",
        part=part,
        said=said,
        first=_number(first, names.decimals),
        second=_number(second, names.decimals),
        difference=_NONE if estimate is None else signed(estimate, names.decimals),
        interval=interval(low, high, names.decimals),
    )


def outcome_heads(deciding: Finding) -> tuple[Text, ...]:
    """Outcome, verdict, both means, the difference, the level of the interval."""
    leading = leading_of(deciding)
    other = second_of(deciding.comparison, leading)
    level = shortest(100 * (1 - deciding.alpha), 1)
    return (
        msg("outcome"),
        msg("what it supports"),
        leading,
        other,
        msg("{first} over {second}", first=leading, second=other),
        msg("{level} % interval", level=level),
    )


def outcome_table(found: TrialFinding) -> ReportTable | None:
    """The lines as a table; None while nothing is reckoned."""
    if found.several is not None:
        return claims_table(found)
    if found.deciding is None:
        return None
    rows = [
        (_named(line), line.said, line.first, line.second, line.difference, line.interval)
        for line in outcome_lines(found)
    ]
    heads = outcome_heads(found.deciding)
    if found.others:
        # Only the deciding interval speaks for the trial; the others are not widened for company.
        heads = (*heads[:-1], msg("{interval}, each alone", interval=heads[-1]))
    return ReportTable(heads, tuple(rows), numbers=(2, 3, 4, 5))


def _named(line: OutcomeLine) -> Text:
    name = msg("{outcome} (decides)", outcome=line.name) if line.part == "decides" else line.name
    return msg("{name}, {measure}", name=name, measure=line.measure) if line.measure else name


def _number(value: float | None, decimals: int) -> str:
    return _NONE if value is None else figure(value, decimals)

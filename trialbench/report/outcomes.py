"""The table of outcomes: the deciding one first, verdicts, differences, intervals."""

from __future__ import annotations

from trialbench.figures.directed import leading_of, second_of, turned
from trialbench.findings.finding import Comparison
from trialbench.findings.phrases import Names, opening
from trialbench.findings.trial_finding import TrialFinding
from trialbench.findings.wording import other_verdict, verdict
from trialbench.model.message import Message, msg, say
from trialbench.model.numbers import figure, shortest
from trialbench.report.words import ReportTable, Text, interval, signed


def outcome_table(found: TrialFinding) -> ReportTable | None:
    """One row an outcome; None while nothing is reckoned. Differences are leading less other."""
    deciding = found.deciding
    if deciding is None:
        return None
    plain = deciding.comparison
    leading = leading_of(deciding)
    other = second_of(plain, leading)
    rows = [_row(found, deciding.outcome, plain, leading, verdict(deciding, _names(found)))]
    for each in found.others:
        names = found.names_of(each.outcome)
        said = msg("") if found.waiting else other_verdict(each, names, leading)
        rows.append(_row(found, each.outcome, each.comparison, leading, said))
    for name, why in found.not_reckoned:
        rows.append((opening(name), why, "\u2013", "\u2013", "\u2013", "\u2013"))
    level = shortest(100 * (1 - deciding.alpha), 1)
    heads = (
        msg("outcome"),
        msg("what it supports"),
        leading,
        other,
        msg("{first} over {second}", first=leading, second=other),
        msg("{level} % interval", level=level),
    )
    return ReportTable(heads, tuple(rows), numbers=(2, 3, 4, 5))


def _names(found: TrialFinding) -> Names:
    assert found.deciding is not None
    return found.names_of(found.deciding.outcome)


def _row(
    found: TrialFinding, outcome: str, plain: Comparison, leading: str, said: Message
) -> tuple[Text, ...]:
    names = found.names_of(outcome)
    decides = found.deciding is not None and outcome == found.deciding.outcome
    name = msg("{outcome} (decides)", outcome=opening(outcome)) if decides else opening(outcome)
    estimate, low, high, _, _ = turned(plain, leading)
    means = (plain.mean_a, plain.mean_b)
    first, second = means if leading == plain.a else means[::-1]
    measured = msg("{name}, {measure}", name=name, measure=names.measure)
    shown = measured if names.measure and say(names.measure) != "points" else name
    return (
        shown,
        said,
        _number(first, names.decimals),
        _number(second, names.decimals),
        "\u2013" if estimate is None else signed(estimate, names.decimals),
        interval(low, high, names.decimals),
    )


def _number(value: float | None, decimals: int) -> str:
    return "\u2013" if value is None else figure(value, decimals)

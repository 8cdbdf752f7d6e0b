"""What a recipe note says of three methods or more: lines and tables, from the finding alone."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from trialbench.findings.finding import Who
from trialbench.findings.phrases import Names, opening
from trialbench.findings.several_finding import Claim, SeveralFinding
from trialbench.findings.trial_finding import TrialFinding
from trialbench.findings.wording_several import (
    claim_name,
    claim_verdict,
    cost,
    other_verdict,
    ruled_out,
    seen_on,
    turned,
    whole_headline,
)
from trialbench.model.message import Message, msg, say
from trialbench.model.numbers import figure, shortest
from trialbench.planning.stage_words import listed
from trialbench.report.words import ReportTable, Text, interval, signed, tied

_NONE = "\u2013"
_MOST = 4
"""Sizes that the lines of a note name; the table has all of them."""


@dataclass(frozen=True, slots=True)
class ClaimLine:
    """One comparison in words, as a table shows it. `told`: told apart from none."""

    name: Text
    said: Text
    difference: str
    interval: Text
    told: bool


@dataclass(frozen=True, slots=True)
class OtherLine:
    """Another outcome: what also holds, and the mean of each method."""

    name: Text
    said: Text
    means: tuple[str, ...]


def shown_claims(found: SeveralFinding) -> tuple[Claim, ...]:
    """The claims of the table: those that lead; for crossed factors the interactions too."""
    shown = tuple(turned(claim, found) for claim in found.leading)
    if found.plan.shape == "crossed":
        return (*shown, *found.of_role("interaction"))
    return shown


def claim_lines(found: SeveralFinding, names: Names) -> tuple[ClaimLine, ...]:
    """One line a comparison, in the order of the plan."""
    return tuple(_claim_line(claim, found, names) for claim in shown_claims(found))


def _claim_line(claim: Claim, found: SeveralFinding, names: Names) -> ClaimLine:
    plain = claim.finding.comparison
    size = _NONE if plain.estimate is None else signed(plain.estimate, names.decimals)
    return ClaimLine(
        claim_name(claim, found),
        claim_verdict(claim, names),
        size,
        interval(plain.low, plain.high, names.decimals),
        claim.told,
    )


def other_lines(found: TrialFinding) -> tuple[OtherLine, ...]:
    """The outcome that decides and every other one: what also holds, and means of the methods."""
    several = found.several
    if several is None:
        return ()
    letters = several.plan.letters
    own = found.names_of(several.outcome)
    decides = msg("{outcome} (decides)", outcome=opening(several.outcome))
    lines = [OtherLine(_measured(decides, own), "", _means(several.means, letters, own))]
    for other in several.others:
        names = found.names_of(other.outcome)
        said: Text = "" if found.waiting else other_verdict(other, several, names)
        name = _measured(opening(other.outcome), names)
        lines.append(OtherLine(name, said, _means(other.means, letters, names)))
    bare = tuple(_NONE for _ in letters)
    lines += [OtherLine(opening(name), why, bare) for name, why in found.not_reckoned]
    return tuple(lines)


def _measured(name: Text, names: Names) -> Text:
    if not names.measure or say(names.measure) == "points":
        return name
    return msg("{name}, {measure}", name=name, measure=names.measure)


def _means(means: object, letters: tuple[str, ...], names: Names) -> tuple[str, ...]:
    found = {each.letter: each.mean for each in means}  # type: ignore[attr-defined]
    return tuple(
        figure(found[letter], names.decimals) if letter in found else _NONE for letter in letters
    )


def claim_heads(found: SeveralFinding) -> tuple[Text, ...]:
    """What is compared, the verdict, the difference, the level of the interval."""
    level = shortest(100 * (1 - found.alpha), 1)
    return (
        msg("what is compared"),
        msg("what it supports"),
        msg("difference"),
        msg("{level} %, all at once", level=level),
    )


def claims_table(found: TrialFinding) -> ReportTable | None:
    """The comparisons of the outcome that decides."""
    if found.several is None:
        return None
    lines = claim_lines(found.several, found.names_of(found.several.outcome))
    rows = tuple((tied(line.name), line.said, line.difference, line.interval) for line in lines)
    return ReportTable(claim_heads(found.several), rows, numbers=(2, 3))


def means_table(found: TrialFinding) -> ReportTable | None:
    """Means of every outcome by method, with what else was told apart."""
    if found.several is None:
        return None
    letters = found.several.plan.letters
    rows = tuple((line.name, tied(line.said), *line.means) for line in other_lines(found))
    heads: tuple[Text, ...] = (msg("mean of each method"), msg("what also holds"), *letters)
    return ReportTable(heads, rows, numbers=tuple(range(2, 2 + len(letters))))


# --- lines -------------------------------------------------------------------------------------


def several_shows(found: TrialFinding) -> tuple[Text, ...]:
    """The headline with its scope, and sizes; what also holds stands in the table of means."""
    several = found.several
    if several is None:
        return ()
    names = found.names_of(several.outcome)
    lines: list[Text] = [whole_headline(several, names)]
    lines += _sizes(several, names)
    lines.append(seen_on(several))
    out = ruled_out(several, names)
    return tuple(lines if out is None else [*lines, out])


def _sizes(several: SeveralFinding, names: Names) -> Iterator[Message]:
    told = [turned(claim, several) for claim in several.told]
    for claim in told[:_MOST]:
        plain = claim.finding.comparison
        yield msg(
            "{what}: {size} ({interval}, all at once).",
            what=_opened(claim_name(claim, several)),
            size=names.difference(plain.estimate or 0.0),
            interval=interval(plain.low, plain.high, names.decimals),
        )


def _opened(text: Text) -> str:
    return opening(say(text))


def several_does_not_show(found: TrialFinding, riders: tuple[Message, ...]) -> tuple[Text, ...]:
    """What it would cost to know, what is not told apart, riders, who else."""
    several = found.several
    if several is None or several.same_recipe:
        return ()
    price = cost(several, found.names_of(several.outcome))
    apart = [] if found.waiting else [o.outcome for o in several.others if not o.also]
    return not_known(price, apart, riders, several.tasters)


def not_known(
    price: Message | None, apart: list[str], riders: tuple[Message, ...], tasters: Who | None
) -> tuple[Text, ...]:
    """What it would cost to know, the outcomes not told apart, riders, who else."""
    lines: list[Text] = [] if price is None else [price]
    if apart:
        lines.append(msg("Whether the methods differ in {outcomes}.", outcomes=listed(apart)))
    if riders:
        lines.append(
            msg("Which of the changes did it; this came along: {riders}.", riders=listed(riders))
        )
    if tasters == "these":
        lines.append(msg("What other tasters would say."))
    return tuple(lines)

"""How three methods or more were reckoned: every comparison, every cook day, every mean."""

from __future__ import annotations

from collections.abc import Iterator

from trialbench.findings.explaining import redraw_sentence
from trialbench.findings.level_words import at_setting
from trialbench.findings.phrases import Names, p_text
from trialbench.findings.several_finding import Claim, SeveralFinding
from trialbench.findings.trial_finding import TrialFinding
from trialbench.findings.wording_ordered import per_step
from trialbench.findings.wording_several import (
    claim_name,
    model_in_words,
    short_form,
    turned,
)
from trialbench.model.dates import said_day
from trialbench.model.message import Message, msg
from trialbench.model.numbers import figure, shortest
from trialbench.planning.stage_words import listed
from trialbench.report.counting import what_counts
from trialbench.report.words import ReportTable, Section, Text, interval, signed, tied

DECIMALS = 3
_NONE = "\u2013"


def several_sections(found: TrialFinding) -> list[Section]:
    """The sections of the second page that are about the finding."""
    several = found.several
    if several is None:
        return []
    names = found.names_of(several.outcome)
    claims = [turned(claim, several) for claim in several.claims]
    return [
        Section(
            msg("What counts"),
            (what_counts(several.unit, several.counts), model_in_words(several)),
        ),
        _means(found, several),
        _days(several, claims),
        Section(
            msg("The comparisons"), tuple(_about_limits(several)), table=_sizes(several, claims)
        ),
        Section(msg("Told apart, and limits"), table=_limits(several, claims)),
        Section(msg("The curve"), tuple(_curve(several, names))),
        Section(msg("Others like them"), tuple(_others(several, claims))),
        Section(msg("Redraw"), tuple(_redraws(several, claims))),
        Section(msg("What else we looked at"), tuple(_about_else(several)), table=_else(several)),
        Section(msg("Set aside"), tuple(_set_aside(found, names))),
        Section(msg("Notes"), several.notes),
    ]


def _means(found: TrialFinding, several: SeveralFinding) -> Section:
    own = {each.letter: dict(each.days) for each in several.means}
    rows: list[tuple[Text, ...]] = [
        (_day(found, day), *(_cell(own[letter].get(day)) for letter in own))
        for day in _all_days(several)
    ]
    over_all = tuple(figure(each.mean, DECIMALS) for each in several.means)
    rows.append((msg("all cook days"), *over_all))
    heads: tuple[Text, ...] = (msg("cook day"), *own)
    table = ReportTable(heads, tuple(rows), numbers=tuple(range(1, len(heads))))
    names = found.names_of(several.outcome)
    called = tuple(msg("{letter} {name}", letter=letter, name=names.of(letter)) for letter in own)
    return Section(msg("Means, each cook day"), (listed(called),), table=table)


def _cell(value: float | None) -> str:
    return _NONE if value is None else figure(value, DECIMALS)


def _all_days(several: SeveralFinding) -> list[str]:
    return list(dict.fromkeys(cook for each in several.means for cook, _ in each.days))


def _day(found: TrialFinding, cook: str) -> Text:
    date = dict(found.cook_dates).get(cook, "")
    return msg("{cook}, {day}", cook=cook, day=said_day(date)) if date else cook


def _days(several: SeveralFinding, claims: list[Claim]) -> Section:
    days = _all_days(several)
    rows: list[tuple[Text, ...]] = []
    for claim in claims:
        own = dict(claim.cook_values)
        decimals = DECIMALS if len(days) <= 6 else 2
        cells = [signed(own[d], decimals) if d in own else _NONE for d in days]
        rows.append((tied(claim_name(claim, several)), *cells))
    heads: list[Text] = [msg("what is compared"), *(msg("day {cook}", cook=d) for d in days)]
    table = ReportTable(tuple(heads), tuple(rows), numbers=tuple(range(1, len(heads))))
    return Section(msg("One number a cook day"), table=table)


def _about_limits(several: SeveralFinding) -> Iterator[Message]:
    yield msg(
        "Alpha {alpha}, two-sided. Limits “at once” hold for all comparisons of one family"
        " together; Holm’s p says which of a family are told apart, and may be a little sharper"
        " than those limits.",
        alpha=shortest(several.alpha, 4),
    )
    if several.plan.shape == "crossed":
        lead = several.lead == "simple"
        yield msg(
            "Two families: main effects with interactions, and simple effects, heard only with"
            " an interaction. An interaction is told apart, so the simple effects lead."
        ) if lead else msg(
            "Two families: main effects with interactions, and simple effects, heard only with"
            " an interaction. No interaction is told apart, so the main effects lead; that does"
            " not show that there is none."
        )  # fmt: skip
    if several.plan.shape == "ordered":
        yield msg(
            "The rise is that of the fitted straight line over all that was tried; the bend is how"
            " far the fitted second-degree curve lies above the line between its ends, half-way."
        )
    if several.matters is not None:
        yield msg("Smallest difference that matters: {d}.", d=shortest(several.matters))


def _sizes(several: SeveralFinding, claims: list[Claim]) -> ReportTable:
    heads = (msg("what is compared"), msg("estimate"), msg("error"), msg("t"), msg("df"))
    rows = tuple(_size_row(claim, several) for claim in claims)
    return ReportTable(heads, rows, numbers=(1, 2, 3, 4))


def _size_row(claim: Claim, several: SeveralFinding) -> tuple[Text, ...]:
    plain = claim.finding.comparison
    return (
        tied(claim_name(claim, several)),
        _NONE if plain.estimate is None else signed(plain.estimate, DECIMALS),
        _number(plain.se),
        _number(plain.t),
        _NONE if plain.df is None else str(plain.df),
    )


def _limits(several: SeveralFinding, claims: list[Claim]) -> ReportTable:
    level = shortest(100 * (1 - several.alpha), 1)
    heads = (msg("what is compared"), msg("p"), msg("Holm"), msg("{level} % alone", level=level),
             msg("at once"))  # fmt: skip
    rows = tuple(
        (
            tied(claim_name(claim, several)),
            _p(claim.finding.comparison.p),
            _p(claim.holm_p),
            interval(claim.alone_low, claim.alone_high, 2),
            interval(claim.finding.comparison.low, claim.finding.comparison.high, 2),
        )
        for claim in claims
    )
    return ReportTable(heads, rows, numbers=(1, 2, 3, 4))


def _number(value: float | None) -> str:
    return _NONE if value is None else figure(value, DECIMALS)


def _p(value: float | None) -> str:
    return _NONE if value is None else p_text(value).removeprefix("p = ").removeprefix("p ")


def _curve(several: SeveralFinding, names: Names) -> Iterator[Message]:
    curve = several.curve
    if several.plan.shape != "ordered":
        return
    step = per_step(several, names)
    if step is not None:
        yield step
    if curve is None or curve.best is None:
        return
    best = curve.best
    shown = {
        "best": at_setting(several.plan, best.setting),
        "value": names.size(best.value, DECIMALS),
    }
    if not best.inside:
        yield msg("By the curve the best of what was tried is its edge, {best}: {value}.", **shown)
    elif best.low is None or best.high is None:
        yield msg("By the curve it is best at about {best}, {value}; no interval.", **shown)
    else:
        level = shortest(100 * (1 - several.alpha), 1)
        yield msg(
            "By the curve it is best at about {best}, {value}; {level} % interval {low} to {high}"
            " (Fieller).",
            **shown, level=level,
            low=at_setting(several.plan, best.low, -1), high=at_setting(several.plan, best.high, 1),
        )  # fmt: skip


def _others(several: SeveralFinding, claims: list[Claim]) -> Iterator[Message]:
    for claim in claims:
        second = claim.finding.comparison.others
        if second is None or claim.contrast.role not in {c.contrast.role for c in several.leading}:
            continue
        limits = interval(second.low, second.high, DECIMALS)
        name = claim_name(claim, several)
        if second.p is None:
            yield msg("{what}: {interval}, at once.", what=name, interval=limits)
        else:
            yield msg(
                "{what}: {interval}, at once; the largest level at which it alone holds 0: {p}.",
                what=name, interval=limits, p=p_text(second.p),
            )  # fmt: skip


def _redraws(several: SeveralFinding, claims: list[Claim]) -> Iterator[Message]:
    if several.claims_nothing:
        return
    said = False
    for claim in claims:
        sentence = redraw_sentence(claim.finding)
        if sentence is not None:
            said = True
            yield msg("{what}. {sentence}", what=claim_name(claim, several), sentence=sentence)
    if several.plan.shape == "crossed":
        yield msg("It compares two methods or two levels; for an interaction there is none.")
    elif several.plan.shape == "ordered":
        yield msg("It compares two methods; for a trend over several settings there is none.")
    if said:
        yield msg(
            "It moves the units of these two alone and leaves all others as they were drawn. It"
            " speaks of these units and tasters."
        )


def _about_else(several: SeveralFinding) -> Iterator[Message]:
    if several.others:
        yield msg("Read as one family; their intervals are not widened for it.")


def _else(several: SeveralFinding) -> ReportTable | None:
    rows: list[tuple[Text, ...]] = []
    for other in several.others:
        for claim in other.claims:
            shown = turned(claim, several)
            plain = shown.finding.comparison
            rows.append((
                other.outcome,
                tied(claim_name(shown, several)),
                _NONE if plain.estimate is None else signed(plain.estimate, 2),
                interval(plain.low, plain.high, 2),
                _p(plain.p),
                _p(claim.holm_p),
            ))  # fmt: skip
    if not rows:
        return None
    heads = (msg("outcome"), msg("what is compared"), msg("estimate"), msg("alone"), msg("p"),
             msg("Holm"))  # fmt: skip
    return ReportTable(heads, tuple(rows), numbers=(2, 3, 4, 5))


def _set_aside(found: TrialFinding, names: Names) -> Iterator[Message]:
    for answer in found.other_several:
        what = ", ".join(f"{name} ({why.rstrip('.')})" for name, why in answer.subjects)
        short = short_form(answer.finding, names)
        if answer.way == "without":
            yield msg("Without {what}: {short}.", what=what, short=short)
        else:
            yield msg("With {what}: {short}.", what=what, short=short)
        for claim in answer.finding.leading:
            plain = turned(claim, answer.finding).finding.comparison
            if plain.estimate is not None:
                yield msg(
                    "{name}: {size} ({interval}).",
                    name=claim_name(turned(claim, answer.finding), answer.finding),
                    size=signed(plain.estimate, DECIMALS),
                    interval=interval(plain.low, plain.high, DECIMALS),
                )

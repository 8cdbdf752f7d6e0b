"""Ordered settings: the trend, the bend, the best setting, and the edge of what was tried."""

from __future__ import annotations

from itertools import pairwise

from trialbench.findings.level_words import Text, at_setting, how_much_more, level_name
from trialbench.findings.phrases import Names, opening
from trialbench.findings.several_finding import Best, Claim, SeveralFinding
from trialbench.findings.short_forms import not_settled
from trialbench.model.message import Message, msg, say


def _one(found: SeveralFinding, role: str) -> Claim:
    return next(claim for claim in found.claims if claim.contrast.role == role)


def _ends(found: SeveralFinding) -> tuple[Text, Text]:
    """The lowest and the highest setting tried."""
    factor, unit = found.plan.factors[0], found.plan.temperature_unit
    low, high = factor.levels[0], factor.levels[-1]
    return level_name(factor, low, unit), level_name(factor, high, unit)


def claim_name(claim: Claim, found: SeveralFinding) -> Text:
    """ "Rise from 60 °C to 80 °C", "Bend between 60 °C and 80 °C"."""
    low, high = _ends(found)
    if claim.contrast.role == "bend":
        return msg("bend between {low} and {high}", low=low, high=high)
    return msg("from {low} to {high}", low=low, high=high)


def headline(found: SeveralFinding, names: Names) -> Message:
    """Where it is best, where a bend was told apart; else which way it goes; then the edge."""
    trend, bend = _one(found, "trend"), _one(found, "bend")
    best = found.curve.best if found.curve is not None else None
    if bend.told and best is not None and best.inside:
        return _best(found, names, best)
    if trend.told:
        said = _trend(found, names, trend)
        more = _bend_alone(found, names, bend) if best is None and bend.told else None
        more = more or _edge(found, trend, best)
        return said if more is None else msg("{said} {more}", said=said, more=more)
    if bend.told:
        return _bend_alone(found, names, bend)
    return _none_told(found, names)


def _best(found: SeveralFinding, names: Names, best: Best) -> Message:
    low, high = _ends(found)
    shown: dict[str, Text] = {
        "outcome": opening(names.outcome),
        "best": at_setting(found.plan, best.setting),
        "low": low,
        "high": high,
    }
    if best.low is None or best.high is None:
        return msg(
            "{outcome} comes out best at about {best}, between the {low} and {high} tried; how near"
            " to that is not pinned down.",
            **shown,
        )
    shown |= {
        "from_": at_setting(found.plan, best.low, -1),
        "to": at_setting(found.plan, best.high, 1),
    }
    said = msg(
        "{outcome} comes out best at about {best}, somewhere from {from_} to {to}, of {low} to"
        " {high} tried.",
        **shown,
    )
    if not best.at_edge:
        return said
    edge = msg("That reaches past what was tried, so it may lie further out.")
    return msg("{said} {edge}", said=said, edge=edge)


def _trend(found: SeveralFinding, names: Names, trend: Claim) -> Message:
    plain = trend.finding.comparison
    up = (plain.estimate or 0.0) > 0
    low, high = _ends(found)
    past = found.scope != "method"
    shown: dict[str, Text] = {"low": low, "high": high, "outcome": names.outcome,
                                "word": names.word(up)}  # fmt: skip
    if names.form == "adjective" and past:
        said = msg("From {low} to {high} it became {word}", **shown)
    elif names.form == "adjective":
        said = msg("From {low} to {high} it becomes {word}", **shown)
    elif past:
        said = (msg("From {low} to {high} {outcome} rose", **shown) if up else
                msg("From {low} to {high} {outcome} fell", **shown))  # fmt: skip
    else:
        said = (msg("From {low} to {high} {outcome} rises", **shown) if up else
                msg("From {low} to {high} {outcome} falls", **shown))  # fmt: skip
    size = names.size(abs(plain.estimate or 0.0))
    match trend.finding.case:
        case "better_enough":
            return msg("{said} by {size}, enough to matter.", said=said, size=size)
        case "better_too_little":
            return msg("{said} by {size}, too little to matter.", said=said, size=size)
    return msg("{said}, by how much is not pinned down.", said=said)


def _edge(found: SeveralFinding, trend: Claim, best: Best | None) -> Message | None:
    """The warning at the edge of what was tried; None where no way is better."""
    if found.better == "neither":
        return None
    if best is not None and best.inside:
        return msg("Whether it is best somewhere in between is open.")
    better_up = (trend.finding.comparison.estimate or 0.0) > 0
    if found.better == "lower":
        better_up = not better_up
    low, high = _ends(found)
    return msg(
        "The best lies at the edge of what was tried, {edge}: further out was not tried.",
        edge=high if better_up else low,
    )


def _bend_alone(found: SeveralFinding, names: Names, bend: Claim) -> Message:
    up = (bend.finding.comparison.estimate or 0.0) > 0
    low, high = _ends(found)
    shown = {"outcome": opening(names.outcome), "low": low, "high": high}
    if up:
        return msg("{outcome} is higher between {low} and {high} than a straight line has it.",
                   **shown)  # fmt: skip
    return msg("{outcome} is lower between {low} and {high} than a straight line has it.", **shown)


def _none_told(found: SeveralFinding, names: Names) -> Message:
    low, high = _ends(found)
    shown = {"outcome": names.outcome, "low": low, "high": high}
    if all(claim.equal_enough for claim in found.leading):
        return msg("No difference that matters in {outcome} from {low} to {high}.", **shown)
    return msg(
        "Not settled: no trend in {outcome} from {low} to {high} is told apart, nor shown not to"
        " matter.",
        **shown,
    )


def per_step(found: SeveralFinding, names: Names) -> Message | None:
    """The slope for one step of the settings, where they are evenly spaced."""
    factor, unit = found.plan.factors[0], found.plan.temperature_unit
    numbers = [level.number or 0.0 for level in factor.levels]
    gaps = [b - a for a, b in pairwise(numbers)]
    more = how_much_more(factor, factor.levels[1], factor.levels[0], unit)
    estimate = _one(found, "trend").finding.comparison.estimate
    if more is None or estimate is None or max(gaps) - min(gaps) > 1e-9 * max(gaps):
        return None
    size = names.size(estimate / len(gaps), names.decimals + 1)
    return msg("{more}: {size} on the fitted line.", more=more, size=size)


def short_form(found: SeveralFinding, names: Names) -> Message:
    """ "Best at about 84 °C", "Rises to the edge of what was tried, 80 °C"."""
    trend, bend = _one(found, "trend"), _one(found, "bend")
    best = found.curve.best if found.curve is not None else None
    low, high = _ends(found)
    if bend.told and best is not None and best.inside:
        return msg("Best at about {best}", best=at_setting(found.plan, best.setting))
    if trend.told:
        up = (trend.finding.comparison.estimate or 0.0) > 0
        word = names.word(up) if names.form == "adjective" else None
        if word is not None:
            said = msg("{word} towards {high}", word=opening(say(word)), high=high)
        elif up:
            said = msg("{outcome} rises towards {high}", outcome=opening(names.outcome), high=high)
        else:
            said = msg("{outcome} falls towards {high}", outcome=opening(names.outcome), high=high)
        if trend.finding.case == "better_enough":
            return msg("{said}, and by enough", said=said)
        if trend.finding.case == "better_too_little":
            return msg("{said}, too little to matter", said=said)
        return msg("{said}; how much is not pinned down", said=said)
    if bend.told:
        return msg("A bend between {low} and {high}", low=low, high=high)
    if all(claim.equal_enough for claim in found.leading):
        return msg("No difference that matters")
    return not_settled(found.cooks_to_settle, found.counts.cooks)

"""Sentences behind a finding: the redraw test, the model in words, what it would cost to know."""

from __future__ import annotations

from trialbench.findings.finding import Finding, Redraw
from trialbench.findings.phrases import Names, p_text
from trialbench.model.message import Message, msg, msg_n
from trialbench.model.numbers import shortest


def cost(finding: Finding, names: Names) -> Message | None:
    """How many cook days would probably settle it, from the spread, never from what was seen.

    None where it is settled, or nothing is claimed.
    """
    if finding.case not in ("not_settled", "not_shown", "better_size_open"):
        return None
    if finding.matters is None:
        return msg(
            "Without the smallest difference that matters, nothing can be said of how many cook"
            " days would do."
        )
    if finding.scope != "method":
        return msg(
            "One cook day does not show the spread from day to day, so it cannot say how many"
            " would do."
        )
    sd = finding.comparison.sd
    if not sd:
        return None
    spread, size = names.size(sd, names.decimals + 1), names.as_typed(finding.matters)
    if finding.kind == "at-least-as-good":
        return _cost_of_as_good(finding, spread, size)
    return _cost_of_a_gap(finding, names, spread, size)


def _cost_of_a_gap(finding: Finding, names: Names, spread: str, size: str) -> Message:
    needed = finding.cooks_to_settle
    if needed is None:
        return msg(
            "With this spread, {spread} from day to day, finding a gap of {size} would probably"
            " take more than 40 cook days.",
            spread=spread,
            size=size,
        )
    if finding.case == "not_settled" and needed <= finding.counts.cooks:
        return msg_n(
            "With this spread, {spread} from day to day, {count} cook day finds a gap of {size}"
            " eight times in ten; these did not settle it.",
            "With this spread, {spread} from day to day, {count} cook days find a gap of {size}"
            " eight times in ten; these did not settle it.",
            needed,
            spread=spread,
            size=size,
        )
    said = msg_n(
        "With this spread, {spread} from day to day, {count} cook day would probably find a gap of"
        " {size}",
        "With this spread, {spread} from day to day, {count} cook days would probably find a gap of"
        " {size}",
        needed,
        spread=spread,
        size=size,
    )
    return _with_size(finding, names, said)


def _with_size(finding: Finding, names: Names, said: Message) -> Message:
    """What it takes to know the size to half of d, where 40 cook days are enough."""
    if finding.cooks_to_pin_down is None or finding.matters is None:
        return msg("{said}.", said=said)
    return msg_n(
        "{said}; knowing it to {half} either way takes {count}.",
        "{said}; knowing it to {half} either way takes {count}.",
        finding.cooks_to_pin_down,
        said=said,
        half=shortest(finding.matters / 2),
    )


def _cost_of_as_good(finding: Finding, spread: str, size: str) -> Message:
    if finding.cooks_to_settle is None:
        return msg(
            "With this spread, {spread} from day to day, showing that it is not worse by {size}"
            " would probably take more than 40 cook days.",
            spread=spread,
            size=size,
        )
    return msg_n(
        "With this spread, {spread} from day to day, {count} cook day would probably show that it"
        " is not worse by {size}, if the two are alike.",
        "With this spread, {spread} from day to day, {count} cook days would probably show that it"
        " is not worse by {size}, if the two are alike.",
        finding.cooks_to_settle,
        spread=spread,
        size=size,
    )


def redraw_sentence(finding: Finding) -> Message | None:
    """What the redraw test says, or from how many cook days on it could speak."""
    test = finding.redraw
    if test is None:
        return None
    seen = _seen(test)
    if test.overruled:
        return msg(
            "{seen} The redraw test speaks against the interval, so no winner is named.", seen=seen
        )
    if test.may_speak:
        return seen
    floor = shortest(test.smallest_possible_p, 4)
    if test.cooks_needed is None:
        return msg("{seen} It cannot go below {floor}, so it is silent.", seen=seen, floor=floor)
    return msg_n(
        "{seen} It cannot go below {floor}; it may speak against the interval from {count} cook day"
        " laid out like this.",
        "{seen} It cannot go below {floor}; it may speak against the interval from {count} cook"
        " days laid out like these.",
        test.cooks_needed,
        seen=seen,
        floor=floor,
    )


def _seen(test: Redraw) -> Message:
    if test.enumerated:
        return msg_n(
            "Redraw: {count} of {draws} possible draws gives a gap this wide, {p}.",
            "Redraw: {count} of {draws} possible draws give a gap this wide, {p}.",
            test.hits or 0,
            draws=test.assignments,
            p=p_text(test.p),
        )
    return msg_n(
        "Redraw: {count} of {draws} draws with lot number {lot} gives a gap this wide, {p}.",
        "Redraw: {count} of {draws} draws with lot number {lot} give a gap this wide, {p}.",
        test.hits or 0,
        draws=test.assignments,
        lot=test.seed or 0,
        p=p_text(test.p),
    )


def model_in_words(finding: Finding) -> Message:
    """How the interval was reckoned, for "How it was reckoned" and for exports."""
    df = finding.comparison.df or 0
    match finding.procedure:
        case "over_cooks" if finding.tasters is None:
            return msg(
                "One number a cook day: mean of the units of one method less that of the other."
                " Two-sided t over cook days, {df} degrees of freedom.",
                df=df,
            )
        case "over_cooks":
            return msg(
                "One number a cook day: the mean over tasters of each taster's difference between"
                " the methods. Two-sided t over cook days, {df} degrees of freedom.",
                df=df,
            )
        case "pairs_of_one_cook":
            return msg(
                "Two-sided t over the pairs of one cook day, {df} degrees of freedom.", df=df
            )
        case "units_of_one_cook":
            return msg(
                "Two-sided pooled t over the units of one cook day, {df} degrees of freedom.", df=df
            )
        case "tasters_of_these_pieces":
            return msg(
                "Two-sided t over tasters of one unit of each method, {df} degrees of freedom.",
                df=df,
            )
        case "servings_of_one_taster":
            return msg(
                "Two-sided pooled t over one taster's blind servings, {df} degrees of freedom.",
                df=df,
            )
    return msg("No interval: nothing to reckon an error from.")

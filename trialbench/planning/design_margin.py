"""Margin notes on how sure a plan is of its answer, what would be cheapest, and one cook day."""

from __future__ import annotations

from collections.abc import Iterator

from trialbench.model.margin import MarginNote, NoteVerb
from trialbench.model.message import Message, msg, msg_n
from trialbench.model.numbers import figure, shortest
from trialbench.model.records import Trial
from trialbench.planning.cheapest import MOST_COOKS, Design
from trialbench.planning.feasibility import Feasibility, PlanFigures, Shown
from trialbench.planning.one_day import OneDay

FEASIBILITY = "feasibility"


def notes_of_design(trial: Trial, found: Feasibility) -> Iterator[MarginNote]:
    """Notes beside "feasibility": one cook day, how sure, the cheapest, more tasters."""
    if found.one_day is not None:
        yield _one_day_note(found.figures, found.one_day)
    if trial.question != "same_recipe" and found.leading is not None:
        yield from _how_sure(trial, found, found.leading)
    yield from _cheapest(trial, found)
    yield from _no_taster_helps(trial, found)


def too_large_to_be(found: Feasibility) -> bool:
    """Whether what the plan finds is no gap that the scale holds."""
    span = found.figures.span
    return span is not None and found.smallest is not None and found.smallest >= span


def size_words(value: float) -> str:
    """One decimal from 0.1 on, as many as it needs below."""
    return figure(value, 1) if value >= 0.095 else shortest(float(f"{value:.1g}"))


def times_in(chance: float) -> Message:
    """A chance as a kitchen says it: "4 times in 10", "2 times in 100"."""
    if chance >= 0.995:
        return msg("nearly always")
    if chance < 0.005:
        return msg("hardly ever")
    tenths = round(chance * 10)
    if 1 <= tenths <= 9:
        return msg_n("{count} time in 10", "{count} times in 10", tenths)
    return msg_n("{count} time in 100", "{count} times in 100", round(chance * 100))


# --- one cook day ------------------------------------------------------------------------------


def one_day_sentence(figures: PlanFigures, one: OneDay) -> Message:
    """What one cook day can still tell, with its expected interval."""
    about, rests = _ABOUT[one.error], _RESTS[one.error]
    if figures.span is not None and one.smallest >= figures.span:
        return msg(
            "{about}, and next to nothing: {rests}, and the interval reaches about {half} {unit} "
            "to either side.",
            about=about, rests=rests, half=size_words(one.half_width), unit=figures.unit,
        )  # fmt: skip
    return msg(
        "{about}: gaps of {size} {unit} or more, eight times in ten. {rests}; the interval reaches "
        "about {half} to either side.",
        about=about, rests=_RESTS_FIRST[one.error], size=size_words(one.smallest),
        half=size_words(one.half_width), unit=figures.unit,
    )  # fmt: skip


_ABOUT: dict[str, Message] = {
    "pairs": msg("One cook day can tell about that day's batch"),
    "units": msg("One cook day can tell about that day's batch"),
    "tasters": msg("One cook day can tell about these pieces"),
    "servings": msg("One taster can tell about these pieces and this tongue"),
}
_RESTS: dict[str, Message] = {
    "pairs": msg("the pairs of that day are all it rests on"),
    "units": msg("the pieces of that day are all it rests on"),
    "tasters": msg("the tasters are all it rests on"),
    "servings": msg("the servings are all it rests on"),
}
_RESTS_FIRST: dict[str, Message] = {
    "pairs": msg("It rests on the pairs of that day"),
    "units": msg("It rests on the pieces of that day"),
    "tasters": msg("It rests on the tasters"),
    "servings": msg("It rests on the servings"),
}


def _one_day_note(figures: PlanFigures, one: OneDay) -> MarginNote:
    label = msg("One cook day: what it can still tell")
    says = [
        msg("If nothing differs, it rules out gaps of more than about {half} {unit} either way.",
            half=size_words(one.half_width), unit=figures.unit)
    ]  # fmt: skip
    if figures.matters is not None:
        said = (
            msg("You said {size} matters: it could show that there is no such gap.",
                size=shortest(figures.matters))
            if one.equality
            else msg("You said {size} matters: it cannot show that there is no such gap.",
                     size=shortest(figures.matters))
        )  # fmt: skip
        says.append(said)
    says.append(msg("Of the method it says nothing: that takes a second cook day."))
    source = figures.spread.origin if figures.spread else None
    if one.borrowed and figures.spread is not None and not figures.spread.typical:
        source = msg("How pieces and tasters of one day scatter is borrowed from open data.")
    return MarginNote(FEASIBILITY, "shows", label, tuple(says), dear=85, source=source)


# --- two cook days or more ---------------------------------------------------------------------


def _how_sure(trial: Trial, found: Feasibility, shown: Shown) -> Iterator[MarginNote]:
    """The chance of telling d, how far the interval reaches, and what comes out if nothing does."""
    figures, matters = found.figures, found.figures.matters
    says = [
        msg("The interval will reach about {half} {unit} to either side.",
            half=size_words(shown.half_width), unit=figures.unit)
    ]  # fmt: skip
    if shown.panel_half_width is not None:
        says.append(msg("For other tasters like yours: about {half}.",
                        half=size_words(shown.panel_half_width)))  # fmt: skip
    if matters is not None and shown.chance is not None and trial.question == "better":
        says.insert(0, msg("A true gap of {size} is told apart {often}.", size=shortest(matters),
                           often=times_in(shown.chance)))  # fmt: skip
    fits = found.equality_cooks is not None and found.equality_cooks <= figures.units.cooks
    if shown.chance_equal is not None and fits and trial.question == "better":
        says.append(msg("If nothing differs, “no difference that matters” comes out {often}.",
                        often=times_in(shown.chance_equal)))  # fmt: skip
    if shown.chance_as_good is not None and trial.question == "at_least_as_good":
        says.append(msg("If nothing differs, “at least as good” comes out {often}.",
                        often=times_in(shown.chance_as_good)))  # fmt: skip
    yield MarginNote(FEASIBILITY, "shows", msg("How sure it will be"), tuple(says), dear=50)


def _cheapest(trial: Trial, found: Feasibility) -> Iterator[MarginNote]:
    matters = found.figures.matters
    if matters is None or found.figures.spread is None or trial.question == "same_recipe":
        return
    if not found.cheapest:
        if found.figures.spread.parts is not None:
            says = msg("Up to {most} cook days and twelve tasters, no plan reaches it.",
                       most=MOST_COOKS)  # fmt: skip
            label = msg("For {size}: out of reach", size=shortest(matters))
            yield MarginNote(FEASIBILITY, "shows", label, (says,), dear=46)
        return
    if found.cheapest[0].price is not None:
        label = msg("The cheapest for {size}", size=shortest(matters))
        yield _by_price_note(trial, found, label)
        return
    label = msg("Fewest cook days for {size}", size=shortest(matters))
    yield MarginNote(FEASIBILITY, "shows", label, tuple(_by_days(found)), dear=44)


def _by_price_note(trial: Trial, found: Feasibility, label: Message) -> MarginNote:
    first, figures = found.cheapest[0], found.figures
    assert figures.prices is not None and first.price is not None
    price = figure(first.price, 0)
    says = msg("{design}: about {price} {currency} in all, eight times in ten.",
               design=design_words(first, tasted=figures.units.tasted), price=price,
               currency=figures.prices.currency)  # fmt: skip
    return MarginNote(FEASIBILITY, "shows", label, (says,), tuple(_verbs(trial, found)), dear=47)


def _by_days(found: Feasibility) -> Iterator[Message]:
    """The fewest cook days with the plan's pieces, for some numbers of tasters; without prices."""
    units = found.figures.units
    as_planned = [d for d in found.cheapest if d.units == max(units.each, 1)]
    if not as_planned:
        yield msg_n("With {count} piece of each a day, up to {most} cook days do not reach it.",
                    "With {count} pieces of each a day, up to {most} cook days do not reach it.",
                    max(units.each, 1), most=MOST_COOKS)  # fmt: skip
    elif not units.tasted:
        days = min(design.cooks for design in as_planned)
        yield msg_n("{count} cook day would do.", "{count} cook days would do.", days)
        return
    fewest: dict[int, int] = {}
    for design in as_planned:
        fewest[design.tasters] = min(design.cooks, fewest.get(design.tasters, MOST_COOKS + 1))
    shown = _steps(fewest)
    for tasters, cooks in shown[:3]:
        yield msg("{cooks} with {tasters} would do.",
                  cooks=msg_n("{count} cook day", "{count} cook days", cooks),
                  tasters=msg_n("{count} taster", "{count} tasters", tasters))  # fmt: skip
    yield msg("Write what a piece and a cook day cost, and it says which is cheapest.")


def _steps(fewest: dict[int, int]) -> list[tuple[int, int]]:
    """(tasters, cook days) where one more taster saves a cook day, fewest cook days first."""
    kept: list[tuple[int, int]] = []
    best = MOST_COOKS + 1
    for tasters in sorted(fewest):
        if fewest[tasters] < best:
            best = fewest[tasters]
            kept.append((tasters, best))
    return kept[::-1]


def design_words(design: Design, *, tasted: bool) -> Message:
    """ "8 cook days, 1 piece of each a day, 6 tasters"."""
    days = msg_n("{count} cook day", "{count} cook days", design.cooks)
    pieces = msg_n("{count} piece of each a day", "{count} pieces of each a day", design.units)
    if not tasted:
        return msg("{days}, {pieces}", days=days, pieces=pieces)
    tasters = msg_n("{count} taster", "{count} tasters", design.tasters)
    return msg("{days}, {pieces}, {tasters}", days=days, pieces=pieces, tasters=tasters)


def _verbs(trial: Trial, found: Feasibility) -> Iterator[NoteVerb]:
    """Take the cheapest design's number of tasters, where prices name one."""
    first = found.cheapest[0]
    if first.price is not None and first.cooks != found.figures.units.cooks:
        label = msg("Make it {days}", days=msg_n("{count} cook day", "{count} cook days",
                                                 first.cooks))  # fmt: skip
        yield NoteVerb(label, "set_plan", (trial.id, "planned_cooks", str(first.cooks)))
    if first.price is not None and first.tasters and first.tasters != trial.planned_tasters:
        label = msg_n("Ask {count} taster", "Ask {count} tasters", first.tasters)
        yield NoteVerb(label, "set_plan", (trial.id, "planned_tasters", str(first.tasters)))


def _no_taster_helps(trial: Trial, found: Feasibility) -> Iterator[MarginNote]:
    """Where cook days differ by more than tasters could ever level out."""
    more, figures = found.more_tasters, found.figures
    if more is None or figures.matters is None or trial.question == "same_recipe":
        return
    if more.cooks is not None and more.cooks <= figures.units.cooks:
        return
    days = msg_n("{count} cook day", "{count} cook days", figures.units.cooks)
    says = [
        msg("{share} % of the spread is there whoever tastes. With tasters without end, {days} "
            "would still find {size} {unit} at best.", share=shortest(100 * more.share, 0),
            days=days, size=size_words(more.smallest), unit=figures.unit),
        msg_n("You said {size} matters: that takes {count} cook day or more, whoever tastes.",
              "You said {size} matters: that takes {count} cook days or more, whoever tastes.",
              more.cooks, size=shortest(figures.matters))
        if more.cooks is not None
        else msg("You said {size} matters: that takes more than {most} cook days, whoever tastes.",
                 size=shortest(figures.matters), most=MOST_COOKS),
    ]  # fmt: skip
    yield MarginNote(FEASIBILITY, "shows", msg("No number of tasters helps"), tuple(says), dear=58)

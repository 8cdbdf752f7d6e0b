"""The margin of the Plan page: what this design can show, and what is still to be written."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from trialbench.model.margin import Margin, MarginNote, NoteVerb
from trialbench.model.message import Message, msg, msg_n
from trialbench.model.numbers import shortest
from trialbench.model.records import Trial
from trialbench.notebook.records_read import Reads
from trialbench.notebook.views import OneTrial, is_locked
from trialbench.planning.at_the_table import notes_at_the_table
from trialbench.planning.design_margin import (
    notes_of_design,
    size_words,
    times_in,
    too_large_to_be,
)
from trialbench.planning.draw_margin import notes_of_lots
from trialbench.planning.feasibility import Feasibility
from trialbench.planning.units import scope_sentence, unit_sentence

FIGURES, FEASIBILITY = "figures", "feasibility"


def _as_sealed(note: MarginNote) -> MarginNote:
    """A sealed plan is not changed: its notes keep what they say and lose what they would do."""
    return replace(note, verbs=tuple(verb for verb in note.verbs if verb.name == "go_to"))


def margin_of_plan(book: Reads, trial_id: str, found: Feasibility) -> Margin:
    """Notes beside "figures", "feasibility", "cook:<id>" and "draw"."""
    trial = book.get(Trial, trial_id)
    notes = (
        *_figure_notes(found),
        *_find_notes(trial, found),
        *_equality_notes(trial, found),
        *notes_of_design(trial, found),
        *notes_at_the_table(OneTrial(book, trial_id)),
        *_floor_notes(found),
        *notes_of_lots(book, trial_id),
    )
    shown = map(_as_sealed, notes) if is_locked(book, trial_id) else notes
    return Margin(standing_sentence(found), tuple(shown))


def standing_sentence(found: Feasibility) -> Message:
    """Can this trial give an answer?"""
    units = found.figures.units
    if units.cooks < 1:
        return msg("How many cook days, how many pieces, how many tasters?")
    if units.scope == "none":
        return msg("Can this trial give an answer? Not with one of each.")
    if units.scope != "method":
        return msg("Can this trial give an answer? About what is cooked that day.")
    if found.smallest is None:
        return msg("Can this trial give an answer? Nobody knows the spread yet.")
    if found.figures.question == "same_recipe":
        return msg("Can this trial give an answer? It shows what no difference looks like here.")
    if found.figures.matters is None:
        return msg("Can this trial give an answer? Say first how much would matter.")
    needed = _cooks_needed(found)
    if needed is not None and needed <= units.cooks:
        return msg("Can this trial give an answer? Yes, as far as the spread is known.")
    if found.figures.question == "at_least_as_good":
        return msg("Can this trial give an answer? Not often with so few cook days.")
    return msg("Can this trial give an answer? Yes, if the gap is large.")


def _cooks_needed(found: Feasibility) -> int | None:
    if found.figures.question == "at_least_as_good":
        return found.as_good_cooks
    return found.cooks_for_matters


def _figure_notes(found: Feasibility) -> Iterator[MarginNote]:
    units = found.figures.units
    if units.cooks < 1:
        return
    heads = {
        "method": msg("Holds for: the method"),
        "batch": msg("Holds for: what is cooked that day"),
        "taster": msg("Holds for: one taster"),
        "none": msg("Holds for: nothing yet"),
    }
    says = (scope_sentence(units), unit_sentence(units))
    dear = 60 if units.scope == "method" else 90
    yield MarginNote(FIGURES, "shows", heads[units.scope], says, dear=dear)


def cook_days(count: int) -> Message:
    """ "5 cook days"."""
    return msg_n("{count} cook day", "{count} cook days", count)


def _find_notes(trial: Trial, found: Feasibility) -> Iterator[MarginNote]:
    figures, smallest = found.figures, found.smallest
    if figures.units.scope != "method" or figures.spread is None or smallest is None:
        return
    days = cook_days(figures.units.cooks)
    label = msg("{days}: what they can find", days=days)
    finds = msg(
        "{days} find {size} {unit} or more, eight times in ten.",
        days=days,
        size=size_words(smallest),
        unit=figures.unit,
    )
    if too_large_to_be(found):
        finds = msg("{days} find no gap that this scale holds.", days=days)
    says, verbs = [finds], list(_find_verbs(trial, found))
    if trial.question == "better" and figures.matters is not None:
        says.append(_takes(figures.matters, figures.units.cooks, found.cooks_for_matters))
    yield MarginNote(
        FEASIBILITY, "shows", label, tuple(says), tuple(verbs), figures.spread.origin, dear=80
    )


def _takes(matters: float, planned: int, needed: int | None) -> Message:
    size = shortest(matters)
    if needed is None:
        return msg("You said {size} matters: that takes more than 40.", size=size)
    if needed <= planned:
        return msg("You said {size} matters: {needed} would do.", size=size, needed=needed)
    return msg("You said {size} matters: that takes {needed}.", size=size, needed=needed)


def _find_verbs(trial: Trial, found: Feasibility) -> Iterator[NoteVerb]:
    needed, planned = found.cooks_for_matters, found.figures.units.cooks
    if trial.question != "better" or found.figures.matters is None or found.smallest is None:
        return
    if needed is not None and needed > planned:
        label = msg("Make it {days}", days=cook_days(needed))
        yield NoteVerb(label, "set_plan", (trial.id, "planned_cooks", str(needed)))
    if (needed is None or needed > planned) and not too_large_to_be(found):
        size = size_words(found.smallest)
        label = msg("Keep {planned} and look for {size}", planned=planned, size=size)
        yield NoteVerb(label, "set_matters", (trial.id, size))


def _equality_notes(trial: Trial, found: Feasibility) -> Iterator[MarginNote]:
    """Whether "no difference that matters", or "at least as good", can come out."""
    figures = found.figures
    if figures.units.scope != "method" or figures.matters is None or figures.spread is None:
        return
    if trial.question == "at_least_as_good":
        yield _as_good_note(trial, found)
    elif trial.question == "better" and not _within(found.equality_cooks, figures.units.cooks):
        chance = (found.leading.chance_equal or 0.0) if found.leading else 0.0
        label = msg("“No difference that matters”: seldom")
        if chance < 0.1:
            label = msg("“No difference that matters”: out of reach")
        says = msg(
            "{days} can leave it open. If nothing differs, they show it {often}; {fits}.",
            days=cook_days(figures.units.cooks),
            often=times_in(chance),
            fits=_fits(found.equality_cooks),
        )
        yield MarginNote(FEASIBILITY, "shows", label, (says,), dear=55)


def _as_good_note(trial: Trial, found: Feasibility) -> MarginNote:
    planned, needed = found.figures.units.cooks, found.as_good_cooks
    label = msg("At least as good: what it takes")
    if _within(needed, planned):
        says = msg(
            "If nothing differs, {days} show it eight times in ten.", days=cook_days(planned)
        )
        return MarginNote(FEASIBILITY, "shows", label, (says,), dear=82)
    says = msg(
        "If nothing differs, {days} show it less than eight times in ten: {needed}.",
        days=cook_days(planned),
        needed=_needs(needed),
    )
    verbs: tuple[NoteVerb, ...] = ()
    if needed is not None:
        make = msg("Make it {days}", days=cook_days(needed))
        verbs = (NoteVerb(make, "set_plan", (trial.id, "planned_cooks", str(needed))),)
    return MarginNote(FEASIBILITY, "shows", label, (says,), verbs, dear=82)


def _within(needed: int | None, planned: int) -> bool:
    return needed is not None and needed <= planned


def _fits(cooks: int | None) -> Message:
    if cooks is None:
        return msg("even 40 cook days leave its interval too wide")
    return msg("its interval fits from {cooks} on", cooks=cook_days(cooks))


def _needs(needed: int | None) -> Message:
    if needed is None:
        return msg("that takes more than 40")
    return msg("that takes {needed}", needed=needed)


def _floor_notes(found: Feasibility) -> Iterator[MarginNote]:
    """The redraw test's floor, and what it would take for the test to be heard."""
    figures, floor = found.figures, found.floor
    if floor is None or figures.units.scope not in ("method", "batch"):
        return
    days = cook_days(figures.units.cooks)
    label = msg("Redraw test: its floor")
    if floor <= figures.alpha / 3:
        says = msg(
            "{days} drawn so: the redraw test can go down to {floor}, and is heard.",
            days=days,
            floor=_p(floor),
        )
        yield MarginNote(FEASIBILITY, "shows", label, (says,), dear=15)
        return
    says = msg(
        "{days} drawn so: the redraw test cannot go below {floor}; the interval decides.",
        days=days,
        floor=_p(floor),
    )
    heard = (
        msg("It is heard from {days} on.", days=cook_days(found.floor_cooks))
        if found.floor_cooks
        else msg("It would take more than 40 cook days to be heard.")
    )
    yield MarginNote(FEASIBILITY, "shows", label, (says, heard), dear=25)


def _p(value: float) -> str:
    """As it is where four decimals hold it (0.0625), else two figures that count (0.029)."""
    exact = shortest(value, 9)
    return exact if len(exact) <= len("0.0625") else shortest(float(f"{value:.2g}"), 12)

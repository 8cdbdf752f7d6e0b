"""Notes of the Question page on what is varied, how many are compared, and the reference sample."""

from __future__ import annotations

from collections.abc import Iterator

from trialbench.model.margin import MarginNote, NoteVerb
from trialbench.model.message import Message, msg, msg_n
from trialbench.model.records import Factor, Trial
from trialbench.notebook.records_read import Reads
from trialbench.notebook.views import is_locked, methods, trials
from trialbench.notebook.views.shapes import factors, levels, settings


def standing_of_settings(book: Reads, trial: Trial) -> Message | None:
    """What a question of settings comes to so far; None where it names what it compares."""
    there = factors(book, trial.id)
    if not there or not there[0].name:
        return msg("What would you set differently?")
    if len(settings(book, trial.id)) < 2:
        return msg("At which settings would you try it?")
    return None


def what_changes(trial: Trial) -> Message:
    """How many things change, as the sentence before a question about them."""
    crossed = trial.question == "which_setting" and trial.shape == "crossed"
    return msg("Two things change, crossed.") if crossed else msg("One thing changes.")


def named_settings(trial: Trial) -> Message:
    """What changes in a trial of settings that is written out."""
    if trial.shape == "crossed":
        return msg("Two things change, crossed, and nothing else.")
    return msg("One thing changes, at settings that are named, and nothing else.")


def notes_of_shape(book: Reads, trial: Trial) -> Iterator[MarginNote]:
    """Notes beside "varied 1", "varied 2", "settings", "compares", "reference" and "chapter"; none
    once the plan is sealed."""
    if is_locked(book, trial.id):
        return
    if trial.question == "which_setting":
        for n, factor in enumerate(factors(book, trial.id), start=1):
            yield from _notes_of_factor(book, factor, f"varied {n}")
    yield from _note_of_count(book, trial)
    yield from _note_of_reference(book, trial)


def _notes_of_factor(book: Reads, factor: Factor, line: str) -> Iterator[MarginNote]:
    there = levels(book, factor.id)
    name = factor.name or msg("What you vary")
    if len(there) < 2:
        label = msg("{name}: two settings or more", name=name)
        says = msg("Each setting makes one method. All else is as my way has it, in all of them.")
        yield MarginNote(line, "missing", label, (says,), dear=70)
        return
    if factor.stage_id is None:
        label = msg("{name}: in no line of the methods yet", name=name)
        says = msg("Say where it stands, and every method has its setting there by itself.")
        verb = NoteVerb(msg("Say which line holds it"), "go_to", ("settings",))
        yield MarginNote(line, "missing", label, (says,), (verb,), dear=45)
    if factor.ordered and len(there) == 2:
        label = msg("{name}: two steps", name=name)
        says = msg("Two steps show which way it goes. A third can show where it turns.")
        yield MarginNote(line, "shows", label, (says,), dear=15)


def _note_of_count(book: Reads, trial: Trial) -> Iterator[MarginNote]:
    count = len(methods(book, trial.id))
    if count <= 2:
        return
    label = msg("{count} methods: all of them on every cook day", count=count)
    says = [msg("Each takes a piece and a place in the cooker, and each taster one sample more.")]
    if trial.shape != "crossed" and trial.compares == "all_pairs":
        pairs = count * (count - 1) // 2
        says.append(
            msg_n(
                "Each against each is {count} comparison; against my way alone it is {fewer}, and "
                "each is shown sooner.",
                "Each against each is {count} comparisons; against my way alone it is {fewer}, and "
                "each is shown sooner.",
                pairs,
                fewer=count - 1,
            )
        )
    yield MarginNote("compares", "shows", label, tuple(says), dear=25)


def _is_one_of_several(book: Reads, trial: Trial) -> bool:
    """Whether another trial of this kitchen asked about the same food."""
    food = trial.food.strip().casefold()
    return any(
        other.id != trial.id and other.invented == trial.invented
        and food and other.food.strip().casefold() == food
        for other in trials(book)
    )  # fmt: skip


def _note_of_reference(book: Reads, trial: Trial) -> Iterator[MarginNote]:
    says = msg(
        "It is one and the same thing at every tasting, of other trials too. Without it no "
        "sentence compares two trials."
    )
    if trial.reference:
        label = msg("The reference sample: what it is for")
        yield MarginNote("reference", "passage", label, (says,), dear=4)
        return
    if not _is_one_of_several(book, trial):
        return
    label = msg("A reference sample: none")
    verb = NoteVerb(msg("Serve a reference sample too"), "reference")
    yield MarginNote("chapter", "passage", label, (says,), (verb,), dear=3)

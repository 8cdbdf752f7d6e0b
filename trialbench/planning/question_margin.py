"""The margin of the Question page: what a finding will need, and what is not said yet."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from trialbench.model.margin import Margin, MarginNote, Mark, NoteVerb
from trialbench.model.message import Message, msg, msg_n
from trialbench.model.numbers import shortest
from trialbench.model.records import Trial
from trialbench.notebook.records_read import Reads
from trialbench.notebook.views import deciding, methods, other_outcomes, range_of
from trialbench.planning.number_words import in_words
from trialbench.planning.spread import unit_words


@dataclass(frozen=True, slots=True)
class OwnNoise:
    """How far one recipe cooked twice came out apart in this kitchen: a finished trial says so."""

    trial_id: str
    number: int
    gap: float
    outcome: str


def margin_of_question(book: Reads, trial_id: str, noise: OwnNoise | None = None) -> Margin:
    """Notes beside "food", "usual", "idea", "came_out", "matters", "question", "decides", "else"
    and "origin".

    `noise` is the latest trial of one recipe cooked twice, where there is one.
    """
    trial = book.get(Trial, trial_id)
    notes = (
        *_sentence_notes(trial),
        *_size_notes(book, trial, noise),
        *_kind_notes(trial),
        *_outcome_notes(book, trial),
        *_origin_notes(book, trial),
    )
    return Margin(_standing(book, trial), tuple(notes))


def _standing(book: Reads, trial: Trial) -> Message:
    if not (trial.food and trial.usual and trial.idea):
        return msg("What do you cook, how do you cook it, and what would you try?")
    if trial.question == "same_recipe":
        return msg("Nothing changes. The trial shows how far one recipe differs from itself.")
    if deciding(book, trial.id) is None:
        return msg("One thing changes. What would have to come out better?")
    if trial.matters is None:
        return msg("One thing changes. How much of it would be worth it?")
    return msg("One thing changes, and it is named.")


def _sentence_notes(trial: Trial) -> Iterator[MarginNote]:
    same = trial.usual.strip().casefold() == trial.idea.strip().casefold()
    if trial.usual.strip() and same and trial.question != "same_recipe":
        label = msg("My idea: the same as my way")
        says = msg("Both ways read alike. Write what changes, or ask how noisy one recipe is.")
        verb = NoteVerb(msg("Cook one recipe twice"), "choose_question", (trial.id, "same_recipe"))
        yield MarginNote("idea", "missing", label, (says,), (verb,), dear=80)


def _size_notes(book: Reads, trial: Trial, noise: OwnNoise | None) -> Iterator[MarginNote]:
    outcome = deciding(book, trial.id)
    if trial.question == "same_recipe":
        return
    if trial.matters is None:
        label = msg("By how much: not said")
        says = msg("Without it a finding can say which one, never whether it is enough.")
        if trial.question == "at_least_as_good":
            says = msg("“At least as good” needs a figure: how much worse would still do?")
        verb = NoteVerb(msg("Say how much would matter"), "go_to", ("matters",))
        yield MarginNote("matters", "missing", label, (says,), (verb,), dear=75)
        return
    span = range_of(outcome) if outcome else None
    unit = unit_words(outcome) if outcome else ""
    name = msg("{size} {unit}", size=shortest(trial.matters), unit=unit)
    if span and span.low is not None and span.high is not None:
        whole = span.high - span.low
        if trial.matters > whole / 2:
            label = msg("{size}: more than half the scale", size=name)
            says = msg("Few ways of cooking differ so much. A smaller figure may matter already.")
            yield MarginNote("matters", "shows", label, (says,), dear=60)
    if noise is not None:
        label = msg("{size}: beside your own noise", size=name)
        says = msg(
            "One recipe cooked twice (trial {number}) came out {gap} points apart in {outcome}.",
            number=noise.number,
            gap=shortest(noise.gap, 1),
            outcome=noise.outcome,
        )
        read = msg("Read trial {number}", number=noise.number)
        verb = NoteVerb(read, "open_trial", (noise.trial_id,))
        yield MarginNote("matters", "shows", label, (says,), (verb,), dear=50)


def _kind_notes(trial: Trial) -> Iterator[MarginNote]:
    if trial.question == "at_least_as_good" and trial.easier_id is None:
        label = msg("The easier way: not said")
        says = msg("Which one is less work? The question is whether that one is good enough.")
        verb = NoteVerb(msg("Say which way is easier"), "go_to", ("question",))
        yield MarginNote("question", "missing", label, (says,), (verb,), dear=70)


def _outcome_notes(book: Reads, trial: Trial) -> Iterator[MarginNote]:
    outcome, others = deciding(book, trial.id), other_outcomes(book, trial.id)
    if outcome is None:
        if trial.usual or trial.idea:
            label = msg("What decides: not said")
            says = msg("One thing decides, chosen before anybody tastes. The others tell you why.")
            verb = NoteVerb(msg("Say what decides"), "go_to", ("decides",))
            yield MarginNote("decides", "missing", label, (says,), (verb,), dear=72)
        return
    if others:
        count = len(others)
        label = msg_n(
            "{words} more: it cannot decide",
            "{words} more: they cannot decide",
            count,
            words=in_words(count, first=True),
        )
        says = msg_n(
            "It tells you why. Only {outcome} carries the headline.",
            "Each tells you why. Only {outcome} carries the headline.",
            count,
            outcome=outcome.name,
        )
        yield MarginNote("else", "passage", label, (says,), dear=20)


def _origin_notes(book: Reads, trial: Trial) -> Iterator[MarginNote]:
    borrowed = [m for m in methods(book, trial.id) if m.origin != "own"]
    if borrowed:
        label = msg("Where it comes from: printed in the note")
        says = msg("A way that was learned or read stays somebody's: the recipe note names it.")
        bare = [m for m in borrowed if not m.origin_note]
        verbs = tuple(
            NoteVerb(msg("Name where {letter} comes from", letter=m.letter), "go_to", ("origin",))
            for m in bare[:2]
        )
        mark: Mark = "missing" if bare else "passage"
        yield MarginNote("origin", mark, label, (says,), verbs, dear=30 if bare else 10)

"""The margin of the Question page: what a finding will need, and what is not said yet."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from trialbench.model.margin import Margin, MarginNote, Mark, NoteVerb
from trialbench.model.message import Message, msg, msg_n
from trialbench.model.numbers import shortest
from trialbench.model.records import Outcome, Trial
from trialbench.notebook.records_read import Reads
from trialbench.notebook.views import deciding, methods, other_outcomes, range_of
from trialbench.planning.number_words import counted, in_words
from trialbench.planning.shape_margin import (
    named_settings,
    notes_of_shape,
    standing_of_settings,
    what_changes,
)
from trialbench.planning.spread import unit_words

MOST_OTHERS = 5
"""More lines beside the one that decides tire the mouths (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class OwnNoise:
    """How far one recipe cooked twice came out apart in this kitchen: a finished trial says so.

    `gap` counts in `unit`; `scale` is the range of the other scale ("1 to 9") where it was scored
    on another one than this trial's, else "".
    """

    trial_id: str
    number: int
    gap: float
    outcome: str
    unit: Message | str = msg("points")
    scale: str = ""


def margin_of_question(book: Reads, trial_id: str, noise: OwnNoise | None = None) -> Margin:
    """Notes beside "food", "usual", "idea", "came_out", "matters", "question", "decides", "else",
    "origin", and those of `shape_margin`.

    `noise` is the latest trial of one recipe cooked twice, where there is one.
    """
    trial = book.get(Trial, trial_id)
    notes = (
        *_sentence_notes(trial),
        *_size_notes(book, trial, noise),
        *_kind_notes(trial),
        *notes_of_shape(book, trial),
        *_outcome_notes(book, trial),
        *_origin_notes(book, trial),
    )
    return Margin(_standing(book, trial), tuple(notes))


def _standing(book: Reads, trial: Trial) -> Message:
    one = trial.question in ("same_recipe", "which_setting")
    if not (trial.food and trial.usual and (trial.idea or one)):
        if one:
            return msg("What do you cook, and how do you cook it?")
        return msg("What do you cook, how do you cook it, and what would you try?")
    if trial.question == "same_recipe":
        return msg("Nothing changes. The trial shows how far one recipe differs from itself.")
    if trial.question == "which_setting":
        asked = standing_of_settings(book, trial)
        if asked is not None:
            return asked
    if deciding(book, trial.id) is None:
        return msg("{changes} What would have to come out better?", changes=what_changes(trial))
    if trial.matters is None:
        return msg("{changes} How much of it would be worth it?", changes=what_changes(trial))
    if trial.question == "which_setting":
        return named_settings(trial)
    count = len(methods(book, trial.id)) - 1
    if count > 1:
        return msg("{words} ideas against one way, and each is named.",
                   words=in_words(count, first=True))  # fmt: skip
    return msg("One thing changes, and it is named.")


def _sentence_notes(trial: Trial) -> Iterator[MarginNote]:
    same = trial.usual.strip().casefold() == trial.idea.strip().casefold()
    of_ways = trial.question in ("better", "at_least_as_good")
    if trial.usual.strip() and same and of_ways:
        label = msg("My idea: the same as my way")
        says = msg("Both ways read alike. Write what changes, or ask how noisy one recipe is.")
        verb = NoteVerb(msg("Cook one recipe twice"), "choose_question", (trial.id, "same_recipe"))
        yield MarginNote("idea", "missing", label, (says,), (verb,), dear=80)


def _size_notes(book: Reads, trial: Trial, noise: OwnNoise | None) -> Iterator[MarginNote]:
    outcome = deciding(book, trial.id)
    if trial.question == "same_recipe":
        return
    if trial.matters is None:
        yield _size_is_missing(trial, outcome, noise)
        return
    span = range_of(outcome) if outcome else None
    unit = unit_words(outcome) if outcome else ""
    name = counted(shortest(trial.matters), unit)
    if span and span.low is not None and span.high is not None:
        whole = span.high - span.low
        if trial.matters > whole / 2:
            label = msg("{size}: more than half the scale", size=name)
            says = msg("Few ways of cooking differ so much. A smaller figure may matter already.")
            yield MarginNote("matters", "shows", label, (says,), dear=60)
    if noise is not None:
        label = msg("{size}: beside your own noise", size=name)
        says = _noise_words(noise)
        more: tuple[Message, ...] = ()
        if not noise.scale and noise.gap >= trial.matters:
            more = (msg("That is as much: a gap of this size can come of nothing at all."),)
        yield MarginNote("matters", "shows", label, (says, *more), (_read(noise),), dear=50)


def _size_is_missing(trial: Trial, outcome: Outcome | None, noise: OwnNoise | None) -> MarginNote:
    """ "By how much" is asked as a cook would ask it, beside the kitchen's own noise."""
    label = msg("By how much: not said")
    says = [msg("Without it a finding can say which one, never whether it is enough.")]
    if trial.question == "at_least_as_good":
        says = [msg("“At least as good” needs a figure: how much worse would still do?")]
    verbs = [NoteVerb(msg("Say how much would matter"), "go_to", ("matters",))]
    asked = _would_you(outcome)
    if asked is not None:
        words, verb, size = asked
        says.append(words)
        verbs = [NoteVerb(verb, "set_matters", (trial.id, size)), *verbs]
    if noise is not None:
        says.append(_noise_words(noise))
        verbs = [*verbs[:1], _read(noise)]
    return MarginNote("matters", "missing", label, tuple(says), tuple(verbs), dear=75)


def _would_you(outcome: Outcome | None) -> tuple[Message, Message, str] | None:
    """The question, the verb that answers yes, and the size as it is typed then."""
    if outcome is None:
        return None
    if outcome.source in ("loss", "yield"):
        return (
            msg("Would you rewrite the recipe for 2 points of {outcome}?", outcome=outcome.name),
            msg("Yes, 2 points would matter"),
            "2 points",
        )
    high = range_of(outcome).high
    if outcome.source != "attribute" or high is None:
        return None
    return (
        msg("Would you rewrite the recipe for half a point in {high}?", high=f"{high:g}"),
        msg("Yes, half a point would matter"),
        "half a point",
    )


def _noise_words(noise: OwnNoise) -> Message:
    if noise.scale:
        return msg(
            "One recipe cooked twice (trial {number}) came out {gap} {unit} apart in {outcome}, "
            "on another scale ({scale}).",
            number=noise.number, gap=shortest(noise.gap, 1), unit=noise.unit,
            outcome=noise.outcome, scale=noise.scale,
        )  # fmt: skip
    return msg(
        "One recipe cooked twice (trial {number}) came out {gap} {unit} apart in {outcome}.",
        number=noise.number, gap=shortest(noise.gap, 1), unit=noise.unit, outcome=noise.outcome,
    )  # fmt: skip


def _read(noise: OwnNoise) -> NoteVerb:
    read = msg("Read trial {number}", number=noise.number)
    return NoteVerb(read, "open_trial", (noise.trial_id,))


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
    if outcome.better == "target" and outcome.target is None:
        label = msg("Closest to what: not said")
        says = msg("What is judged is how far each score is from it. Say it before anybody tastes.")
        verb = NoteVerb(msg("Say what it should come closest to"), "go_to", ("decides",))
        yield MarginNote("decides", "missing", label, (says,), (verb,), dear=71)
    if len(others) > MOST_OTHERS:
        label = msg("{count} more: five are enough", count=len(others))
        says = msg("A longer card tires the mouths, and each line more makes it harder for the "
                   "others to show.")  # fmt: skip
        yield MarginNote("else", "shows", label, (says,), dear=40)
    elif others:
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
    whose = methods(book, trial.id)
    if trial.question in ("which_setting", "same_recipe"):
        whose = whose[:1]  # All of them come from one parent.
    borrowed = [m for m in whose if m.origin != "own"]
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

"""The margin of the Question page: one change, how much matters, what decides and what cannot."""

from __future__ import annotations

import re
from collections.abc import Iterator

from trialbench.model.margin import Margin, MarginNote, NoteVerb
from trialbench.model.message import Message, msg, msg_n
from trialbench.model.numbers import shortest
from trialbench.model.records import Outcome, Trial
from trialbench.notebook.records_read import Reads
from trialbench.notebook.views import (
    deciding,
    has_finding,
    methods,
    other_outcomes,
    question_line,
    range_of,
    seal,
    trials,
)

_TWO_THINGS = re.compile(r"\b(and|plus|also)\b|[&+]", re.IGNORECASE)
_LARGE_SHARE = 0.25


def margin_of_question(book: Reads, trial_id: str) -> Margin:
    """Notes beside "idea", "matters", "decides", "others", "origin" and "finished"."""
    trial = book.get(Trial, trial_id)
    decides = deciding(book, trial_id)
    notes = (
        *_idea(trial),
        *_size(book, trial, decides),
        *_noise(book, trial),
        *_deciding(trial, decides),
        *_others(book, trial, decides),
        *_origin(book, trial),
        *_finished(book, trial),
    )
    return Margin(_standing(book, trial), notes)


def _standing(book: Reads, trial: Trial) -> Message:
    if seal(book, trial.id) is not None:
        return msg("The plan is sealed. The question stays as it was asked.")
    if not (trial.food or trial.usual or trial.idea):
        return msg("Answers stand here, beside the line they are about.")
    if trial.question == "same_recipe":
        return msg("One recipe, cooked twice: what no difference looks like here.")
    if not trial.idea:
        return msg("One thing is still to be named: what you would change.")
    if _TWO_THINGS.search(trial.idea):
        return msg("One thing should change. This names two.")
    if trial.matters is None or not trial.came_out:
        return msg("One thing changes. Say what would make it worth it.")
    return msg("One thing changes, and it is named.")


def _idea(trial: Trial) -> Iterator[MarginNote]:
    if trial.question == "same_recipe":
        return
    says = msg(
        "If two things change, the trial cannot say which one did it. The second gets its own"
        " trial."
    )
    if not trial.idea:
        yield MarginNote("idea", "missing", msg("My idea: one thing only"), (says,), dear=50)
    elif _TWO_THINGS.search(trial.idea):
        yield MarginNote("idea", "differs", msg("My idea: two things?"), (says,), dear=60)
    elif trial.usual and trial.usual.casefold() == trial.idea.casefold():
        same = msg("Both ways are written alike. To see your own noise, ask how noisy you are.")
        verb = NoteVerb(msg("Ask how noisy you are"), "question", ("same_recipe",))
        yield MarginNote("idea", "differs", msg("My idea: the same as my way"), (same,), (verb,),
                         dear=60)  # fmt: skip


def _size(book: Reads, trial: Trial, decides: Outcome | None) -> Iterator[MarginNote]:
    if trial.matters is None:
        says = msg(
            "Would you rewrite the recipe for half a point in ten? It settles how many cook days"
            " you need."
        )
        label = msg("By how much: say it before you cook")
        yield MarginNote("matters", "shows", label, (says,), dear=55)
        return
    share = _share(trial, decides)
    if share is not None and share >= _LARGE_SHARE:
        label = msg("{size}: a large step", size=trial.matters_typed or shortest(trial.matters))
        says = msg(
            "That is {percent} % of the whole scale. Anything smaller will count as no difference"
            " that matters.",
            percent=shortest(100 * share, 0),
        )
        yield MarginNote("matters", "shows", label, (says,), dear=45)


def _share(trial: Trial, decides: Outcome | None) -> float | None:
    if decides is None or decides.source != "attribute" or trial.matters is None:
        return None
    limits = range_of(decides)
    if limits.low is None or limits.high is None:
        return None
    return trial.matters / (limits.high - limits.low)


def _noise(book: Reads, trial: Trial) -> Iterator[MarginNote]:
    """A recipe cooked twice in this kitchen says what a gap of nothing looks like."""
    if trial.matters is None or trial.question == "same_recipe":
        return
    twice = [t for t in trials(book) if t.question == "same_recipe" and t.id != trial.id]
    known = [t for t in twice if has_finding(book, t.id) and t.invented == trial.invented]
    if known:
        twin = known[-1]
        size = trial.matters_typed or shortest(trial.matters)
        says = msg(
            "Trial {number} cooked one recipe twice. Hold your size against what came apart there.",
            number=twin.number,
        )
        verb = NoteVerb(msg("Read trial {number}", number=twin.number), "trial", (twin.id,))
        yield MarginNote("matters", "shows", msg("{size}: beside your own noise", size=size),
                         (says,), (verb,), dear=40)  # fmt: skip


def _deciding(trial: Trial, decides: Outcome | None) -> Iterator[MarginNote]:
    if decides is None:
        return
    if trial.question == "better" and decides.better == "neither":
        label = msg("{name}: which way is better", name=_opening(decides.name))
        says = msg("“Neither is better” can only say that they differ. Say more or less.")
        yield MarginNote("decides", "missing", label, (says,), dear=52)


def _others(book: Reads, trial: Trial, decides: Outcome | None) -> Iterator[MarginNote]:
    others = other_outcomes(book, trial.id)
    if not others or decides is None:
        return
    label = msg_n("{count} more: it cannot decide", "{count} more: they cannot decide", len(others))
    says = msg("Each tells you why. Only {name} carries the headline.", name=decides.name)
    yield MarginNote("others", "passage", label, (says,), dear=20)


def _origin(book: Reads, trial: Trial) -> Iterator[MarginNote]:
    there = methods(book, trial.id)
    if trial.idea and any(m.origin == "cited" and not m.origin_note for m in there):
        label = msg("Where it comes from: no source written")
        says = msg("A cited way needs its source: who wrote it, where, when.")
        yield MarginNote("origin", "missing", label, (says,), dear=42)
    elif any(m.origin_note for m in there):
        label = msg("Where it comes from: printed in the note")
        says = msg("Whoever reads the recipe sees whose idea it was.")
        yield MarginNote("origin", "passage", label, (says,), dear=10)


def _finished(book: Reads, trial: Trial) -> Iterator[MarginNote]:
    there = [t for t in trials(book) if t.invented and t.id != trial.id]
    if there and not trial.usual and not trial.idea:
        says = msg("Every figure in them is made up. “{question}” is a good one to begin with.",
                   question=question_line(there[-1]))  # fmt: skip
        yield MarginNote("finished", "passage", msg("Finished trials: all invented"), (says,),
                         dear=5)  # fmt: skip


def _opening(name: str) -> str:
    return name[:1].upper() + name[1:]

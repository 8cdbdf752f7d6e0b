"""The margin of the Recipe note: where its lines come from, and what was handed on before."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from trialbench.findings.trial_finding import TrialFinding
from trialbench.model.margin import Margin, MarginNote, NoteVerb
from trialbench.model.message import Message, msg, say
from trialbench.notebook import views
from trialbench.report.handed import headline_of
from trialbench.report.words import said_date

_STANDING = msg("Every line here comes from a page of this trial.")
_WAITS = msg("A note can be handed on before there is a finding; it says that there is none.")


def margin_of_recipe_note(
    book: Any, trial_id: str, found: TrialFinding | None, weighed: bool = True
) -> Margin:
    """Notes beside "decision", "recipe", "weight" and the label of "It shows"."""
    there = found is not None and found.spoken
    notes = (
        *_decision_notes(book, trial_id),
        *_source_notes(book, trial_id, there, weighed),
        *_finding_notes(book, trial_id, found),
    )
    return Margin(_STANDING if there or found is None else _WAITS, notes)


def _decision_notes(book: Any, trial_id: str) -> Iterator[MarginNote]:
    if views.decision(book, trial_id) is None:
        label = msg("The decision: not written")
        says = msg("It is yours, whatever came out. The note is for the method you decide for.")
        verb = NoteVerb(msg("Write the decision"), "decide")
        yield MarginNote("decision", "missing", label, (says,), (verb,), dear=60)


def _source_notes(book: Any, trial_id: str, on_paper: bool, weighed: bool) -> Iterator[MarginNote]:
    if not views.stages(book, trial_id):
        label = msg("The method: not written")
        says = msg("The next cook needs its stages, by weight where they were weighed.")
        verb = NoteVerb(msg("Write the stages"), "page", ("methods",))
        line = "title" if on_paper else "empty"
        yield MarginNote(line, "missing", label, (says,), (verb,), dear=50)
        return
    stages = NoteVerb(msg("Change it on Methods"), "page", ("methods",))
    yield MarginNote("recipe", "passage", msg("The recipe: from Methods"), (), (stages,), dear=10)
    if not weighed:
        return
    weights = NoteVerb(msg("See the weights"), "page", ("cook",))
    yield MarginNote("weight", "passage", msg("By weight: from Cook"), (), (weights,), dear=8)


def _finding_notes(book: Any, trial_id: str, found: TrialFinding | None) -> Iterator[MarginNote]:
    if found is None or not found.spoken:
        return
    line = say(msg("It shows"))
    handed = views.handed_on(book, trial_id)
    now = say(headline_of(found))
    if handed and handed[-1].headline != now:
        last = handed[-1]
        label = msg("It shows: changed since it was handed on")
        day = said_date(last.made_utc, last.offset_min)
        before = msg("On {day} the note said: {headline}", day=day, headline=last.headline)
        again = NoteVerb(msg("Hand the note on again"), "hand_on")
        yield MarginNote(line, "differs", label, (before,), (again,), dear=70)
        return
    label = msg("It shows: tied to the finding")
    says: tuple[Message, ...] = (
        msg("These lines cannot say more than it does. If it changes, they change."),
    )
    verb = NoteVerb(msg("See the finding"), "page", ("findings",))
    yield MarginNote(line, "shows", label, says, (verb,), dear=30)

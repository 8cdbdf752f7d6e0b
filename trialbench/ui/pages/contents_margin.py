"""The margin of the contents: what wants doing, what is still out, what was found."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from trialbench.model.margin import Margin, MarginNote, NoteVerb
from trialbench.model.message import Message, msg, msg_n
from trialbench.model.records import Trial
from trialbench.notebook.clock import local_time
from trialbench.notebook.views import cards_in, cook_is_weighed, cooks, sittings, trials
from trialbench.ui.pages.contents_rows import Entry

_MOST = 6


def margin_of_contents(book: Any, shown: Sequence[Entry], words: str) -> Margin:
    """Notes beside "trial:<id>"; while a word is looked for, only how often it was found."""
    if words:
        found = msg_n("One trial says “{words}”.", "{count} trials say “{words}”.",
                      len(shown), words=words)  # fmt: skip
        return Margin(found if shown else msg("No trial says “{words}”.", words=words))
    there = [t for t in trials(book) if not t.invented and (t.food or t.usual or t.idea)]
    if not there:
        says = msg("What you cook, how, and one thing you would change. It takes a minute to ask.")
        label = msg("An empty line: begin here")
        first = MarginNote("new", "passage", label, (says,), dear=30)
        return Margin(
            msg("Begin with one thing you would change."), (first, *_examples(shown, book))
        )
    notes = [note for trial in there for note in _notes(book, trial)][:_MOST]
    return Margin(_standing(notes), (*notes, *_examples(shown, book)))


def _standing(notes: Sequence[MarginNote]) -> Message:
    today = [note for note in notes if note.dear >= 60]
    if today:
        return msg_n("One trial wants you today.", "{count} trials want you today.", len(today))
    return msg("Nothing is due today.")


def _notes(book: Any, trial: Trial) -> Iterator[MarginNote]:
    line = f"trial:{trial.id}"
    today = local_time(book.now().utc, book.now().offset_min).date().isoformat()
    for sitting in sittings(book, trial.id):
        cards = cards_in(book, sitting.id)
        if sitting.key_state == "sealed" and cards.open:
            label = msg_n("{number}: {count} score card still out",
                          "{number}: {count} score cards still out", cards.open,
                          number=trial.number)  # fmt: skip
            verb = NoteVerb(msg("Open the sitting"), "page", ("tasting", trial.id))
            says = (msg("The key stays sealed until they are in."),)
            yield MarginNote(line, "missing", label, says, (verb,), dear=40)
    for cook in cooks(book, trial.id):
        if cook.date == today and not cook_is_weighed(book, cook):
            label = msg("{number}: cook day {day} is today", number=trial.number, day=cook.number)
            verb = NoteVerb(msg("Open cook day {day}", day=cook.number), "page", ("cook", trial.id))
            yield MarginNote(line, "passage", label, (), (verb,), dear=60)


def _examples(shown: Sequence[Entry], book: Any) -> Iterator[MarginNote]:
    first = next((e for e in shown if book.get(Trial, e.trial_id).invented), None)
    if first is not None:
        yield MarginNote(
            f"trial:{first.trial_id}", "passage", msg("Invented trials"),
            (msg("They came with the notebook, every figure made up, to be looked into and"
                 " written in."),), dear=5,
        )  # fmt: skip

"""Acts at the end: what the cook does from now on, and the recipe note that leaves the notebook."""

from __future__ import annotations

from trialbench.model.message import Message, msg
from trialbench.model.records import Decision, HandedOn, Trial, new_id
from trialbench.model.steps import Step, added
from trialbench.notebook import views
from trialbench.notebook.acts.writing import line, made, one_of
from trialbench.notebook.book import Book

CHOICES: dict[str, Message] = {
    "keep": msg("keep my way"),
    "change": msg("change to the idea"),
    "again": msg("try it again"),
}


def decide(book: Book, trial_id: str, choice: str, reason: str = "") -> Step:
    """Write what is done from now on: keep | change | again. Every decision is kept."""
    one_of(choice, "decision.choice", CHOICES)
    book.get(Trial, trial_id)
    text, now = line(reason, "decision.reason"), book.now()
    there = views.decision(book, trial_id)
    if there is not None and (there.choice, there.reason) == (choice, text):
        return made(book, msg("Decided: {what}", what=CHOICES[choice]), ())
    record = Decision(new_id(), trial_id, choice, text, now.utc, now.offset_min)
    return made(book, msg("Decided: {what}", what=CHOICES[choice]), added(record))


def hand_on(book: Book, trial_id: str, form: str, headline: str, finding_json: str) -> Step:
    """Write that a recipe note left the notebook: its form (md, html, pdf ...) and the finding."""
    trial, now = book.get(Trial, trial_id), book.now()
    record = HandedOn(new_id(), trial_id, form, now.utc, now.offset_min, headline, finding_json)
    label = msg("Recipe note of trial {number} handed on ({form})", number=trial.number, form=form)
    return made(book, label, added(record))

"""Acts on methods: their names and where they come from; a third and fourth one."""

from __future__ import annotations

from dataclasses import replace

from trialbench.model.errors import Refused
from trialbench.model.message import msg
from trialbench.model.records import (
    Addition,
    Difference,
    Expected,
    Method,
    Part,
    Piece,
    Stage,
    Trial,
    new_id,
)
from trialbench.model.steps import Step, added, removed
from trialbench.notebook import views
from trialbench.notebook.acts.writing import line, made, one_of, rewrite, rewritten
from trialbench.notebook.records_read import Reads

ORIGINS = ("own", "learned", "cited")
LETTERS = "ABCDEFGH"


def name_method(book: Reads, method_id: str, typed: str) -> Step:
    """Give a method its short name."""
    method = book.get(Method, method_id)
    name = line(typed, "method.name", most=200, needed=True)
    label = msg("Method {letter}: {name}", letter=method.letter, name=name)
    return rewrite(book, method, label, name=name)


def set_origin(book: Reads, method_id: str, origin: str, note: str = "") -> Step:
    """Where a method comes from: own | learned | cited, with a note that is printed."""
    method = book.get(Method, method_id)
    one_of(origin, "method.origin", ORIGINS)
    text = line(note, "method.origin_note", most=300)
    label = msg("Where {letter} comes from: {text}", letter=method.letter, text=text or origin)
    return rewrite(book, method, label, origin=origin, origin_note=text)


def add_method(book: Reads, trial_id: str, name: str) -> Step:
    """One more method, with what the first one has where a line is parted.

    Raises Refused after the last letter.
    """
    there = views.methods(book, trial_id)
    if len(there) >= len(LETTERS):
        raise Refused(
            msg("A trial compares up to {most} methods.", most=len(LETTERS)),
            field="method.letter",
            allowed=msg("{most} methods", most=len(LETTERS)),
            way_out=msg("Begin another trial for it."),
        )
    free = next(letter for letter in LETTERS if letter not in {m.letter for m in there})
    text = line(name, "method.name", most=200, needed=True)
    method = Method(new_id(), trial_id, free, text)
    parts = [
        Part(new_id(), part.stage_id, method.id, part.field, part.number, part.text)
        for part in book.all(Part, method_id=there[0].id)
    ]
    additions = [
        replace(addition, id=new_id(), method_id=method.id)
        for addition in book.all(Addition, method_id=there[0].id)
    ]
    label = msg("Method {letter}: {name}", letter=free, name=text)
    return made(book, label, added(method, *parts, *additions))


def remove_method(book: Reads, method_id: str) -> Step:
    """Take a method away, with its own stages. Raises Refused for one of two, or a drawn one."""
    method = book.get(Method, method_id)
    if len(views.methods(book, method.trial_id)) <= 2 or book.all(Piece, method_id=method_id):
        raise Refused(
            msg("Method {letter} stays: a trial compares two, and lots may name it.",
                letter=method.letter),
            field="method.id",
            allowed=msg("taking away a third method that was not drawn"),
            way_out=msg("Change what the method is instead."),
        )  # fmt: skip
    own = book.all(Stage, method_id=method_id)
    gone = [method, *own, *book.all(Part, method_id=method_id)]
    gone += [a for stage in own for a in book.all(Addition, stage_id=stage.id)]
    gone += book.all(Addition, method_id=method_id)
    gone += book.all(Expected, method_id=method_id)
    gone += [e for stage in own for e in book.all(Expected, stage_id=stage.id, method_id=None)]
    gone += [d for stage in own for d in book.all(Difference, stage_id=stage.id)]
    changes = list(removed(*gone))
    trial = book.get(Trial, method.trial_id)
    if trial.easier_id == method_id:
        changes.append(rewritten(trial, easier_id=None))
    return made(book, msg("Method {letter} taken away", letter=method.letter), changes)

"""Acts on a third to sixth idea: one more method, that begins as the first one does."""

from __future__ import annotations

from dataclasses import replace

from trialbench.model.errors import Refused
from trialbench.model.message import msg
from trialbench.model.records import Method, Trial
from trialbench.model.steps import Step
from trialbench.notebook import views
from trialbench.notebook.acts import new_record
from trialbench.notebook.acts.methods import add_method, name_method, remove_method
from trialbench.notebook.acts.plan import relaid
from trialbench.notebook.acts.shape_methods import drawn
from trialbench.notebook.acts.writing import line, made, rewritten
from trialbench.notebook.records_read import Reads
from trialbench.notebook.views import shapes


def add_idea(book: Reads, trial_id: str, typed: str) -> Step:
    """Compare one idea more: a method that begins as my way does.

    Raises Refused for an idea that is there, for a seventh method, and after the draw.
    """
    trial, there = book.get(Trial, trial_id), views.methods(book, trial_id)
    if len(there) >= shapes.MOST_METHODS:
        raise Refused(
            msg("A trial compares up to {most} methods.", most=shapes.MOST_METHODS),
            field="method.name",
            typed=typed,
            allowed=msg("two to {most} methods", most=shapes.MOST_METHODS),
            way_out=msg("Begin another trial for it."),
        )
    _check(book, trial, typed)
    step = add_method(book, trial_id, typed)
    parent, new = there[0], new_record(step, Method)
    copied = replace(
        new, origin=parent.origin, origin_note=parent.origin_note, departs=parent.departs
    )
    changes = [replace(c, after=copied) if c.after == new else c for c in step.changes]
    changes += [rewritten(trial, shape="several"), *relaid(book, trial, len(there) + 1)]
    return made(book, msg("Another idea: {name}", name=new.name), changes)


def name_idea(book: Reads, method_id: str, typed: str) -> Step:
    """Write a further idea anew; "" takes it away, with its method. Refused after the draw."""
    method = book.get(Method, method_id)
    if not typed.strip():
        return remove_idea(book, method_id)
    _check(book, book.get(Trial, method.trial_id), typed, method_id)
    return name_method(book, method_id, typed)


def remove_idea(book: Reads, method_id: str) -> Step:
    """Take a further idea away; the letters close up. Raises Refused after the draw."""
    method = book.get(Method, method_id)
    trial = book.get(Trial, method.trial_id)
    if any(piece.method_id for piece in views.all_pieces(book, trial.id)):
        raise drawn()
    step = remove_method(book, method_id)
    rest = [m for m in views.methods(book, trial.id) if m.id != method_id]
    changes = [c for c in step.changes if c.record.id != trial.id]
    changes += [rewritten(m, letter="ABCDEF"[n]) for n, m in enumerate(rest)]
    after = replace(trial, shape="several" if len(rest) > 2 else "two")
    if trial.easier_id == method_id:
        after = replace(after, easier_id=None)
    if trial.usual_id == method_id or len(rest) == 2:
        after = replace(after, usual_id=None, compares="all_pairs")
    changes += [rewritten(trial, **after.values()), *relaid(book, after, len(rest))]
    return made(book, msg("No longer compared: {name}", name=method.name), changes)


def _check(book: Reads, trial: Trial, typed: str, but: str = "") -> None:
    name = line(typed, "method.name", most=200, needed=True)
    others = {m.name.casefold() for m in views.methods(book, trial.id) if m.id != but}
    if name.casefold() in others:
        raise Refused(
            msg("{name} is compared already. Not written.", name=name),
            field="method.name",
            typed=typed,
            allowed=msg("an idea of its own"),
            way_out=msg("Write what is different in it."),
        )

"""Acts on where a method comes from, and where this trial departs from it."""

from __future__ import annotations

from dataclasses import replace

from trialbench.model.message import msg
from trialbench.model.records import Method, Trial
from trialbench.model.steps import Change, Step
from trialbench.notebook import views
from trialbench.notebook.acts.methods import ORIGINS
from trialbench.notebook.acts.writing import line, made, one_of
from trialbench.notebook.records_read import Reads


def write_origin(book: Reads, method_id: str, field: str, typed: str) -> Step:
    """Write `origin` (own, learned or cited), `origin_note` or `departs` of a method.

    Where the trial asks which setting, all methods come from one parent and have one origin.
    """
    method = book.get(Method, method_id)
    one_of(field, "method", ("origin", "origin_note", "departs"))
    text = one_of(typed, "method.origin", ORIGINS) if field == "origin" else ""
    text = text or line(typed, f"method.{field}", most=300)
    trial = book.get(Trial, method.trial_id)
    one_parent = trial.question == "which_setting"
    whose = views.methods(book, trial.id) if one_parent else (method,)
    said = {
        "origin": msg("Where {letter} comes from: {text}", letter=method.letter, text=text),
        "origin_note": msg("Where {letter} comes from: {text}", letter=method.letter,
                           text=text or method.origin),
        "departs": msg("Where {letter} departs from it: {text}", letter=method.letter,
                       text=text or "–"),
    }  # fmt: skip
    changes = [Change(m, _with(m, field, text)) for m in whose]
    return made(book, said[field], changes, burst=f"{method_id}:{field}")


def _with(method: Method, field: str, text: str) -> Method:
    values = {field: text}
    return replace(method, **values)

"""Acts: pure functions that read a notebook and build one Step, or raise Refused or Sealed.

One module a noun: cover, question, outcomes, methods, stages, plan, loads, checkpoints, cooking,
tasters, sitting, scores, leaving_out, decision. Nothing is written until `Notebook.apply(step)`.
"""

from __future__ import annotations

from typing import TypeVar

from trialbench.model.records import Record
from trialbench.model.steps import Step

R = TypeVar("R", bound=Record)


def new_record(step: Step, kind: type[R]) -> R:
    """The first record of a kind that a step adds. Raises LookupError when it adds none."""
    for change in step.changes:
        if change.before is None and isinstance(change.after, kind):
            return change.after
    raise LookupError(f"the step adds no {kind.kind}")

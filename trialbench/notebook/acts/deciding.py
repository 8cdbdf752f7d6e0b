"""Acts on what decides and from where to where a loss runs."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from trialbench.model.errors import Refused
from trialbench.model.message import msg
from trialbench.model.records import Outcome, Trial
from trialbench.model.steps import Change, Step
from trialbench.notebook import views
from trialbench.notebook.acts import new_record
from trialbench.notebook.acts.outcomes import add_attribute, add_measured, set_decides
from trialbench.notebook.acts.writing import made, one_of, rewritten
from trialbench.notebook.records_read import Reads

ENDS = {"from_checkpoint_id": "to_checkpoint_id", "to_checkpoint_id": "from_checkpoint_id"}


def decide_by(book: Reads, trial_id: str, name: str) -> Step:
    """Let what is called `name` decide; an attribute, or "loss" or "yield", is made of it if new.

    How much matters is asked anew: another outcome has another size.
    """
    known = {o.name.casefold(): o for o in views.outcomes(book, trial_id)}.get(name.casefold())
    if known is not None:
        return set_decides(book, known.id)
    add = (
        add_measured(book, trial_id, name)
        if name in ("loss", "yield")
        else add_attribute(book, trial_id, name)
    )
    new = new_record(add, Outcome)
    trial = book.get(Trial, trial_id)
    decides = rewritten(trial, decides_id=new.id, matters=None, matters_typed="")
    return made(book, msg("{name} decides", name=new.name), [*add.changes, decides])


def set_span(book: Reads, outcome_id: str, field: str, checkpoint_id: str) -> Step:
    """Let a loss or yield begin (`from_checkpoint_id`) or end (`to_checkpoint_id`) elsewhere.

    The name that the notebook gave it follows. Raises Refused when it would end where it begins.
    """
    one_of(field, "outcome", ENDS)
    outcome = book.get(Outcome, outcome_id)
    names = {c.id: c.name for c in views.checkpoints(book, outcome.trial_id)}
    one_of(checkpoint_id, f"outcome.{field}", names)
    if outcome.source != "mass" and outcome.values()[ENDS[field]] == checkpoint_id:
        raise Refused(
            msg("A loss needs two weighings, the base first."),
            field=f"outcome.{field}",
            allowed=", ".join(names.values()),
            way_out=msg("Choose two weighings."),
        )
    values: dict[str, Any] = {field: checkpoint_id}
    after = replace(outcome, **values)
    if outcome.name == _usual_name(outcome, names):
        after = replace(after, name=_usual_name(after, names))
    label = msg("{name}: {text}", name=outcome.name, text=names[checkpoint_id])
    return made(book, label, [Change(outcome, after)])


def _usual_name(outcome: Outcome, names: dict[str, str]) -> str:
    """As `add_measured` names it: "loss of raw weight, until rested"."""
    until = names.get(outcome.to_checkpoint_id or "", "")
    if outcome.source == "mass":
        return f"weight {until}"
    base = names.get(outcome.from_checkpoint_id or "", "")
    last = until == next(reversed(list(names.values())), "")
    return f"{outcome.source} of {base} weight" + ("" if last else f", until {until}")

"""Acts on checkpoints: the weighings that follow from the stages, and others."""

from __future__ import annotations

from dataclasses import replace

from trialbench.model.errors import Refused
from trialbench.model.message import msg
from trialbench.model.records import Checkpoint, Stage, new_id
from trialbench.model.steps import Change, Step, removed
from trialbench.notebook import views
from trialbench.notebook.acts.stages import is_used
from trialbench.notebook.acts.writing import line, made, moved, rewrite
from trialbench.notebook.records_read import Reads

AFTER: dict[str, str] = {
    "trim": "trimmed",
    "salt": "salted",
    "soak": "soaked",
    "smoke": "smoked",
    "roast": "roasted",
    "braise": "braised",
    "simmer": "simmered",
    "boil": "boiled",
    "confit": "after the confit",
    "water bath": "after the bath",
    "steam": "steamed",
    "bake": "baked",
    "fry": "fried",
    "sear": "seared",
    "rest": "rested",
    "hold": "held",
    "chill": "chilled",
    "reheat": "reheated",
    "slice": "sliced",
}
"""The weighing after a stage; a stage that changes no weight (wrap) has none."""

_KIND = {"trim": "trimmed", "rest": "rested", "slice": "sliced"}


def lay_out_checkpoints(book: Reads, trial_id: str) -> Step:
    """Raw, trimmed, one after each stage that changes weight, served: what is missing is added.

    Weighings whose stage is gone stay where they were used, else they go. Others stay.
    """
    there = list(views.checkpoints(book, trial_id))
    wanted = _wanted(book, trial_id, there)
    kept = {c.id for c in wanted}
    rest = [c for c in there if c.id not in kept]
    stay = [c for c in rest if is_used(book, c.id) or c.checkpoint_kind == "stage"]
    order = _with_others(wanted, stay, there)
    changes: list[Change] = [*removed(*(c for c in rest if c not in stay))]
    old = {c.id: c for c in there}
    for position, checkpoint in enumerate(order, start=1):
        after = replace(checkpoint, position=position)
        changes.append(Change(old.get(checkpoint.id), after))
    return made(book, msg("Weighings laid out"), changes)


def _wanted(book: Reads, trial_id: str, there: list[Checkpoint]) -> list[Checkpoint]:
    by_kind = {c.checkpoint_kind: c for c in there if c.stage_id is None}
    by_stage = {c.stage_id: c for c in there if c.stage_id is not None}
    stages = views.stages(book, trial_id)
    raw = by_kind.get("raw") or Checkpoint(new_id(), trial_id, 0, "raw", "raw")
    served = by_kind.get("served") or Checkpoint(new_id(), trial_id, 0, "served", "served")
    wanted = [raw]
    if not any(stage.stage_kind == "trim" for stage in stages):
        trimmed = by_kind.get("trimmed")
        wanted.append(trimmed or Checkpoint(new_id(), trial_id, 0, "trimmed", "trimmed"))
    names = {c.name for c in (*there, served, *wanted)}
    for stage in stages:
        if stage.stage_kind in AFTER:
            found = by_stage.get(stage.id) or _adopted(stage, by_kind, wanted)
            wanted.append(found or _after(stage, names))
    return [*wanted, served]


def _adopted(
    stage: Stage, by_kind: dict[str, Checkpoint], wanted: list[Checkpoint]
) -> Checkpoint | None:
    """A weighing of the same kind that has no stage yet, for the first such stage."""
    found = by_kind.get(_KIND.get(stage.stage_kind, ""))
    if found is None or any(c.id == found.id for c in wanted):
        return None
    return replace(found, stage_id=stage.id)


def _after(stage: Stage, names: set[str]) -> Checkpoint:
    name = plain = AFTER[stage.stage_kind]
    count = 1
    while name in names:
        count += 1
        name = f"{plain} {count}"
    names.add(name)
    kind = _KIND.get(stage.stage_kind, "stage")
    return Checkpoint(new_id(), stage.trial_id, 0, name, kind, stage.id)


def _with_others(
    wanted: list[Checkpoint], others: list[Checkpoint], there: list[Checkpoint]
) -> list[Checkpoint]:
    """The wanted ones, and each other one after whichever stood before it."""
    order = list(wanted)
    for other in others:
        before = [c.id for c in there if c.position < other.position]
        places = [n for n, c in enumerate(order) if c.id in before]
        order.insert(max(places, default=-1) + 1, other)
    return order


def add_checkpoint(book: Reads, trial_id: str, name: str, position: int | None = None) -> Step:
    """One more weighing, before the last one unless `position` (from 1) is given."""
    there = views.checkpoints(book, trial_id)
    text = _new_name(book, trial_id, name)
    checkpoint = Checkpoint(new_id(), trial_id, 0, text)
    place = position or max(len(there), 1)
    shifts = moved(there, checkpoint, place)
    mine = next((c.after for c in shifts if c.record.id == checkpoint.id), checkpoint)
    others = [c for c in shifts if c.record.id != checkpoint.id]
    return made(book, msg("Weighing added: {name}", name=text), (Change(None, mine), *others))


def name_checkpoint(book: Reads, checkpoint_id: str, name: str) -> Step:
    """Give a weighing another name."""
    checkpoint = book.get(Checkpoint, checkpoint_id)
    text = _new_name(book, checkpoint.trial_id, name, checkpoint_id)
    label = msg("{before} is now called {name}", before=checkpoint.name, name=text)
    return rewrite(book, checkpoint, label, name=text)


def remove_checkpoint(book: Reads, checkpoint_id: str) -> Step:
    """Take a weighing away. Raises Refused when something was weighed there or uses it."""
    checkpoint = book.get(Checkpoint, checkpoint_id)
    if is_used(book, checkpoint_id):
        raise Refused(
            msg("{name} is used. It stays.", name=checkpoint.name),
            field="checkpoint.id",
            allowed=msg("taking away a weighing with nothing in it"),
            way_out=msg("Clear its weights and what is reckoned from it first."),
        )
    return made(book, msg("{name} taken away", name=checkpoint.name), removed(checkpoint))


def _new_name(book: Reads, trial_id: str, typed: str, but: str = "") -> str:
    name = line(typed, "checkpoint.name", most=40, needed=True)
    others = {c.name.casefold() for c in views.checkpoints(book, trial_id) if c.id != but}
    if name.casefold() in others:
        raise Refused(
            msg("There is a weighing {name} already.", name=name),
            field="checkpoint.name",
            typed=typed,
            allowed=msg("a name of its own"),
            way_out=msg("Choose another name."),
        )
    return name

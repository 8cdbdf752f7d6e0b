"""Acts on additions: rub, brine, medium, fuel, wood and what else goes on, in or under the food.

A line of additions is a slot of its stage, named by its position, which never changes. It is the
same for all methods, or written once a method.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from trialbench.model.errors import Refused
from trialbench.model.message import Message, msg
from trialbench.model.records import Addition, Difference, Method, Stage, new_id
from trialbench.model.steps import Change, Step, added, removed
from trialbench.model.words import ADDITION_ROLES, FOR_THE_FIRE, STAGE_KINDS
from trialbench.notebook import views
from trialbench.notebook.acts.addition_words import ReadAddition, read_addition
from trialbench.notebook.acts.writing import made, one_of, rewritten
from trialbench.notebook.records_read import Reads
from trialbench.notebook.views.additions import Slot


def add_addition(book: Reads, stage_id: str, typed: str, role: str = "") -> Step:
    """One more line under a stage, for all its methods. Raises Refused.

    Where neither `role` nor the words say what it is, it stands with the food ("with").
    """
    read = read_addition(typed, role)
    there = views.slots(book, stage_id)
    position = max((slot.position for slot in there), default=0) + 1
    record = _record(new_id(), stage_id, position, None, read)
    return made(book, _label(book, stage_id, record.role, typed.strip()), added(record))


def with_additions(step: Step, read: Iterable[ReadAddition]) -> Step:
    """The step that adds a stage, with the additions that were written in the same line."""
    stage = next(c.after for c in step.changes if c.before is None and isinstance(c.after, Stage))
    records = (
        _record(new_id(), stage.id, position, None, one)
        for position, one in enumerate(read, start=1)
    )
    return replace(step, changes=(*step.changes, *added(*records)))


def set_addition(
    book: Reads, stage_id: str, position: int, typed: str, method_id: str | None = None
) -> Step:
    """Write a line of additions: for all, or for one method where it is parted. Raises Refused.

    Empty takes it away: from the method, or altogether.
    """
    slot = _slot(book, stage_id, position)
    there = slot.of(method_id or "") if slot.parted else slot.records[0]
    if slot.parted and method_id is None:
        raise Refused(
            msg("This is parted. Say for which method."),
            field="addition.name",
            typed=typed,
            allowed=msg("one of the fields"),
            way_out=msg("Write in the field of one method, or join the line."),
        )
    label = _label(book, stage_id, slot.role, typed.strip() or "\u2013", method_id)
    if not typed.strip():
        return _emptied(book, slot, there, label)
    read = replace(read_addition(typed, slot.role), role=slot.role)
    after = _record(there.id if there else new_id(), stage_id, position, method_id, read)
    return made(book, label, [Change(there, after)], burst=f"{after.id}:name")


def set_addition_role(book: Reads, stage_id: str, position: int, role: str) -> Step:
    """Say what it is: rub, brine, medium, fuel, wood or other. Raises Refused."""
    one_of(role, "addition.role", ADDITION_ROLES)
    slot = _slot(book, stage_id, position)
    if role in FOR_THE_FIRE and any(r.g_per_kg is not None for r in slot.records):
        raise Refused(
            msg("{what} is weighed for the fire, not for each kilogram of food. Not written.",
                what=ADDITION_ROLES[role]),
            field="addition.role",
            typed=role,
            allowed=msg("rub, brine, medium, with"),
            way_out=msg("Write its weight without “/kg” first."),
        )  # fmt: skip
    changes = [rewritten(record, role=role) for record in slot.records]
    return made(book, _label(book, stage_id, role, slot.records[0].name), changes)


def part_addition(book: Reads, stage_id: str, position: int) -> Step:
    """Write it once a method: each begins with what stands there now. Raises Refused."""
    slot, stage = _slot(book, stage_id, position), book.get(Stage, stage_id)
    if slot.parted or stage.method_id is not None:
        raise Refused(
            msg("This is parted already."),
            field="addition.method_id",
            allowed=msg("a line that is written once"),
            way_out=msg("Write in the field of a method."),
        )
    one = slot.records[0]
    methods = views.methods(book, stage.trial_id)
    changes = [rewritten(one, method_id=methods[0].id)]
    changes += added(*(replace(one, id=new_id(), method_id=m.id) for m in methods[1:]))
    return made(book, msg("{line}: parted", line=_named(book, stage_id, slot.role)), changes)


def join_addition(book: Reads, stage_id: str, position: int, method_id: str) -> Step:
    """Write it once again; what `method_id` has stays for all, nothing where it has nothing."""
    slot = _slot(book, stage_id, position)
    kept = slot.of(method_id)
    gone: list[Addition | Difference] = [r for r in slot.records if r is not kept]
    gone += book.all(Difference, stage_id=stage_id, field=slot.field)
    changes = list(removed(*gone))
    if kept is not None:
        changes.append(rewritten(kept, method_id=None))
    return made(book, msg("{line}: joined", line=_named(book, stage_id, slot.role)), changes)


def remove_addition(book: Reads, stage_id: str, position: int) -> Step:
    """Take a line of additions away."""
    slot = _slot(book, stage_id, position)
    gone = [*slot.records, *book.all(Difference, stage_id=stage_id, field=slot.field)]
    return made(book, msg("{line} taken away", line=_named(book, stage_id, slot.role)),
                removed(*gone))  # fmt: skip


def _emptied(book: Reads, slot: Slot, there: Addition | None, label: Message) -> Step:
    if not slot.parted or len(slot.records) == 1:
        gone = [*slot.records, *book.all(Difference, stage_id=slot.stage_id, field=slot.field)]
        return made(book, label, removed(*(gone if there is not None else ())))
    return made(book, label, removed(there) if there else ())


def _slot(book: Reads, stage_id: str, position: int) -> Slot:
    found = views.slot(book, stage_id, position)
    if found is None:
        raise Refused(
            msg("There is no such line any more. Nothing was written."),
            field="addition.position",
            allowed=msg("a line that is there"),
            way_out=msg("Write a new one."),
        )
    return found


def _record(
    identity: str, stage_id: str, position: int, method_id: str | None, read: ReadAddition
) -> Addition:
    return Addition(
        identity,
        stage_id,
        position,
        read.role or "other",
        read.name,
        method_id,
        read.g_per_kg,
        read.mass_g,
        read.salt_percent,
    )


def _named(book: Reads, stage_id: str, role: str) -> Message:
    kind = STAGE_KINDS[book.get(Stage, stage_id).stage_kind].label
    return msg("{stage}, {what}", stage=kind, what=ADDITION_ROLES.get(role, role))


def _label(
    book: Reads, stage_id: str, role: str, text: str, method_id: str | None = None
) -> Message:
    line = _named(book, stage_id, role)
    method = book.find(Method, method_id)
    if method is not None:
        return msg("{line} of {letter}: {text}", line=line, letter=method.letter, text=text)
    return msg("{line}: {text}", line=line, text=text)

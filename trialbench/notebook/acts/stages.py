"""Acts on stages: written once where the methods go together, twice where they part."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import fields, replace
from typing import Any

from trialbench.model.errors import Refused
from trialbench.model.message import Message, msg
from trialbench.model.numbers import parse_number
from trialbench.model.quantities import (
    parse_duration_s,
    parse_minutes,
    parse_temp_c,
    parse_thickness_mm,
)
from trialbench.model.records import (
    Addition,
    Checkpoint,
    Difference,
    Expected,
    Measurement,
    Method,
    Outcome,
    Part,
    Replan,
    Stage,
    new_id,
)
from trialbench.model.steps import Change, Step, added, removed
from trialbench.model.words import COVERS, MEDIA, STAGE_FIELDS, STAGE_KINDS
from trialbench.notebook import views
from trialbench.notebook.acts.additions import join_addition, part_addition, set_addition
from trialbench.notebook.acts.feel import word_typed
from trialbench.notebook.acts.varied_lines import (
    check_not_varied,
    out_of_stage,
    write_setting,
)
from trialbench.notebook.acts.writing import (
    line,
    made,
    moved,
    numbered,
    one_of,
    out_of_range,
    rewrite,
    rewritten,
)
from trialbench.notebook.records_read import Reads
from trialbench.notebook.views.shapes import factor_of_line

ROLES = ("question", "rider")
_LONGEST_S = 60 * 86400.0
_MOST_SALT_G_PER_KG = 300.0


def add_stage(
    book: Reads,
    trial_id: str,
    stage_kind: str,
    *,
    position: int | None = None,
    method_id: str | None = None,
    values: Mapping[str, Any] | None = None,
) -> Step:
    """A stage for all methods, or an own stage of one; at the end, or at `position` from 1.

    `values` are further fields of the stage, in their units.
    """
    one_of(stage_kind, "stage.stage_kind", STAGE_KINDS)
    there = views.stages(book, trial_id)
    stage = Stage(new_id(), trial_id, len(there) + 1, stage_kind, method_id, **(values or {}))
    label = msg("{stage}: a new stage", stage=STAGE_KINDS[stage_kind].label)
    order = list(there)
    order.insert(len(there) if position is None else max(0, position - 1), stage)
    place = order.index(stage) + 1
    shifts = [c for c in numbered(order) if c.record.id != stage.id]
    return made(book, label, (*added(replace(stage, position=place)), *shifts))


def move_stage(book: Reads, stage_id: str, position: int) -> Step:
    """Put a stage at another place of the list, counted from 1."""
    stage = book.get(Stage, stage_id)
    changes = moved(views.stages(book, stage.trial_id), stage, position)
    return made(book, msg("{stage} moved", stage=_name(stage)), changes)


def change_kind(book: Reads, stage_id: str, stage_kind: str) -> Step:
    """Make a stage another kind of stage; its figures stay."""
    one_of(stage_kind, "stage.stage_kind", STAGE_KINDS)
    stage = book.get(Stage, stage_id)
    label = msg("{stage}: now {kind}", stage=_name(stage), kind=STAGE_KINDS[stage_kind].label)
    return rewrite(book, stage, label, stage_kind=stage_kind)


def remove_stage(book: Reads, stage_id: str) -> Step:
    """Take a stage away, with its parted lines and the weighing after it if nothing was weighed."""
    stage = book.get(Stage, stage_id)
    gone: list[Any] = [stage, *book.all(Part, stage_id=stage_id)]
    gone += [*book.all(Addition, stage_id=stage_id), *book.all(Expected, stage_id=stage_id)]
    gone += book.all(Difference, stage_id=stage_id)
    changes: list[Change] = out_of_stage(book, stage_id)
    for checkpoint in book.all(Checkpoint, stage_id=stage_id):
        if is_used(book, checkpoint.id):
            changes.append(rewritten(checkpoint, stage_id=None))
        else:
            gone.append(checkpoint)
    changes += [rewritten(r, stage_id=None) for r in book.all(Replan, stage_id=stage_id)]
    rest = [s for s in views.stages(book, stage.trial_id) if s.id != stage_id]
    changes += [*removed(*gone), *numbered(rest)]
    return made(book, msg("{stage} taken away", stage=_name(stage)), changes)


def is_used(book: Reads, checkpoint_id: str) -> bool:
    """Whether anything was measured at a checkpoint or an outcome is reckoned from it."""
    return bool(
        book.all(Measurement, checkpoint_id=checkpoint_id)
        or book.all(Outcome, from_checkpoint_id=checkpoint_id)
        or book.all(Outcome, to_checkpoint_id=checkpoint_id)
    )


def set_value(
    book: Reads, stage_id: str, field: str, typed: str, method_id: str | None = None
) -> Step:
    """Write a field of STAGE_FIELDS: for all methods, or for one where the line is parted.

    A temperature without its unit is in the unit of the screen; empty is "not written". Raises
    Refused for what cannot be read, and when a line is parted and no method is named.
    """
    addition = views.slot_of_field(book, stage_id, field)
    if addition is not None:
        return set_addition(book, stage_id, addition.position, typed, method_id)
    one_of(field, "stage", STAGE_FIELDS)
    varied = factor_of_line(book, stage_id, field)
    if varied is not None:
        return write_setting(book, varied, typed, method_id)
    stage = book.get(Stage, stage_id)
    value = read_value(book, field, typed)
    parts = views.parts(book, stage_id, field)
    label = msg("{stage} {what} {text}", stage=_name(stage), what=STAGE_FIELDS[field],
                text=typed.strip() or "–")  # fmt: skip
    if not parts:
        return rewrite(book, stage, label, **{field: value})
    part = next((p for p in parts if p.method_id == method_id), None)
    if part is None:
        raise Refused(
            msg("{stage} is parted here. Say for which method.", stage=_name(stage)),
            field=f"stage.{field}",
            typed=typed,
            allowed=msg("one of the two fields"),
            way_out=msg("Write in the field of one method, or join the line."),
        )
    letter = book.get(Method, part.method_id).letter
    label = msg("{stage} of {letter}, {text}", stage=_name(stage), letter=letter,
                text=typed.strip() or "–")  # fmt: skip
    return rewrite(book, part, label, **_held(field, value))


def _held(field: str, value: float | str | None) -> dict[str, Any]:
    if field in views.NUMBER_FIELDS:
        return {"number": value, "text": None}
    return {"number": None, "text": value}


def part_line(book: Reads, stage_id: str, field: str) -> Step:
    """Write a line once a method: each begins with what the line holds now.

    `field` is a field of STAGE_FIELDS, or "addition 2" for a line of additions.
    """
    addition = views.slot_of_field(book, stage_id, field)
    if addition is not None:
        return part_addition(book, stage_id, addition.position)
    one_of(field, "stage", STAGE_FIELDS)
    stage = book.get(Stage, stage_id)
    if stage.method_id is not None or views.parts(book, stage_id, field):
        raise Refused(
            msg("{stage} is parted here already.", stage=_name(stage)),
            field=f"stage.{field}",
            allowed=msg("a line that is written once"),
            way_out=msg("Write in the field of a method."),
        )
    held = _held(field, getattr(stage, field))
    parts = [
        Part(new_id(), stage_id, method.id, field, **held)
        for method in views.methods(book, stage.trial_id)
    ]
    label = msg("{stage} {what}: parted", stage=_name(stage), what=STAGE_FIELDS[field])
    return made(book, label, added(*parts))


def join_line(book: Reads, stage_id: str, field: str, method_id: str) -> Step:
    """Write a parted line once again; the value of `method_id` stays for all."""
    addition = views.slot_of_field(book, stage_id, field)
    if addition is not None:
        return join_addition(book, stage_id, addition.position, method_id)
    check_not_varied(book, stage_id, field)
    stage = book.get(Stage, stage_id)
    parts = views.parts(book, stage_id, field)
    kept = next((p for p in parts if p.method_id == method_id), None)
    if kept is None:
        raise Refused(
            msg("{stage} is not parted here.", stage=_name(stage)),
            field=f"stage.{field}",
            allowed=msg("a line that is written once a method"),
            way_out=msg("Part the line first."),
        )
    changes = [*removed(*parts, *book.all(Difference, stage_id=stage_id, field=field))]
    changes.append(rewritten(stage, **{field: views.part_value(kept)}))
    label = msg("{stage} {what}: joined", stage=_name(stage), what=STAGE_FIELDS[field])
    return made(book, label, changes)


def give_stage(book: Reads, stage_id: str, method_id: str | None) -> Step:
    """Make a stage one method's own (with its values where it was parted), or everybody's."""
    check_not_varied(book, stage_id)
    stage = book.get(Stage, stage_id)
    after = replace(stage, method_id=method_id)
    if method_id is not None:
        resolved = views.resolved_stage(book, stage, method_id)
        after = replace(resolved, method_id=method_id)
    gone: list[Any] = [*book.all(Part, stage_id=stage_id)]
    gone += book.all(Difference, stage_id=stage_id)
    kept: list[Change] = []
    for addition in book.all(Addition, stage_id=stage_id):
        if addition.method_id == method_id:
            kept.append(rewritten(addition, method_id=None))
        elif addition.method_id is not None:
            gone.append(addition)
    who: Message | str = book.get(Method, method_id).letter if method_id else msg("all")
    label = msg("{stage} for {who}", stage=_name(stage), who=who)
    return made(book, label, (Change(stage, after), *kept, *removed(*gone)))


def set_role(book: Reads, stage_id: str, field: str, role: str | None) -> Step:
    """Say of a difference that it is the question or a rider; None takes it back.

    `field` is "" for an own stage.
    """
    stage = book.get(Stage, stage_id)
    there = views.difference(book, stage_id, field)
    if role is not None:
        one_of(role, "difference.role", ROLES)
    what = STAGE_FIELDS.get(field, field)
    roles = {"question": msg("the question"), "rider": msg("a rider"), None: msg("not said")}
    label = msg("{stage} {what}: {role}", stage=_name(stage), what=what, role=roles[role])
    if there is None:
        new = [Difference(new_id(), stage.trial_id, stage_id, field, role)] if role else []
        return made(book, label, added(*new))
    if role is None:
        return made(book, label, removed(there))
    return made(book, label, [rewritten(there, role=role)])


def _name(stage: Stage) -> Message:
    return STAGE_KINDS[stage.stage_kind].label


def read_value(book: Reads, field: str, typed: str) -> float | str | None:
    """The value of a stage field as typed. Raises Refused."""
    where = f"stage.{field}"
    if field not in views.NUMBER_FIELDS:
        text = word_typed(book, typed) if field == "end_feel" else typed
        return _read_word(field, line(text, where, most=300))
    return _READ[field](book, typed, where) if typed.strip() else None


def _read_word(field: str, text: str) -> str:
    words = {"medium": MEDIA, "cover": COVERS}.get(field, {})
    for name in words:
        if text.casefold() == name.casefold():
            return name
    return text


def _read_temp(book: Reads, typed: str, where: str) -> float:
    return parse_temp_c(typed, views.cover(book).temperature_unit, field=where)


def _read_time(book: Reads, typed: str, where: str) -> float:
    duration_s = parse_duration_s(typed, field=where)
    if not 0 < duration_s <= _LONGEST_S:
        raise out_of_range(typed, where, 0, _LONGEST_S / 86400)
    return duration_s


def _read_salt(book: Reads, typed: str, where: str) -> float:
    return read_salt(typed, where)


def read_salt(typed: str, where: str) -> float:
    """Grams for each kilogram from "15", "15 g", "15 g/kg". Raises Refused."""
    number = parse_number(typed.lower().removesuffix("/kg").rstrip().removesuffix("g"), field=where)
    if not 0 <= number <= _MOST_SALT_G_PER_KG:
        raise out_of_range(typed, where, 0, _MOST_SALT_G_PER_KG)
    return number


def _read_thickness(book: Reads, typed: str, where: str) -> float:
    return parse_thickness_mm(typed, field=where)


def _read_minutes(book: Reads, typed: str, where: str) -> float:
    return parse_minutes(typed, field=where)


_READ: dict[str, Callable[[Reads, str, str], float]] = {
    "set_temp_c": _read_temp,
    "end_core_c": _read_temp,
    "duration_s": _read_time,
    "salt_g_per_kg": _read_salt,
    "slice_mm": _read_thickness,
    "knife_to_mouth_min": _read_minutes,
}
assert set(_READ) == views.NUMBER_FIELDS <= {f.name for f in fields(Stage)}

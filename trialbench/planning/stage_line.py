"""A stage as a written line: which fields stand in it, in which order, with which words between."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from trialbench.model.message import Message, msg, say
from trialbench.model.numbers import shortest
from trialbench.model.quantities import show_duration, show_temp
from trialbench.model.records import Stage
from trialbench.planning.stage_words import TEMPERATURES, Value, value_words


@dataclass(frozen=True, slots=True)
class Place:
    """A field on the line: the words `before` and `after` it, and what a quiet blank `asks`."""

    field: str
    before: Message
    after: Message
    asks: Message


LINE: tuple[Place, ...] = (
    Place("salt_g_per_kg", msg(""), msg(" salt for each kilogram"), msg("g of salt for each kg")),
    Place("medium", msg(""), msg(""), msg("in what")),
    Place("set_temp_c", msg(" at "), msg(""), msg("how warm")),
    Place("cover", msg(""), msg(""), msg("how covered")),
    Place("vessel", msg(" in "), msg(""), msg("held in what")),
    Place("end_core_c", msg(" until core "), msg(""), msg("how warm inside")),
    Place("end_feel", msg(" until "), msg(""), msg("how you see that it is done")),
    Place("duration_s", msg(" for "), msg(""), msg("how long")),
    Place("slice_mm", msg(" in slices of "), msg(""), msg("how thick the slices")),
    Place(
        "knife_to_mouth_min",
        msg(" eaten "),
        msg(" from the knife"),
        msg("how many minutes from knife to mouth"),
    ),
    Place("place", msg(" takes "), msg(""), msg("which cooker, bath or box")),
    Place("note", msg(""), msg(""), msg("what else")),
)
"""The order of the line. A comma stands before every place that has nothing of its own there."""

_JOINS_WITHOUT_COMMA = {("medium", "set_temp_c"), ("salt_g_per_kg", "set_temp_c")}

_OFFERED: dict[str, tuple[str, ...]] = {
    "prepare": ("note",),
    "trim": ("note",),
    "slice": ("slice_mm", "note"),
    "serve": ("set_temp_c", "slice_mm", "knife_to_mouth_min", "vessel", "note"),
    "salt": ("salt_g_per_kg", "medium", "set_temp_c", "duration_s", "cover", "place", "note"),
    "soak": ("medium", "set_temp_c", "duration_s", "cover", "place", "note"),
    "wrap": ("cover", "note"),
    "rest": ("medium", "set_temp_c", "duration_s", "end_core_c", "cover", "place", "note"),
    "chill": ("medium", "set_temp_c", "duration_s", "end_core_c", "cover", "place", "note"),
}
_COOKED = (
    "medium", "set_temp_c", "duration_s", "end_core_c", "end_feel", "cover", "vessel", "place",
    "note",
)  # fmt: skip


def offered(stage: Stage) -> tuple[str, ...]:
    """The fields that a kind of stage asks for, in the order of the line."""
    wanted = _OFFERED.get(stage.stage_kind, _COOKED)
    return tuple(place.field for place in LINE if place.field in wanted)


def words_before(place: Place, shown: Collection[str]) -> Message:
    """The words before a field where the fields `shown` stand on the line too.

    A time beside another end is what it usually takes: "until core 92 °C, about 9 h".
    """
    if place.field == "duration_s" and {"end_core_c", "end_feel"} & set(shown):
        return msg(" about ")
    return place.before


def comma_before(earlier: str | None, place: Place) -> bool:
    """Whether a comma stands between the field `earlier` and this one."""
    return earlier is not None and (earlier, place.field) not in _JOINS_WITHOUT_COMMA


def shown_value(field: str, value: Value, unit: str = "C") -> str:
    """A value as it stands on the line and can be typed there again."""
    if value is None or value == "":
        return ""
    if isinstance(value, str):
        return say(value_words(field, value, unit))
    if field in TEMPERATURES:
        return show_temp(value, unit)
    if field == "duration_s":
        return show_duration(value)
    unit_of = {"slice_mm": "mm", "knife_to_mouth_min": "min"}
    return f"{shortest(value)} {unit_of.get(field, 'g')}"


def value_alone(field: str, value: Value, unit: str = "C") -> str:
    """A value where the words of the line are not beside it: "15 g/kg". Can be typed again."""
    shown = shown_value(field, value, unit)
    return f"{shown}/kg" if shown and field == "salt_g_per_kg" else shown


def line_text(stage: Stage, unit: str = "C") -> str:
    """The whole line of a stage as one method has it: "dry oven at 120 °C, until core 92 °C"."""
    values = {p.field: shown_value(p.field, getattr(stage, p.field), unit) for p in LINE}
    shown = [field for field, value in values.items() if value]
    text, earlier = "", None
    for place in (p for p in LINE if p.field in shown):
        comma = "," if comma_before(earlier, place) else ""
        before = say(words_before(place, shown)) or (" " if comma else "")
        text += f"{comma}{before}{values[place.field]}{say(place.after)}"
        earlier = place.field
    return text.strip()

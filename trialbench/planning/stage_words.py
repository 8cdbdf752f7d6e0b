"""How planning speaks of stages: their names and their values."""

from __future__ import annotations

from collections.abc import Sequence

from trialbench.model.message import Message, msg
from trialbench.model.numbers import shortest
from trialbench.model.quantities import show_duration, show_temp
from trialbench.model.records import Stage
from trialbench.model.words import COVERS, MEDIA, STAGE_FIELDS, STAGE_KINDS

Value = float | str | None

TEMPERATURES = ("set_temp_c", "end_core_c")

_NOUNS: dict[str, Message] = {
    "prepare": msg("preparing"),
    "trim": msg("trimming"),
    "salt": msg("salting"),
    "soak": msg("soak"),
    "smoke": msg("smoke"),
    "roast": msg("roast"),
    "braise": msg("braise"),
    "simmer": msg("simmer"),
    "boil": msg("boil"),
    "confit": msg("confit"),
    "water bath": msg("water bath"),
    "steam": msg("steam"),
    "bake": msg("baking"),
    "fry": msg("frying"),
    "sear": msg("sear"),
    "wrap": msg("wrap"),
    "rest": msg("rest"),
    "hold": msg("hold"),
    "chill": msg("chilling"),
    "reheat": msg("reheating"),
    "slice": msg("slicing"),
    "serve": msg("serving"),
}


def stage_name(stage: Stage) -> Message | str:
    """The stage as its line begins: "Rest"."""
    word = STAGE_KINDS.get(stage.stage_kind)
    return word.label if word else stage.stage_kind or "\u2013"


def the_stage(stage: Stage) -> Message | str:
    """The stage inside a sentence: "the rest"."""
    noun = _NOUNS.get(stage.stage_kind)
    if noun is None:
        return msg("the stage {name}", name=stage_name(stage))
    return msg("the {noun}", noun=noun)


def stage_noun(stage: Stage) -> Message | str:
    """The stage without its article, for "the shorter rest"."""
    return _NOUNS.get(stage.stage_kind) or stage_name(stage)


def field_name(field: str) -> Message | str:
    """The word before a field on its line: "for", "covered"."""
    return STAGE_FIELDS.get(field, field)


def value_words(field: str, value: Value, unit: str = "C") -> Message | str:
    """A value as the line shows it; `unit` is C or F."""
    if value is None or value == "":
        return msg("nothing written")
    if isinstance(value, str):
        return _text_words(field, value)
    if field in TEMPERATURES:
        return show_temp(value, unit)
    if field == "duration_s":
        return show_duration(value)
    if field == "slice_mm":
        return msg("{thick} mm", thick=shortest(value))
    if field == "knife_to_mouth_min":
        return msg("{minutes} min", minutes=shortest(value))
    return msg("{amount} g for each kilogram", amount=shortest(value))


def _text_words(field: str, value: str) -> Message | str:
    table = {"medium": MEDIA, "cover": COVERS}.get(field, {})
    return table.get(value, value)


def temperature_gap(gap_k: float, unit: str = "C") -> str:
    """A difference of temperatures with its unit, never shifted by 32."""
    return f"{shortest(gap_k * 9 / 5 if unit == 'F' else gap_k, 1)} °{unit}"


def listed(words: Sequence[Message | str]) -> Message | str:
    """Words in a row with commas: one message, so that each word keeps its language."""
    if not words:
        return ""
    if len(words) == 1:
        return words[0]
    return msg("{first}, {rest}", first=words[0], rest=listed(words[1:]))


def and_listed(words: Sequence[Message | str]) -> Message | str:
    """Words in a row with "and" before the last: "A and C", "A, B and D"."""
    if len(words) < 2:
        return listed(words)
    return msg("{first} and {last}", first=listed(words[:-1]), last=words[-1])

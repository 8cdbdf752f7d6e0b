"""A stage as a cook writes it in one go: "Roast at 220 C for 25 min until the edges are brown"."""

from __future__ import annotations

import re
from typing import Any

from trialbench.model.message import say
from trialbench.model.quantities import (
    parse_duration_s,
    parse_minutes,
    parse_temp_c,
    parse_thickness_mm,
)
from trialbench.model.records import Stage
from trialbench.model.words import ADDITION_ROLES, COVERS, FOR_THE_FIRE, MEDIA, STAGE_KINDS
from trialbench.notebook.acts.addition_words import ReadAddition, read_addition
from trialbench.notebook.acts.stages import read_salt
from trialbench.notebook.acts.writing import line
from trialbench.planning.stage_line import offered

_FIGURE = r"\d+(?:[.,]\d+)?"
_TEMP = rf"{_FIGURE}\s*(?:°|º|degrees?)?\s*[CF]\b"
_UNITS = r"(?:s|secs?|seconds?|mins?|minutes?|h|hrs?|hours?|d|days?)"
_TIME = rf"(?:{_FIGURE}\s*{_UNITS}\b\s*)+"
_EACH_KG = (
    r"(?:/\s*kg|per\s+(?:kg|kilogram)"
    r"|(?:of\s+salt\s+)?for\s+(?:each|every|a)\s+(?:kg|kilogram))"
)
_IN_TEXT = (
    ("salt_g_per_kg", re.compile(rf"({_FIGURE})\s*g\s*(?:salt\s+)?{_EACH_KG}(?:\s+salt)?", re.I)),
    (
        "knife_to_mouth_min",
        re.compile(
            rf"(?:\beaten\s+)?({_FIGURE}\s*(?:mins?|minutes?|s|seconds?))\s+"
            r"(?:from|after)\s+(?:the\s+)?knife(?:\s+to\s+(?:the\s+)?mouth)?",
            re.I,
        ),
    ),
    (
        "slice_mm",
        re.compile(
            rf"(?:\bin\s+)?(?:\bslices?\s+of\s+)?\b({_FIGURE}\s*[mc]m)\b(?:\s+(?:thick|slices?))?",
            re.I,
        ),
    ),
    ("end_core_c", re.compile(rf"(?:\b(?:until|to)\s+)?\bcore\s+(?:of\s+)?({_TEMP})", re.I)),
    ("set_temp_c", re.compile(rf"(?:\bat\s+)?\b({_TEMP})", re.I)),
    ("duration_s", re.compile(rf"(?:\b(?:for|about)\s+)*\b({_TIME})", re.I)),
    ("place", re.compile(r"\btakes\s+([^,;]+)", re.I)),
    ("end_feel", re.compile(r"\buntil\s+(.+)", re.I)),
)
"""Fields found in free text, in the order in which they are taken out of it."""

_WORDS = (("medium", MEDIA), ("cover", COVERS))


def kind_and_rest(typed: str) -> tuple[str, str] | None:
    """The kind of stage that a line begins with, and the rest of it; None when it names none.

    A single word may be begun only, so that one kind is meant: "wat" is a water bath.
    """
    text = " ".join(typed.split())
    labels = {say(word.label).casefold(): word.name for word in STAGE_KINDS.values()}
    for label, name in labels.items():
        if re.match(rf"{re.escape(label)}(?!\w)", text.casefold()):
            return name, text[len(label) :].strip(" ,.:;")
    begun = [name for label, name in labels.items() if label.startswith(text.casefold())]
    return (begun[0], "") if text and len(begun) == 1 else None


def additions_in(rest: str) -> tuple[tuple[ReadAddition, ...], str]:
    """Additions that say what they are ("rub paprika 20 g/kg", "fuel charcoal"), and what is left.

    An addition goes up to the next comma that is not followed by its own weight or share. Raises
    Refused for one that is not weighed.
    """
    parts = [part.strip() for part in re.split(r"[,;](?!\d)", rest)]
    found: list[str] = []
    left: list[str] = []
    inside = False
    for part in parts:
        begins = _says_addition(part)
        if begins:
            found.append(part)
        elif inside and re.fullmatch(rf"{_FIGURE}\s*(?:g|kg)(?:\s*{_EACH_KG})?|"
                                     rf"{_FIGURE}\s*%\s*(?:of\s+)?salt", part, re.I):  # fmt: skip
            found[-1] += f", {part}"
            continue
        else:
            left.append(part)
        inside = begins
    return tuple(read_addition(text) for text in found), ", ".join(filter(None, left))


def _says_addition(part: str) -> bool:
    """ "rub paprika 20 g/kg", "wood oak", "brine: salt water": and not "rub with oil", "medium
    heat", which are words of the cook.
    """
    found = re.match(r"(\w+)(:?)\s+(?!with\b|in\b|the\b|it\b)\S", part)
    if found is None or found[1].casefold() not in ADDITION_ROLES or found[1].lower() == "other":
        return False
    weighed = re.search(rf"{_FIGURE}\s*(?:g|kg|%)", part)
    return bool(found[2] or weighed) or found[1].casefold() in FOR_THE_FIRE


def values_in(kind: str, rest: str) -> dict[str, Any]:
    """The fields of a stage that the rest of a line writes; what is no figure is its note.

    Only fields that this kind of stage asks for are taken out. Raises Refused for a figure that no
    kitchen has.
    """
    asked = offered(Stage("", "", 1, kind))
    values: dict[str, Any] = {}
    for field, pattern in _IN_TEXT:
        found = pattern.search(rest)
        if found is None or field not in asked:
            continue
        values[field] = _read(field, found[1])
        rest = f"{rest[: found.start()]} {rest[found.end() :]}"
    left = []
    for part in re.split(r"[,;](?!\d)", rest):
        words = " ".join(part.split()).strip(" .:")
        taken = _known_word(words, asked, values)
        if taken is None:
            left.append(words)
    note = ", ".join(filter(None, left))
    if note:
        values["note"] = line(note, "stage.note", most=300)
    return values


def _known_word(words: str, asked: tuple[str, ...], values: dict[str, Any]) -> str | None:
    """A word of the trade that stands by itself between commas: "fridge", "lid on"."""
    bare = re.sub(r"^(?:in|in the|on)\s+(?:the\s+)?", "", words, flags=re.I)
    for field, table in _WORDS:
        if field not in asked or field in values:
            continue
        for name, shown in table.items():
            if bare.casefold() in (name.casefold(), say(shown).casefold()):
                values[field] = name
                return field
    return None


def _read(field: str, text: str) -> float | str:
    where = f"stage.{field}"
    if field == "duration_s":
        return parse_duration_s(text, field=where)
    if field == "salt_g_per_kg":
        return read_salt(text, where)
    if field == "slice_mm":
        return parse_thickness_mm(text, field=where)
    if field == "knife_to_mouth_min":
        return parse_minutes(text, field=where)
    if field in ("end_feel", "place"):
        return line(text.strip(" ,.:;"), where, most=300)
    return parse_temp_c(text, field=where)

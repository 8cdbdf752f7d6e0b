"""A stage as a cook writes it in one go: "Roast at 220 C for 25 min until the edges are brown"."""

from __future__ import annotations

import re
from typing import Any

from trialbench.model.message import say
from trialbench.model.quantities import parse_duration_s, parse_temp_c
from trialbench.model.records import Stage
from trialbench.model.words import STAGE_KINDS
from trialbench.notebook.acts.writing import line
from trialbench.planning.stage_line import offered

_FIGURE = r"\d+(?:[.,]\d+)?"
_TEMP = rf"{_FIGURE}\s*(?:°|º|degrees?)?\s*[CF]\b"
_UNITS = r"(?:s|secs?|seconds?|mins?|minutes?|h|hrs?|hours?|d|days?)"
_TIME = rf"(?:{_FIGURE}\s*{_UNITS}\b\s*)+"
_IN_TEXT = (
    ("end_core_c", re.compile(rf"(?:\b(?:until|to)\s+)?\bcore\s+(?:of\s+)?({_TEMP})", re.I)),
    ("set_temp_c", re.compile(rf"(?:\bat\s+)?\b({_TEMP})", re.I)),
    ("duration_s", re.compile(rf"(?:\b(?:for|about)\s+)*\b({_TIME})", re.I)),
    ("end_feel", re.compile(r"\buntil\s+(.+)", re.I)),
)
"""Fields found in free text, in the order in which they are taken out of it."""


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
    note = " ".join(rest.split()).strip(" ,.:;")
    if note:
        values["note"] = line(note, "stage.note", most=300)
    return values


def _read(field: str, text: str) -> float | str:
    if field == "duration_s":
        return parse_duration_s(text, field="stage.duration_s")
    if field == "end_feel":
        return line(text.strip(" ,.:;"), "stage.end_feel", most=300)
    return parse_temp_c(text, field=f"stage.{field}")

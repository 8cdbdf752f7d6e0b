"""Reading the settings of what is varied: words, or numbers with one unit that lie in order."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from trialbench.model.errors import Refused
from trialbench.model.message import Message, msg
from trialbench.model.numbers import parse_number
from trialbench.model.quantities import c_from_f, parse_duration_s
from trialbench.model.records import Factor, Level
from trialbench.model.words import COVERS, MEDIA
from trialbench.notebook import views
from trialbench.notebook.acts.stages import read_value
from trialbench.notebook.acts.writing import line
from trialbench.notebook.records_read import Reads
from trialbench.notebook.views.shapes import number_words

_NUMBER_AND_UNIT = re.compile(r"(?P<number>[+\-\u2212]?\d[\d\s.,]*)\s*(?P<unit>[^\d\s.,].*)?")
_TEMPERATURE = re.compile(r"(?:°|º|degrees?)?\s*(?P<letter>[cf])", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Reading:
    """A number as it was written: °C and seconds for temperatures and times, else as it stands."""

    number: float
    unit: str
    text: str


def read_number(typed: str) -> Reading | None:
    """A number with or without its unit; None for words."""
    text = " ".join(typed.split())
    try:
        return Reading(parse_duration_s(text), "time", text)
    except Refused:
        found = _NUMBER_AND_UNIT.fullmatch(text)
    if found is None:
        return None
    try:
        number = parse_number(found["number"])
    except Refused:
        return None
    unit = (found["unit"] or "").strip()
    degrees = _TEMPERATURE.fullmatch(unit)
    if degrees is None:
        return Reading(number, unit, text)
    letter = degrees["letter"].upper()
    value = c_from_f(number) if letter == "F" else number
    return Reading(value, "temperature", f"{found['number'].strip()} °{letter}")


def read_levels(book: Reads, factor: Factor, levels: Sequence[Level]) -> tuple[Level, ...]:
    """The levels as the factor takes them: numbers in one unit where it is ordered or its line
    holds a number, else words. Raises Refused for a level that is no number, that is in another
    unit, or that is there twice.
    """
    if factor.ordered or factor.field in views.NUMBER_FIELDS:
        read = _numbers(book, factor, levels)
    else:
        read = tuple(_worded(book, factor, level) for level in levels)
    _check_twice(read)
    return read


def _worded(book: Reads, factor: Factor, level: Level) -> Level:
    text = line(level.text, "level.text", most=60, needed=True)
    if factor.field:
        text = str(read_value(book, factor.field, text))
    return _with(level, None, text)


def _numbers(book: Reads, factor: Factor, levels: Sequence[Level]) -> tuple[Level, ...]:
    if factor.field in views.NUMBER_FIELDS:
        return tuple(_of_line(book, factor, level) for level in levels)
    found = [_read(level) for level in levels]
    named = next((reading for reading in found if reading.unit), None)
    if named is None:
        return tuple(_with(x, r.number, r.text) for x, r in zip(levels, found, strict=True))
    suffix = _suffix(named)
    again = [r if r.unit else _read(_with(x, None, f"{r.text} {suffix}"))
             for x, r in zip(levels, found, strict=True)]  # fmt: skip
    other = next((reading for reading in again if reading.unit != named.unit), None)
    if other is not None:
        raise _refused(
            msg("{one} and {other} are not in one unit. Not written.", one=named.text,
                other=other.text),
            other.text,
            msg("numbers in one unit"),
        )  # fmt: skip
    return tuple(_with(x, r.number, r.text) for x, r in zip(levels, again, strict=True))


def _of_line(book: Reads, factor: Factor, level: Level) -> Level:
    """A number of a line of the methods, in the unit of its field."""
    value = read_value(book, factor.field, level.text)
    if not isinstance(value, float | int):
        raise _no_number(level.text)
    named = read_number(level.text)
    text = level.text if named is not None and named.unit else number_words(factor.field, value)
    return _with(level, float(value), " ".join(text.split()))


def _read(level: Level) -> Reading:
    found = read_number(level.text)
    if found is None:
        raise _no_number(level.text)
    return found


def _suffix(reading: Reading) -> str:
    if reading.unit == "time":
        return "h" if ":" in reading.text else reading.text.split()[-1].lstrip("0123456789.,")
    return reading.text.split()[-1] if reading.unit == "temperature" else reading.unit


def _with(level: Level, number: float | None, text: str) -> Level:
    return Level(level.id, level.factor_id, level.position, number, text)


def _check_twice(levels: Sequence[Level]) -> None:
    seen: set[object] = set()
    for level in levels:
        what: object = level.number if level.number is not None else level.text.casefold()
        if what in seen:
            raise _refused(
                msg("{text} stands here already. Not written.", text=level.text),
                level.text,
                msg("a setting of its own"),
            )
        seen.add(what)


def _no_number(typed: str) -> Refused:
    return _refused(
        msg("{typed} is no number, and these settings are steps in order. Not written.",
            typed=" ".join(typed.split()) or "\u2013"),
        typed,
        msg("a number with its unit: 77 °C, 45 min, 12 g/kg"),
        msg("Write a number, or make the settings words in no order."),
    )  # fmt: skip


def _refused(
    said: Message, typed: str, allowed: Message, way_out: Message | None = None
) -> Refused:
    return Refused(
        said,
        field="level.text",
        typed=typed,
        allowed=allowed,
        way_out=way_out or msg("Write another setting, or leave it empty."),
    )


def likely_field(factor: Factor, levels: Sequence[Level]) -> str:
    """The field of a stage that such settings most likely stand in."""
    first = levels[0].text if levels else ""
    if factor.ordered:
        reading = read_number(first)
        fields = {"temperature": "set_temp_c", "time": "duration_s", "g/kg": "salt_g_per_kg",
                  "mm": "slice_mm"}  # fmt: skip
        return fields.get(reading.unit if reading else "", "set_temp_c")
    name = factor.name.casefold()
    words = {level.text.casefold() for level in levels}
    if words & set(MEDIA) or "medium" in name:
        return "medium"
    if words & set(COVERS) or "cover" in name or "lid" in name:
        return "cover"
    return "vessel" if any(x in name for x in ("pan", "pot", "vessel", "dish")) else "note"

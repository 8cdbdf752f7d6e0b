"""How a record's field is written in a CSV cell, and what a schema says of it."""

from __future__ import annotations

import math
import types
import typing
from dataclasses import fields

from trialbench.model.records import KINDS, REFERENCES, Record

Value = str | int | float | bool | None

NOT_WRITTEN = "(not written)"
"""Stands for None in a text field in which empty text means something else."""

_TYPES = {str: "string", int: "integer", float: "number", bool: "boolean"}
_TRUTH = {"true": True, "false": False}


class BadCell(ValueError):
    """A cell that does not hold what its column takes; the text says what it takes."""


def field_types(kind: type[Record]) -> dict[str, tuple[type, bool]]:
    """Field name to (plain type, whether None is allowed), in the order of the record."""
    return _FIELD_TYPES[kind.kind]


def _field_types(kind: type[Record]) -> dict[str, tuple[type, bool]]:
    hints = typing.get_type_hints(kind)
    found: dict[str, tuple[type, bool]] = {}
    for field in fields(kind):
        hint = hints[field.name]
        if isinstance(hint, types.UnionType):
            plain = [part for part in typing.get_args(hint) if part is not types.NoneType]
            found[field.name] = (plain[0], True)
        else:
            found[field.name] = (hint, False)
    return found


_FIELD_TYPES = {kind.kind: _field_types(kind) for kind in KINDS}


def _keeps_empty_text(kind: type[Record], name: str) -> bool:
    plain, optional = field_types(kind)[name]
    return plain is str and optional and name not in REFERENCES.get(kind.kind, {})


def write_cell(kind: type[Record], name: str, value: Value) -> str:
    """The text of a cell: empty for None, a point as decimal sign, true and false."""
    if value is None:
        return NOT_WRITTEN if _keeps_empty_text(kind, name) else ""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, float):
        return str(int(value)) if value.is_integer() and abs(value) < 1e15 else repr(value)
    return str(value)


def read_cell(kind: type[Record], name: str, text: str) -> Value:
    """The value of a cell. Raises BadCell with what is allowed."""
    plain, optional = field_types(kind)[name]
    if _keeps_empty_text(kind, name):
        return None if text == NOT_WRITTEN else text
    if text == "" and (optional or plain is not str):
        if not optional:
            raise BadCell("a value; this column is never empty")
        return None
    if plain is bool:
        if text not in _TRUTH:
            raise BadCell("true or false")
        return _TRUTH[text]
    if plain is int:
        return _whole(text)
    return _number(text) if plain is float else text


def _whole(text: str) -> int:
    try:
        return int(text)
    except ValueError:
        raise BadCell("a whole number") from None


def _number(text: str) -> float:
    try:
        value = float(text)
    except ValueError:
        raise BadCell("a number with a point as decimal sign") from None
    if not math.isfinite(value):
        raise BadCell("a finite number")
    return value


def field_schema(kind: type[Record], name: str) -> dict[str, object]:
    """The field's descriptor (Table Schema, Data Package v2)."""
    plain, optional = field_types(kind)[name]
    schema: dict[str, object] = {"name": name, "type": _TYPES[plain]}
    if _keeps_empty_text(kind, name):
        schema["missingValues"] = [NOT_WRITTEN]
    elif plain is str and not optional:
        schema["missingValues"] = []
    if name == "id":
        schema["constraints"] = {"required": True, "unique": True}
    elif not optional and plain is not str:
        schema["constraints"] = {"required": True}
    return schema

"""Reading a table from a text file: comma, semicolon or tab between cells, names in the first line.

Semicolons (or tabs) go with decimal commas in much of the world, so "7,5" is read there as seven
and a half, unless the same column also writes points. Nothing else is guessed: what cannot be read
in one way only is refused with its row and column.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Sequence
from dataclasses import dataclass
from math import isinf
from pathlib import Path

from trialbench.model.errors import BadInput

MISSING = frozenset({"", "NA", "-"})
"""What stands for a value that is not there."""
DELIMITERS = (",", ";", "\t")

Table = dict[str, list[object]]

_NUMBER = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d+)?")
_WITH_COMMA = re.compile(r"[+-]?\d*,\d+")


def read_table(path: Path, number: str, names: Sequence[str]) -> Table:
    """The columns `number` (floats, None where missing) and `names` (text, "" where missing).

    Raises `BadInput` for a file that cannot be read, has no rows or lacks a column, for a row with
    more or fewer cells than the first line, and for text in the column of numbers.
    """
    lines, delimiter = _cells(_text(path), path.name, (number, *names))
    places, width = _header(lines[0].cells, (number, *names))
    rows = lines[1:]
    if not rows:
        raise BadInput(f"{path.name} has names and no rows.", where=path.name, allowed="a table")
    for row, line in enumerate(rows, start=1):
        if len(line.cells) != width:
            raise BadInput(
                f"Row {row} (line {line.number}) has {len(line.cells)} cells, the first line names"
                f" {width}.",
                where=f"row {row}",
                allowed=f"{width} cells",
            )
    table: Table = {name: [_name(line.cells[places[name]]) for line in rows] for name in names}
    texts = [line.cells[places[number]].strip() for line in rows]
    commas = delimiter != "," and not any("." in text for text in texts)
    table[number] = [
        _number(text, number, f"row {row} (line {line.number})", commas=commas)
        for row, (text, line) in enumerate(zip(texts, rows, strict=True), start=1)
    ]
    return table


@dataclass(frozen=True, slots=True)
class _Line:
    number: int
    cells: list[str]


def _text(path: Path) -> str:
    try:
        raw = path.read_bytes()
    except OSError as trouble:
        reason = trouble.strerror or "it cannot be read"
        raise BadInput(
            f"{path} cannot be read: {reason}.", where=str(path), allowed="a table as text"
        ) from None
    if not raw.strip():
        raise BadInput(f"{path.name} is empty.", where=path.name, allowed="a table as text")
    encodings = ("utf-16",) if raw[:2] in (b"\xff\xfe", b"\xfe\xff") else ("utf-8-sig", "cp1252")
    for encoding in encodings:
        try:
            text = raw.decode(encoding)
        except UnicodeDecodeError:
            continue
        if "\0" not in text:
            return text
    raise BadInput(
        f"{path.name} is not a table as text.",
        where=path.name,
        allowed="comma, semicolon or tab between cells, names in the first line",
    )


def _cells(text: str, name: str, wanted: Sequence[str]) -> tuple[list[_Line], str]:
    """All lines that are not blank, cut by the delimiter that finds most of the wanted names."""
    delimiter = max(DELIMITERS, key=lambda each: _names_found(text, each, wanted))
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    try:
        lines = [_Line(reader.line_num, cells) for cells in reader]
    except csv.Error as trouble:
        raise BadInput(
            f"{name} is not a table: {trouble}.",
            where=name,
            allowed="comma, semicolon or tab between cells, quotes closed",
        ) from None
    return [line for line in lines if any(cell.strip() for cell in line.cells)], delimiter


def _names_found(text: str, delimiter: str, wanted: Sequence[str]) -> tuple[int, int]:
    start = text.lstrip("\r\n \t" if delimiter != "\t" else "\r\n")
    try:
        first = next(csv.reader(io.StringIO(start, newline=""), delimiter=delimiter))
    except (csv.Error, StopIteration):
        return 0, 0
    there = {cell.strip() for cell in first}
    return sum(name in there for name in wanted), len(first)


def _header(cells: Sequence[str], wanted: Sequence[str]) -> tuple[dict[str, int], int]:
    """The place of each wanted name, which must stand there once, and the number of names."""
    names = [cell.strip() for cell in cells]
    for name in wanted:
        if names.count(name) != 1:
            listed = ", ".join(each for each in names if each) or "none"
            how = "There is no column" if name not in names else "More than one column is called"
            raise BadInput(f"{how} {name!r}.", where=name, allowed=listed)
    return {name: names.index(name) for name in wanted}, len(names)


def _name(cell: str) -> str:
    text = cell.strip()
    return "" if text in MISSING else text


def _number(text: str, column: str, place: str, *, commas: bool) -> float | None:
    if text in MISSING:
        return None
    plain = text.replace("\u2212", "-")
    if commas and _WITH_COMMA.fullmatch(plain):
        plain = plain.replace(",", ".")
    if not _NUMBER.fullmatch(plain) or isinf(float(plain)):
        raise BadInput(
            f"{text!r} in {place}, column {column!r}, is not a number.",
            where=f"{place}, column {column}",
            allowed="a number with a decimal point, or nothing, NA or - where it is missing",
        )
    return float(plain)

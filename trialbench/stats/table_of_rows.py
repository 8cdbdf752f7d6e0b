"""A complete table for tests on ranks and counts: one row a taster, one column a method."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from trialbench.model.message import Message, msg_n
from trialbench.stats import frames
from trialbench.stats.numbers import BadNumbers, listed, plain
from trialbench.stats.signed_ranks import doubled_ranks


@dataclass(frozen=True, slots=True)
class RowTable:
    """Complete rows of numbers under column `names`; `notes` count rows left out."""

    names: tuple[str, ...]
    rows: tuple[tuple[float, ...], ...]
    notes: tuple[Message, ...]


def read_rows(table: Any) -> RowTable:
    """Read a DataFrame, a mapping of columns, or a sequence of rows (columns "1", "2" ...).

    A row with a missing number is left out and counted. Raises `BadNumbers` for text, for rows of
    unequal length, for names that stand twice and for fewer than two columns.
    """
    names, rows = _columns(table)
    if len(names) < 2:
        raise BadNumbers("Fewer than two columns.", where="table", allowed="two or more")
    read = []
    for number, row in enumerate(rows, start=1):
        if len(row) != len(names):
            raise BadNumbers(
                f"Row {number} has {len(row)} numbers, others have {len(names)}.",
                where=f"row {number}",
                allowed="one number a method; a missing one as None or NaN",
            )
        read.append([plain(v, f"row {number}, {n}") for n, v in zip(names, row, strict=True)])
    complete = tuple(tuple(v for v in row if v is not None) for row in read if None not in row)
    lost = len(read) - len(complete)
    notes = () if not lost else (msg_n(
        "{count} row has a missing number and is left out.",
        "{count} rows have a missing number and are left out.",
        lost,
    ),)  # fmt: skip
    return RowTable(tuple(names), complete, notes)


def _columns(table: Any) -> tuple[list[str], list[list[object]]]:
    if hasattr(table, "columns") or isinstance(table, Mapping):
        return _by_name(table)
    rows = [listed(row, f"row {number}") for number, row in enumerate(listed(table, "table"), 1)]
    if not rows:
        raise BadNumbers("The table has no row.", where="table", allowed="one row a taster")
    return [str(i + 1) for i in range(len(rows[0]))], rows


def _by_name(table: Any) -> tuple[list[str], list[list[object]]]:
    keys = list(table.keys()) if isinstance(table, Mapping) else list(table.columns)
    names = frames.names(keys)
    if not all(names) or len(set(names)) < len(names):
        raise BadNumbers("A column's name is missing or stands twice.", where="table",
                         allowed="names once each")  # fmt: skip
    columns = {str(key): listed(table[key], f"column {key}") for key in keys}
    frames.same_length(columns)
    return names, [list(row) for row in zip(*columns.values(), strict=True)]


def as_written(value: float) -> Fraction | float:
    """The number a float stands for: what is written 0.3 ties with 0.1 + 0.2."""
    near = Fraction(value).limit_denominator(10**7)
    return near if abs(float(near) - value) <= 1e-12 * max(1.0, abs(value)) else value


def doubled_row_ranks(row: tuple[float, ...]) -> tuple[int, ...]:
    """Twice the mid-ranks of a row, 2 for the lowest."""
    return tuple(doubled_ranks([float(as_written(value)) for value in row]))

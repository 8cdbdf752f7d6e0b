"""Columns of a frame (pandas or any mapping of equally long columns) as plain text and numbers."""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from numbers import Number
from typing import Any

from trialbench.stats.numbers import BadNumbers, listed, plain, shown

Frame = Any
"""A pandas DataFrame or a mapping from column names to sequences of one length."""


def same_length(columns: Mapping[str, Sequence[object]]) -> None:
    """Raise `BadNumbers` unless all columns are equally long."""
    lengths = {name: len(values) for name, values in columns.items()}
    if len(set(lengths.values())) > 1:
        said = ", ".join(f"{name} {length}" for name, length in lengths.items())
        raise BadNumbers(
            f"The columns are not equally long: {said}.", where="frame",
            allowed="one value of each column in every row",
        )  # fmt: skip


def names_in(frame: Frame) -> list[Any]:
    """The names of a frame's columns. Raises `BadNumbers` for what is no table."""
    if isinstance(frame, Mapping):
        return list(frame.keys())
    if hasattr(frame, "columns"):
        return list(frame.columns)
    raise BadNumbers(
        f"{type(frame).__name__} is no table.",
        where="frame",
        allowed="a DataFrame, or a mapping from column names to lists",
    )


def column(frame: Frame, name: str) -> list[object]:
    """The values of a column. Raises `BadNumbers` naming the columns there are."""
    names = names_in(frame)
    if not isinstance(name, Hashable) or is_missing(name):
        raise BadNumbers(
            f"{type(name).__name__} cannot name a column.", where="column name",
            allowed=few(names) or "a column's name",
        )  # fmt: skip
    if names.count(name) > 1:
        raise BadNumbers(
            f"{names.count(name)} columns are called {name!r}.", where=str(name),
            allowed="one column of each name",
        )  # fmt: skip
    if name not in names:
        there = ", ".join(str(each) for each in names)
        raise BadNumbers(
            f"There is no column {shown(name)}.", where=str(name) or "column name",
            allowed=there or "a table with columns",
        )  # fmt: skip
    return listed(frame[name], f"column {name}")


def numbers(frame: Frame, name: str) -> list[float | None]:
    """A column of numbers, None where missing; raises `BadNumbers` for text, with its row."""
    return [
        plain(value, f"column {name}, row {row}")
        for row, value in enumerate(column(frame, name), start=1)
    ]


def labels(frame: Frame, name: str) -> list[str]:
    """A column of names as text without outer blanks, "" where missing."""
    return names(column(frame, name))


def names(values: Sequence[object]) -> list[str]:
    """Values as text without outer blanks, "" where missing."""
    return ["" if is_missing(value) else str(_whole(value)).strip() for value in values]


def settings(frame: Frame, name: str) -> list[str]:
    """A column of numbers as text, "" where missing: 60, 60.0 and "60.0" are all "60"."""
    read = numbers(frame, name)
    return ["" if number is None else str(_whole(number)) for number in read]


def scored(
    values: Sequence[float | None], roles: Sequence[tuple[str, object, Sequence[str]]]
) -> list[tuple[float, tuple[str, ...]]]:
    """The rows with a value: the value, and its name in each role (role, column, names).

    A role without a column (None) needs no names. Raises `BadNumbers` for columns of different
    length and for a value without a name.
    """
    same_length({"values": values, **{role: names for role, _, names in roles}})
    kept = []
    for row, (number, *key) in enumerate(zip(values, *(names for *_, names in roles), strict=True)):
        if number is None:
            continue
        if "" in key:
            for (role, column, _), text in zip(roles, key, strict=True):
                if not text and column is not None:
                    raise BadNumbers(
                        f"Row {row + 1} has a value and no {role}.",
                        where=f"column {column}, row {row + 1}",
                        allowed="a name",
                    )
        kept.append((number, tuple(key)))
    return kept


def few(names: Sequence[object], most: int = 12) -> str:
    """Names for a sentence, the first of them where they are many."""
    said = ", ".join(str(each)[:60] for each in names[:most])
    return said if len(names) <= most else f"{said} and {len(names) - most} more"


def is_missing(value: object) -> bool:
    """None, NaN, NA and NaT."""
    if value is None or type(value).__name__ in ("NAType", "NaTType"):
        return True
    return isinstance(value, Number) and value != value


def all_numbers(values: Sequence[object]) -> bool:
    """Whether each is a number; truth values are none."""
    return all(isinstance(each, Number) and not isinstance(each, bool) for each in values)


def _whole(value: object) -> object:
    """3.0, which a column of numbers with a gap makes of 3, is called 3."""
    whole = isinstance(value, float) and value.is_integer() and abs(value) < 1e15
    return int(value) if whole else value  # type: ignore[call-overload]


def two_labels(found: Sequence[str], compared: tuple[str, str] | None = None) -> tuple[str, str]:
    """The two methods, sorted as text. Raises `BadNumbers` unless there are exactly two."""
    there = sorted({label for label in found if label})
    listed = few(there) or "none"
    if compared is not None:
        first, second = sorted(compared)
        absent = [label for label in (first, second) if label not in there]
        if absent:
            raise BadNumbers(f"There is no method {absent[0]!r}.", where="compare", allowed=listed)
        if first == second:
            raise BadNumbers(
                f"{first!r} cannot be compared with itself.", where="compare", allowed=listed
            )
        return first, second
    if len(there) < 2:
        raise BadNumbers(
            f"One method only: {listed}." if there else "No method is named.",
            where="method",
            allowed="two methods",
        )
    if len(there) > 2:
        raise BadNumbers(
            f"{len(there)} methods: {listed}.",
            where="method",
            allowed="two of them, named to be compared",
        )
    return there[0], there[1]

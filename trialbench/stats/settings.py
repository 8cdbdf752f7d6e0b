"""Settings as they come from outside: sizes, counts, shares, lot numbers, names of columns.

Each reader gives the value as a plain Python one, or raises `BadNumbers` that says where it stands
and what is allowed.
"""

from __future__ import annotations

import math
from numbers import Integral
from typing import TypeVar

from trialbench.stats.numbers import (
    LARGEST,
    BadNumbers,
    above_zero,
    listed,
    one_number,
    one_text,
    shown,
)

SMALLEST = 1e-100
"""Below this a spread's square may be beyond what a float holds."""

MOST_LOTS = 2**64 - 1

T = TypeVar("T")


def any_number(value: object, where: str) -> float:
    """A size of either sign, such as a true difference: finite, up to 1e100."""
    allowed = "a number up to 1e100"
    number = one_number(value, where, allowed)
    if not abs(number) <= LARGEST:
        raise BadNumbers(f"{where} is {number:g}.", where=where, allowed=allowed)
    return number


def zero_or_above(value: object, where: str) -> float:
    """A spread or a price: 0, or from 1e-100 to 1e100."""
    allowed = "0, or a number above it up to 1e100"
    number = one_number(value, where, allowed)
    if not (number == 0.0 or SMALLEST <= number <= LARGEST):
        raise BadNumbers(f"{where} is {number:g}.", where=where, allowed=allowed)
    return abs(number)


def spread_above_zero(value: object, where: str) -> float:
    """A spread that something is divided by: from 1e-100 to 1e100."""
    spread = zero_or_above(value, where)
    if not spread:
        allowed = "a number above 0, up to 1e100"
        raise BadNumbers(f"{where} is 0.", where=where, allowed=allowed)
    return spread


def size_or_none(value: object, where: str) -> float | None:
    """A size above 0, or None where none is given."""
    return None if value is None else above_zero(value, where)


def between(value: object, where: str, low: float = 0.0, high: float = 1.0) -> float:
    """A share or a level, low < value < high."""
    allowed = f"above {low:g}, below {high:g}"
    number = one_number(value, where, allowed)
    if not low < number < high:
        raise BadNumbers(f"{where} is {number:g}.", where=where, allowed=allowed)
    return number


def count(value: object, where: str, least: int, most: int) -> int:
    """A whole number from `least` to `most`."""
    allowed = f"a whole number, {least} to {most}"
    number = one_number(value, where, allowed)
    if not (math.isfinite(number) and number.is_integer() and least <= number <= most):
        raise BadNumbers(f"{where} is {number:g}.", where=where, allowed=allowed)
    return int(number)


def counts(values: object, where: str, least: int, most: int) -> list[int]:
    """A list of whole numbers from `least` to `most`."""
    return [count(each, where, least, most) for each in listed(values, where)]


def lot(value: object, where: str = "lot_number") -> int:
    """A lot number: a whole number from 0 to 2^64 - 1."""
    if isinstance(value, Integral) and 0 <= int(value) <= MOST_LOTS:
        return int(value)
    allowed = "a whole number, 0 or above"
    raise BadNumbers(f"{where} is {shown(value)}.", where=where, allowed=allowed)


def names(values: object, where: str, allowed: str) -> tuple[str, ...]:
    """A list of texts without repeats; a single text stands for a list of one."""
    given = [values] if isinstance(values, str) else listed(values, where)
    return tuple(dict.fromkeys(one_text(each, where, allowed) for each in given))


def one_made(value: object, kind: type[T], where: str) -> T:
    """What another part of the engine made: an instance of `kind`."""
    if isinstance(value, kind):
        return value
    raise BadNumbers(f"{where} is {shown(value)}.", where=where, allowed=f"a {kind.__name__}")

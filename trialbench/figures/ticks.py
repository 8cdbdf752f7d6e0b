"""Round numbers for an axis."""

from __future__ import annotations

import math

from trialbench.model.numbers import figure, shortest

_STEPS = (1.0, 2.0, 5.0)


def step_for(span: float, most: int) -> float:
    """The smallest step of 1, 2 or 5 times a power of ten that gives at most `most` ticks."""
    raw = span / max(most, 1)
    power = 10.0 ** math.floor(math.log10(raw)) if raw > 0 else 1.0
    for step in (*_STEPS, 10.0):
        if step * power >= raw * (1 - 1e-9):
            return step * power
    return 10.0 * power


def ticks(low: float, high: float, most: int) -> list[float]:
    """Round numbers from low to high."""
    step = step_for(high - low, most)
    first = math.ceil(low / step - 1e-9)
    last = math.floor(high / step + 1e-9)
    return [round(number * step, 10) for number in range(first, last + 1)]


def with_head_room(low: float, high: float, left: float, right: float) -> tuple[float, float]:
    """The range widened so that words at the head have room on both sides of none.

    `left` and `right` are shares of the width that they need; none gets more than 0.45 of it.
    """
    left, right = min(0.45, left), min(0.45, right)
    low = min(low, -high * left / (1 - left))
    return low, max(high, -low * right / (1 - right))


def decimals_of(numbers: list[float]) -> int:
    """The decimals that the numbers need, at most 3."""
    return max((len(shortest(n, 3).partition(".")[2]) for n in numbers), default=0)


def signed(number: float, decimals: int) -> str:
    """A number with its sign; none is plain 0."""
    return "0" if abs(number) < 1e-12 else figure(number, decimals, sign=True)


def as_short(number: float) -> str:
    """A tick without a sign, as short as it can be, with a true minus."""
    text = shortest(abs(number), 3)
    return f"\u2212{text}" if number < 0 else text

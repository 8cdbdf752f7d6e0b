"""Lots: numbers that anyone can draw again from the lot number.

The n-th draw of a stream takes SHA-256 over the text "lot number:purpose:n" as a number of 256
bits, so that no version of any library changes a draw, and a stream tells nothing of another one.
"""

from __future__ import annotations

import secrets
from collections.abc import Sequence
from hashlib import sha256
from typing import TypeVar

T = TypeVar("T")

_RANGE = 1 << 256
_KEY_LOTS = 1 << 53


def fresh_lot_number() -> int:
    """A lot number of six figures for a draw that is made in the open."""
    return 100_000 + secrets.randbelow(900_000)


def fresh_key_lot_number() -> int:
    """A lot number for a key: below 2^53, so that every reader of JSON keeps it whole."""
    return secrets.randbelow(_KEY_LOTS)


class Lots:
    """A stream of draws for one purpose. The same lot number and purpose give the same draws."""

    def __init__(self, lot_number: int, purpose: str) -> None:
        self._head = f"{lot_number}:{purpose}:"
        self._drawn = 0

    def below(self, limit: int) -> int:
        """A whole number from 0 to limit - 1, each equally likely. Raises ValueError below 1."""
        if limit < 1:
            raise ValueError("lots need at least one way")
        while True:
            text = f"{self._head}{self._drawn}".encode()
            self._drawn += 1
            number = int.from_bytes(sha256(text).digest(), "big")
            if number < _RANGE - _RANGE % limit:
                return number % limit

    def shuffled(self, items: Sequence[T]) -> list[T]:
        """The items in random order (Fisher and Yates 1938, from the last place to the first)."""
        order = list(items)
        for last in range(len(order) - 1, 0, -1):
            other = self.below(last + 1)
            order[last], order[other] = order[other], order[last]
        return order

    def taken(self, items: Sequence[T], count: int) -> list[T]:
        """`count` different items in random order. Raises ValueError when there are too few."""
        if count > len(items):
            raise ValueError("more lots than items")
        return self.shuffled(items)[:count]

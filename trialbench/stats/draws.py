"""Units laid out for redrawing their lots: by cook and block, in an order free of their names."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from trialbench.stats import frames
from trialbench.stats.numbers import BadNumbers, listed, plain

CHUNK = 100_000
"""Draws reckoned at a time."""


@dataclass(frozen=True, slots=True)
class Cook:
    """The units of one cook: scores (units, tasters) with NaN, who has the first method, blocks.

    `place` holds the position of each unit among all.
    """

    scores: NDArray[np.float64]
    first: NDArray[np.bool_]
    blocks: tuple[NDArray[np.intp], ...]
    place: NDArray[np.intp]

    @property
    def ways(self) -> int:
        """Number of draws within the blocks."""
        return math.prod(math.comb(b.size, int(self.first[b].sum())) for b in self.blocks)

    @property
    def equal(self) -> bool:
        """Every block has as many units of one method as of the other."""
        return all(2 * int(self.first[b].sum()) == b.size for b in self.blocks)


@dataclass(frozen=True, slots=True)
class Layout:
    """Cooks in an order that does not depend on names, the first method being the higher one."""

    cooks: tuple[Cook, ...]
    units: int
    scale: float
    label_first: str
    label_second: str

    @property
    def made(self) -> NDArray[np.bool_]:
        """The draw that was made, in the order of the units as they were given."""
        first = np.zeros(self.units, dtype=bool)
        for cook in self.cooks:
            first[cook.place] = cook.first
        return first

    @property
    def ways(self) -> int:
        """Number of draws within all blocks."""
        return math.prod(cook.ways for cook in self.cooks)


def lay_out(
    value: Sequence[object],
    label: Sequence[object],
    block: Sequence[object] | None,
    cook: Sequence[object] | None,
) -> tuple[Layout | None, tuple[str, str]]:
    """Units by cook and block, and the two labels; None where no cook carries both methods.

    Arguments as for `trialbench.stats.redraw`. Raises `BadNumbers`.
    """
    scores = _rows(listed(value, "value"))
    n = len(scores)
    named = _names(label, "label", n)
    blocks = [""] * n if block is None else _names(block, "block", n)
    cooks = blocks if cook is None else _names(cook, "cook", n)
    a, b = frames.two_labels(named)
    of_cook: dict[str, list[int]] = {}
    for i, name in enumerate(cooks):
        of_cook.setdefault(name, []).append(i)
    kept = [
        [_Unit(i, scores[i], named[i] == a, blocks[i]) for i in own]
        for own in of_cook.values()
        if {named[i] for i in own} >= {a, b}
    ]
    kept = [own for own in kept if not math.isnan(_gap(own))]
    if not kept:
        return None, (a, b)
    return _canonical(kept, n, (a, b)), (a, b)


def _names(given: object, where: str, units: int) -> list[str]:
    """One name for each unit."""
    # A text is read by its letters: "ABAB" names four units.
    each = list(given) if isinstance(given, str) else listed(given, where)
    names = frames.names(each)
    if len(names) != units:
        raise BadNumbers(
            f"{len(names)} names for {units} values.", where=where, allowed="one for each value"
        )
    for place, (name, value) in enumerate(zip(names, each, strict=True)):
        # Blocks and cooks may be called "", methods may not.
        if not name and (where == "label" or not isinstance(value, str)):
            raise BadNumbers(
                f"Unit {place + 1} has no name.", where=f"{where}[{place}]", allowed="a name"
            )
    return names


def _rows(value: Sequence[object]) -> list[tuple[float, ...]]:
    """Scores of each unit as one row, NaN where missing; a unit has one number at least."""
    rows: list[tuple[float, ...]] = []
    for i, each in enumerate(value):
        one = isinstance(each, str) or getattr(each, "shape", None) == ()
        cells = list(each) if isinstance(each, Iterable) and not one else [each]
        numbers = [plain(cell, f"value {i}") for cell in cells]
        if all(number is None for number in numbers):
            raise BadNumbers(
                "A unit has no value.", where=f"value {i}", allowed="a number for each unit"
            )
        rows.append(tuple(math.nan if number is None else number for number in numbers))
    if len({len(row) for row in rows}) > 1:
        raise BadNumbers(
            "Units have rows of different length.", where="value", allowed="one length"
        )
    return rows


@dataclass(frozen=True, slots=True)
class _Unit:
    place: int
    scores: tuple[float, ...]
    first: bool
    block: str

    @property
    def content(self) -> tuple[tuple[float, ...], bool]:
        """What the unit is, whatever its name and whoever its tasters are."""
        return tuple(sorted(x for x in self.scores if not math.isnan(x))), self.first


def _gap(units: Sequence[_Unit]) -> float:
    """First less second method in one cook, as drawn."""
    scores = np.array([unit.scores for unit in units])
    first = np.array([[unit.first for unit in units]])
    return float(gaps_of(scores, first)[0])


def _canonical(cooks: list[list[_Unit]], n: int, methods: tuple[str, str]) -> Layout:
    """Order cooks, blocks and units by their content, so that names and row order do not count."""
    first, second = methods
    if math.fsum(_gap(units) for units in cooks) < 0:
        first, second = second, first
        cooks = [[replace(unit, first=not unit.first) for unit in units] for units in cooks]
    ordered = sorted((_by_content(units) for units in cooks), key=_contents)
    numbers = [x for units in cooks for unit in units for x in unit.scores if not math.isnan(x)]
    return Layout(
        tuple(_cook(blocks) for blocks in ordered), n, max(numbers) - min(numbers), first, second
    )


def _by_content(units: Sequence[_Unit]) -> list[list[_Unit]]:
    """The blocks of one cook, blocks and units in order of content."""
    blocks: dict[str, list[_Unit]] = {}
    for unit in units:
        blocks.setdefault(unit.block, []).append(unit)
    own = [sorted(block, key=lambda unit: unit.content) for block in blocks.values()]
    return sorted(own, key=lambda block: [unit.content for unit in block])


def _contents(blocks: list[list[_Unit]]) -> list[list[tuple[tuple[float, ...], bool]]]:
    return [[unit.content for unit in block] for block in blocks]


def _cook(blocks: list[list[_Unit]]) -> Cook:
    units = [unit for block in blocks for unit in block]
    ends = np.cumsum([len(block) for block in blocks])
    return Cook(
        np.array([unit.scores for unit in units]),
        np.array([unit.first for unit in units]),
        tuple(np.arange(end - len(block), end) for end, block in zip(ends, blocks, strict=True)),
        np.array([unit.place for unit in units], dtype=np.intp),
    )


def gaps_of(scores: NDArray[np.float64], first: NDArray[np.bool_]) -> NDArray[np.float64]:
    """D_k of one cook for each row of `first` (draws, units); NaN where no taster has both."""
    there = (~np.isnan(scores)).astype(float)
    filled = np.where(np.isnan(scores), 0.0, scores)
    found = np.empty(len(first))
    for start in range(0, len(first), CHUNK):
        mask = first[start : start + CHUNK].astype(float)
        ones, others = mask @ there, (1 - mask) @ there
        both = (ones > 0) & (others > 0)
        gap = (mask @ filled) / np.maximum(ones, 1) - ((1 - mask) @ filled) / np.maximum(others, 1)
        tasters = both.sum(axis=1)
        total = np.where(both, gap, 0.0).sum(axis=1)
        found[start : start + CHUNK] = np.where(tasters > 0, total / np.maximum(tasters, 1), np.nan)
    return found


def ways_of(cook: Cook) -> NDArray[np.bool_]:
    """Every draw within the blocks of one cook, a row each."""
    rows = np.zeros((1, cook.first.size), dtype=bool)
    for block in cook.blocks:
        chosen = list(itertools.combinations(block.tolist(), int(cook.first[block].sum())))
        own = np.zeros((len(chosen), cook.first.size), dtype=bool)
        for row, places in zip(own, chosen, strict=True):
            row[list(places)] = True
        rows = (rows[:, None, :] | own[None, :, :]).reshape(-1, cook.first.size)
    return rows

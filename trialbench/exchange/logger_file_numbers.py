"""Columns of cells as numbers: decimal points and commas, units in the cell, what is no reading."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trialbench.exchange.logger_file_said import Unit

Floats = NDArray[np.float64]

_VALUE = re.compile(
    r"([+-]?[\d.,'\s\u00a0\u2009\u202f]*\d[.,]?)\s*(?:[°º˚\ufffd]|deg\.?)?\s?([CFK])?",
    re.IGNORECASE,
)
_THOUSANDS = re.compile(r"[+-]?\d{1,3}(?:([.,'\s])\d{3})(?:\1\d{3})*[.,]\d+")
_PLAIN = re.compile(r"[+-]?(\d+([.,]\d*)?|[.,]\d+)")


@dataclass(frozen=True, slots=True, eq=False)
class Numbers:
    """`values` with NaN where a cell holds no number; `missing` are texts of such cells with how
    often and the first place; `units` the unit in each cell, None where no cell has one."""

    values: Floats
    missing: dict[str, tuple[int, int]]
    units: list[Unit | None] | None

    @property
    def count(self) -> int:
        """How many cells hold a number."""
        return int(np.isfinite(self.values).sum())


def numbers(cells: Sequence[str], plain: Floats | None = None) -> Numbers:
    """Read a column. A single point or comma is the decimal sign; where both stand in one cell the
    last is. `plain` are numbers already read, NaN for cells that were not."""
    values = plain_numbers(cells) if plain is None else plain.copy()
    unread = np.flatnonzero(np.isnan(values)).tolist()
    read = {cell: _read(cell) for cell in dict.fromkeys(cells[place] for place in unread)}
    missing: dict[str, tuple[int, int]] = {}
    units: list[Unit | None] = [None] * len(cells)
    for place in unread:
        values[place], units[place] = read[cells[place]]
        if math.isnan(values[place]):
            text = cells[place].strip()
            count, first = missing.get(text, (0, place))
            missing[text] = (count + 1, first)
    return Numbers(values, missing, units if any(unit for _, unit in read.values()) else None)


def plain_numbers(cells: Sequence[str]) -> Floats:
    """The numbers of cells that are all numbers with a point; else NaN for every one of them."""
    try:
        numbers_of = {cell: float(cell) for cell in set(cells)}
    except ValueError:
        return np.full(len(cells), np.nan)
    # float() also takes 1_000, nan and inf
    if not all(map(math.isfinite, numbers_of.values())) or "_" in "".join(numbers_of):
        return np.full(len(cells), np.nan)
    return np.fromiter(map(numbers_of.__getitem__, cells), float, len(cells))


def is_number(cell: str) -> bool:
    """Whether a cell holds a number, with or without a unit of temperature."""
    return not math.isnan(_read(cell)[0])


def _read(cell: str) -> tuple[float, Unit | None]:
    text = cell.strip().replace("\u2212", "-")
    found = _VALUE.fullmatch(text)
    if not found:
        return math.nan, None
    number = found[1].strip()
    if not _PLAIN.fullmatch(number):
        if not _THOUSANDS.fullmatch(number):
            return math.nan, None
        number = re.sub(r"[.,'\s](?=.*[.,])", "", number)
    unit = found[2].upper() if found[2] else None
    return float(number.replace(",", ".")), unit  # type: ignore[return-value]

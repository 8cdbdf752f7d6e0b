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


def numbers(cells: Sequence[str]) -> Numbers:
    """Read a column. A single point or comma is the decimal sign; where both stand in one cell the
    last is."""
    read = {cell: _read(cell) for cell in dict.fromkeys(cells)}
    values = np.array([read[cell][0] for cell in cells], dtype=float)
    places = np.flatnonzero(np.isnan(values))
    missing: dict[str, tuple[int, int]] = {}
    for place in places.tolist():
        text = cells[place].strip()
        count, first = missing.get(text, (0, place))
        missing[text] = (count + 1, first)
    has_units = any(unit for _, unit in read.values())
    return Numbers(values, missing, [read[cell][1] for cell in cells] if has_units else None)


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

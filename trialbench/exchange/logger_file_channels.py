"""Columns that are no time: channels side by side, or one below the other under their names."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from trialbench.exchange import logger_file_headings as headings
from trialbench.exchange.logger_file_numbers import Floats, Numbers, is_number, numbers
from trialbench.exchange.logger_file_said import Unit
from trialbench.exchange.logger_file_time_columns import sampled

_MOST = 0.7
_FEW = 0.05
"""A column with fewer numbers among its filled cells holds words."""
_HEAD = 400
_MOST_CHANNELS = 64


@dataclass(frozen=True, slots=True, eq=False)
class ChannelColumn:
    """Readings of one channel: places in the table's rows, numbers, the unit where one is known."""

    name: str
    places: np.ndarray[tuple[int], np.dtype[np.intp]]
    numbers: Numbers
    unit: Unit | None


class OtherColumns:
    """Columns that are no time: who they are."""

    def __init__(
        self,
        columns: Sequence[Sequence[str]],
        plain: Sequence[Floats],
        names: Sequence[str],
        units_row: Sequence[str] | None,
        time: Sequence[int],
        unit: Unit | None,
    ) -> None:
        self.columns, self.plain, self.names, self.unit = columns, plain, names, unit
        self.units_row = units_row or [""] * len(columns)
        self.others = [n for n in range(len(columns)) if n not in time]
        self.numbers: dict[int, Numbers] = {}

    def channels(
        self,
    ) -> tuple[tuple[ChannelColumn, ...], tuple[str, ...], Literal["wide", "long"], int]:
        """The channels, headings left aside, the layout, and long rows that are no temperature."""
        values = [n for n in self.others if self._holds_readings(n)]
        key = self._key_column(values)
        if key is not None:
            values.remove(key) if key in values else None
        if key is not None and len(values) == 1:
            units = next((n for n in self.others if n != key and self._is_units(n)), None)
            found, others = self._long(key, values[0], units)
            aside = [n for n in self.others if n not in (key, values[0], units)]
            return found, self._headings(aside), "long", others
        wide = tuple(self._wide(values))
        return wide, self._headings([n for n in self.others if n not in values]), "wide", 0

    def _headings(self, places: Sequence[int]) -> tuple[str, ...]:
        named = [self.names[n] or f"column {n + 1}" for n in places
                 if self.names[n] or sampled(self.columns[n])]  # fmt: skip
        return tuple(named)

    def _holds_readings(self, place: int) -> bool:
        name, sample = self.names[place], sampled(self.columns[place])
        unit_cell = self.units_row[place]
        if headings.is_no_temperature(f"{name} {unit_cell}") or headings.is_remark(name):
            return False
        if headings.is_unit_heading(name) or (self._counts(place) and len(self.others) > 1):
            return False
        there = sum(map(is_number, sample))
        if there:
            return there >= _FEW * len(sample)
        every = dict.fromkeys(cell.strip() for cell in self.columns[place])
        if any(map(is_number, every)):
            return True
        return bool(name) and not headings.is_channel(name) and len(every) <= 3 and all(
            len(text) <= 6 for text in every
        ) and not self._is_units(place)  # fmt: skip

    def _counts(self, place: int) -> bool:
        """A running number beside the time."""
        name = self.names[place]
        if not (headings.is_row_number(name) or (place == 0 and not name)):
            return False
        values = numbers(self.columns[place][:_HEAD]).values
        return bool(np.isfinite(values).all() and (np.diff(values) >= 0).all()
                    and (values % 1 == 0).all())  # fmt: skip

    def _is_units(self, place: int) -> bool:
        sample = sampled(self.columns[place])
        known = sum(headings.unit_alone(cell) is not None for cell in sample)
        return bool(sample) and (headings.is_unit_heading(self.names[place])
                                 or known >= _MOST * len(sample))  # fmt: skip

    def _key_column(self, values: Sequence[int]) -> int | None:
        """The column that names the channel of each row in a long layout."""
        if len(values) > 2:
            return None
        for place in self.others:
            name, sample = self.names[place], sampled(self.columns[place])
            if headings.is_remark(name) or self._is_units(place) or not sample:
                continue
            full = len(sample) >= _MOST * min(len(self.columns[place]), _HEAD)
            kinds, beside = len(set(sample)), len([n for n in values if n != place])
            few = kinds <= max(len(sample) // 2, 1) and kinds <= _MOST_CHANNELS
            words = place not in values and not any(map(is_number, sample))
            if full and few and beside == 1 and (words or headings.is_channel(name)):
                return place
        return None

    def _wide(self, places: Sequence[int]) -> list[ChannelColumn]:
        siblings = [self.names[n] for n in places]
        names = headings.without_repeats(
            [headings.name_of(self.names[n], n + 1, siblings) for n in places]
        )
        made = []
        for place, name in zip(places, names, strict=True):
            read = numbers(self.columns[place], self.plain[place])
            unit = (
                headings.unit_of(self.names[place], siblings)
                or headings.unit_alone(self.units_row[place])
                or self.unit
            )
            made.append(ChannelColumn(name, np.arange(len(read.values)), read, unit))
        return made

    def _long(
        self, key: int, value: int, units: int | None
    ) -> tuple[tuple[ChannelColumn, ...], int]:
        keys = [cell.strip() for cell in self.columns[key]]
        heading_unit = headings.unit_of(self.names[value]) or self.unit
        heading = self.names[key].strip()
        places_of: dict[str, list[int]] = {}
        for place, name in enumerate(keys):
            places_of.setdefault(name, []).append(place)
        made, others = [], len(places_of.pop("", []))
        for name, places in places_of.items():
            cells = [self.columns[value][n] for n in places]
            if units is not None:
                written = [self.columns[units][n] for n in places]
                cells = [_with_unit(*pair) for pair in zip(cells, written, strict=True)]
                if not any(map(is_number, cells)) and any(unit.strip() for unit in written):
                    others += len(places)  # humidity, volts
                    continue
            said = f"{heading} {name}" if name.isdigit() and heading else name
            made.append(ChannelColumn(said, np.array(places), numbers(cells), heading_unit))
        return tuple(made), others


def _with_unit(cell: str, unit: str) -> str:
    """A reading with the unit of its row; empty where that is no unit of temperature."""
    if not unit.strip() or not is_number(cell):
        return cell
    known = headings.unit_alone(unit)
    return f"{cell} {known}" if known else ""

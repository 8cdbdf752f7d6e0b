"""A log cut into its parts: headings, time, channels, the rest."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from trialbench.exchange import logger_file_headings as headings
from trialbench.exchange.logger_file_cells import Cells
from trialbench.exchange.logger_file_channels import ChannelColumn, OtherColumns
from trialbench.exchange.logger_file_numbers import is_number
from trialbench.exchange.logger_file_time_columns import TimeColumns, time_columns
from trialbench.exchange.logger_file_times import stamp
from trialbench.model.errors import BadInput

_FIRST, _LAST, _TOP = 8, 2, 4


@dataclass(frozen=True, slots=True, eq=False)
class Table:
    """A log as numbers. `lines` are the numbers of its rows in the file, `heading_rows` the places
    of rows that repeat the headings, `preview` the first and last rows as written.

    `odd`, `cut_short`: lines that are in no row (see `Cells`). `not_temperatures` counts readings
    of a long layout that are none of temperature.
    """

    delimiter: str
    headings: tuple[str, ...]
    preview: tuple[tuple[str, ...], ...]
    lines: NDArray[np.intp]
    heading_rows: NDArray[np.intp]
    preamble: tuple[str, ...]
    trailer: tuple[str, ...]
    odd: tuple[int, ...]
    cut_short: int | None
    time: TimeColumns
    channels: tuple[ChannelColumn, ...]
    layout: Literal["wide", "long"]
    left_aside: tuple[str, ...]
    not_temperatures: int = 0


def table_of(cells: Cells) -> Table:
    """Find the columns. Raises BadInput where no column holds readings."""
    top = [cells.row(place) for place in range(min(len(cells.numbers), _TOP))]
    first = _first_data(top)
    heads = top[:first]
    units_row = heads.pop() if len(heads) > 1 and _is_units_row(heads[-1]) else None
    names = tuple(cell.strip() for cell in heads[-1]) if heads else ("",) * len(cells.columns)
    columns = [column[first:] for column in cells.columns]
    time = time_columns(columns, names)
    last = _last_timed(time, len(columns[0]))
    time = time.first(last)
    unit = headings.unit_in_preamble(cells.preamble)
    seen = OtherColumns(
        [column[:last] for column in columns] if last < len(columns[0]) else columns,
        [values[first : first + last] for values in cells.plain],
        names, units_row, time.columns, unit,
    )  # fmt: skip
    channels, aside, layout, others = seen.channels()
    if not channels:
        raise BadInput(
            "No column of this file holds temperatures.", where="the file",
            allowed="one column of numbers at least, beside the time",
        )  # fmt: skip
    ends = [cells.row(place) for place in range(first + last, len(cells.numbers))]
    extra = tuple(cells.delimiter.join(row) for row in ends)
    timeless = np.flatnonzero(~time.there).tolist()
    again = [place for place in timeless if _same(cells.row(first + place), names)]
    return Table(
        cells.delimiter, names, _preview(cells, first, last),
        np.array(cells.numbers[first:][:last]), np.array(again, dtype=np.intp), cells.preamble,
        (*extra, *cells.trailer), cells.odd, cells.cut_short, time, channels, layout, aside, others,
    )  # fmt: skip


def _same(row: Sequence[str], names: Sequence[str]) -> bool:
    return [cell.strip() for cell in row] == list(names)


def _preview(cells: Cells, first: int, count: int) -> tuple[tuple[str, ...], ...]:
    places = sorted({*range(count)[:_FIRST], *range(count)[-_LAST:]})
    return tuple(tuple(cell.strip() for cell in cells.row(first + n)) for n in places)


def _first_data(rows: Sequence[list[str]]) -> int:
    """The first row that is data: the rows before it are headings."""
    for place, row in enumerate(rows):
        filled = [cell for cell in row if cell.strip()]
        if any(stamp(cell) or is_number(cell) for cell in filled) and not _mostly_words(filled):
            return place
    return 0


def _mostly_words(filled: Sequence[str]) -> bool:
    words = sum(not is_number(cell) and stamp(cell) is None for cell in filled)
    return words > len(filled) / 2 and not any(stamp(cell) for cell in filled)


def _is_units_row(row: Sequence[str]) -> bool:
    filled = [cell for cell in row if cell.strip()]
    return any(headings.unit_alone(cell) for cell in filled) and all(
        headings.unit_alone(cell) or len(cell) <= 10 for cell in filled
    )


def _last_timed(time: TimeColumns, count: int) -> int:
    """One after the last row with a time: what follows is a closing remark."""
    places = np.flatnonzero(time.there)
    return int(places[-1]) + 1 if len(places) else count

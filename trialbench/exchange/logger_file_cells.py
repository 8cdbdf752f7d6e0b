"""Lines to cells: the sign between cells, the width of the log, what stands before and after it."""

from __future__ import annotations

import csv
import re
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from trialbench.exchange.logger_file_column import Column, InLines
from trialbench.exchange.logger_file_numbers import Floats, plain_numbers
from trialbench.exchange.logger_file_text import Text
from trialbench.exchange.logger_file_times import looks_like_time
from trialbench.model.errors import BadInput

DELIMITERS = ("\t", ";", ",", "|")
_SAMPLE = 500
_CHUNK = 4096
"""Lines that are cut at a time."""
_NUMBER = re.compile(r"\s*[+\-\u2212]?(\d+([.,]\d*)?|[.,]\d+)\s*([°º]?\s?[CFK])?\s*")
_SHARE_OF_DATA = 0.5
_HABIT, _SHARE_OF_HABIT = 3, 0.05


@dataclass(frozen=True, slots=True)
class Cells:
    """Lines of the log's width as columns, each line with its number in the file (from 1).

    Headings come first. `plain` are the columns again as numbers, NaN where a cell was not read
    yet: numbers are read while their cells are at hand. `odd` are lines inside the log that have
    another width, `cut_short` is a last line that breaks off.
    """

    delimiter: str
    columns: list[Sequence[str]]
    plain: list[Floats]
    numbers: list[int]
    odd: tuple[int, ...]
    preamble: tuple[str, ...]
    trailer: tuple[str, ...]
    cut_short: int | None

    def row(self, place: int) -> list[str]:
        """One line as cells."""
        return [column[place] for column in self.columns]


def cells_of(text: Text) -> Cells:
    """Cut a text into cells. Raises BadInput where no log is found."""
    places: Sequence[int] = range(len(text.lines))
    lines = text.lines
    if not all(map(str.strip, lines)):
        places = [n for n, line in enumerate(lines) if line.strip()]
        lines = [lines[n] for n in places]
    sample = lines[:: max(len(lines) // _SAMPLE, 1)]
    delimiter, width = _shape(sample)
    cut = _cut_short(_split(lines[-50:], delimiter), width, text.ended)
    count = len(lines) - cut
    shorter = _leaves_off(_split(sample, delimiter), width)
    columns, plain, kept = _collected(lines[:count], delimiter, width, shorter)
    first, begin = _begin(columns, kept)
    odd: tuple[int, ...] = ()
    if kept[-1] - kept[first] != len(kept) - 1 - first:
        found = set(kept)
        odd = tuple(places[n] + 1 for n in range(kept[first], kept[-1]) if n not in found)
    return Cells(
        delimiter=delimiter,
        columns=[column[begin:] for column in columns],
        plain=[values[begin:] for values in plain],
        numbers=[places[n] + 1 for n in kept[begin:]],
        odd=odd,
        preamble=tuple(lines[: kept[begin]]),
        trailer=tuple(lines[kept[-1] + 1 : count]),
        cut_short=places[-1] + 1 if cut else None,
    )


def _collected(
    lines: Sequence[str], delimiter: str, width: int, shorter: bool
) -> tuple[list[Sequence[str]], list[Floats], list[int]]:
    """Columns of the lines that have the log's width, as cells and numbers, and their places."""
    columns: list[list[Sequence[str]]] = [[] for _ in range(width)]
    plain: list[list[Floats]] = [[] for _ in range(width)]
    kept: list[int] = []
    for start in range(0, len(lines), _CHUNK):
        chunk = lines[start : start + _CHUNK]
        even = _is_even(chunk, delimiter, width)
        if even:
            # in one go: millions of short lists would be looked after for nothing
            cells = delimiter.join(chunk).split(delimiter)
            parts = [cells[place::width] for place in range(width)]
            kept.extend(range(start, start + len(chunk)))
        else:
            rows = [_fitted(row, width, shorter) for row in _split(chunk, delimiter)]
            kept.extend(start + n for n, row in enumerate(rows) if row is not None)
            parts = [[row[place] for row in rows if row is not None] for place in range(width)]
        for place, part in enumerate(parts):
            values = plain_numbers(part)
            read = even and not np.isnan(values).any()
            columns[place].append(InLines(chunk, delimiter, place) if read else part)
            plain[place].append(values)
    return [Column(each) for each in columns], [np.concatenate(each) for each in plain], kept


def _is_even(lines: Sequence[str], delimiter: str, width: int) -> bool:
    """Whether all these lines have the log's width and no quotes."""
    if not delimiter.strip(" ") or '"' in "\n".join(lines):
        return False
    return all(line.count(delimiter) == width - 1 for line in lines)


def _begin(columns: Sequence[Sequence[str]], kept: Sequence[int]) -> tuple[int, int]:
    """Places of the first line of data and of the first heading right above it."""
    rows = zip(*columns, strict=True)
    first = next((n for n, row in enumerate(rows) if _is_data(row)), None)
    if first is None:
        raise BadInput(
            "No log was found in this file: no lines of numbers under each other.",
            where="the file", allowed="a time and temperatures on each line, with commas,"
            " semicolons or tabs between them",
        )  # fmt: skip
    begin = first
    while begin and kept[begin - 1] >= kept[first] - 2 and (
        _is_heading([column[begin - 1] for column in columns])
    ):  # fmt: skip
        begin -= 1
    return first, begin


def _shape(lines: Sequence[str]) -> tuple[str, int]:
    """The sign between cells and the usual number of cells: what gives most lines of numbers."""
    best: tuple[float, int, str] = (0.0, 1, "")
    for delimiter in DELIMITERS:
        found = _usual_width(lines, delimiter)
        if found[1] > 1 and found > best[:2]:
            best = (*found, delimiter)
    if best[0] < len(lines) * _SHARE_OF_DATA / 2:
        blanks = _usual_width(lines, " ")
        if blanks[0] > best[0]:
            best = (*blanks, " " if blanks[1] > 1 else "")
    return best[2], best[1]


def _usual_width(lines: Sequence[str], delimiter: str) -> tuple[float, int]:
    """How many lines of data have the usual number of cells, and that number.

    A line counts by the share of its cells that are numbers or times: 45745,99;4,8 is two numbers
    with a semicolon between them, and not three cells with commas.
    """
    shares: dict[int, float] = {}
    for row in _split(lines, delimiter):
        if _is_data(row):
            shares[len(row)] = shares.get(len(row), 0.0) + _share_of_data(row)
    if not shares:
        return 0.0, 1
    width, count = max(shares.items(), key=lambda item: (item[1], item[0]))
    return count, width


def _split(lines: Sequence[str], delimiter: str) -> list[list[str]]:
    if delimiter == "":
        return [[line.strip()] for line in lines]
    if delimiter == " ":
        return [line.split() for line in lines]
    return [
        next(csv.reader([line], delimiter=delimiter)) if '"' in line else line.split(delimiter)
        for line in lines
    ]


def _fitted(row: list[str], width: int, shorter: bool) -> list[str] | None:
    """The row at the log's width: too many empty cells at its end, or (`shorter`) too few."""
    if len(row) == width:
        return row
    if len(row) > width:
        return row[:width] if not any(cell.strip() for cell in row[width:]) else None
    if shorter and len(row) > 1 and _is_data(row):
        return [*row, *[""] * (width - len(row))]
    return None


def _leaves_off(rows: Sequence[list[str]], width: int) -> bool:
    """Whether this file leaves empty cells at the end of a line off, as a habit."""
    narrow = sum(1 < len(row) < width and _is_data(row) for row in rows)
    return narrow >= _HABIT and narrow > len(rows) * _SHARE_OF_HABIT


def _cut_short(rows: list[list[str]], width: int, ended: bool) -> bool:
    """Whether the last line breaks off: no end of line, and fewer cells or decimals than usual."""
    if ended or len(rows) < 3 or not _is_data(rows[-2]):
        return False
    last = rows[-1]
    before = [row for row in rows[-50:-1] if len(row) == width and _is_data(row)]
    if not before or not _starts_like(last, before[-1]):
        return False
    if len(last) < width:
        return True
    decimals = min(_decimals(row[-1]) for row in before)
    return decimals > 0 and _decimals(last[-1]) < decimals and bool(_NUMBER.fullmatch(last[-1]))


def _starts_like(row: list[str], other: list[str]) -> bool:
    """A line that breaks off begins as the others do; a closing remark does not."""
    return bool(row) and bool(row[0][:1].isdigit()) == bool(other[0][:1].isdigit())


def _decimals(cell: str) -> int:
    found = re.search(r"[.,](\d+)\s*$", cell)
    return len(found[1]) if found else 0


def _is_data(row: Sequence[str]) -> bool:
    """A line of a log: a time and a number, or numbers in half of its cells."""
    filled, numbers, times = _kinds(row)
    if filled < 2:
        return numbers == 1
    enough = times > 0 or numbers >= filled * _SHARE_OF_DATA
    return enough and numbers + times > 1


def _share_of_data(row: Sequence[str]) -> float:
    filled, numbers, times = _kinds(row)
    return (numbers + times) / filled


def _kinds(row: Sequence[str]) -> tuple[int, int, int]:
    """How many cells are filled, hold a number, hold a time."""
    filled = [cell for cell in row if cell.strip()]
    numbers = sum(bool(_NUMBER.fullmatch(cell)) for cell in filled)
    return len(filled), numbers, sum(looks_like_time(cell) for cell in filled)


def _is_heading(row: Sequence[str]) -> bool:
    """A line of names, or of units under them: hardly a number in it."""
    filled = [cell for cell in row if cell.strip()]
    numbers = sum(bool(_NUMBER.fullmatch(cell)) for cell in filled)
    return len(filled) > 0 and numbers < len(filled)

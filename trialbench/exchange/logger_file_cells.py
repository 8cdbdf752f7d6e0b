"""Lines to cells: the sign between cells, the width of the log, what stands before and after it."""

from __future__ import annotations

import csv
import re
from collections.abc import Sequence
from dataclasses import dataclass

from trialbench.exchange.logger_file_text import Text
from trialbench.exchange.logger_file_times import looks_like_time
from trialbench.model.errors import BadInput

DELIMITERS = ("\t", ";", ",", "|")
_SAMPLE = 2000
_NUMBER = re.compile(r"\s*[+\-\u2212]?(\d+([.,]\d*)?|[.,]\d+)\s*([°º]?\s?[CFK])?\s*")
_SHARE_OF_DATA = 0.5
_HABIT, _SHARE_OF_HABIT = 3, 0.05


@dataclass(frozen=True, slots=True)
class Cells:
    """Lines of the log's width, each with its number in the file (from 1), and the others.

    `odd` are lines inside the log that have another width.
    """

    delimiter: str
    width: int
    rows: list[list[str]]
    numbers: list[int]
    odd: tuple[int, ...]
    preamble: tuple[str, ...]
    trailer: tuple[str, ...]
    cut_short: int | None


def cells_of(text: Text) -> Cells:
    """Cut a text into cells. Raises BadInput where no log is found."""
    lines = [(n, line) for n, line in enumerate(text.lines, start=1) if line.strip()]
    delimiter, width = _shape([line for _, line in _sampled(lines)])
    rows = _split([line for _, line in lines], delimiter)
    cut = _cut_short(rows, width, text.ended)
    if cut:
        rows.pop()
    shorter = _leaves_off(rows, width)
    fitted = [_fitted(row, width, shorter) for row in rows]
    inside = [n for n, row in enumerate(fitted) if row is not None]
    first = next((n for n in inside if _is_data(fitted[n] or [])), None)
    if first is None:
        raise BadInput(
            "No log was found in this file: no lines of numbers under each other.",
            where="the file", allowed="a time and temperatures on each line, with commas,"
            " semicolons or tabs between them",
        )  # fmt: skip
    last = inside[-1]
    kept = [n for n in inside if n >= max(first - 2, 0)]
    head = {n for n in kept if n < first and not _is_heading(fitted[n] or [])}
    kept = [n for n in kept if n not in head]
    odd = tuple(lines[n][0] for n in range(first, last) if fitted[n] is None)
    return Cells(
        delimiter, width, [fitted[n] or [] for n in kept], [lines[n][0] for n in kept], odd,
        tuple(lines[n][1] for n in range(first) if n not in kept),
        tuple(line for _, line in lines[last + 1 : len(rows)]),
        lines[-1][0] if cut else None,
    )  # fmt: skip


def _sampled(lines: Sequence[tuple[int, str]]) -> Sequence[tuple[int, str]]:
    step = max(len(lines) // _SAMPLE, 1)
    return lines[::step]


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
    last, before = rows[-1], [row for row in rows[-50:-1] if len(row) == width]
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

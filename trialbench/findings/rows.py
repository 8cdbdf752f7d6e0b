"""A table as rows of one score each: names as text, unit and pair found, repeats told apart."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace

from trialbench.findings.question import AnalysisQuestion, Columns
from trialbench.stats import frames
from trialbench.stats.numbers import BadNumbers, mean
from trialbench.stats.taster_rows import NOBODY, UnitScore

UNNAMED_TASTER = "the taster"
"""Who tasted where servings are told apart and no column names a taster: one person."""
ONLY = ("", "")
"""The unit of a method that names neither pieces nor loads."""
UnitName = tuple[str, str]
"""What the unit is ("load", "piece" or "" for the only one) and its name."""


@dataclass(frozen=True, slots=True)
class Row:
    """One score or measurement with everything that names it; `unit` as in `UnitName`."""

    cook: str
    method: str
    unit: UnitName
    piece: str
    pair: str
    taster: str
    serving: str
    value: float


@dataclass(frozen=True, slots=True)
class Rows:
    """The rows of the two compared methods that hold a value, in an order of their own.

    `missing` counts values that are not there, `repeats` rows that are alike in every name.
    `cooks_in` is the number of cooks with any value.
    """

    a: str
    b: str
    rows: tuple[Row, ...]
    missing: int
    repeats: int
    cooks_in: int
    measured: bool
    names_pieces: bool
    names_loads: bool

    def of_cook(self, cook: str) -> Rows:
        """The rows of one cook."""
        return replace(self, rows=tuple(row for row in self.rows if row.cook == cook))

    def unit_scores(self) -> list[UnitScore]:
        """One score per cook, method, unit and taster: mean of repeats, then of a load's pieces."""
        servings: dict[tuple[str, str, UnitName, str, str], list[float]] = defaultdict(list)
        for row in self.rows:
            key = (row.cook, row.method, row.unit, row.taster, row.piece)
            servings[key].append(row.value)
        pieces: dict[tuple[str, str, UnitName, str], list[float]] = defaultdict(list)
        for (cook, method, unit, taster, _), values in servings.items():
            pieces[cook, method, unit, taster].append(mean(values))
        return sorted(
            (
                UnitScore(cook, method, "\0".join(unit), taster, mean(values))
                for (cook, method, unit, taster), values in pieces.items()
            ),
            key=lambda each: (each.cook, each.method, each.unit, each.taster),
        )

    def cooks_with_both(self) -> list[str]:
        """Cooks in which both methods have a value."""
        methods: dict[str, set[str]] = defaultdict(set)
        for row in self.rows:
            methods[row.cook].add(row.method)
        return sorted(cook for cook, there in methods.items() if len(there) == 2)


def read(table: frames.Frame, question: AnalysisQuestion) -> Rows:
    """Read a table with the columns the question names.

    Raises `BadNumbers` for a missing column or name, text for a number, one method only, more than
    two methods without `compare`, rows alike in all named columns, and a piece in two loads or
    pairs of one cook.
    """
    columns = question.columns
    values = frames.numbers(table, columns.value)
    names = {role: _names(table, columns, role, len(values)) for role in _ROLES}
    for row, (method, value) in enumerate(zip(names["method"], values, strict=True), start=1):
        if value is not None:
            _require(method, columns.method, row, "method")
    a, b = frames.two_labels(names["method"], question.compare)
    records: list[tuple[int, tuple[str, ...], float | None]] = [
        (i + 1, key, value)
        for i, (*key_, value) in enumerate(
            zip(*(names[role] for role in _ROLES), values, strict=True)
        )
        if (key := tuple(key_))[0] in (a, b)
    ]
    kept = [(row, key, value) for row, key, value in records if value is not None]
    _check_names(kept, columns)
    repeats = _check_repeats(kept)
    loads = _one_of(kept, _ROLES.index("load"), columns.load)
    pairs = _one_of(kept, _ROLES.index("pair"), columns.pair)
    rows = [_row(key, value, loads, pairs) for _, key, value in kept]
    return Rows(
        a,
        b,
        tuple(sorted(rows, key=_order)),
        len(records) - len(kept),
        repeats,
        len({row.cook for row in rows}),
        columns.measured,
        columns.piece is not None,
        columns.load is not None,
    )


_ROLES = ("method", "cook", "piece", "load", "pair", "taster", "serving")


def _order(row: Row) -> tuple[object, ...]:
    return (row.cook, row.method, row.unit, row.piece, row.taster, row.serving, row.value)


def _names(table: frames.Frame, columns: Columns, role: str, n: int) -> list[str]:
    name = getattr(columns, role)
    if name is not None:
        return frames.labels(table, name)
    alone = role == "taster" and not columns.measured
    return [UNNAMED_TASTER if alone else NOBODY] * n


def _check_names(kept: Sequence[tuple[int, tuple[str, ...], float]], columns: Columns) -> None:
    """A value must say which cook, taster and piece (or load) it belongs to."""
    for row, key, _ in kept:
        named = dict(zip(_ROLES, key, strict=True))
        for role in ("cook", "taster"):
            _require(named[role], getattr(columns, role), row, role)
        if columns.piece is not None and not named["load"]:
            _require(named["piece"], columns.piece, row, "piece")


def _require(text: str, column: str | None, row: int, role: str) -> None:
    if column is not None and not text:
        raise BadNumbers(
            f"Row {row} has a value and no {role} in column {column!r}.",
            where=f"row {row}, column {column}",
            allowed=f"the name of a {role}, or no value",
        )


def _check_repeats(kept: Sequence[tuple[int, tuple[str, ...], float]]) -> int:
    """Refuse rows that agree in every named column; count those that differ in the value only."""
    seen: dict[tuple[tuple[str, ...], float], int] = {}
    for row, key, value in kept:
        first = seen.setdefault((key, value), row)
        if first != row:
            raise BadNumbers(
                f"Rows {first} and {row} agree in every named column.",
                where=f"rows {first} and {row}",
                allowed="one row for each score; name the column that tells servings apart, or"
                " take one row out",
            )
    return len(kept) - len({key for _, key, _ in kept})


def _one_of(
    kept: Sequence[tuple[int, tuple[str, ...], float]], role: int, column: str | None
) -> dict[tuple[str, str, str], str]:
    """The load (or pair) of each named (cook, method, piece): one, also where a row is silent."""
    found: dict[tuple[str, str, str], str] = {}
    for row, key, _ in kept:
        piece = (key[1], key[0], key[2])
        if column is None or not key[role] or not key[2]:
            continue
        before = found.setdefault(piece, key[role])
        if before != key[role]:
            raise BadNumbers(
                f"Row {row}: piece {key[2]!r} is in {column} {before!r} and {key[role]!r}.",
                where=f"row {row}, column {column}",
                allowed="one for each piece of a cook and method",
            )
    return found


def _row(
    key: tuple[str, ...],
    value: float,
    loads: dict[tuple[str, str, str], str],
    pairs: dict[tuple[str, str, str], str],
) -> Row:
    method, cook, piece, load, pair, taster, serving = key
    load = load or loads.get((cook, method, piece), "")
    pair = pair or pairs.get((cook, method, piece), "")
    unit = ("load", load) if load else ("piece", piece) if piece else ONLY
    return Row(cook, method, unit, piece, pair, taster, serving, value)

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

    def of_pair(self, a: str, b: str) -> Rows:
        """The rows of two of several methods; what is missing is counted for all of them alone."""
        own = tuple(row for row in self.rows if row.method in (a, b))
        return replace(self, a=a, b=b, rows=own, missing=0, repeats=0)

    @property
    def methods(self) -> tuple[str, ...]:
        """The methods that have a value, sorted as text."""
        return tuple(sorted({row.method for row in self.rows}))

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
    records = _records(table, columns)
    a, b = frames.two_labels([key[0] for _, key, _ in records], question.compare)
    return _rows([each for each in records if each[1][0] in (a, b)], columns, (a, b))


def read_methods(table: frames.Frame, columns: Columns) -> Rows:
    """Read a table of two methods or more; `a` and `b` are the first and the last of them.

    Raises `BadNumbers` as `read` does, and for one method only.
    """
    records = _records(table, columns)
    methods = sorted({key[0] for _, key, value in records if value is not None})
    if len(methods) < 2:
        raise BadNumbers(
            f"There is {len(methods)} method with numbers.",
            where=f"column {columns.method}",
            allowed="two methods or more",
        )
    return _rows(records, columns, (methods[0], methods[-1]))


_Record = tuple[int, tuple[str, ...], float | None]
"""A row's number from 1, its names in the order of `_ROLES`, and its value."""


def _records(table: frames.Frame, columns: Columns) -> list[_Record]:
    values = frames.numbers(table, columns.value)
    names = {role: _names(table, columns, role, len(values)) for role in _ROLES}
    for row, (method, value) in enumerate(zip(names["method"], values, strict=True), start=1):
        if value is not None:
            _require(method, columns.method, row, "method")
    keyed = zip(*(names[role] for role in _ROLES), values, strict=True)
    return [(row, tuple(key), value) for row, (*key, value) in enumerate(keyed, start=1)]


def _rows(records: Sequence[_Record], columns: Columns, methods: tuple[str, str]) -> Rows:
    a, b = methods
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

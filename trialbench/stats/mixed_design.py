"""From a frame, a formula and grouping columns to the arrays of a mixed model."""

from __future__ import annotations

import re
import warnings
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt
import pandas as pd
from formulaic import Formula
from scipy import linalg, sparse

from trialbench.stats import frames
from trialbench.stats.frames import Frame, same_length
from trialbench.stats.frames import column as column_of
from trialbench.stats.mixed_columns import read_columns
from trialbench.stats.mixed_reml import Array, CrossProducts
from trialbench.stats.numbers import LARGEST, BadNumbers, one_text, shown

GROUPING = 'columns, or columns joined as in "taster:method"'
_EXAMPLE = 'for instance "score ~ method"'
_DEPENDENT = 1e-9
"""A column whose part beyond the earlier ones is below this share of it follows from them."""


@dataclass(frozen=True, slots=True)
class Grouping:
    """A grouping column or combination: level number of each row (n,), number of levels."""

    name: str
    codes: npt.NDArray[np.intp]
    levels: int


@dataclass(frozen=True, slots=True)
class FixedPart:
    """Fixed columns: all of them (n, all), which are `kept`, and their factorisation.

    columns[:, kept] = orthonormal @ triangle. `follows` (kept, dropped) gives each dropped column
    from the kept ones.
    """

    columns: Array
    names: tuple[str, ...]
    kept: tuple[int, ...]
    orthonormal: Array
    triangle: Array
    follows: Array

    @property
    def kept_names(self) -> tuple[str, ...]:
        """Names of the columns that are estimated."""
        return tuple(self.names[place] for place in self.kept)

    @property
    def dropped_names(self) -> tuple[str, ...]:
        """Names of the columns that follow from earlier ones."""
        return tuple(name for place, name in enumerate(self.names) if place not in self.kept)

    def estimable(self, rows: Array) -> npt.NDArray[np.bool_]:
        """Which rows (m, all) have a value in spite of the dropped columns."""
        dropped = [place for place in range(len(self.names)) if place not in self.kept]
        off = rows[:, dropped] - rows[:, list(self.kept)] @ self.follows
        size = np.abs(rows).max(axis=1, initial=1.0)
        return np.asarray((np.abs(off) <= 1e-7 * size[:, None]).all(axis=1))


@dataclass(frozen=True, slots=True)
class Design:
    """One mixed model's data: y (n,), fixed part, groupings, rows used and parsed formula."""

    y: Array
    fixed: FixedPart
    groupings: tuple[Grouping, ...]
    frame: pd.DataFrame
    spec: Any
    missing: int

    def matrix_on(self, frame: pd.DataFrame) -> Array:
        """The fixed columns (rows, all) at other values of the variables."""
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            return np.asarray(self.spec.get_model_matrix(frame, context={}), dtype=float)


def read_design(frame: Frame, fixed: str, random: Sequence[str]) -> Design:
    """Rows with a missing value in any used column are left out and counted.

    Raises `BadNumbers` for an unreadable formula, a missing column, text where numbers belong.
    """
    formula = _parse(one_text(fixed, "fixed", _EXAMPLE))
    grouping_columns = [_parts(term) for term in random]
    required = {str(name) for name in formula.required_variables}
    variables = sorted(required | columns_in(formula.rhs, frames.names_in(frame)))
    used = list(
        dict.fromkeys([*variables, *(part for parts in grouping_columns for part in parts)])
    )
    table = read_columns(_table(frame, used), outcome=str(formula.lhs))
    kept = _complete(table)
    y, matrix = _materialise(formula, kept)
    columns = np.asarray(matrix, dtype=float)
    names = tuple(str(name) for name in matrix.model_spec.column_names)
    groupings = tuple(
        _grouping(kept, term, parts) for term, parts in zip(random, grouping_columns, strict=True)
    )
    missing = len(table) - len(kept)
    return Design(y, _fixed_part(columns, names), groupings, kept, matrix.model_spec, missing)


def columns_in(terms: Any, there: Sequence[object]) -> set[str]:
    """Which of the columns `there` the terms speak of, inside functions such as poly(x, 2) too."""
    said = [str(factor) for term in terms for factor in term.factors]
    return {
        name
        for name in there
        if isinstance(name, str) and any(speaks_of(text, name) for text in said)
    }


def speaks_of(expression: str, name: str) -> bool:
    """Whether the name stands in the expression by itself."""
    return re.search(rf"(?<![\w.]){re.escape(name)}(?!\w)", expression) is not None


def _table(frame: Frame, used: Sequence[str]) -> pd.DataFrame:
    """The used columns; each is there once, and from a mapping they are equally long."""
    columns = {name: column_of(frame, name) for name in used}
    if isinstance(frame, pd.DataFrame):
        return frame[list(used)].reset_index(drop=True)
    same_length(columns)
    return pd.DataFrame(columns)


def _complete(table: pd.DataFrame) -> pd.DataFrame:
    kept = table.dropna().reset_index(drop=True)
    if kept.empty:
        raise BadNumbers("No row has every value.", where="frame", allowed="complete rows")
    for name in kept.columns:
        if isinstance(kept[name].dtype, pd.CategoricalDtype):
            kept[name] = kept[name].cat.remove_unused_categories()
    return kept


def _parse(fixed: str) -> Any:
    # A formula holds Python of its own, which may fail in any way.
    try:
        formula = Formula(fixed)
    except Exception as error:
        raise BadNumbers(
            f"The formula {shown(fixed)} cannot be read: {_said(error)}",
            where="fixed",
            allowed=_EXAMPLE,
        ) from None
    if not hasattr(formula, "lhs") or len(formula.lhs) != 1:
        raise BadNumbers(
            f"The formula {shown(fixed)} does not name one outcome on its left.",
            where="fixed",
            allowed=_EXAMPLE,
        )
    if isinstance(formula.rhs, tuple) or not len(formula.rhs):
        raise BadNumbers(
            f"The formula {shown(fixed)} has no fixed part, or several.",
            where="fixed",
            allowed=_EXAMPLE,
        )
    return formula


def _said(error: Exception) -> str:
    """The first line of what a formula's error says."""
    lines = str(error).splitlines() or [type(error).__name__]
    return lines[0] if len(lines[0]) <= 200 else f"{lines[0][:197]}..."


def _parts(term: str) -> list[str]:
    parts = [part.strip() for part in term.split(":")]
    if not all(parts):
        raise BadNumbers(
            f"The grouping {term!r} cannot be read.",
            where="random",
            allowed=GROUPING,
        )
    return parts


def _materialise(formula: Any, table: pd.DataFrame) -> tuple[Array, Any]:
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            left = formula.lhs.get_model_matrix(table, context={})
            matrix = formula.rhs.get_model_matrix(table, context={})
    except Exception as error:
        raise BadNumbers(
            f"The formula cannot be worked out: {_said(error)}",
            where="fixed",
            allowed="columns of the frame and numpy's functions",
        ) from None
    if left.shape[1] != 1:
        _refuse_text(table, str(formula.lhs))
    y = np.asarray(left, dtype=float)[:, 0]
    for part, values in (("outcome", y), ("fixed part", np.asarray(matrix, dtype=float))):
        if len(values) != len(table) or not (np.abs(values) <= LARGEST).all():
            raise BadNumbers(
                f"The {part} is not a finite number in every row.",
                where="fixed",
                allowed="a number up to 1e100",
            )
    return y, matrix


def _refuse_text(table: pd.DataFrame, name: str) -> None:
    values = table[name] if name in table.columns else pd.Series(dtype=object)
    for row, value in enumerate(values, start=1):
        try:
            float(value)
        except (TypeError, ValueError):
            raise BadNumbers(
                f"{value!r} is not a number.", where=f"column {name}, row {row}", allowed="a number"
            ) from None
    raise BadNumbers(
        f"The outcome {name!r} is not one column of numbers.", where="fixed",
        allowed="one column of numbers",
    )  # fmt: skip


def _grouping(table: pd.DataFrame, name: str, parts: Sequence[str]) -> Grouping:
    codes = np.zeros(len(table), dtype=np.intp)
    for part in parts:
        own, levels = pd.factorize(table[part])
        codes = codes * max(len(levels), 1) + own
    together, levels_there = pd.factorize(codes)
    return Grouping(name, together.astype(np.intp), len(levels_there))


def _fixed_part(columns: Array, names: tuple[str, ...]) -> FixedPart:
    lengths = np.linalg.norm(columns, axis=0)
    lengths[lengths == 0.0] = 1.0
    orthonormal, triangle = np.linalg.qr(columns / lengths)
    kept = list(range(columns.shape[1]))
    if columns.shape[1] > columns.shape[0] or np.abs(np.diagonal(triangle)).min() < _DEPENDENT:
        kept = _independent(columns / lengths)
        orthonormal, triangle = np.linalg.qr(columns[:, kept] / lengths[kept])
    dropped = [place for place in range(columns.shape[1]) if place not in kept]
    triangle = triangle * lengths[kept]
    follows = linalg.solve_triangular(triangle, orthonormal.T @ columns[:, dropped])
    return FixedPart(columns, names, tuple(kept), orthonormal, triangle, follows)


def _independent(columns: Array) -> list[int]:
    """Places of the columns that do not follow from earlier ones (Gram-Schmidt, twice)."""
    basis = np.zeros((columns.shape[0], 0))
    kept = []
    for place, column in enumerate(columns.T):
        rest = column - basis @ (basis.T @ column)
        rest = rest - basis @ (basis.T @ rest)
        size = float(np.linalg.norm(rest))
        if size > _DEPENDENT:
            basis = np.column_stack([basis, rest / size])
            kept.append(place)
    return kept


def cross_products(design: Design) -> CrossProducts:
    """Cross products of the orthonormal fixed columns, the groupings and the centred outcome."""
    x = design.fixed.orthonormal
    residual = design.y - x @ (x.T @ design.y)
    residual = residual - x @ (x.T @ residual)
    sizes = np.array([group.levels for group in design.groupings], dtype=np.intp)
    starts = (np.cumsum(sizes) - sizes).astype(np.intp)
    n = len(design.y)
    if not sizes.size:
        empty = np.zeros((0, x.shape[1]))
        return CrossProducts(n, np.zeros((0, 0)), empty, np.zeros(0), x.T @ residual,
                             float(residual @ residual), starts, sizes)  # fmt: skip
    effects = np.concatenate(
        [group.codes + start for group, start in zip(design.groupings, starts, strict=True)]
    )
    rows = np.tile(np.arange(n), len(sizes))
    z = sparse.csr_matrix((np.ones(len(rows)), (effects, rows)), shape=(int(sizes.sum()), n))
    return CrossProducts(n, (z @ z.T).toarray(), z @ x, z @ residual, x.T @ residual,
                         float(residual @ residual), starts, sizes)  # fmt: skip

"""Columns of a mixed model's data: numbers as floats, everything else as text or as categories."""

from __future__ import annotations

from typing import Any

import numpy as np
import pandas as pd

from trialbench.stats import frames
from trialbench.stats.numbers import LARGEST

_QUICK = (np.dtype("int64"), np.dtype("float64"))
_Column = Any
"""A pandas Series: of whatever it is."""


def read_columns(table: pd.DataFrame, outcome: str) -> pd.DataFrame:
    """Each column as the model takes it, NaN where missing; the `outcome` always as numbers.

    Columns of numbers, also as objects, become numbers; texts (without outer blanks), truth values
    and dates become text, "" missing; categories stay and keep their order. Raises `BadNumbers` for
    infinities, complex numbers and numbers beyond 1e100, with their row.
    """
    return pd.DataFrame({
        name: _numbers(table[name], name) if name == outcome else _column(table[name], name)
        for name in table.columns
    })  # fmt: skip


def _numbers(column: _Column, name: str) -> _Column:
    return pd.Series(frames.numbers({name: column}, name), dtype=float)


def _column(column: _Column, name: str) -> _Column:
    kinds = pd.api.types
    if isinstance(column.dtype, pd.CategoricalDtype):
        return _categories(column)
    if kinds.is_numeric_dtype(column.dtype) and not kinds.is_bool_dtype(column.dtype):
        quick = isinstance(column.dtype, np.dtype) and column.dtype in _QUICK
        if quick and (column.isna() | (column.abs() <= LARGEST)).all():
            return column
        return _numbers(column, name)
    there = [value for value in column if not frames.is_missing(value)]
    if there and frames.all_numbers(there):
        return _numbers(column, name)
    return pd.Series([text or None for text in frames.names(column)], dtype=object)


def _categories(column: _Column) -> _Column:
    """The categories as they are, blank ones missing; as text where two are the same text."""
    levels = list(column.cat.categories)
    texts = frames.names(levels)
    if len(set(texts)) < len(texts):
        return _column(column.astype(object), str(column.name))
    blank = [level for level, text in zip(levels, texts, strict=True) if not text]
    return column.cat.remove_categories(blank) if blank else column

"""Rows of ordered answers as numbers for their likelihood."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from trialbench.model.message import Message, msg, msg_n
from trialbench.stats import frames
from trialbench.stats.not_applicable import NotApplicable
from trialbench.stats.numbers import BadNumbers, one_text


@dataclass(frozen=True)
class OrdinalDesign:
    """Categories 0 upward, the design (n, p) without intercept, the terms' names, the tasters."""

    category: NDArray[np.int64]
    categories: tuple[str, ...]
    design: NDArray[np.float64]
    terms: tuple[str, ...]
    taster: NDArray[np.int64] | None
    tasters: int | None
    notes: tuple[Message, ...]


def read_ordinal(
    frame: frames.Frame, fixed: str, random: str | None
) -> OrdinalDesign | NotApplicable:
    """Read the rows that are complete. Raises `BadNumbers` for formulas that do not fit."""
    from formulaic import Formula
    from formulaic.errors import FormulaicError

    one_text(fixed, "fixed", "answer ~ method")
    if fixed.count("~") != 1:
        raise BadNumbers(f"{fixed!r} is no formula.", where="fixed", allowed="answer ~ method")
    answer, right = (part.strip() for part in fixed.split("~"))
    try:
        used = sorted(Formula(right).required_variables)
    except FormulaicError as trouble:
        raise BadNumbers(str(trouble), where="fixed", allowed="answer ~ method") from None
    named = [answer, *used, *([random] if random else [])]
    columns = {name: frames.column(frame, name) for name in named}
    frames.same_length(columns)
    table = pd.DataFrame(columns)
    table[answer] = frames.numbers(frame, answer)
    complete = table.dropna().reset_index(drop=True)
    lost = len(table) - len(complete)
    notes = () if not lost else (msg_n(
        "{count} row has a missing value and is left out.",
        "{count} rows have a missing value and are left out.",
        lost,
    ),)  # fmt: skip
    if complete.empty or complete[answer].nunique() < 2:
        return NotApplicable(msg("All answers are in one category."))
    design, terms = _design(complete, right, used)
    levels, category = np.unique(complete[answer].to_numpy(dtype=float), return_inverse=True)
    taster = np.unique(complete[random].astype(str), return_inverse=True)[1] if random else None
    if taster is not None:
        order = np.argsort(taster, kind="stable")
        category, design, taster = category[order], design[order], taster[order]
    return OrdinalDesign(
        category=category.astype(np.int64), categories=tuple(f"{level:g}" for level in levels),
        design=design, terms=terms, taster=taster,
        tasters=int(taster.max()) + 1 if taster is not None else None, notes=notes,
    )  # fmt: skip


def _design(
    table: pd.DataFrame, right: str, used: list[str]
) -> tuple[NDArray[np.float64], tuple[str, ...]]:
    from formulaic import model_matrix

    for name in used:
        if not pd.api.types.is_numeric_dtype(table[name]):
            table[name] = table[name].astype(str)
    matrix = model_matrix(right, table)
    kept = [name for name in matrix.columns if name != "Intercept"]
    design = np.asarray(matrix[kept], dtype=float)
    centred = design - design.mean(axis=0)
    if kept and np.linalg.matrix_rank(centred) < len(kept):
        raise BadNumbers(
            "Two terms of the formula cannot be told apart in these rows.", where="fixed",
            allowed="terms that differ",
        )  # fmt: skip
    return design, tuple(kept)

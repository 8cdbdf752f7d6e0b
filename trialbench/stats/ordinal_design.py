"""Rows of ordered answers as numbers for their likelihood."""

from __future__ import annotations

import warnings
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from trialbench.model.message import Message, msg, msg_n
from trialbench.stats import frames
from trialbench.stats.not_applicable import NotApplicable
from trialbench.stats.numbers import BadNumbers, one_text, shown

MOST_CATEGORIES = 100
"""Each category takes a threshold of its own: more of them are numbers, not ordered answers."""


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

    @cached_property
    def _units(self) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """What is taken off each column and what it is divided by, where its unit is far off 1."""
        centre, scale = self.design.mean(axis=0), self.design.std(axis=0)
        near = (scale > 0.1) & (scale < 10) & (np.abs(centre) < 10)
        return np.where(near, 0.0, centre), np.where(near, 1.0, scale)

    @property
    def scaled(self) -> NDArray[np.float64]:
        """The design in units in which the search for the top works."""
        centre, scale = self._units
        return np.asarray((self.design - centre) / scale)

    def back(self, size: int) -> NDArray[np.float64]:
        """Turns `size` estimates (thresholds, coefficients, the rest) into those of the design."""
        centre, scale = self._units
        result = np.eye(size)
        first, last = len(self.categories) - 1, len(self.categories) - 1 + len(scale)
        result[range(first, last), range(first, last)] = 1 / scale
        result[:first, first:last] = centre / scale
        return result


def read_ordinal(
    frame: frames.Frame, fixed: str, random: str | None
) -> OrdinalDesign | NotApplicable:
    """Read the rows that are complete. Raises `BadNumbers` for formulas that do not fit."""
    answer, formula, used = _read_formula(fixed)
    columns = {name: _column(frame, name) for name in used}
    columns[answer] = list(frames.numbers(frame, answer))
    taster = None if random is None else frames.labels(frame, random)
    frames.same_length(columns if taster is None else {**columns, str(random): list(taster)})
    there = [place for place in range(len(columns[answer]))
             if all(own[place] is not None for own in columns.values())
             and (taster is None or taster[place])]  # fmt: skip
    lost = len(columns[answer]) - len(there)
    notes = () if not lost else (msg_n(
        "{count} row has a missing value and is left out.",
        "{count} rows have a missing value and are left out.",
        lost,
    ),)  # fmt: skip
    complete = pd.DataFrame({name: [own[i] for i in there] for name, own in columns.items()})
    levels, category = np.unique(complete[answer].to_numpy(dtype=float), return_inverse=True)
    if len(levels) < 2:
        return NotApplicable(msg("All answers are in one category."))
    if len(levels) > MOST_CATEGORIES:
        raise BadNumbers(f"{len(levels)} different answers.", where=f"column {answer}",
                         allowed=f"2 to {MOST_CATEGORIES} ordered answers")  # fmt: skip
    design, terms = _design(complete, formula)
    return _in_order(category.astype(np.int64), levels, (design, terms),
                     None if taster is None else [taster[i] for i in there], notes)  # fmt: skip


def _in_order(
    category: NDArray[np.int64], levels: NDArray[np.float64],
    fixed: tuple[NDArray[np.float64], tuple[str, ...]], names: list[str] | None,
    notes: tuple[Message, ...],
) -> OrdinalDesign:  # fmt: skip
    """The rows of each taster together."""
    design, terms = fixed
    taster = None
    if names is not None:
        taster = np.unique(names, return_inverse=True)[1]
        order = np.argsort(taster, kind="stable")
        category, design, taster = category[order], design[order], taster[order]
    return OrdinalDesign(
        category=category, categories=tuple(f"{level:g}" for level in levels),
        design=design, terms=terms, taster=taster,
        tasters=int(taster.max()) + 1 if taster is not None else None, notes=notes,
    )  # fmt: skip


def _read_formula(fixed: str) -> tuple[str, Any, list[str]]:
    """The answer, the right side, and the columns it uses."""
    from formulaic import Formula, SimpleFormula
    from formulaic.errors import FormulaicError

    allowed = "answer ~ method"
    if one_text(fixed, "fixed", allowed).count("~") != 1:
        raise BadNumbers(f"{shown(fixed)} is no formula.", where="fixed", allowed=allowed)
    answer, right = (part.strip() for part in fixed.split("~"))
    try:
        formula = Formula(right)
        used = sorted(str(name) for name in formula.required_variables)
    except (FormulaicError, SyntaxError, ValueError, TypeError) as trouble:
        said = f"{shown(fixed)} cannot be read: {_first_sentence(trouble)}."
        raise BadNumbers(said, where="fixed", allowed=allowed) from None
    if not isinstance(formula, SimpleFormula) or not right:
        raise BadNumbers(f"{shown(fixed)} is no formula.", where="fixed", allowed=allowed)
    return answer, formula, used


def _first_sentence(trouble: Exception) -> str:
    return (str(trouble).splitlines() or [""])[0].split(". ")[0].rstrip(".")[:200]


def _column(frame: frames.Frame, name: str) -> list[object]:
    """Numbers where all are numbers, else names; None where missing."""
    values = frames.column(frame, name)
    there = [value for value, text in zip(values, frames.names(values), strict=True) if text]
    if frames.all_numbers(there):
        return list(frames.numbers(frame, name))
    return [text or None for text in frames.names(values)]


def _design(table: pd.DataFrame, formula: Any) -> tuple[NDArray[np.float64], tuple[str, ...]]:
    from formulaic.errors import FormulaicError

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            matrix = formula.get_model_matrix(table, context={})
    except (FormulaicError, ArithmeticError, ValueError, TypeError, NameError) as trouble:
        said = f"The formula cannot be worked out: {_first_sentence(trouble)}."
        raise BadNumbers(said, where="fixed", allowed="columns of the frame") from None
    kept = [name for name in matrix.columns if name != "Intercept"]
    design = np.asarray(matrix[kept], dtype=float)
    if len(design) != len(table) or not np.isfinite(design).all():
        raise BadNumbers("A term is not a finite number in every row.", where="fixed",
                         allowed="terms with a number in every row")  # fmt: skip
    scale = design.std(axis=0)
    if kept and (scale.min() == 0 or not _apart(design, scale)):
        raise BadNumbers(
            "Two terms of the formula cannot be told apart in these rows, or one does not vary.",
            where="fixed", allowed="terms that differ",
        )  # fmt: skip
    return design, tuple(str(name) for name in kept)


def _apart(design: NDArray[np.float64], scale: NDArray[np.float64]) -> bool:
    centred = (design - design.mean(axis=0)) / scale
    return int(np.linalg.matrix_rank(centred)) == len(scale)

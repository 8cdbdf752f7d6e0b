"""Marginal means and joint hypotheses of a fixed part, as rows over its columns."""

from __future__ import annotations

import itertools
import re
from collections.abc import Sequence
from typing import Any

import numpy as np
import pandas as pd

from trialbench.stats.mixed_design import Design, columns_in, speaks_of
from trialbench.stats.mixed_reml import Array
from trialbench.stats.numbers import BadNumbers, one_text

_COVARIATE_POINTS = 12


def factors(design: Design) -> dict[str, list[Any]]:
    """Levels in the data of each column that the fixed part uses as a factor, in text order."""
    found: dict[str, list[Any]] = {}
    for expression, (kind, _) in design.spec.encoder_state.items():
        if kind.value == "categorical":
            for name in design.frame.columns:
                if speaks_of(expression, str(name)):
                    found[str(name)] = sorted(design.frame[name].unique().tolist(), key=str)
    return found


def covariates(design: Design) -> list[str]:
    """Columns of the fixed part that are numbers and not factors."""
    used = {str(v) for variables in design.spec.term_variables.values() for v in variables}
    used |= columns_in(design.spec.term_slices, list(design.frame.columns))
    return [str(n) for n in design.frame.columns if n in used and n not in factors(design)]


def marginal_means(design: Design, factor: str) -> tuple[list[Any], Array]:
    """Levels of `factor` (as text order) and the row of each one's mean over the others (m, all).

    The other factors' combinations weigh equally, numbers stand at their mean over the rows used
    (Searle, Speed and Milliken 1980, American Statistician 34, 216).
    """
    levels = factors(design)
    one_text(factor, "factor", ", ".join(levels) or "none here")
    if factor not in levels and (inner := re.fullmatch(r"C\(\s*([^,)]+?)\s*(,.*)?\)", factor)):
        factor = inner.group(1)
    if factor not in levels:
        raise BadNumbers(
            f"{factor!r} is not a factor of the fixed part.",
            where="factor",
            allowed=", ".join(levels)
            or f"none here; a column of numbers becomes one as C({factor})",
        )
    means = {name: [float(design.frame[name].mean())] for name in covariates(design)}
    others = {name: values for name, values in {**levels, **means}.items() if name != factor}
    grid = _grid(design, {factor: levels[factor], **others})
    rows = design.matrix_on(grid).reshape(len(levels[factor]), -1, len(design.fixed.names))
    return levels[factor], rows.mean(axis=1)


def _grid(design: Design, values: dict[str, list[Any]]) -> pd.DataFrame:
    combinations = list(itertools.product(*values.values()))
    grid = pd.DataFrame(combinations, columns=list(values))
    for name in grid.columns:
        if isinstance(design.frame[name].dtype, pd.CategoricalDtype):
            grid[name] = grid[name].astype(design.frame[name].dtype)
    return grid


def term_named(design: Design, term: str) -> Any:
    """The term of the formula that `term` names, by its text or by its columns."""
    one_text(term, "term", "a term of the formula")
    columns = {str(name) for name in design.frame.columns}
    wanted = frozenset(part.strip() for part in term.split(":"))
    by_columns = []
    for each, variables in design.spec.term_variables.items():
        if str(each) == term:
            return each
        if frozenset(str(v) for v in variables) & columns == wanted:
            by_columns.append(each)
    if len(by_columns) == 1:
        return by_columns[0]
    there = ", ".join(str(each) for each in design.spec.term_slices if str(each) != "1")
    there = there or "no term is in the formula"
    raise BadNumbers(f"{term!r} is not a term of the fixed part.", where="term", allowed=there)


def joint_rows(design: Design, term: str) -> Array | None:
    """Rows (m, all) whose joint zero says that `term` does nothing, averaged equally over others.

    The hypothesis of a term is that of its own columns in a coding whose columns sum to zero over
    the levels of every factor (the "type III" hypotheses). None where the coding of the formula
    has no such columns (no intercept, a product without its parts).
    """
    chosen = term_named(design, term)
    grid, shape, axes = _spanning_grid(design)
    cells = design.matrix_on(grid)
    summed = cells.reshape(*shape, cells.shape[1]).copy()
    for each, place in design.spec.term_slices.items():
        for factor in _factors_of(design, each, axes):
            own = summed[..., place]
            summed[..., place] = own - own.mean(axis=axes.index(factor), keepdims=True)
    flat = summed.reshape(-1, cells.shape[1])
    if np.linalg.matrix_rank(flat) < cells.shape[1]:
        return None
    coded = np.linalg.lstsq(flat, cells, rcond=None)[0]
    place = design.spec.term_slices[chosen]
    rows = np.linalg.solve(coded[place, place], coded[place])
    rows[np.abs(rows) < 1e-9 * np.abs(rows).max(initial=0.0)] = 0.0
    return np.asarray(rows)


def _factors_of(design: Design, term: Any, axes: Sequence[str]) -> list[str]:
    variables = {str(v) for v in design.spec.term_variables[term]}
    return [name for name in axes if name in variables]


def _spanning_grid(design: Design) -> tuple[pd.DataFrame, tuple[int, ...], list[str]]:
    """Every combination of factor levels at several values of the numbers."""
    levels, numbers = factors(design), covariates(design)
    there = design.frame[numbers].drop_duplicates() if numbers else pd.DataFrame(index=[0])
    if len(there) > _COVARIATE_POINTS * max(1, len(numbers)):
        picked = np.linspace(0, len(there) - 1, _COVARIATE_POINTS * len(numbers)).round()
        there = there.sort_values(numbers).iloc[picked.astype(int)]
    combinations = _grid(design, levels) if levels else pd.DataFrame(index=[0])
    grid = combinations.merge(there.reset_index(drop=True), how="cross")
    shape = (*(len(values) for values in levels.values()), len(there))
    return grid, shape, list(levels)


def ordered_rows(design: Design) -> Array:
    """Rows of the only term, each free of the later ones (forward Doolittle of X'X): (p - 1, kept).

    Satterthwaite's joint df depends on the basis; this one is customary for a single term.
    """
    x = design.fixed.columns[:, list(design.fixed.kept)]
    root = np.linalg.cholesky(x.T @ x)
    return np.asarray((root / np.diagonal(root)).T[1:])

"""Differences of marginal means as a table, alone or as a family."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

from trialbench.stats import simultaneous
from trialbench.stats.families import holm
from trialbench.stats.mixed_reml import Array
from trialbench.stats.mixed_table import rows_of, student, text_of_level, upper_quantile
from trialbench.stats.numbers import BadNumbers, one_text, shown
from trialbench.stats.pairs import check_alpha, check_matters, equivalence_p
from trialbench.stats.student import quantile, upper_tail

FAMILIES = ("none", "tukey", "holm", "dunnett")


@dataclass(frozen=True, slots=True)
class Family:
    """Which claims are made together, and at what level."""

    name: str
    usual: object
    matters: float | None
    alpha: float

    def __post_init__(self) -> None:
        allowed = ", ".join(FAMILIES)
        if one_text(self.name, "family", allowed) not in FAMILIES:
            raise BadNumbers(f"There is no family {self.name!r}.", where="family", allowed=allowed)
        if self.usual is not None and self.name != "dunnett":
            raise BadNumbers(
                "A usual level is named and nothing is compared with it.",
                where="usual",
                allowed='family "dunnett"',
            )
        object.__setattr__(self, "matters", check_matters(self.matters))
        object.__setattr__(self, "alpha", check_alpha(self.alpha))


def pairs_of(levels: Sequence[object], family: Family) -> list[tuple[int, int]]:
    """Places of the levels compared, the first before the second as text."""
    pairs = list(itertools.combinations(range(len(levels)), 2))
    if family.name != "dunnett":
        return pairs
    names = [text_of_level(level) for level in levels]
    usual = None if family.usual is None else text_of_level(family.usual)
    if usual not in names:
        there = f"There is no level {shown(usual)}."
        said = "No usual level is named." if usual is None else there
        raise BadNumbers(said, where="usual", allowed=", ".join(names))
    return [pair for pair in pairs if names.index(usual) in pair]


def table(
    levels: Sequence[object],
    pairs: list[tuple[int, int]],
    values: Array,
    correlation: Array | None,
    family: Family,
) -> pd.DataFrame:
    """`values` (m, 3) estimate, se, df of each pair; `correlation` (m, m) of the estimates."""
    found = rows_of(values, family.alpha)
    names = [text_of_level(level) for level in levels]
    found.insert(0, "a", [names[first] for first, _ in pairs])
    found.insert(1, "b", [names[second] for _, second in pairs])
    _as_family(found, values, correlation, family, len(levels))
    if family.matters is not None:
        _against(found, family.matters, family.alpha)
    return found


def _as_family(
    found: pd.DataFrame, values: Array, correlation: Array | None, family: Family, groups: int
) -> None:
    if family.name == "none" or correlation is None:
        return
    estimate, se, df = values.T
    t, alone = student(estimate, se, df)
    reach = np.full(len(t), np.nan)
    p = np.full(len(t), np.nan)
    loadings = _loadings(correlation) if family.name == "dunnett" else np.zeros(0)
    said = np.isfinite(alone)
    if family.name == "holm":
        adjusted = holm(
            [value if ok else None for value, ok in zip(alone.tolist(), said, strict=True)]
        )
        p = np.array([math.nan if value is None else value for value in adjusted])
        reach = upper_quantile(family.alpha / 2.0 / max(1, int(said.sum())), df)
    for place in np.flatnonzero(said) if family.name != "holm" else ():
        own, freedom = float(t[place]), float(df[place])
        if family.name == "tukey":
            p[place] = simultaneous.tukey_p(own, groups, freedom)
            reach[place] = simultaneous.tukey_quantile(family.alpha, groups, freedom)
        else:
            p[place] = simultaneous.dunnett_p(own, loadings, freedom)
            reach[place] = simultaneous.dunnett_quantile(family.alpha, loadings, freedom)
    found["p"], found["low"], found["high"] = p, estimate - reach * se, estimate + reach * se


def _loadings(correlation: Array) -> Array:
    """Loadings once every difference is turned towards the usual level (signs of the first row)."""
    signs = np.where(correlation[0] < 0.0, -1.0, 1.0)
    return simultaneous.loadings_of(correlation * np.outer(signs, signs))


def _against(found: pd.DataFrame, matters: float, alpha: float) -> None:
    """Columns that speak of the smallest difference that matters, each difference by itself."""
    columns: dict[str, list[float]] = {
        name: [] for name in ("inner_low", "inner_high", "equivalence_p", "at_least_as_good_p")
    }
    for estimate, se, df in found[["estimate", "se", "df"]].itertuples(index=False):
        known = se > 0.0
        reach = quantile(alpha, df) * se if known else math.nan
        columns["inner_low"].append(estimate - reach)
        columns["inner_high"].append(estimate + reach)
        columns["equivalence_p"].append(
            equivalence_p(estimate, se, df, matters) if known else math.nan
        )
        columns["at_least_as_good_p"].append(
            upper_tail((estimate + matters) / se, df) if known else math.nan
        )
    for name, values in columns.items():
        found[name] = values

"""Estimates with se and df to the table that is shown: t, p and an interval."""

from __future__ import annotations

import numpy as np
import pandas as pd
from scipy import special

from trialbench.model.message import msg, say
from trialbench.stats.mixed_reml import Array

NULL_HYPOTHESIS = msg("The true value is 0.")


def rows_of(values: Array, alpha: float) -> pd.DataFrame:
    """(m, 3) estimate, se, df to columns estimate, se, df, t, p, low, high at level 1 - alpha.

    `attrs["null_hypothesis"]` says in words what p speaks against.
    """
    estimate, se, df = values.T
    t, p = student(estimate, se, df)
    reach = upper_quantile(alpha / 2.0, df) * se
    columns = {"estimate": estimate, "se": se, "df": df, "t": t, "p": p}
    table = pd.DataFrame({**columns, "low": estimate - reach, "high": estimate + reach})
    table.attrs["null_hypothesis"] = say(NULL_HYPOTHESIS)
    return table


def student(estimate: Array, se: Array, df: Array) -> tuple[Array, Array]:
    """t and two-sided p; NaN where se is NaN or 0."""
    t = np.divide(estimate, se, out=np.full_like(estimate, np.nan), where=se > 0.0)
    return t, np.minimum(1.0, 2.0 * special.stdtr(df, -np.abs(t)))


def upper_quantile(tail: float, df: Array) -> Array:
    """t that a share `tail` lies above, for each df."""
    return np.asarray(-special.stdtrit(df, tail))


def text_of_level(level: object) -> str:
    """A level as text: 3.0, which a gap in a column makes of 3, is called 3."""
    whole = isinstance(level, float) and level.is_integer()
    return str(int(level)) if whole else str(level)  # type: ignore[call-overload]

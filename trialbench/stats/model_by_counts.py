"""The mixed model of a kitchen trial: the random terms its design gives replication of their own.

Policy 1, section 6.4: taster, cook, cook:method, taster:method, taster:cook and unit enter by
counts, never by what comes out. It describes where scatter comes from and is a second opinion.
"""

from __future__ import annotations

from collections.abc import Sequence
from keyword import iskeyword
from typing import Any

import pandas as pd

from trialbench.stats import frames
from trialbench.stats.frames import Frame
from trialbench.stats.mixed import MixedFit, fit_mixed
from trialbench.stats.numbers import BadNumbers
from trialbench.stats.settings import names

_ROLES = ("score", "method", "cook", "unit", "taster")
CANDIDATES = ("taster", "cook", "cook:method", "taster:method", "taster:cook", "cook:method:unit")
"""In the order in which they have precedence where two name the same partition."""


def kitchen_model(
    frame: Frame,
    value: str,
    method: str,
    cook: str | None = None,
    unit: str | None = None,
    taster: str | None = None,
    *,
    covariates: Sequence[str] = (),
) -> MixedFit:
    """Fit "score ~ method (+ covariates)" with the random terms that the design supports.

    The result speaks of columns `score`, `method`, `cook`, `unit`, `taster` whatever the frame
    calls them; units are named within cook and method. Covariates are numbers and keep their names.
    Rows without a score or a name are left out. Raises `BadNumbers` for columns that are not there.
    """
    others = {"cook": cook, "unit": unit, "taster": taster}
    roles = {"method": method, **{role: own for role, own in others.items() if own is not None}}
    extra = names(covariates, "covariates", "columns of numbers")
    columns: dict[str, list[Any]] = {"score": [*frames.numbers(frame, value)]}
    for role, column in roles.items():
        columns[role] = [*frames.labels(frame, column)]
    for name in extra:
        if not name.isidentifier() or iskeyword(name) or name in _ROLES:
            raise BadNumbers(
                f"The covariate cannot be called {name!r}.",
                where="covariates",
                allowed="letters, figures and _, and none of score, method, cook, unit, taster",
            )
        columns[name] = [*frames.numbers(frame, name)]
    frames.same_length(columns)
    table = pd.DataFrame(columns).astype(dict.fromkeys(["score", *extra], float))
    formula = "score ~ " + " + ".join(["method", *extra])
    return fit_mixed(table, formula, random_terms(table))


def random_terms(table: pd.DataFrame) -> tuple[str, ...]:
    """The candidates that `table` (columns score, method, cook, unit, taster) replicates.

    A term enters with two levels or more, fewer levels than scores, and a partition of its own that
    is not the methods' either: one unit of each method and cook is the cook:method itself.
    """
    named = [column for column in table.columns if column in ("method", "cook", "unit", "taster")]
    rows = table[table["score"].notna() & (table[named] != "").all(axis=1)]
    found: list[str] = []
    partitions = [tuple(rows.groupby("method", sort=False).ngroup())]
    for term in CANDIDATES:
        parts = term.split(":")
        if any(part not in rows.columns for part in parts) or rows.empty:
            continue
        partition = tuple(rows.groupby(parts, sort=False).ngroup())
        levels = max(partition) + 1
        if 1 < levels < len(rows) and partition not in partitions:
            found.append(term)
            partitions.append(partition)
    return tuple(found)

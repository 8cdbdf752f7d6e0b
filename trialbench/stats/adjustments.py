"""Serving order, carry-over of the previous sample, and what was measured on the raw piece.

The difference of the methods with and without them, on the mixed model. Carry-over of taste is
coded as what the previous sample's method adds, the first sample of a sitting having none
(Williams 1949, Australian J. Scientific Research A 2, 149; MacFie and others 1989).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

from trialbench.model.message import Message, msg, msg_n
from trialbench.stats import frames
from trialbench.stats.frames import Frame
from trialbench.stats.mixed import KENWARD_ROGER, JointTest, MixedFit, fit_mixed
from trialbench.stats.not_applicable import NotApplicable
from trialbench.stats.numbers import BadNumbers
from trialbench.stats.pairs import check_alpha


@dataclass(frozen=True)
class Adjusted:
    """Differences of methods (tables as `MixedFit.differences`) without and with what was added.

    `tests`: by what was added ("position", "carry-over", a covariate's name), whether it matters
    at all. `slopes`: by covariate, change of the outcome per unit (rows as `MixedFit.terms`).
    """

    plain: pd.DataFrame
    adjusted: pd.DataFrame
    tests: dict[str, JointTest | NotApplicable]
    slopes: pd.DataFrame
    fit: MixedFit
    notes: tuple[Message, ...]


def order_effects(
    frame: Frame,
    value: str,
    method: str,
    taster: str,
    position: str,
    cook: str | None = None,
    *,
    sitting: str | None = None,
    random: Sequence[str] | None = None,
    carry_over: bool = True,
    alpha: float = 0.05,
) -> Adjusted:
    """Serving position (as a factor) and carry-over beside the methods.

    `position`: 1, 2, ... within taster and sitting (`sitting`, else `cook`, else one). `random`:
    grouping columns of the model, by default taster, cook and cook:method as far as there are
    such columns. Repeats of a position are refused: `BadNumbers` says where.
    """
    check_alpha(alpha)
    served = _served(frame, value, method, taster, position, sitting or cook)
    extra = ["C(position_)"]
    after = _carry_over(served) if carry_over else []
    model = _model(value, ["method_", *extra, *after])
    groups = _renamed(random, {method: "method_", taster: "taster_"}, cook)
    fit = fit_mixed(served, model, groups)
    plain = fit_mixed(served, _model(value, ["method_"]), groups)
    tests: dict[str, JointTest | NotApplicable] = {"position": fit.joint_test("position_")}
    if after:
        tests["carry-over"] = fit.joint_columns("carry-over", after)
    return Adjusted(
        plain.differences("method_", alpha=alpha),
        fit.differences("method_", alpha=alpha),
        tests,
        fit.terms(alpha=alpha).iloc[:0],
        fit,
        fit.notes,
    )


def adjust(
    frame: Frame,
    value: str,
    method: str,
    covariates: Sequence[str],
    random: Sequence[str],
    *,
    small_sample: str = KENWARD_ROGER,
    alpha: float = 0.05,
) -> Adjusted:
    """The methods' difference at equal covariates (raw weight, thickness), one common slope each.

    `covariates`: columns of numbers, measured before the methods part; they are centred. A note
    says where methods hardly overlap, so that the adjustment is read off the line and not the data.
    """
    check_alpha(alpha)
    table = _table(frame).rename(columns={method: "method_"})
    if "method_" not in table.columns:
        frames.column(frame, method)
    names = []
    notes = []
    for number, name in enumerate(covariates):
        values = pd.Series(frames.numbers(frame, name), dtype=float).to_numpy()
        own = f"covariate_{number}"
        table[own] = values - np.nanmean(values)
        notes += _overlap(table, own, name)
        names.append(own)
    groups = _renamed(random, {method: "method_"}, None)
    kept = table.dropna(subset=names)
    plain = fit_mixed(kept, _model(value, ["method_"]), groups)
    fit = fit_mixed(kept, _model(value, ["method_", *names]), groups)
    labels = dict(zip(names, covariates, strict=True))
    estimated = [name for name in names if name in fit.terms(small_sample).index]
    slopes = fit.terms(small_sample, alpha).loc[estimated].rename(index=labels)
    return Adjusted(
        plain.differences("method_", small_sample, alpha=alpha),
        fit.differences("method_", small_sample, alpha=alpha),
        {labels[name]: fit.joint_columns(labels[name], [name], small_sample) for name in names},
        slopes,
        fit,
        (*notes, *fit.notes),
    )


def _table(frame: Frame) -> pd.DataFrame:
    return pd.DataFrame({str(name): frames.column(frame, name) for name in frame})


def _model(value: str, parts: Sequence[str]) -> str:
    return f"{_quoted(value)} ~ {' + '.join(parts)}"


def _quoted(name: str) -> str:
    return name if name.isidentifier() else f"`{name}`"


def _renamed(random: Sequence[str] | None, names: dict[str, str], cook: str | None) -> list[str]:
    if random is None:
        random = ["taster_", *([cook, f"{cook}:method_"] if cook else [])]
    return [":".join(names.get(part.strip(), part.strip()) for part in term.split(":"))
            for term in random]  # fmt: skip


def _served(
    frame: Frame, value: str, method: str, taster: str, position: str, sitting: str | None
) -> pd.DataFrame:
    table = _table(frame)
    table["position_"] = pd.Series(frames.numbers(frame, position), dtype=float)
    table["sitting_"] = frames.labels(frame, sitting) if sitting else ""
    for name, column in (("method_", method), ("taster_", taster)):
        table[name] = frames.labels(frame, column)
    table[value] = pd.Series(frames.numbers(frame, value), dtype=float)
    known = table[(table["method_"] != "") & (table["taster_"] != "")].dropna(subset=["position_"])
    twice = known[known.duplicated(["taster_", "sitting_", "position_"])]
    if len(twice):
        row = twice.iloc[0]
        raise BadNumbers(
            f"Taster {row['taster_']} has two samples at position {row['position_']:g}.",
            where=f"column {position}, row {twice.index[0] + 1}",
            allowed="each position once per taster and sitting",
        )
    return known.sort_values(["taster_", "sitting_", "position_"]).reset_index(drop=True)


def _carry_over(served: pd.DataFrame) -> list[str]:
    """Columns for the previous sample's method: 1 for it, -1 for the last method, 0 for none."""
    before = served.groupby(["taster_", "sitting_"])["method_"].shift()
    methods = sorted(served["method_"].unique())
    names = []
    for number, name in enumerate(methods[:-1]):
        own = f"after_{number}"
        served[own] = (before == name).astype(float) - (before == methods[-1]).astype(float)
        names.append(own)
    return names


def _overlap(table: pd.DataFrame, own: str, name: str) -> list[Message]:
    ranges = table.groupby("method_")[own].agg(["min", "max"])
    if len(ranges) > 1 and ranges["min"].max() > ranges["max"].min():
        return [msg("{name} does not overlap between methods: the adjusted difference is read off"
                    " a line outside the data.", name=name)]  # fmt: skip
    missing = int(table[own].isna().sum())
    if not missing:
        return []
    return [
        msg_n(
            "{count} row has no {name} and is left out.",
            "{count} rows have no {name} and are left out.",
            missing,
            name=name,
        )
    ]

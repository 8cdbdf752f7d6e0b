"""Serving order, carry-over of the previous sample, and what was measured on the raw piece.

The difference of the methods with and without them, on the mixed model. Carry-over of taste is
coded as what the previous sample's method adds, the first sample of a sitting having none
(Williams 1949, Australian J. Scientific Research A 2, 149; MacFie and others 1989).
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import pandas as pd

from trialbench.model.message import Message, msg, msg_n
from trialbench.stats import frames
from trialbench.stats.frames import Frame
from trialbench.stats.mixed import KENWARD_ROGER, JointTest, MixedFit, check_small_sample, fit_mixed
from trialbench.stats.mixed_design import GROUPING
from trialbench.stats.not_applicable import NotApplicable
from trialbench.stats.numbers import BadNumbers, listed, mean, one_flag
from trialbench.stats.pairs import check_alpha
from trialbench.stats.read_only import ReadOnly
from trialbench.stats.settings import names

_TAKEN = re.compile(r"(method|taster|position|sitting)_|(covariate|after)_\d+|.*`.*", re.DOTALL)


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
    alpha, carry_over = check_alpha(alpha), one_flag(carry_over, "carry_over")
    if random is None:
        random = [str(taster), *([] if cook is None else [str(cook), f"{cook}:{method}"])]
    groups = _terms(random, {str(method): "method_", str(taster): "taster_"})
    places = frames.numbers(frame, position)
    days = cook if sitting is None else sitting
    own: dict[str, Sequence[object]] = {
        "taster_": frames.labels(frame, taster),
        "position_": places,
        "sitting_": [""] * len(places) if days is None else frames.labels(frame, days),
    }
    served = _served(_read(frame, value, method, own, groups, cook), position)
    after = _carry_over(served) if carry_over else []
    fit = fit_mixed(served, _model(value, ["method_", "C(position_)", *after]), groups)
    plain = fit_mixed(served, _model(value, ["method_"]), groups)
    tests: dict[str, JointTest | NotApplicable] = {"position": fit.joint_test("position_")}
    if after:
        tests["carry-over"] = fit.joint_columns("carry-over", after)
    return Adjusted(
        plain.differences("method_", alpha=alpha),
        fit.differences("method_", alpha=alpha),
        ReadOnly(tests),
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
    alpha, small_sample = check_alpha(alpha), check_small_sample(small_sample)
    measured = [covariates] if isinstance(covariates, str) else listed(covariates, "covariates")
    own = {f"covariate_{i}": _centred(frame, name) for i, name in enumerate(measured)}
    groups = _terms(random, {str(method): "method_"})
    table = _read(frame, value, method, own, groups).astype(dict.fromkeys(own, float))
    labels = dict(zip(own, map(str, measured), strict=True))
    notes = [note for name in own for note in _overlap(table, name, labels[name])]
    kept = table.dropna(subset=list(own))
    plain = fit_mixed(kept, _model(value, ["method_"]), groups)
    fit = fit_mixed(kept, _model(value, ["method_", *own]), groups)
    terms = fit.terms(small_sample, alpha)
    slopes = terms.loc[[name for name in own if name in terms.index]].rename(index=labels)
    return Adjusted(
        plain.differences("method_", small_sample, alpha=alpha),
        fit.differences("method_", small_sample, alpha=alpha),
        ReadOnly({
            labels[name]: fit.joint_columns(labels[name], [name], small_sample) for name in own
        }),
        slopes,
        fit,
        (*notes, *fit.notes),
    )  # fmt: skip


def _terms(random: Sequence[str], renamed: Mapping[str, str]) -> list[str]:
    """Grouping terms in the names that columns have in here."""
    terms = names(random, "random", GROUPING)
    parts = [[part.strip() for part in term.split(":")] for term in terms]
    return [":".join(renamed.get(part) or _free(part) for part in term) for term in parts]


def _read(
    frame: Frame,
    value: str,
    method: str,
    own: Mapping[str, Sequence[object]],
    groups: Sequence[str],
    cook: str | None = None,
) -> pd.DataFrame:
    """The outcome, `method_`, what is in `own` and the columns of `groups`, equally long."""
    columns: dict[str, Sequence[object]] = {
        _free(value): frames.numbers(frame, value),
        "method_": frames.labels(frame, method),
        **own,
    }
    for part in (part for term in groups for part in term.split(":")):
        if part not in columns:
            columns[part] = frames.labels(
                frame, cook if cook is not None and part == str(cook) else part
            )
    frames.same_length(columns)
    return pd.DataFrame(columns)


def _free(column: object) -> str:
    """A column's name as text. Raises `BadNumbers` for the names that are used in here."""
    name = str(column)
    if _TAKEN.fullmatch(name):
        raise BadNumbers(
            f"A column cannot be called {name!r} here.", where=f"column {name}",
            allowed="another name, without `",
        )  # fmt: skip
    return name


def _centred(frame: Frame, column: Any) -> list[float | None]:
    """Numbers less their mean."""
    read = frames.numbers(frame, column)
    there = [number for number in read if number is not None]
    if not there:
        raise BadNumbers(
            f"The column {column!r} has no number.", where=f"column {column}", allowed="numbers"
        )
    middle = mean(there)
    return [None if number is None else number - middle for number in read]


def _model(value: str, parts: Sequence[str]) -> str:
    name = str(value)
    return f"{name if name.isidentifier() else f'`{name}`'} ~ {' + '.join(parts)}"


def _served(table: pd.DataFrame, position: str) -> pd.DataFrame:
    """In order of serving, without the rows that have no method, taster or position."""
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
    after = []
    for number, name in enumerate(methods[:-1]):
        own = f"after_{number}"
        served[own] = (before == name).astype(float) - (before == methods[-1]).astype(float)
        after.append(own)
    return after


def _overlap(table: pd.DataFrame, own: str, name: str) -> list[Message]:
    ranges = table[table["method_"] != ""].groupby("method_")[own].agg(["min", "max"])
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

"""Several trials that asked the same: their effects put together.

>>> from trialbench.stats import pool
>>> pool([4.2, 7.9, -1.3], [2.1, 3.0, 2.6]).estimate
3.3...

Where the scores of the trials are there, `pool_cook_days` is the one to use.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy import special

from trialbench.model.message import Message, msg, msg_n
from trialbench.stats.between_trials import BETWEEN, between_variance, generalised_q, q_limits
from trialbench.stats.not_applicable import NotApplicable
from trialbench.stats.numbers import BadNumbers, listed, one_flag, one_of, plain
from trialbench.stats.pairs import check_alpha
from trialbench.stats.student import quantile, two_sided_p

NULL_HYPOTHESIS = msg("Over all such trials the mean effect is 0.")
ONE_EFFECT = msg("The one effect that all trials share is 0.")
Floats = NDArray[np.float64]


LEAST_SE = 1e-50
"""Below this the weight of a trial may be beyond what a float holds."""
FURTHEST = 1e15
"""Effects so many standard errors away are rounded to more than one standard error."""
MOST_TRIALS = 300
"""Leaving out each of more trials in turn would take long."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WithoutOne:
    """The pooled answer without trial number `left_out` (0 is the first that was given)."""

    left_out: int
    estimate: float
    low: float
    high: float
    p: float
    between_variance: float
    null_hypothesis: Message = NULL_HYPOTHESIS


@dataclass(frozen=True, slots=True, kw_only=True)
class Pooled:
    """Pooled effect of `trials`, in the units of the effects; None has its reason in `notes`.

    `low`, `high`: interval of the mean effect at level 1 - alpha, from t with `df` (small sample)
    or normal (df None). `common_*`: the answer that assumes one effect; `held_at_common`: the
    small-sample standard error would have been narrower than that of the common effect and is held
    there. `prediction_low`, `_high`: where the effect of another such trial lies.
    `between_variance` (tau squared) with its standard error and limits (Q profile), `I2` share 0 to
    1 of the scatter that is between trials, `H2`, `Q` with its df and p. `weights` add up to 1.
    """

    trials: int
    between: str
    small_sample: bool
    alpha: float
    estimate: float
    se: float
    df: int | None
    statistic: float
    p: float
    low: float
    high: float
    held_at_common: bool
    common_estimate: float
    common_se: float
    common_low: float
    common_high: float
    prediction_low: float | None
    prediction_high: float | None
    between_variance: float
    between_se: float | None
    between_low: float | None
    between_high: float | None
    I2: float
    H2: float
    Q: float
    Q_df: int
    Q_p: float
    weights: tuple[float, ...]
    leave_one_out: tuple[WithoutOne, ...]
    null_hypothesis: Message
    notes: tuple[Message, ...]


def pool(
    effects: Iterable[object],
    ses: Iterable[object],
    between: str = "restricted-likelihood",
    small_sample: bool = True,
    *,
    alpha: float = 0.05,
) -> Pooled | NotApplicable:
    """Pool effects with their standard errors, one a trial.

    `between`, how the scatter between trials is estimated: "restricted-likelihood" (Viechtbauer
    2005, J. Educational and Behavioral Statistics 30, 261), "moments" (DerSimonian and Laird 1986,
    Controlled Clinical Trials 7, 177), "generalised-q" (Paule and Mandel 1982, J. Research of the
    National Bureau of Standards 87, 377), "likelihood", or "none" (one common effect).
    `small_sample`: t with k - 1 df and the standard error of Hartung and Knapp (2001, Statistics in
    Medicine 20, 3875), never below that of the common effect. With "none" the normal interval of
    the common effect. Raises `BadNumbers`, also for more than 300 trials; fewer than two trials
    are `NotApplicable`.
    """
    alpha, between = check_alpha(alpha), one_of(between, "between", BETWEEN)
    small_sample = one_flag(small_sample, "small_sample")
    own = listed(effects, "effects")
    y, se, places = _read(own, listed(ses, "ses"))
    lost = len(own) - len(places)
    if len(y) < 2:
        return NotApplicable(msg("Fewer than two trials: nothing to pool."))
    # In units of the smallest standard error (a power of 2: no digit changes) no square is too
    # large or too small.
    unit = 2.0 ** math.frexp(float(se.min()))[1]
    y, v = y / unit, (se / unit) ** 2
    result = _in_units(pooled_once(y, v, between, small_sample, alpha), unit)
    if lost:
        note = msg_n("{count} trial has no effect or no standard error and is left out.",
                     "{count} trials have no effect or no standard error and are left out.",
                     lost)  # fmt: skip
        result = replace(result, notes=(*result.notes, note))
    if len(y) == 2:
        return result
    others = []
    for i in range(len(y)):
        rest = pooled_once(np.delete(y, i), np.delete(v, i), between, small_sample, alpha)
        rest = _in_units(rest, unit)
        others.append(WithoutOne(
            left_out=places[i], estimate=rest.estimate, low=rest.low, high=rest.high, p=rest.p,
            between_variance=rest.between_variance, null_hypothesis=rest.null_hypothesis,
        ))  # fmt: skip
    return replace(result, leave_one_out=tuple(others))


def _read(effects: list[object], ses: list[object]) -> tuple[Floats, Floats, list[int]]:
    if len(effects) != len(ses):
        raise BadNumbers(
            f"{len(effects)} effects, {len(ses)} standard errors.", where="effects, ses",
            allowed="one of each a trial",
        )  # fmt: skip
    kept, places = [], []
    for i, (effect, se) in enumerate(zip(effects, ses, strict=True)):
        own, spread = plain(effect, f"effects[{i}]"), plain(se, f"ses[{i}]")
        if own is None or spread is None:
            continue
        if spread < LEAST_SE:
            raise BadNumbers(f"A standard error of {spread:g}.", where=f"ses[{i}]",
                             allowed=f"a number above 0, {LEAST_SE:g} or more")  # fmt: skip
        kept.append((own, spread))
        places.append(i)
    table = np.array(kept, dtype=float).reshape(-1, 2)
    _check_sizes(table)
    return table[:, 0], table[:, 1], places


def _check_sizes(table: Floats) -> None:
    if len(table) > MOST_TRIALS:
        raise BadNumbers(f"{len(table)} trials.", where="effects", allowed=f"up to {MOST_TRIALS}")
    if len(table) and np.abs(table).max() > FURTHEST * table[:, 1].min():
        raise BadNumbers(
            f"A standard error of {table[:, 1].min():g} beside numbers of {np.abs(table).max():g}.",
            where="ses", allowed=f"numbers within {FURTHEST:g} times the smallest standard error",
        )  # fmt: skip


_LINEAR = (
    "estimate", "se", "low", "high", "common_estimate", "common_se", "common_low", "common_high",
    "prediction_low", "prediction_high",
)  # fmt: skip
_SQUARED = ("between_variance", "between_se", "between_low", "between_high")


def _in_units(result: Pooled, unit: float) -> Pooled:
    """The answer in the units of the effects."""
    sizes = dict.fromkeys(_LINEAR, unit) | dict.fromkeys(_SQUARED, unit * unit)
    own: dict[str, Any] = {name: getattr(result, name) for name in sizes}
    own = {n: None if number is None else number * sizes[n] for n, number in own.items()}
    return replace(result, **own)


def pooled_once(y: Floats, v: Floats, between: str, small: bool, alpha: float) -> Pooled:
    """As `pool`, from effects and variances (k,), two at least, without leaving any out."""
    k = len(y)
    tau2, tau2_se = between_variance(y, v, between)
    q, common, common_se = _common(y, v)
    weights = 1 / (v + tau2)
    estimate, plain_se = float(weights @ y / weights.sum()), 1 / math.sqrt(float(weights.sum()))
    adjusted = small and between != "none"
    df = k - 1 if adjusted else None
    own = plain_se
    if adjusted:
        own = plain_se * math.sqrt(generalised_q(y, v, tau2) / (k - 1))
    se = max(own, common_se) if adjusted else own
    reach = _reach(alpha, df)
    z = _reach(alpha, None)
    ahead = reach * math.sqrt(tau2 + se * se)
    limits = q_limits(y, v, alpha) if between != "none" else (None, None)
    i2, h2 = _heterogeneity(v, tau2, q, between)
    return Pooled(
        trials=k, between=between, small_sample=adjusted, alpha=alpha,
        estimate=estimate, se=se, df=df, statistic=estimate / se, p=_p(estimate / se, df),
        low=estimate - reach * se, high=estimate + reach * se, held_at_common=se > own,
        common_estimate=common, common_se=common_se,
        common_low=common - z * common_se, common_high=common + z * common_se,
        prediction_low=None if between == "none" else estimate - ahead,
        prediction_high=None if between == "none" else estimate + ahead,
        between_variance=tau2, between_se=tau2_se, between_low=limits[0], between_high=limits[1],
        I2=i2, H2=h2, Q=q, Q_df=k - 1, Q_p=float(special.chdtrc(k - 1, q)),
        weights=tuple(float(w) for w in weights / weights.sum()), leave_one_out=(),
        null_hypothesis=ONE_EFFECT if between == "none" else NULL_HYPOTHESIS,
        notes=_notes(k, between, se > own),
    )  # fmt: skip


def _common(y: Floats, v: Floats) -> tuple[float, float, float]:
    """Q, the common-effect estimate and its standard error."""
    weights = 1 / v
    common = float(weights @ y / weights.sum())
    return float(weights @ (y - common) ** 2), common, 1 / math.sqrt(float(weights.sum()))


def _reach(alpha: float, df: int | None) -> float:
    return -float(special.ndtri(alpha / 2)) if df is None else quantile(alpha / 2, df)


def _p(statistic: float, df: int | None) -> float:
    if df is None:
        return float(2 * special.ndtr(-abs(statistic)))
    return two_sided_p(statistic, df)


def _heterogeneity(v: Floats, tau2: float, q: float, between: str) -> tuple[float, float]:
    """I2 (share) and H2 against the typical variance within trials (Higgins, Thompson 2002)."""
    k, weights = len(v), 1 / v
    total = float(weights.sum())
    if between == "none":
        h2 = q / (k - 1)
        return max(0.0, 1 - 1 / h2) if h2 > 0 else 0.0, h2
    # The square of the sum less the sum of squares, without taking one from the other.
    products = 2 * sum(float(weights[i] * weights[i + 1 :].sum()) for i in range(k - 1))
    typical = (k - 1) * total / products
    return tau2 / (tau2 + typical), 1 + tau2 / typical


def _notes(k: int, between: str, held: bool) -> tuple[Message, ...]:
    notes = []
    if held:
        notes.append(msg("Held at the standard error of the common effect: not narrower than it."))
    if between == "none":
        notes.append(msg("One common effect is assumed: what differs between trials is left out."))
    elif k < 5:
        notes.append(msg("{k} trials say little about how much trials differ.", k=k))
    return tuple(notes)

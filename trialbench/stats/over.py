"""Two methods over cooks: one number per cook (policy 1, section 6.3).

The cook is the block; units, tasters and repeats are averaged before anything about methods is
said. The second interval, for others like these tasters, joins the scatter of cooks and tasters and
takes off what both contain.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from trialbench.model.message import Message, msg, msg_n
from trialbench.stats import frames
from trialbench.stats.likeness import OthersInterval, Spread
from trialbench.stats.numbers import mean, variance
from trialbench.stats.pairs import ALL_EQUAL, check_alpha
from trialbench.stats.settings import between, size_or_none
from trialbench.stats.student import two_sided_p
from trialbench.stats.taster_rows import (
    NOBODY,
    CookCounts,
    CookDifference,
    CookTable,
    TasterMean,
    TasterRow,
    unit_scores,
)

NULL_HYPOTHESIS = msg("Over many cooks the mean of a - b is 0.")


@dataclass(frozen=True, slots=True, kw_only=True)
class OverCooks:
    """a - b over cooks, in the units of the values; None has its reason in `notes`.

    `spread` gives the interval at any level (`interval`), `likeness` the second one (None under
    three tasters or two cooks, and for measurements). `sd` is that of the D_k, raised to the
    rounding floor. `no_spread`: all D_k are equal, the interval is that of the floor alone.
    """

    a: str
    b: str
    estimate: float | None = None
    se: float | None = None
    df: int | None = None
    t: float | None = None
    p: float | None = None
    low: float | None = None
    high: float | None = None
    others: OthersInterval | None = None
    sd: float | None = None
    counts: CookCounts
    cook_differences: tuple[CookDifference, ...]
    taster_means: tuple[TasterMean, ...]
    no_spread: bool
    alpha: float
    step: float | None
    null_hypothesis: Message = NULL_HYPOTHESIS
    notes: tuple[Message, ...]
    spread: Spread | None = None

    def interval(self, alpha: float) -> tuple[float, float] | None:
        """The interval for these tasters at level 1 - alpha, 0 < alpha < 1."""
        alpha = between(alpha, "alpha")
        if self.spread is None or self.estimate is None:
            return None
        half = self.spread.half_width(alpha)
        return self.estimate - half, self.estimate + half


def over_cooks(
    frame: frames.Frame,
    value: str,
    method: str,
    cook: str,
    unit: str | None = None,
    taster: str | None = None,
    step: float | None = None,
    alpha: float = 0.05,
) -> OverCooks:
    """Compare the two methods of a frame over its cooks.

    `frame` has one row per score: a pandas DataFrame or a mapping of columns; the other arguments
    name columns. Without `unit` each method has one unit a cook; without `taster` the values are
    measurements; rows alike in all of them are repeats and averaged. `step` is the scale's step.
    Missing values are left out and counted. Raises `BadNumbers` (a ValueError).
    """
    alpha, step = check_alpha(alpha), size_or_none(step, "step")
    rows, missing = _rows(frame, value, method, cook, unit, taster)
    a, b = frames.two_labels(frames.labels(frame, method))
    result = over_unit_scores(CookTable(a, b, tuple(unit_scores(rows))), step, alpha)
    if not missing:
        return result
    note = msg_n("{count} value is missing.", "{count} values are missing.", missing)
    return replace(result, notes=(note, *result.notes))


def _rows(
    frame: frames.Frame, value: str, method: str, cook: str, unit: str | None, taster: str | None
) -> tuple[list[tuple[str, str, str, str, float]], int]:
    values = frames.numbers(frame, value)
    nobody = [NOBODY] * len(values)
    kept = frames.scored(
        values,
        [
            ("cook", cook, frames.labels(frame, cook)),
            ("method", method, frames.labels(frame, method)),
            ("unit", unit, nobody if unit is None else frames.labels(frame, unit)),
            ("taster", taster, nobody if taster is None else frames.labels(frame, taster)),
        ],
    )
    rows = [(key[0], key[1], key[2], key[3], number) for number, key in kept]
    return rows, len(values) - len(rows)


def over_unit_scores(table: CookTable, step: float | None, alpha: float) -> OverCooks:
    """As `over_cooks`, from averaged scores (one per cook, method, unit and taster)."""
    days = table.cook_differences
    estimate = mean(day.difference for day in days) if days else None
    spread, no_spread = _spread_of_cooks(table, step)
    plain = OverCooks(
        a=table.a,
        b=table.b,
        estimate=estimate,
        df=len(days) - 1 if len(days) > 1 else None,
        counts=table.counts,
        cook_differences=days,
        taster_means=table.taster_means,
        no_spread=no_spread,
        alpha=alpha,
        step=step,
        notes=(*table.dropped(), *_why_no_interval(spread, no_spread, step)),
    )
    if estimate is None or spread is None:
        return replace(plain, se=0.0, sd=0.0) if no_spread else plain
    t, half = estimate / spread.scale, spread.half_width(alpha)
    return replace(
        plain,
        se=spread.scale,
        t=t,
        p=two_sided_p(t, spread.df),
        low=estimate - half,
        high=estimate + half,
        others=_others(estimate, spread, table, step, alpha),
        sd=spread.scale * math.sqrt(len(days)),
        spread=spread,
    )


def _why_no_interval(spread: Spread | None, no_spread: bool, step: float | None) -> list[Message]:
    notes = []
    if step is None:
        notes.append(msg("The scale's step is not known: rounding sets no floor."))
    if no_spread:
        notes.append(
            msg("All cooks give the same difference: the scale's step alone sets the interval.")
            if spread is not None
            else msg("All cooks give the same difference: no scatter, so no interval.")
        )
    elif spread is None:
        notes.append(msg("Fewer than two cooks carry both methods: no interval over cooks."))
    return notes


def _spread_of_cooks(table: CookTable, step: float | None) -> tuple[Spread | None, bool]:
    """Standard error over cooks with its df (None: no scatter at all), and "all D_k are equal"."""
    days = table.cook_differences
    if len(days) < 2:
        return None, False
    differences = [day.difference for day in days]
    equal = max(differences) - min(differences) <= ALL_EQUAL * table.value_range
    # A measurement is one rounded number on each side, so n_k = 1.
    floor = mean(step**2 / (6 * max(day.tasters, 1)) for day in days) if step else 0.0
    raised = max(0.0 if equal else variance(differences), floor)
    if raised == 0.0:
        return None, True
    return Spread(math.sqrt(raised / len(days)), len(days) - 1), equal


def _others(
    estimate: float, cooks: Spread, table: CookTable, step: float | None, alpha: float
) -> OthersInterval | None:
    """Half-widths h_C, h_T, h_E of section 6.3, joined; None under three tasters."""
    tasters = table.taster_means
    if len(tasters) < 3:
        return None
    c = len(table.cook_differences)
    sizes = {day.cook: day.tasters for day in table.cook_differences}
    weights: dict[str, list[float]] = defaultdict(list)
    for row in table.rows:
        weights[row.taster].append(1 / (c * sizes[row.cook]))
    shares = math.fsum(math.fsum(own) ** 2 for own in weights.values())
    floor = mean(step**2 / (6 * each.cooks) for each in tasters) if step else 0.0
    between = max(variance([each.difference for each in tasters]), floor)
    residual, residual_df = additive_residual(table.rows)
    cells = math.fsum(1 / (c * c * n) for n in sizes.values())
    return OthersInterval.join(
        estimate,
        cooks,
        Spread(math.sqrt(between * shares), len(tasters) - 1),
        Spread(math.sqrt(residual * cells), residual_df) if residual_df else None,
        alpha,
    )


def additive_residual(rows: Sequence[TasterRow]) -> tuple[float, int]:
    """Residual variance and df of the additive cook + taster table of differences.

    df = number of differences minus the rank of the table; (0.0, 0) where nothing is left.
    """
    cooks = sorted({row.cook for row in rows})
    tasters = sorted({row.taster for row in rows})
    table = np.full((len(cooks), len(tasters)), np.nan)
    place = {name: i for i, name in enumerate(cooks)}, {name: i for i, name in enumerate(tasters)}
    for row in rows:
        table[place[0][row.cook], place[1][row.taster]] = row.difference
    if not np.isnan(table).any():
        rest = table - table.mean(0) - table.mean(1)[:, None] + table.mean()
        df = (len(cooks) - 1) * (len(tasters) - 1)
        return (float((rest**2).sum()) / df, df) if df else (0.0, 0)
    at = np.argwhere(~np.isnan(table))
    design = np.zeros((len(at), sum(table.shape)))
    design[np.arange(len(at)), at[:, 0]] = 1
    design[np.arange(len(at)), len(cooks) + at[:, 1]] = 1
    seen = table[at[:, 0], at[:, 1]]
    fitted, _, rank, _ = np.linalg.lstsq(design, seen)
    df = len(at) - int(rank)
    return (float(((seen - design @ fitted) ** 2).sum()) / df, df) if df else (0.0, 0)

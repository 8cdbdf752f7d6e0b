"""Would the next piece of one method beat one of the other? Pieces and palates told apart."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import pandas as pd
from scipy import special

from trialbench.model.message import Message, msg
from trialbench.stats import settings
from trialbench.stats.mixed import KENWARD_ROGER, MixedFit
from trialbench.stats.mixed_reml import Array
from trialbench.stats.not_applicable import NotApplicable
from trialbench.stats.numbers import BadNumbers, one_text
from trialbench.stats.over import OverCooks
from trialbench.stats.pairs import check_alpha
from trialbench.stats.scatter import Scatter, parts_of
from trialbench.stats.settings import one_made
from trialbench.stats.student import quantile, upper_tail

_DRAWS = 20_000


@dataclass(frozen=True, slots=True)
class Chance:
    """A probability with its interval (approximate, by drawing; `low`, `high` at 1 - alpha)."""

    chance: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class FuturePiece:
    """Chance that a is higher than b, pieces of one day.

    `pieces`: two pieces as a large panel would see them (scatter of cook days and pieces alone);
    `palates`: over many pieces, the share of tasters who would put a first (scatter of palates
    alone); `one_bite`: one taster, one piece of each, one score of each (everything). Where the
    fit saw none of that scatter (its variances are zero) nothing can be told: NotApplicable.
    """

    a: str
    b: str
    difference: float
    pieces: Chance | NotApplicable
    palates: Chance | NotApplicable
    one_bite: Chance | NotApplicable
    scatter: Scatter
    alpha: float
    lot_number: int
    null_hypothesis: Message


def future_piece(
    fit: MixedFit,
    method: str,
    a: str,
    b: str,
    *,
    taster: str = "",
    cook: str = "",
    unit: str = "",
    lot_number: int,
    alpha: float = 0.05,
    small_sample: str = KENWARD_ROGER,
) -> FuturePiece | NotApplicable:
    """From a fitted model whose grouping columns have these names.

    Normal scatter; var of the difference is 2 (cook:method + unit) for pieces, 2 taster:method
    for palates, all of it and 2 residual for one bite. Intervals: the difference drawn from its t,
    each variance from its scaled chi-square (Satterthwaite df), `lot_number` makes them repeatable.
    `NotApplicable` where the fit has no interval. Raises `BadNumbers` for levels not there.
    """
    alpha, lot_number = check_alpha(alpha), settings.lot(lot_number)
    found = one_made(fit, MixedFit, "fit").differences(method, small_sample)
    difference, se, df = _pair(found, a, b)
    scatter = Scatter.of_fit(fit, method=method, taster=taster, cook=cook, unit=unit)
    if not se > 0.0:
        return NotApplicable(msg("The model has no interval, so nothing can be foretold."))
    lot = np.random.default_rng(lot_number)
    true = difference + se * lot.standard_t(max(df, 1.0), _DRAWS)
    drawn = _Drawn(fit, difference, true, _drawn_variances(fit, lot), alpha)
    of_pieces, of_palates = (parts_of(cook, method), parts_of(unit)), (parts_of(taster, method),)
    return FuturePiece(
        a,
        b,
        difference,
        pieces=drawn.chance(*of_pieces),
        palates=drawn.chance(*of_palates),
        one_bite=drawn.chance(*of_pieces, *of_palates, parts_of("residual")),
        scatter=scatter,
        alpha=alpha,
        lot_number=lot_number,
        null_hypothesis=msg("A piece of {a} is as often above one of {b} as below.", a=a, b=b),
    )


def _pair(table: pd.DataFrame, a: str, b: str) -> tuple[float, float, float]:
    """a - b with its se and df from a table of differences."""
    there = ", ".join(sorted({*table["a"], *table["b"]}))
    a, b = one_text(a, "a", there), one_text(b, "b", there)
    row = table[(table["a"] == min(a, b)) & (table["b"] == max(a, b))]
    if len(row) != 1:
        raise BadNumbers(f"There is no pair {a!r}, {b!r}.", where="a, b", allowed=there)
    estimate, se, df = (float(row[name].iloc[0]) for name in ("estimate", "se", "df"))
    return estimate if a <= b else -estimate, se, df


@dataclass(frozen=True, slots=True)
class _Drawn:
    """The difference and the variances as estimated and as drawn from their uncertainty."""

    fit: MixedFit
    difference: float
    true: Array
    variances: dict[str, Array]
    alpha: float

    def chance(self, *terms: frozenset[str]) -> Chance | NotApplicable:
        """P(a above b) where the terms (by their columns) and nothing else scatter it.

        A variance estimated at zero would give certainty, which is more than the data hold.
        """
        names = [name for name in self.variances if parts_of(name) in terms]
        spread = 2.0 * math.fsum(self.fit.variances[name] for name in names)
        if not spread > 0.0:
            return NotApplicable(
                msg("No scatter of this kind was seen in these data, so no chance can be told.")
            )
        spreads = 2.0 * sum((self.variances[name] for name in names), np.zeros(_DRAWS))
        tails = [self.alpha / 2.0, 1.0 - self.alpha / 2.0]
        low, high = np.quantile(_above(self.true, spreads), tails).tolist()
        middle = float(_above(np.array([self.difference]), np.array([spread]))[0])
        return Chance(middle, min(low, middle), max(high, middle))


def _drawn_variances(fit: MixedFit, lot: np.random.Generator) -> dict[str, Array]:
    """Each variance times df / chi-square; one at zero stays there."""
    errors = fit.variance_errors()
    found = {}
    for name, size in fit.variances.items():
        if size > 0.0 and errors[name] > 0.0:
            df = max(1.0, 2.0 * (size / errors[name]) ** 2)
            found[name] = size * df / lot.chisquare(df, _DRAWS)
        else:
            found[name] = np.full(_DRAWS, size)
    return found


def _above(difference: Array, variance: Array) -> Array:
    """P(difference + noise > 0); without noise 1, 0 or one half."""
    sd = np.sqrt(variance)
    plain = 0.5 * (1.0 + np.sign(difference))
    return np.where(sd > 0.0, special.ndtr(difference / np.where(sd > 0.0, sd, 1.0)), plain)


@dataclass(frozen=True, slots=True)
class NextCookDay:
    """The next cook day with these tasters: its difference's interval and P(a above b)."""

    estimate: float
    low: float
    high: float
    chance_a_above: float
    alpha: float


def next_cook_day(found: OverCooks, alpha: float = 0.05) -> NextCookDay | NotApplicable:
    """Prediction for one more D_k: estimate +- t(c - 1) sd sqrt(1 + 1/c) (exact for normal D)."""
    alpha, found = check_alpha(alpha), one_made(found, OverCooks, "found")
    if found.estimate is None or not found.sd or found.df is None:
        return NotApplicable(msg("Fewer than two cook days or no scatter: nothing to foretell."))
    scale = found.sd * math.sqrt(1.0 + 1.0 / (found.df + 1))
    reach = quantile(alpha / 2.0, found.df) * scale
    chance = upper_tail(-found.estimate / scale, found.df)
    return NextCookDay(
        found.estimate, found.estimate - reach, found.estimate + reach, chance, alpha
    )

"""Ordered settings (a temperature, a time): trend, curve with a band, best setting.

Everything has one value per cook: the slope, the bend, the height of the curve. A cook counts where
it carries every setting.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from trialbench.model.message import Message, msg
from trialbench.stats import frames
from trialbench.stats.cook_contrasts import (
    Cell,
    CellScores,
    CookContrast,
    Question,
    read_cells,
)
from trialbench.stats.mixed_reml import Array
from trialbench.stats.not_applicable import NotApplicable
from trialbench.stats.numbers import BadNumbers, one_of
from trialbench.stats.settings import count
from trialbench.stats.student import quantile

HIGHER, LOWER = "higher", "lower"
MOST_POINTS = 100_000
"""The largest number of points of a curve."""
_CLOSEST = 1e-50


@dataclass(frozen=True, slots=True)
class CurvePoint:
    """The fitted curve at a setting, with its interval (each point by itself)."""

    setting: float
    estimate: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class BestSetting:
    """Where the curve is best, in the setting's units, with an interval (Fieller).

    `low` or `high` None: the interval is open on that side. `at_edge`: the best of what was tried
    lies at its edge, or the interval reaches past it. `estimate` never lies outside what was tried.
    """

    estimate: float
    low: float | None
    high: float | None
    value: float
    at_edge: bool
    notes: tuple[Message, ...]


@dataclass(frozen=True, slots=True)
class Trend:
    """Slope per unit of the setting, bend (second-degree coefficient), curve and best setting.

    `bend` and `best` need three settings. Curve: straight with two settings, else second degree.
    """

    settings: tuple[float, ...]
    slope: CookContrast
    bend: CookContrast | NotApplicable
    curve: tuple[CurvePoint, ...]
    best: BestSetting | NotApplicable
    alpha: float
    notes: tuple[Message, ...]


def trend(
    frame: frames.Frame,
    value: str,
    setting: str,
    cook: str,
    unit: str | None = None,
    taster: str | None = None,
    *,
    better: str = HIGHER,
    step: float | None = None,
    matters: float | None = None,
    alpha: float = 0.05,
    points: int = 61,
) -> Trend | NotApplicable:
    """Fit a line and a second-degree curve to each cook and judge them over cooks.

    `setting`: a column of numbers. `matters` is read against the slope per unit. Orthogonal
    polynomials on the settings' own spacing (Fisher 1925); best setting: zero of the derivative
    with Fieller's interval (Fieller 1954, J. Royal Statistical Society B 16, 175). `NotApplicable`
    with one setting or fewer than two cooks that carry all of them. Raises `BadNumbers`.
    """
    upward = one_of(better, "better", (HIGHER, LOWER)) == HIGHER
    question = Question(step=step, matters=matters, alpha=alpha)
    alpha, points = question.alpha, count(points, "points", 0, MOST_POINTS)
    cells = read_cells(frame, value, [setting], cook, unit, taster, numeric=[0])
    order = sorted(cells.cells, key=lambda cell: float(cell[0]))
    x = np.array([float(cell[0]) for cell in order])
    if len(x) < 2:
        return NotApplicable(msg("One setting only: there is no trend."))
    _far_enough(x, setting)
    basis = _coefficients(x, min(2, len(x) - 1))
    slope = cells.contrast(_SLOPE, _weights(order, _slope(x)), question)
    if slope.df is None:
        return NotApplicable(msg("Fewer than two cooks carry every setting: there is no trend."))
    table = cells.table(order)
    bend: CookContrast | NotApplicable = NotApplicable(msg("Two settings show no bend."))
    best: BestSetting | NotApplicable = NotApplicable(
        msg("Two settings show no best between them.")
    )
    if len(x) > 2:
        bend = cells.contrast(_BEND, _weights(order, basis[2]), question)
        best = _best(table @ basis.T, x, upward, alpha)
    curve = _curve(table @ basis.T, np.linspace(x[0], x[-1], points), alpha)
    settings = tuple(float(each) for each in x)
    return Trend(settings, slope, bend, curve, best, alpha, slope.notes)


@dataclass(frozen=True, slots=True)
class TrendPair:
    """How two methods' trends differ: slope of a less slope of b, and the same for the bend."""

    a: str
    b: str
    slope: CookContrast
    bend: CookContrast | NotApplicable


def compare_trends(
    frame: frames.Frame,
    value: str,
    method: str,
    setting: str,
    cook: str,
    taster: str | None = None,
    *,
    unit: str | None = None,
    step: float | None = None,
    alpha: float = 0.05,
) -> tuple[TrendPair, ...] | NotApplicable:
    """Does the setting work alike in each method? One slope (and bend) per cook and method.

    Every pair of methods, a before b as text, over the settings both were tried at; a cook counts
    where it carries all of those. `NotApplicable` with one method or fewer than two shared
    settings. Raises `BadNumbers`.
    """
    question = Question(step=step, alpha=alpha)
    cells = read_cells(frame, value, [method, setting], cook, unit, taster, numeric=[1])
    tried: dict[str, set[str]] = {}
    for name, at in cells.cells:
        tried.setdefault(name, set()).add(at)
    found = []
    for a, b in itertools.combinations(sorted(tried), 2):
        shared = sorted(tried[a] & tried[b], key=float)
        if len(shared) > 1:
            _far_enough(np.array([float(at) for at in shared]), setting)
            found.append(_trend_pair(cells, a, b, shared, question))
    if not found:
        return NotApplicable(msg("No two methods share two settings."))
    return tuple(found)


def _trend_pair(
    cells: CellScores, a: str, b: str, shared: Sequence[str], question: Question
) -> TrendPair:
    x = np.array([float(at) for at in shared])

    def contrast(name: Message, weights: Array) -> CookContrast:
        both: dict[Cell, float] = {
            (a, at): w for at, w in zip(shared, weights.tolist(), strict=True)
        }
        both |= {(b, at): -w for at, w in zip(shared, weights.tolist(), strict=True)}
        return cells.contrast(msg("{a} less {b}: {what}", a=a, b=b, what=name), both, question)

    bend: CookContrast | NotApplicable = NotApplicable(msg("Two settings show no bend."))
    if len(x) > 2:
        bend = contrast(_BEND, _coefficients(x, 2)[2])
    return TrendPair(a, b, contrast(_SLOPE, _slope(x)), bend)


_SLOPE = msg("slope per unit of the setting")
_BEND = msg("bend of the curve")


def _weights(order: Sequence[Cell], weights: Array) -> Mapping[Cell, float]:
    return dict(zip(order, weights.tolist(), strict=True))


def _far_enough(x: Array, setting: str) -> None:
    """Raise `BadNumbers` where the fourth power of the settings' spread is none any more."""
    if float(np.ptp(x)) < _CLOSEST:
        raise BadNumbers(
            f"The settings of {setting} lie within {np.ptp(x):g}.",
            where=f"column {setting}",
            allowed="settings further apart, in a larger unit",
        )


def _slope(x: Array) -> Array:
    """Weights of the least-squares line's slope."""
    away = x - x.mean()
    return np.asarray(away / (away**2).sum())


def _powers(x: Array, degree: int) -> Array:
    return np.vander(x, degree + 1, increasing=True)


def _coefficients(x: Array, degree: int) -> Array:
    """(degree + 1, settings): weights that give each coefficient of the fitted polynomial."""
    middle, scale = x.mean(), np.abs(x - x.mean()).max()
    inner = np.linalg.pinv(_powers((x - middle) / scale, degree))
    if degree == 1:
        shift = np.array([[1.0, -middle / scale], [0.0, 1.0 / scale]])
    else:
        shift = np.array([
            [1.0, -middle / scale, (middle / scale) ** 2],
            [0.0, 1.0 / scale, -2.0 * middle / scale**2],
            [0.0, 0.0, 1.0 / scale**2],
        ])  # fmt: skip
    return np.asarray(shift @ inner)


def _curve(coefficients: Array, at: Array, alpha: float) -> tuple[CurvePoint, ...]:
    """The curve from each cook's coefficients (cooks, degree + 1), a t over cooks at each point."""
    heights = coefficients @ _powers(at, coefficients.shape[1] - 1).T
    cooks = len(heights)
    middle = heights.mean(axis=0)
    reach = quantile(alpha / 2.0, cooks - 1) * heights.std(axis=0, ddof=1) / math.sqrt(cooks)
    rows = np.column_stack([at, middle, middle - reach, middle + reach])
    return tuple(CurvePoint(*row) for row in rows.tolist())


def _best(coefficients: Array, x: Array, upward: bool, alpha: float) -> BestSetting:
    cooks = len(coefficients)
    # Around the middle of the settings, so that level and lean of the derivative keep their digits.
    middle = float(x.mean())
    first, second = coefficients[:, 1], 2.0 * coefficients[:, 2]
    values = np.column_stack([first + middle * second, second])
    level, lean = values.mean(axis=0).tolist()
    peak = lean < 0.0 if upward else lean > 0.0
    at = middle - level / lean if peak else math.nan
    ends = _powers(x[[0, -1]], 2) @ coefficients.mean(axis=0)
    if not (peak and x[0] <= at <= x[-1]):
        at = float(x[0] if (ends[0] > ends[1]) == upward else x[-1])
        notes = [msg("The best lies at the edge of what was tried: try further out.")]
        return BestSetting(at, None, None, _height(coefficients, at), True, tuple(notes))
    spread = np.cov(values, rowvar=False) / cooks
    bound = quantile(alpha / 2.0, cooks - 1) ** 2
    low, high = _fieller(level, lean, spread, bound, middle)
    notes = _open_or_past(low, high, x)
    return BestSetting(at, low, high, _height(coefficients, at), bool(notes), tuple(notes))


def _height(coefficients: Array, at: float) -> float:
    return float(_powers(np.array([at]), 2)[0] @ coefficients.mean(axis=0))


def _fieller(
    level: float, lean: float, spread: Array, bound: float, middle: float
) -> tuple[float | None, float | None]:
    """All settings x whose derivative level + lean (x - middle) a t does not tell from 0."""
    a = lean**2 - bound * float(spread[1, 1])
    b = level * lean - bound * float(spread[0, 1])
    c = level**2 - bound * float(spread[0, 0])
    root = b * b - a * c
    if a <= 0.0 or root < 0.0:
        return None, None
    ends = sorted(((-b - math.sqrt(root)) / a, (-b + math.sqrt(root)) / a))
    return middle + ends[0], middle + ends[1]


def _open_or_past(low: float | None, high: float | None, x: Array) -> list[Message]:
    if low is None or high is None:
        return [msg("The bend is too weak to bound the best setting.")]
    if low < x[0] or high > x[-1]:
        return [msg("The interval of the best setting reaches past what was tried.")]
    return []

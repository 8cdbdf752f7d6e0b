"""How much of the scatter of scores lies between samples rather than tasters."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from scipy import special

from trialbench.model.message import Message, msg
from trialbench.stats import frames
from trialbench.stats.not_applicable import NotApplicable
from trialbench.stats.numbers import mean
from trialbench.stats.pairs import check_alpha
from trialbench.stats.taster_cells import score_cells

NO_DIFFERENCE = msg("The samples do not differ: tasters agree no better than chance.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Intraclass:
    """Intraclass correlations of `samples` scored by the same `tasters`, with F limits.

    `agreement`: any one taster against any other, level counts (ICC(2,1)); `consistency`: level
    does not count (ICC(3,1)); `*_of_mean`: the same for the mean of all tasters. `p`: samples do
    not differ (F). None, with a note, where the scatter within samples is so much larger than that
    between them that the ratio has no meaning.
    """

    samples: int
    tasters: int
    agreement: float | None
    agreement_low: float | None
    agreement_high: float | None
    agreement_of_mean: float | None
    consistency: float
    consistency_low: float
    consistency_high: float
    consistency_of_mean: float | None
    F: float
    df1: int
    df2: int
    p: float
    alpha: float
    null_hypothesis: Message
    notes: tuple[Message, ...]


def intraclass(
    frame: frames.Frame, value: str, taster: str, sample: str, *, alpha: float = 0.05
) -> Intraclass | NotApplicable:
    """Intraclass correlation of a complete table of samples by tasters (repeats are averaged).

    Shrout and Fleiss 1979, Psychological Bulletin 86, 420; limits of the agreement by McGraw and
    Wong 1996, Psychological Methods 1, 30. Samples that not every taster scored are left out.
    """
    alpha = check_alpha(alpha)
    cells = score_cells(frame, value, taster, sample)
    everything = sorted({what for own in cells.values() for what in own})
    shared = [what for what in everything if all(what in own for own in cells.values())]
    if len(shared) < 2 or len(cells) < 2:
        return NotApplicable(msg("Fewer than two samples that two tasters share."))
    table = np.array([[mean(cells[who][what]) for who in sorted(cells)] for what in shared])
    lost = len(everything) - len(shared)
    notes = (msg("Samples not scored by everybody: {lost}, left out.", lost=lost),) if lost else ()
    return _of_table(table, alpha, notes)


def _of_table(
    table: np.ndarray, alpha: float, notes: tuple[Message, ...]
) -> Intraclass | NotApplicable:
    n, k = table.shape
    # Ratios only are wanted: in units of the largest distance no square is too large or too small.
    table = table - table.mean()
    table = table / (float(np.abs(table).max()) or 1.0)
    rows, columns, middle = table.mean(1), table.mean(0), table.mean()
    between = float(k * ((rows - middle) ** 2).sum() / (n - 1))
    judges = float(n * ((columns - middle) ** 2).sum() / (k - 1))
    rest = table - rows[:, None] - columns + middle
    df2 = (n - 1) * (k - 1)
    error = float((rest**2).sum() / df2)
    if error <= 1e-20:
        return NotApplicable(msg("Tasters differ in level only: nothing is left to compare with."))
    f = between / error
    any_one = _ratio(between - error, between + (k - 1) * error + k * (judges - error) / n)
    of_mean = _ratio(between - error, between + (judges - error) / n)
    same_of_mean = _ratio(between - error, between)
    levels = _agreement_limits(any_one, (between, judges, error), (n, k), alpha)
    shape = _consistency_limits(f, (n, k), alpha)
    if None in (any_one, of_mean, same_of_mean, *levels):
        notes = (*notes, msg("Samples differ less than chance would let them: some ratios have no "
                             "meaning and are left out."))  # fmt: skip
    return Intraclass(
        samples=n, tasters=k, agreement=any_one,
        agreement_low=levels[0], agreement_high=levels[1], agreement_of_mean=of_mean,
        consistency=(between - error) / (between + (k - 1) * error),
        consistency_low=shape[0], consistency_high=shape[1],
        consistency_of_mean=same_of_mean,
        F=f, df1=n - 1, df2=df2, p=float(special.fdtrc(n - 1, df2, f)), alpha=alpha,
        null_hypothesis=NO_DIFFERENCE, notes=notes,
    )  # fmt: skip


def _ratio(part: float, whole: float) -> float | None:
    """None where the whole is no more than rounding, or below 0."""
    return part / whole if whole > 1e-15 else None


def _quantile(df1: float, df2: float, tail: float) -> float:
    """The value of F that a share `tail` lies above."""
    low = float(special.fdtri(df2, df1, tail))
    return 1 / low if low > 0 else math.inf


def _consistency_limits(f: float, size: tuple[int, int], alpha: float) -> tuple[float, float]:
    n, k = size
    df1, df2 = n - 1, (n - 1) * (k - 1)
    low = f / _quantile(df1, df2, alpha / 2)
    high = f * _quantile(df2, df1, alpha / 2)
    return (low - 1) / (low + k - 1), (high - 1) / (high + k - 1)


def _agreement_limits(
    share: float | None, squares: tuple[float, float, float], size: tuple[int, int], alpha: float
) -> tuple[float | None, float | None]:
    (n, k), (between, judges, error) = size, squares
    if share is None:
        return None, None
    a = k * share / (n * (1 - share))
    b = 1 + k * share * (n - 1) / (n * (1 - share))
    if abs(a * judges + b * error) <= 1e-12:
        return None, None
    df = (a * judges + b * error) ** 2 / (
        (a * judges) ** 2 / (k - 1) + (b * error) ** 2 / ((n - 1) * (k - 1))
    )
    first, second = _quantile(n - 1, df, alpha / 2), _quantile(df, n - 1, alpha / 2)
    whole = k * judges + (k * n - k - n) * error
    low = n * (between - first * error) / (first * whole + n * between)
    high = n * (second * between - error) / (whole + n * second * between)
    return (low, high) if math.isfinite(low) and math.isfinite(high) else (None, None)

"""Student's t: tails and quantiles, with the upper tail reckoned as a tail."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy import special


def two_sided_p(t: float, df: float) -> float:
    """P(|T| >= |t|) with `df` degrees of freedom."""
    return min(1.0, 2.0 * float(special.stdtr(df, -abs(t))))


def upper_tail(t: float, df: float) -> float:
    """P(T >= t)."""
    return float(special.stdtr(df, -t))


def quantile(tail: float, df: float) -> float:
    """The value that a share `tail` lies above (0 < tail <= 0.5)."""
    return max(0.0, -float(special.stdtrit(df, tail)))


def noncentral_upper_tail(t: float, df: float, shift: ArrayLike) -> NDArray[np.float64]:
    """P(T > t), t >= 0, of noncentral t with each `shift`, as the lower tail of its mirror image.

    Far in the wrong direction (shift under -5, where T > t has a chance below 6e-8) the series of
    scipy does not end and gives NaN; that chance counts as 0.
    """
    shifts = np.asarray(shift, dtype=float)
    tail = np.asarray(special.nctdtr(df, -shifts, -t), dtype=float)
    return np.where(np.isnan(tail) & (shifts < -5.0), 0.0, tail)


def noncentral_power(limit: float, df: float, shift: ArrayLike) -> NDArray[np.float64]:
    """P(|T| > limit) of noncentral t: both tails."""
    near = noncentral_upper_tail(limit, df, np.abs(shift))
    return np.minimum(1.0, near + noncentral_upper_tail(limit, df, -np.abs(shift)))

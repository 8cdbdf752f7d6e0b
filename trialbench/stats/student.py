"""Student's t: tails and quantiles, with the upper tail reckoned as a tail."""

from __future__ import annotations

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

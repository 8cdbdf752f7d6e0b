"""The end of a cook: the lowest of several pokes, and cooking carry-over after the pull."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from trialbench.thermal.bad_figures import BadFigures
from trialbench.thermal.curves import Curve


@dataclass(frozen=True, slots=True)
class Pokes:
    """Several readings of one piece at one moment: the lowest is its core (common practice)."""

    lowest_c: float
    highest_c: float
    count: int

    @property
    def spread_c(self) -> float:
        """How far apart they are, in K."""
        return self.highest_c - self.lowest_c


@dataclass(frozen=True, slots=True)
class CookingCarryOver:
    """The rise of the core after the heat is off (not the carry-over of taste).

    `rise_c` is peak less pull. `still_rising`: the log ends at the peak, so it may be higher.
    `not_shown_s`: gaps between pull and peak.
    """

    pull_c: float
    pull_s: float
    peak_c: float
    peak_s: float
    still_rising: bool
    not_shown_s: float

    @property
    def rise_c(self) -> float:
        """Peak less pull, in K."""
        return self.peak_c - self.pull_c

    @property
    def after_s(self) -> float:
        """Seconds from pull to peak."""
        return self.peak_s - self.pull_s


def lowest_of(pokes_c: Sequence[float]) -> Pokes:
    """Several pokes as one reading. Raises BadFigures for none, or one that is no number."""
    if not len(pokes_c) or not np.isfinite(np.asarray(pokes_c, dtype=float)).all():
        raise BadFigures("A poke is missing.", where="pokes_c", allowed="one temperature at least")
    return Pokes(float(min(pokes_c)), float(max(pokes_c)), len(pokes_c))


def cooking_carry_over(
    curve: Curve, pull_s: float, *, until_s: float | None = None
) -> CookingCarryOver | None:
    """The highest core temperature from the pull to `until_s` (slicing, or the end of the log).

    Gaps count as not shown. None where the log does not show the pull.
    """
    pull_c = curve.at(pull_s)
    part = curve.between(pull_s, curve.end_s if until_s is None else until_s) if (
        pull_c is not None
    ) else None  # fmt: skip
    if part is None or pull_c is None:
        return None
    place = int(np.argmax(part.temp_c))
    peak_s = float(part.time_s[place])
    hidden = sum(gap.length_s for gap in part.gaps if gap.start_s < peak_s)
    last = place == len(part) - 1 and len(part) > 1
    return CookingCarryOver(pull_c, pull_s, float(part.temp_c[place]), peak_s, last, hidden)

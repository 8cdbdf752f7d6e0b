"""How many tasters a choice needs: power is a saw-tooth in their number, so two answers."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy import special

from trialbench.model.message import Message, msg
from trialbench.stats.binomial import whole
from trialbench.stats.choice_forms import Form, form_named
from trialbench.stats.not_applicable import NotApplicable
from trialbench.stats.numbers import one_flag
from trialbench.stats.settings import between

NULL_HYPOTHESIS = msg("Nobody can tell: every answer is a guess.")
MOST_TASTERS = 20_000
_ALL = 1.0 + 1e-12
"""A share of 1 is inside its range."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TastersNeeded:
    """Numbers of tasters for a choice: the power is a saw-tooth in their number.

    `from_then_on`: from here power stays at or above `power`; `first`: the first number that
    reaches it. `needed_*`: right answers that then rule out guessing; `power_*`: what is reached.
    """

    form: str
    share: float
    alpha: float
    power: float
    one_sided: bool
    first: int
    from_then_on: int
    needed_first: int
    needed_from_then_on: int
    power_first: float
    power_from_then_on: float
    null_hypothesis: Message = NULL_HYPOTHESIS


def power(
    of: int, form: str = "triangle", share: float = 0.3, alpha: float = 0.05,
    *, one_sided: bool = True,
) -> float:  # fmt: skip
    """Chance that `of` tasters rule out guessing where a `share` of them can tell.

    Two-sided, both tails count. Raises `BadNumbers`.
    """
    numbers, kind = np.array([whole(of, "of")]), form_named(form)
    share, alpha = between(share, "share", 0.0, _ALL), between(alpha, "alpha")
    one_sided = one_flag(one_sided, "one_sided")
    return float(_powers(numbers, kind, share, alpha, one_sided)[0][0])


def tasters_for(
    form: str = "triangle",
    share: float = 0.3,
    alpha: float = 0.05,
    power: float = 0.8,
    *,
    one_sided: bool = True,
) -> TastersNeeded | NotApplicable:
    """How many tasters rule out guessing with chance `power` where a `share` of them can tell.

    `NotApplicable` above 20,000. Raises `BadNumbers` for shares outside 0 to 1.
    """
    power, alpha = between(power, "power"), between(alpha, "alpha")
    share, one_sided = between(share, "share", 0.0, _ALL), one_flag(one_sided, "one_sided")
    kind = form_named(form)
    length = 256
    while length <= 2 * MOST_TASTERS:
        numbers = np.arange(1, length + 1)
        reached, needed = _powers(numbers, kind, share, alpha, one_sided)
        short = np.flatnonzero(reached < power)
        # The lower edge of the teeth only rises: half the table without one below is the end.
        last = int(short[-1]) + 1 if short.size else 0
        if 2 * last + 16 <= length:
            first = int(np.flatnonzero(reached >= power)[0])
            return TastersNeeded(
                form=kind.name, share=share, alpha=alpha, power=power, one_sided=one_sided,
                first=first + 1, from_then_on=last + 1,
                needed_first=int(needed[first]), needed_from_then_on=int(needed[last]),
                power_first=float(reached[first]), power_from_then_on=float(reached[last]),
            )  # fmt: skip
        length *= 2
    return NotApplicable(msg("More than {most} tasters would be needed.", most=MOST_TASTERS))


def _powers(
    numbers: np.ndarray, kind: Form, share: float, alpha: float, one_sided: bool
) -> tuple[np.ndarray, np.ndarray]:
    """Power and fewest right for each number of tasters (fewest right n + 1: none is enough)."""
    tail = alpha if one_sided else alpha / 2
    needed = _fewest(numbers, kind.guess, tail)
    truth = min(1.0, kind.right_if(share))
    reached = _at_least(needed, numbers, truth)
    if not one_sided:
        # Fewest wrong that rule out guessing, out of the same number.
        wrong = _fewest(numbers, 1 - kind.guess, tail)
        reached = reached + _at_least(wrong, numbers, 1 - truth)
    return reached, needed


def _at_least(hits: np.ndarray, of: np.ndarray, share: float) -> np.ndarray:
    possible = hits <= of
    tails = special.betainc(np.maximum(hits, 1), np.where(possible, of - hits + 1, 1), share)
    return np.where(possible, tails, 0.0)


def _fewest(of: np.ndarray, guess: float, tail: float) -> np.ndarray:
    low, high = np.zeros_like(of), of + 1
    while np.any(low < high):
        middle = (low + high) // 2
        enough = np.where(middle == 0, 1.0, _at_least(middle, of, guess)) <= tail
        # Where nothing is open any more, middle is low and stays.
        open_ = low < high
        high = np.where(open_ & enough, middle, high)
        low = np.where(open_ & ~enough, middle + 1, low)
    return low

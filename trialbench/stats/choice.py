"""Choices: triangle, duo-trio, 2-AFC, 3-AFC and tetrad; exact, with d-prime and sizes of panels.

>>> from trialbench.stats import choice
>>> choice.judge(9, 15).p
0.0308...

Counts are answers of different tasters about one pair of samples: they speak of these pieces. For
several cook days see `over_cook_days`, for tasters who answered more than once `replicated`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from trialbench.model.message import Message, msg
from trialbench.stats.binomial import (
    at_least,
    at_most,
    check_counts,
    exact_limits,
    likelihood_limits,
    two_sided,
    whole,
)
from trialbench.stats.choice_forms import FORMS, Form, form_named
from trialbench.stats.choice_lines import SequentialLines, sequential_lines
from trialbench.stats.choice_panels import TastersNeeded, power, tasters_for
from trialbench.stats.choice_replicated import Replicated, replicated
from trialbench.stats.choices_over_cooks import ChoicesOverCooks, over_cook_days
from trialbench.stats.numbers import one_flag
from trialbench.stats.pairs import check_alpha
from trialbench.stats.preferences import Preference, preference
from trialbench.stats.settings import between

__all__ = [
    "FORMS",
    "ChoiceResult",
    "ChoicesOverCooks",
    "Preference",
    "Replicated",
    "SequentialLines",
    "TastersNeeded",
    "fewest_right",
    "judge",
    "most_right_if_alike",
    "over_cook_days",
    "power",
    "preference",
    "replicated",
    "sequential_lines",
    "tasters_for",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class ChoiceResult:
    """What `right` of `of` answers say. Shares are 0 to 1; None has its reason in `notes`.

    `p`: exact binomial. `needed`: fewest right with p <= alpha (None: too few answers for any).
    `share`: who can tell, never below 0; `share_low`, `share_high` from the exact limits of the
    share right at level 1 - alpha, `share_inner_low`, `_high` at 1 - 2 alpha. `d_prime` with its
    standard error `se` (from the slope of the form; None at or below chance and at all right) and
    likelihood limits at level 1 - alpha; at or below chance it is 0, and `d_prime_high` is a
    one-sided limit at level 1 - alpha, the larger of the exact and the likelihood's. All right: no
    d-prime, and an exact one-sided lower limit (the likelihood's misses one time in four there).
    `alike_p`: exact chance of so few right if the share `alike_below` could tell.
    """

    right: int
    of: int
    form: str
    guess: float
    one_sided: bool
    alpha: float
    p: float
    needed: int | None
    share_right: float
    share: float
    share_low: float
    share_high: float
    share_inner_low: float
    share_inner_high: float
    d_prime: float | None
    se: float | None
    d_prime_low: float | None
    d_prime_high: float | None
    alike_below: float | None
    alike_p: float | None
    null_hypothesis: Message
    notes: tuple[Message, ...]


def judge(
    right: int,
    of: int,
    form: str = "triangle",
    one_sided: bool = True,
    alike_below: float | None = None,
    *,
    alpha: float = 0.05,
) -> ChoiceResult:
    """Judge `right` right answers out of `of`, each by another taster.

    `form`: triangle, duo-trio, 2-afc, 3-afc or tetrad. Two-sided (for a 2-AFC without a right
    answer known beforehand) p is twice the smaller tail. `alike_below` is a share of tasters who
    can tell (0 to 1) that would still count as alike. Raises `BadNumbers` (a ValueError).
    """
    right, of = check_counts(right, of)
    alpha, one_sided = check_alpha(alpha), one_flag(one_sided, "one_sided")
    kind, below = form_named(form), _alike(alike_below)
    limits = [exact_limits(right, of, level) for level in (alpha, 2 * alpha)]
    told = [kind.who_can_tell(limit) for pair in limits for limit in pair]
    d_prime, se, low, high, notes = _sensory_difference(right, of, kind, alpha)
    needed = fewest_right(of, form, alpha, one_sided=one_sided)
    if needed is None:
        notes = (*notes, msg("Too few answers: even all right would not rule out guessing."))
    return ChoiceResult(
        right=right, of=of, form=kind.name, guess=kind.guess, one_sided=one_sided, alpha=alpha,
        p=at_least(right, of, kind.guess) if one_sided else two_sided(right, of, kind.guess),
        needed=needed, share_right=right / of, share=kind.who_can_tell(right / of),
        share_low=told[0], share_high=told[1], share_inner_low=told[2], share_inner_high=told[3],
        d_prime=d_prime, se=se, d_prime_low=low, d_prime_high=high, alike_below=below,
        alike_p=None if below is None else at_most(right, of, kind.right_if(below)),
        null_hypothesis=_null_hypothesis(kind.guess, one_sided), notes=notes,
    )  # fmt: skip


def _null_hypothesis(share: float, one_sided: bool) -> Message:
    guess = "1/3" if share < 0.4 else "1/2"
    if one_sided:
        return msg("A right answer is no more likely than by guessing, {guess}.", guess=guess)
    return msg("A right answer is as likely as by guessing, {guess}.", guess=guess)


def _alike(below: float | None) -> float | None:
    return None if below is None else between(below, "alike_below")


def _sensory_difference(
    right: int, of: int, kind: Form, alpha: float
) -> tuple[float | None, float | None, float | None, float | None, tuple[Message, ...]]:
    """d', its standard error, its limits and what to note."""
    share = right / of
    if share <= kind.guess:
        # A d' below 0 is impossible: the likelihood has its top at guessing.
        _, likely = likelihood_limits(right, of, 2 * alpha, best=kind.guess)
        high = max(likely, exact_limits(right, of, 2 * alpha)[1])
        note = msg("No more right than by guessing: d-prime is 0, with an upper limit only.")
        return 0.0, None, None, _finite(kind.d_prime(high)), (note,)
    if right == of:
        low, _ = exact_limits(right, of, 2 * alpha)
        note = msg("All answers are right: d-prime has no upper limit, only a lower one.")
        return None, None, kind.d_prime(low), None, (note,)
    d_prime = kind.d_prime(share)
    low, high = likelihood_limits(right, of, alpha)
    se = math.sqrt(share * (1 - share) / of) / kind.slope(d_prime)
    return d_prime, se, kind.d_prime(low), _finite(kind.d_prime(high)), ()


def _finite(value: float) -> float | None:
    return value if math.isfinite(value) else None


def fewest_right(
    of: int, form: str = "triangle", alpha: float = 0.05, *, one_sided: bool = True
) -> int | None:
    """Fewest right answers out of `of` whose exact p is at most alpha; None where none is.

    Two-sided the upper tail must be at most alpha / 2.
    """
    total, kind = whole(of, "of"), form_named(form)
    alpha = between(alpha, "alpha")
    tail = alpha if one_flag(one_sided, "one_sided") else alpha / 2
    low, high = 0, total + 1
    while low < high:
        middle = (low + high) // 2
        low, high = (
            (low, middle) if at_least(middle, total, kind.guess) <= tail else (middle + 1, high)
        )
    return low if low <= total else None


def most_right_if_alike(
    of: int, form: str = "triangle", below: float = 0.3, beta: float = 0.05
) -> int | None:
    """Most right answers that still speak for "alike"; None where even none right does not.

    If the share `below` could tell, so few right answers come with chance at most `beta`.
    """
    total, kind = whole(of, "of"), form_named(form)
    share, beta = kind.right_if(between(below, "below")), between(beta, "beta")
    low, high = -1, total
    while low < high:
        middle = (low + high + 1) // 2
        low, high = (middle, high) if at_most(middle, total, share) <= beta else (low, middle - 1)
    return low if low >= 0 else None

"""Choices made on several cook days: one number a day, and a rule that holds its level.

A t interval over the shares of few days is wrong too often (days are few, shares have ends and
lumps: 0.075 and more at nominal 0.05, one in four where each day falls one way). So direction and
size are answered apart. Which way: the exact sign-flip test over days, which holds for any scatter
from day to day because under equal methods the names of a day could be swapped; it needs six days.
How much: limits of the mean that assume nothing but the ends of the scale (`bounded_mean`), wider,
so that they may still hold 0 where the direction is clear.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import lcm

from trialbench.model.message import Message, msg
from trialbench.stats.binomial import at_least, two_sided, whole
from trialbench.stats.bounded_mean import mean_limits, p_above
from trialbench.stats.choice_forms import FORMS, form_named
from trialbench.stats.not_applicable import NotApplicable
from trialbench.stats.numbers import BadNumbers, listed, mean, one_of
from trialbench.stats.pairs import check_alpha
from trialbench.stats.sign_flip import MAX_PAIRS, flip_p

EITHER_NAME = msg("The methods are the same: on each cook day their names could be swapped.")
GUESSED = msg("Over many cook days the share of right answers is that of guessing.")
PREFERENCE = "preference"
MOST_DAYS = 400
"""Limits for more days would take minutes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ChoicesOverCooks:
    """Choices over cook days. Shares 0 to 1; None has its reason in `notes`.

    Preference: `by_day` and `estimate` are net shares (first - second) / all, -1 to 1, p is two-
    sided. Else they are shares right, 0 to 1, p is one-sided against guessing. `low`, `high` at
    level 1 - alpha and `inner_low`, `inner_high` at 1 - 2 alpha assume nothing about the days but
    that they stand for others; `p` is that of sign-flips for a preference, and of the same limits
    for right answers. `smallest_possible_p`: what this number of days could reach at best.
    `p_these_pieces`: the exact binomial over all answers, which speaks of these pieces only.
    """

    days: int
    form: str
    by_day: tuple[float, ...]
    estimate: float
    low: float
    high: float
    inner_low: float
    inner_high: float
    p: float | None
    smallest_possible_p: float
    p_these_pieces: float | None
    alpha: float
    null_hypothesis: Message
    notes: tuple[Message, ...]


def over_cook_days(
    first: Sequence[int],
    of: Sequence[int],
    form: str = PREFERENCE,
    neither: Sequence[int] | None = None,
    *,
    alpha: float = 0.05,
) -> ChoicesOverCooks | NotApplicable:
    """Judge choices of several cook days, one count a day.

    `first` chose the first method (or were right), out of `of` answers, of which `neither` had no
    preference. `form`: "preference" (also for a 2-AFC: which has more?), or a form of `judge`.
    Days without an answer drop out. Raises `BadNumbers`; fewer than two days are `NotApplicable`.
    """
    alpha, form = check_alpha(alpha), one_of(form, "form", (PREFERENCE, *FORMS))
    unsure = listed(neither, "neither") if neither is not None else None
    days = _days(listed(first, "first"), listed(of, "of"), unsure)
    lost = sum(total == 0 for _, total, _ in days)
    days = [day for day in days if day[1]]
    notes = [msg("Cook days without an answer: {lost}, left out.", lost=lost)] if lost else []
    if len(days) < 2:
        return NotApplicable(msg("Fewer than two cook days have answers: these pieces only."))
    if form == PREFERENCE:
        return _preference(days, alpha, notes)
    return _right_answers(days, form, alpha, notes)


_Day = tuple[int, int, int]


def _days(first: list[object], of: list[object], neither: list[object] | None) -> list[_Day]:
    unsure = neither if neither is not None else [0] * len(of)
    if not len(first) == len(of) == len(unsure):
        raise BadNumbers("Counts of unequal length.", where="first, of, neither",
                         allowed="one count a cook day")  # fmt: skip
    if len(first) > MOST_DAYS:
        raise BadNumbers(f"{len(first)} cook days.", where="first", allowed=f"up to {MOST_DAYS}")
    return [_day(*counts) for counts in zip(first, of, unsure, strict=True)]


def _day(first: object, of: object, neither: object) -> _Day:
    chosen, total, none = whole(first, "first"), whole(of, "of"), whole(neither, "neither")
    if chosen > total:
        raise BadNumbers(f"{chosen} of {total}.", where="first", allowed=f"0 to {total}")
    if chosen + none > total:
        raise BadNumbers(f"{chosen} and {none} of {total}.", where="neither",
                         allowed=f"{total - chosen} or less")  # fmt: skip
    return chosen, total, none


def _preference(days: list[_Day], alpha: float, notes: list[Message]) -> ChoicesOverCooks:
    net = [Fraction(2 * chosen + none - total, total) for chosen, total, none in days]
    step = lcm(*(each.denominator for each in net))
    values = [float(each) for each in net]
    # Steps beyond what a float holds exactly are no help: the values themselves decide ties then.
    p = flip_p(values, [int(each * step) for each in net] if step < 2**50 else None)
    best = min(1.0, 2.0 / 2.0 ** len(days))
    if best > alpha:
        notes.append(msg("Too few cook days: even if all went one way, p would be {best:.3f}.",
                         best=best))  # fmt: skip
    if p is None:
        notes.append(msg("More than {most} cook days: no exact sign-flip test.", most=MAX_PAIRS))
    notes.append(msg("The direction is read from p, the size from the limits, which assume less."))
    chosen, one_side = sum(c for c, _, _ in days), sum(t - n for _, t, n in days)
    return ChoicesOverCooks(
        days=len(days), form=PREFERENCE, by_day=tuple(values), estimate=mean(values),
        **_limits(values, (-1.0, 1.0), alpha), p=p, smallest_possible_p=best,
        p_these_pieces=two_sided(chosen, one_side, 0.5) if one_side else None,
        alpha=alpha, null_hypothesis=EITHER_NAME, notes=tuple(notes),
    )  # fmt: skip


def _right_answers(
    days: list[_Day], form: str, alpha: float, notes: list[Message]
) -> ChoicesOverCooks:
    kind = form_named(form)
    if any(none for _, _, none in days):
        raise BadNumbers("A form with a right answer has no 'no preference'.", where="neither",
                         allowed="left out")  # fmt: skip
    values = [chosen / total for chosen, total, _ in days]
    best = kind.guess ** len(days)
    if best > alpha:
        notes.append(msg("Too few cook days: even if all were right, p would be {best:.3f}.",
                         best=best))  # fmt: skip
    notes.append(msg(
        "Pieces of one method differ too: telling pieces apart is not yet a difference of methods."
    ))  # fmt: skip
    return ChoicesOverCooks(
        days=len(days), form=form, by_day=tuple(values), estimate=mean(values),
        **_limits(values, (0.0, 1.0), alpha), p=min(1.0, p_above(values, kind.guess, 0.0)),
        smallest_possible_p=best,
        p_these_pieces=at_least(sum(c for c, _, _ in days), sum(t for _, t, _ in days), kind.guess),
        alpha=alpha, null_hypothesis=GUESSED, notes=tuple(notes),
    )  # fmt: skip


def _limits(values: list[float], ends: tuple[float, float], alpha: float) -> dict[str, float]:
    low, high = mean_limits(values, ends, alpha)
    inner_low, inner_high = mean_limits(values, ends, 2 * alpha)
    return {"low": low, "high": high, "inner_low": inner_low, "inner_high": inner_high}

"""Which case an interval gives, and whom it favours (policy 1, section 6.6)."""

from __future__ import annotations

from dataclasses import dataclass, replace

from trialbench.findings.finding import CASES_WITH_A_WINNER, Better, Case, Comparison
from trialbench.findings.question import AnalysisQuestion


@dataclass(frozen=True, slots=True)
class Interval:
    """An estimate a - b with its limits at 1 - alpha and, inner, at 1 - 2 alpha."""

    estimate: float
    low: float
    high: float
    inner_low: float
    inner_high: float

    @staticmethod
    def of(comparison: Comparison) -> Interval | None:
        """The interval of a comparison, None where it has none."""
        limits = (comparison.low, comparison.high, comparison.inner_low, comparison.inner_high)
        if comparison.estimate is None or None in limits:
            return None
        return Interval(comparison.estimate, *limits)  # type: ignore[arg-type]

    @staticmethod
    def of_others(comparison: Comparison) -> Interval | None:
        """The second interval of a comparison."""
        second = comparison.others
        if second is None or comparison.estimate is None:
            return None
        limits = (second.low, second.high, second.inner_low, second.inner_high)
        return Interval(comparison.estimate, *limits)

    @property
    def excludes_none(self) -> bool:
        """S: the interval at 1 - alpha holds no 0."""
        return self.low > 0 or self.high < 0

    def all_beyond(self, matters: float) -> bool:
        """M: it lies wholly at or beyond +d or -d."""
        return self.low >= matters or self.high <= -matters

    def all_inside(self, matters: float) -> bool:
        """E: the inner interval lies inside (-d, d)."""
        return -matters < self.inner_low and self.inner_high < matters


@dataclass(frozen=True, slots=True)
class Judged:
    """A case and the label it favours (None: nobody)."""

    case: Case
    favours: str | None


def five_cases(interval: Interval, matters: float | None) -> Case:
    """Exactly one of the five; without d only two of them can be told."""
    if matters is None:
        return "better_size_open" if interval.excludes_none else "not_settled"
    if interval.all_beyond(matters):
        return "better_enough"
    inside = interval.all_inside(matters)
    if interval.excludes_none:
        return "better_too_little" if inside else "better_size_open"
    return "no_difference_that_matters" if inside else "not_settled"


def favoured(a: str, b: str, estimate: float, better: Better) -> str:
    """The label ahead: the higher one, or the lower one where less is better."""
    ahead = estimate > 0
    return a if ahead != (better == "lower") else b


def at_least_as_good(interval: Interval, question: AnalysisQuestion, a: str) -> bool:
    """Is the easier way not worse by d or more: the one-sided 1 - alpha limit is inside d."""
    if question.matters is None:
        return False
    gain_is_positive = (question.easier == a) == (question.better == "higher")
    worst = interval.inner_low if gain_is_positive else -interval.inner_high
    return worst > -question.matters


def judge_interval(
    interval: Interval, question: AnalysisQuestion, a: str, b: str, *, no_spread: bool = False
) -> Judged:
    """The case of an interval before the redraw test is heard."""
    winner = favoured(a, b, interval.estimate, question.better) if interval.excludes_none else None
    if question.same_recipe:
        return Judged("same_recipe", None)
    if question.kind == "at-least-as-good":
        if no_spread:
            return Judged("not_shown", None)
        shown = at_least_as_good(interval, question, a)
        return Judged("at_least_as_good" if shown else "not_shown", winner)
    if no_spread:
        return Judged("not_settled", None)
    case = five_cases(interval, question.matters)
    return Judged(case, winner if case in CASES_WITH_A_WINNER else None)


def no_interval(question: AnalysisQuestion) -> Judged:
    """The case where all cooks agree to the last digit and no step tells how rough they are."""
    if question.same_recipe:
        return Judged("same_recipe", None)
    return Judged("not_shown" if question.kind == "at-least-as-good" else "not_settled", None)


def overruled(judged: Judged) -> Judged:
    """What is left of a case when the redraw test speaks against it; it never promotes."""
    if judged.case in ("better_enough", "better_size_open"):
        return Judged("not_settled", None)
    if judged.case == "better_too_little":
        return Judged("no_difference_that_matters", None)
    return replace(judged, favours=None)


def claims(case: Case) -> bool:
    """True where the case says something of the methods, so that "for whom" can widen."""
    return case in (*CASES_WITH_A_WINNER, "no_difference_that_matters", "at_least_as_good")

"""What a trial supports, as one value: window, command line and report all show this Finding.

Standard library only, so that a page can be drawn before the engine is loaded. Every number is a
plain Python number. Engine order everywhere: labels sorted as text, a < b, difference = a - b.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Literal

from trialbench.model.message import Message, say

POLICY = 1
"""Number of the statistical policy these findings follow; stored in each of them."""

Scope = Literal["taster", "batch", "method"]
Who = Literal["one", "these", "others_like_them"]
Kind = Literal["better", "at-least-as-good"]
Better = Literal["higher", "lower", "neither"]
Case = Literal[
    "better_enough",
    "better_size_open",
    "better_too_little",
    "no_difference_that_matters",
    "not_settled",
    "at_least_as_good",
    "not_shown",
    "same_recipe",
    "no_claim",
]
Procedure = Literal[
    "over_cooks",
    "pairs_of_one_cook",
    "units_of_one_cook",
    "tasters_of_these_pieces",
    "servings_of_one_taster",
    "none",
]
CASES_WITH_A_WINNER = ("better_enough", "better_size_open", "better_too_little")


@dataclass(frozen=True, slots=True)
class Others:
    """The second interval, for others like these tasters; half-widths at level 1 - alpha.

    `low`, `high` at 1 - alpha, `inner_low`, `inner_high` at 1 - 2 alpha. `cooks`, `tasters` and
    `overlap` are h_C, h_T and h_E of policy 6.3, `overlap_df` is df_E. They are None where
    tasters alone are the yardstick (one cook, one unit per method).
    """

    low: float
    high: float
    p: float | None
    inner_low: float
    inner_high: float
    cooks: float | None = None
    tasters: float | None = None
    overlap: float | None = None
    overlap_df: int | None = None


@dataclass(frozen=True, slots=True)
class Comparison:
    """Two methods: estimate a - b with its interval; None where the data leave it open.

    `low`, `high` at 1 - alpha, `inner_low`, `inner_high` at 1 - 2 alpha, `half_width` at 1 - alpha.
    `sd` is the spread of what counts: cook differences, pair differences, units, tasters, servings.
    """

    a: str
    b: str
    estimate: float | None = None
    se: float | None = None
    df: int | None = None
    t: float | None = None
    p: float | None = None
    low: float | None = None
    high: float | None = None
    inner_low: float | None = None
    inner_high: float | None = None
    half_width: float | None = None
    sd: float | None = None
    mean_a: float | None = None
    mean_b: float | None = None
    others: Others | None = None

    def seen_from(self, label: str) -> Comparison:
        """The same comparison as `label` less the other method."""
        if label == self.a:
            return self
        second = self.others and replace(
            self.others,
            low=-self.others.high,
            high=-self.others.low,
            inner_low=-self.others.inner_high,
            inner_high=-self.others.inner_low,
        )
        return replace(
            self,
            a=self.b,
            b=self.a,
            estimate=_minus(self.estimate),
            t=_minus(self.t),
            low=_minus(self.high),
            high=_minus(self.low),
            inner_low=_minus(self.inner_high),
            inner_high=_minus(self.inner_low),
            mean_a=self.mean_b,
            mean_b=self.mean_a,
            others=second,
        )

    def to_json(self) -> dict[str, object]:
        """The comparison with the names the command line promises, plus the inner interval."""
        shown = ("a", "b", "estimate", "se", "df", "t", "p", "low", "high")
        more = ("inner_low", "inner_high", "half_width", "sd", "mean_a", "mean_b")
        value: dict[str, object] = {name: getattr(self, name) for name in shown}
        value["others"] = _fields(self.others)
        value.update({name: getattr(self, name) for name in more})
        return value


@dataclass(frozen=True, slots=True)
class PairDifference:
    """One pair of pieces inside a cook: a - b, None where one side has no score."""

    pair: str
    difference: float | None


@dataclass(frozen=True, slots=True)
class CookDifference:
    """D_k of one cook: the mean over its tasters of each taster's a - b.

    `mean_a` and `mean_b` are means over those same tasters, so that their difference is
    `difference`. `tasters` is n_k (0 for a measurement).
    """

    cook: str
    difference: float
    mean_a: float
    mean_b: float
    tasters: int
    units_a: int
    units_b: int
    pairs: tuple[PairDifference, ...] = ()


@dataclass(frozen=True, slots=True)
class UnitMean:
    """One unit: its mean over the tasters that count in its cook (or its measurement)."""

    cook: str
    method: str
    unit: str
    mean: float
    tasters: int
    pair: str | None = None
    is_load: bool = False


@dataclass(frozen=True, slots=True)
class TasterDifference:
    """One taster's mean difference a - b over the cooks in which both methods were scored."""

    taster: str
    difference: float
    cooks: int


@dataclass(frozen=True, slots=True)
class Redraw:
    """The redraw test beside the interval. `seed` is the lot number; None when enumerated.

    `cooks_needed` is the number of cooks laid out like these from which the test may speak
    against the interval (its floor at most alpha / 3); None when it already `may_speak`, or above
    40.
    """

    p: float
    smallest_possible_p: float
    assignments: int
    seed: int | None = None
    enumerated: bool = True
    hits: int | None = None
    cooks_needed: int | None = None
    may_speak: bool = False
    overruled: bool = False


@dataclass(frozen=True, slots=True)
class Counts:
    """What entered the answer. `pieces` is None where pieces have no names."""

    cooks: int = 0
    units: int = 0
    pieces: int | None = None
    tasters: int = 0
    scores: int = 0


@dataclass(frozen=True, slots=True)
class Finding:
    """What the trial supports, and everything a page needs to show it.

    `favours` is the label of the better method (the higher one where neither way is wanted), None
    unless the case names a winner. `cooks_to_settle` is the smallest number of cooks with power
    0.8 at a true difference of `matters`, None where it cannot be reckoned or, with
    `more_than_40`, where 40 are not enough; `cooks_to_pin_down` that with an interval of half of
    `matters` to either side.
    """

    outcome: str
    scope: Scope
    tasters: Who | None
    unit: str
    case: Case
    comparison: Comparison
    counts: Counts
    favours: str | None = None
    alpha: float = 0.05
    matters: float | None = None
    step: float | None = None
    policy: int = POLICY
    kind: Kind = "better"
    better: Better = "higher"
    easier: str | None = None
    procedure: Procedure = "none"
    redraw: Redraw | None = None
    cooks_to_settle: int | None = None
    more_than_40: bool = False
    cooks_to_pin_down: int | None = None
    planned_cooks: int | None = None
    cooks_in: int = 0
    no_spread: bool = False
    cook_differences: tuple[CookDifference, ...] = ()
    unit_means: tuple[UnitMean, ...] = ()
    taster_differences: tuple[TasterDifference, ...] = ()
    notes: tuple[Message, ...] = field(default=())

    @property
    def other(self) -> str | None:
        """The label of the method that is not favoured; None without a favoured one."""
        if self.favours is None:
            return None
        return self.comparison.b if self.favours == self.comparison.a else self.comparison.a

    @property
    def two_pieces(self) -> bool:
        """True where one piece of each method, treated alone, is all there was."""
        return self.counts.units <= 2 and self.unit == "piece"

    @property
    def leading(self) -> str:
        """The method a page writes first: the favoured one, else the better by the estimate."""
        if self.favours is not None:
            return self.favours
        first = ((self.comparison.estimate or 0.0) > 0) != (self.better == "lower")
        return self.comparison.a if first else self.comparison.b

    @property
    def waiting(self) -> bool:
        """True while the sealed number of cooks is not the number that is in."""
        return self.planned_cooks is not None and self.cooks_in != self.planned_cooks

    def to_json(self, headline: str = "") -> dict[str, object]:
        """The finding as the command line prints it (numbers, text, None; no messages)."""
        redraw = _fields(self.redraw)
        return {
            "scope": self.scope,
            "tasters": self.tasters,
            "unit": self.unit,
            "headline": headline,
            "case": self.case,
            "favours": self.favours,
            "alpha": self.alpha,
            "matters": self.matters,
            "policy": self.policy,
            "comparisons": [self.comparison.to_json()],
            "redraw": redraw,
            "n": _fields(self.counts),
            "notes": [say(note) for note in self.notes],
            "outcome": self.outcome,
            "kind": self.kind,
            "better": self.better,
            "easier": self.easier,
            "step": self.step,
            "procedure": self.procedure,
            "cooks_to_settle": self.cooks_to_settle,
            "more_than_40": self.more_than_40,
            "cooks_to_pin_down": self.cooks_to_pin_down,
            "planned_cooks": self.planned_cooks,
            "cook_differences": [_fields(each) for each in self.cook_differences],
            "taster_differences": [_fields(each) for each in self.taster_differences],
            "unit_means": [_fields(each) for each in self.unit_means],
        }


@dataclass(frozen=True, slots=True)
class OtherOutcome:
    """One of "what else we looked at": an interval left as it is, and p after Holm.

    `also` is True only where Holm's p is at most alpha; `favours` is then the better method.
    `holm_p` is None while nothing is claimed.
    """

    outcome: str
    comparison: Comparison
    counts: Counts
    better: Better = "higher"
    step: float | None = None
    holm_p: float | None = None
    also: bool = False
    favours: str | None = None
    cook_differences: tuple[CookDifference, ...] = ()
    notes: tuple[Message, ...] = ()

    def to_json(self) -> dict[str, object]:
        """Plain values, as `Finding.to_json`."""
        return {
            "outcome": self.outcome,
            "also": self.also,
            "favours": self.favours,
            "holm_p": self.holm_p,
            "comparison": self.comparison.to_json(),
            "n": _fields(self.counts),
            "notes": [say(note) for note in self.notes],
        }


@dataclass(frozen=True, slots=True)
class Family:
    """One outcome decides; the others are read together, as one family."""

    deciding: Finding
    others: tuple[OtherOutcome, ...] = ()


def _minus(value: float | None) -> float | None:
    return None if value is None else -value


def _fields(value: object) -> dict[str, object] | None:
    """The fields of a small frozen record as plain values; None stays None."""
    if value is None:
        return None
    shown: dict[str, object] = {}
    for name in value.__dataclass_fields__:  # type: ignore[attr-defined]
        item = getattr(value, name)
        shown[name] = [_fields(each) for each in item] if isinstance(item, tuple) else item
    return shown

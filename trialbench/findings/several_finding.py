"""What a trial of more than two methods supports, as plain values. Standard library only."""

from __future__ import annotations

from dataclasses import dataclass, replace

from trialbench.findings.contrasts import Contrast, MethodPlan, Role, leading_factor
from trialbench.findings.finding import (
    CASES_WITH_A_WINNER,
    Better,
    Counts,
    Finding,
    Kind,
    Scope,
    Who,
)
from trialbench.model.message import Message, say


@dataclass(frozen=True, slots=True)
class Claim:
    """One comparison with what it supports.

    `finding.comparison` is `contrast.a` less `contrast.b`; its limits hold for all claims of one
    family at once (level 1 - alpha / number of claims), as does `finding.case`, except that whether
    a difference is told apart from none is Holm's to say (`holm_p` at most alpha). `alone_low`,
    `alone_high` are the limits of this one by itself. `cook_values` is one value a cook.
    """

    contrast: Contrast
    finding: Finding
    holm_p: float | None = None
    alone_low: float | None = None
    alone_high: float | None = None
    cook_values: tuple[tuple[str, float], ...] = ()

    @property
    def told(self) -> bool:
        """Whether it is told apart from none."""
        return self.finding.case in CASES_WITH_A_WINNER or (
            self.finding.kind == "at-least-as-good" and self.finding.favours is not None
        )

    @property
    def equal_enough(self) -> bool:
        """Whether no difference that matters is left."""
        return self.finding.case == "no_difference_that_matters"

    @property
    def silent(self) -> bool:
        """Whether nothing is claimed of it either way."""
        return self.finding.case == "no_claim"

    def to_json(self) -> dict[str, object]:
        """Plain values: what is compared, and the comparison as in a finding of two methods."""
        return {
            "role": self.contrast.role,
            "weights": dict(self.contrast.weights),
            "case": self.finding.case,
            "favours": self.finding.favours,
            "holm_p": self.holm_p,
            "alone_low": self.alone_low,
            "alone_high": self.alone_high,
            "comparison": self.finding.comparison.to_json(),
            "procedure": self.finding.procedure,
            "cook_values": [{"cook": cook, "value": value} for cook, value in self.cook_values],
            "notes": [say(note) for note in self.finding.notes],
        }


@dataclass(frozen=True, slots=True)
class MethodMean:
    """The mean of one method over its cook days, and on each of them (over all who scored it)."""

    letter: str
    mean: float
    days: tuple[tuple[str, float], ...]


@dataclass(frozen=True, slots=True)
class CurvePoint:
    """The fitted curve at a setting, with its interval (each point by itself)."""

    setting: float
    estimate: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Best:
    """Where the curve is best, with its interval (None: open on that side).

    `at_edge`: the best of what was tried lies at its edge, or the interval reaches past it.
    """

    setting: float
    low: float | None
    high: float | None
    value: float
    at_edge: bool
    inside: bool
    notes: tuple[Message, ...] = ()


@dataclass(frozen=True, slots=True)
class SettingCurve:
    """The curve of an ordered trial over two cook days or more; `best` None without a direction."""

    points: tuple[CurvePoint, ...]
    best: Best | None = None


@dataclass(frozen=True, slots=True)
class SeveralOther:
    """One of "what else we looked at": intervals as they are, Holm's p over all of them."""

    outcome: str
    claims: tuple[Claim, ...]
    means: tuple[MethodMean, ...]
    better: Better = "higher"

    @property
    def also(self) -> tuple[Claim, ...]:
        """The claims that survive Holm."""
        return tuple(claim for claim in self.claims if claim.told)

    def to_json(self) -> dict[str, object]:
        """Plain values."""
        return {
            "outcome": self.outcome,
            "means": {each.letter: each.mean for each in self.means},
            "claims": [claim.to_json() for claim in self.claims],
        }


@dataclass(frozen=True, slots=True)
class SeveralFinding:
    """What three methods or more support in the outcome that decides.

    `claims` are all comparisons; `lead` is the role of those that the headline gives. `alpha` is
    that of each family of claims; `scope` and `tasters` are those of the claims that lead.
    """

    outcome: str
    plan: MethodPlan
    claims: tuple[Claim, ...]
    lead: Role
    scope: Scope
    tasters: Who | None
    unit: str
    counts: Counts
    means: tuple[MethodMean, ...]
    others: tuple[SeveralOther, ...] = ()
    curve: SettingCurve | None = None
    alpha: float = 0.05
    matters: float | None = None
    step: float | None = None
    better: Better = "higher"
    kind: Kind = "better"
    policy: int = 1
    same_recipe: bool = False
    planned_cooks: int | None = None
    cooks_in: int = 0
    notes: tuple[Message, ...] = ()

    def of_role(self, role: Role) -> tuple[Claim, ...]:
        """The claims of one role, in the order of the plan."""
        return tuple(claim for claim in self.claims if claim.contrast.role == role)

    @property
    def leading(self) -> tuple[Claim, ...]:
        """The claims that the headline gives, those of the leading factor first.

        For an ordered trial its trend and its bend.
        """
        if self.lead in ("trend", "bend"):
            return (*self.of_role("trend"), *self.of_role("bend"))
        if self.plan.shape != "crossed":
            return self.of_role(self.lead)
        first = leading_factor(self.plan)
        return tuple(sorted(self.of_role(self.lead), key=lambda c: c.contrast.factor != first))

    @property
    def told(self) -> tuple[Claim, ...]:
        """The leading claims that are told apart from none."""
        return tuple(claim for claim in self.leading if claim.told)

    @property
    def ahead(self) -> str | None:
        """The method that is best of all, where anything is told apart: for the recipe note.

        Of several pairs the one that wins most and loses none; else the best mean. It is no claim.
        """
        told = self.told
        if not told or self.claims_nothing:
            return None
        letters = list(self.plan.letters)
        if self.plan.shape == "pairs":
            behind = {claim.finding.other for claim in told}
            wins = [claim.finding.favours for claim in told]
            letters = [letter for letter in letters if letter not in behind and letter in wins]
        sign = -1.0 if self.better == "lower" else 1.0
        means = {each.letter: sign * each.mean for each in self.means if each.letter in letters}
        return max(means, key=lambda letter: means[letter]) if means else None

    @property
    def waiting(self) -> bool:
        """True while the sealed number of cooks is not the number that is in."""
        return self.planned_cooks is not None and self.cooks_in != self.planned_cooks

    @property
    def claims_nothing(self) -> bool:
        """True where nothing is claimed: cook days are out, or no comparison has an interval."""
        return self.waiting or all(claim.silent for claim in self.leading)

    @property
    def cooks_to_settle(self) -> int | None:
        """Cook days with which each leading claim would probably be settled; None if unknown."""
        found = [claim.finding.cooks_to_settle for claim in self.leading if not claim.silent]
        known = [each for each in found if each is not None]
        return max(known) if known and len(known) == len(found) else None

    def with_notes(self, notes: tuple[Message, ...]) -> SeveralFinding:
        """The same with other notes."""
        return replace(self, notes=notes)

    def _what(self, claim: Claim) -> dict[str, object]:
        """What a claim of a factor compares, by names: the factor, its two levels, and where."""
        contrast, factors = claim.contrast, self.plan.factors
        if contrast.role not in ("main", "simple", "interaction"):
            return {}
        factor = factors[contrast.factor]
        return {
            "factor": factor.name,
            "levels": [factor.levels[int(place)].plain for place in (contrast.a, contrast.b)],
            "at": [[factors[n].name, factors[n].levels[place].plain] for n, place in contrast.at],
        }

    def to_json(self, headline: str = "") -> dict[str, object]:
        """The finding as the command line prints it (numbers, text, None; no messages)."""
        return {
            "scope": self.scope,
            "tasters": self.tasters,
            "unit": self.unit,
            "headline": headline,
            "shape": self.plan.shape,
            "usual": self.plan.usual,
            "lead": self.lead,
            "alpha": self.alpha,
            "matters": self.matters,
            "policy": self.policy,
            "claims": [{**self._what(claim), **claim.to_json()} for claim in self.claims],
            "means": {each.letter: each.mean for each in self.means},
            "n": {name: getattr(self.counts, name) for name in
                  ("cooks", "units", "pieces", "tasters", "scores")},
            "notes": [say(note) for note in self.notes],
            "outcome": self.outcome,
            "kind": self.kind,
            "better": self.better,
            "step": self.step,
            "cooks_to_settle": self.cooks_to_settle,
            "planned_cooks": self.planned_cooks,
            "best": _best(self.curve),
            "others": [other.to_json() for other in self.others],
        }  # fmt: skip


def _best(curve: SettingCurve | None) -> dict[str, object] | None:
    if curve is None or curve.best is None:
        return None
    best = curve.best
    return {"setting": best.setting, "low": best.low, "high": best.high, "value": best.value,
            "at_edge": best.at_edge}  # fmt: skip

"""Cook days by number: the engine sorts their names as text."""

from __future__ import annotations

from dataclasses import replace
from typing import TypeVar

from trialbench.findings.finding import CookDifference, Family, Finding, UnitMean
from trialbench.findings.several_finding import Claim, MethodMean, SeveralFinding

_InCooks = TypeVar("_InCooks", CookDifference, UnitMean)
_Values = tuple[tuple[str, float], ...]


def _by_number(items: tuple[_InCooks, ...]) -> tuple[_InCooks, ...]:
    return tuple(sorted(items, key=lambda each: int(each.cook)))


def in_order(finding: Finding) -> Finding:
    """A finding with its cook days in order."""
    return replace(
        finding,
        cook_differences=_by_number(finding.cook_differences),
        unit_means=_by_number(finding.unit_means),
    )


def family_in_order(family: Family) -> Family:
    """The finding that decides, and the others."""
    others = tuple(
        replace(other, cook_differences=_by_number(other.cook_differences))
        for other in family.others
    )
    return Family(in_order(family.deciding), others)


def several_in_order(found: SeveralFinding) -> SeveralFinding:
    """A finding of several methods, every claim and mean of it."""
    return replace(
        found,
        claims=tuple(_claim(claim) for claim in found.claims),
        means=tuple(_mean(mean) for mean in found.means),
        others=tuple(
            replace(
                other,
                claims=tuple(_claim(claim) for claim in other.claims),
                means=tuple(_mean(mean) for mean in other.means),
            )
            for other in found.others
        ),
    )


def _claim(claim: Claim) -> Claim:
    values = _numbered(claim.cook_values)
    return replace(claim, finding=in_order(claim.finding), cook_values=values)


def _mean(mean: MethodMean) -> MethodMean:
    return replace(mean, days=_numbered(mean.days))


def _numbered(values: _Values) -> _Values:
    return tuple(sorted(values, key=lambda each: int(each[0])))

"""What a plan of more than two methods will compare, so that feasibility can ask about each."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from trialbench.findings.contrasts import (
    Contrast,
    MethodPlan,
    effects_of,
    method_plan,
    pairs_of,
    trend_of,
)
from trialbench.findings.snapshot import TrialRecords
from trialbench.model.message import Message, msg, msg_n
from trialbench.model.records import Method
from trialbench.planning.claims import PlannedClaim


def planned_claims(records: TrialRecords) -> tuple[PlannedClaim, ...]:
    """The comparisons of a plan, one for each kind; none for two methods."""
    letters = [method.letter for method in records.of(Method)]
    if len(letters) < 3:
        return ()
    plan = method_plan(records, letters)
    if plan.shape == "ordered":
        rise, bend = trend_of(plan)
        return (_claim("trend", msg("the rise from the lowest to the highest"), [rise], 2),
                _claim("bend", msg("the bend on the way"), [bend], 2))  # fmt: skip
    if plan.shape == "crossed":
        return tuple(_of_factors(plan))
    pairs = pairs_of(plan)
    if plan.usual is not None:
        said = msg_n("{count} method against {usual}", "each of {count} methods against {usual}",
                     len(pairs), usual=plan.usual)  # fmt: skip
        return (_claim("pair", said, pairs, len(pairs)),)
    said = msg_n("the pair", "each of the {count} pairs", len(pairs))
    return (_claim("pair", said, pairs, len(pairs)),)


def _of_factors(plan: MethodPlan) -> Iterable[PlannedClaim]:
    effects = effects_of(plan)
    names = [factor.name or str(n + 1) for n, factor in enumerate(plan.factors)]
    for role in ("main", "simple", "interaction"):
        family = [each for each in effects if each.role == role]
        for factor in sorted({each.factor for each in family}):
            own = [each for each in family if each.factor == factor]
            yield _claim(role, _words(role, names, factor), own, len(family))


def _words(role: str, names: Sequence[str], factor: int) -> Message:
    name = names[factor]
    others = ", ".join(other for n, other in enumerate(names) if n != factor)
    if role == "main":
        return msg("{name}, over all of {others}", name=name, others=others)
    if role == "simple":
        return msg("{name} at one setting of {others}", name=name, others=others)
    return msg("how far {name} depends on {others}", name=name, others=others)


def _claim(role: str, label: Message, alike: Sequence[Contrast], family: int) -> PlannedClaim:
    """`alike` differ in their cells alone; where their weights differ the widest counts."""
    squares = max(sum(weight**2 for _, weight in each.weights) for each in alike)
    return PlannedClaim(role, label, squares, family)

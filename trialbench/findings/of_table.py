"""A table of three methods or more, as the command line reads it: its plan, and its words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import product

from trialbench.findings import wording_several as wording
from trialbench.findings.contrasts import FactorLevel, MethodPlan, PlanFactor
from trialbench.findings.phrases import Names, p_text
from trialbench.findings.several_finding import Claim, SeveralFinding
from trialbench.model.errors import BadInput
from trialbench.model.message import say
from trialbench.model.numbers import shortest

Table = Mapping[str, Sequence[object]]


def plan_of_table(
    table: Table,
    method: str,
    *,
    usual: str | None = None,
    factors: Sequence[str] = (),
    settings: str | None = None,
) -> MethodPlan:
    """How the methods of a table lie: pair by pair, crossed by `factors`, or along `settings`.

    `factors` and `settings` name columns; each method must have one level in each. Raises BadInput.
    """
    labels = tuple(sorted({str(label) for label in table[method] if str(label)}))
    if usual is not None and usual not in labels:
        raise BadInput(f"There is no method {usual!r}.", where="usual", allowed=", ".join(labels))
    if settings is not None:
        return _along(table, method, settings, labels)
    if factors:
        return _crossed(table, method, factors, labels)
    return MethodPlan("pairs", labels, usual=usual)


def _level_of(table: Table, method: str, column: str) -> dict[str, str]:
    found: dict[str, set[str]] = {}
    for label, level in zip(table[method], table[column], strict=True):
        if str(label):
            found.setdefault(str(label), set()).add(str(level))
    for label, levels in found.items():
        if len(levels) != 1 or "" in levels:
            listed = ", ".join(sorted(levels)) or "none"
            raise BadInput(
                f"Method {label!r} has {listed} in column {column!r}.",
                where=f"column {column}",
                allowed="one level for each method",
            )
    return {label: levels.pop() for label, levels in found.items()}


def _number(text: str) -> float | None:
    try:
        return float(text)
    except ValueError:
        return None


def _factor(table: Table, method: str, column: str) -> tuple[PlanFactor, dict[str, int]]:
    """A factor with its levels in order, and the place of each method's level."""
    level_of = _level_of(table, method, column)
    numbers = {level: _number(level) for level in level_of.values()}
    numeric = all(number is not None for number in numbers.values())
    order = sorted(numbers, key=lambda level: (numbers[level] or 0.0) if numeric else level)
    levels = tuple(
        FactorLevel(numbers[level]) if numeric else FactorLevel(text=level) for level in order
    )
    factor = PlanFactor(column, "", numeric, levels)
    return factor, {label: order.index(level) for label, level in level_of.items()}


def _crossed(
    table: Table, method: str, columns: Sequence[str], labels: tuple[str, ...]
) -> MethodPlan:
    found = [_factor(table, method, column) for column in columns]
    factors = tuple(factor for factor, _ in found)
    levels = tuple((label, tuple(places[label] for _, places in found)) for label in labels)
    wanted = set(product(*(range(len(factor.levels)) for factor in factors)))
    there = [places for _, places in levels]
    if len(factors) < 2 or any(len(factor.levels) < 2 for factor in factors):
        raise BadInput("Crossing needs two factors with two levels.", where="factors",
                       allowed="two columns or more")  # fmt: skip
    if set(there) != wanted or len(there) != len(wanted):
        raise BadInput(
            f"{len(set(there))} of {len(wanted)} combinations have a method of their own.",
            where="factors",
            allowed="one method for each combination of levels",
        )
    return MethodPlan("crossed", labels, factors, levels)


def _along(table: Table, method: str, column: str, labels: tuple[str, ...]) -> MethodPlan:
    factor, places = _factor(table, method, column)
    if not factor.numeric:
        raise BadInput(
            f"Column {column!r} holds text.", where=f"column {column}", allowed="a number a method"
        )
    if len(factor.levels) != len(labels) or len(labels) < 3:
        raise BadInput(
            f"{len(labels)} methods have {len(factor.levels)} settings.",
            where=f"column {column}",
            allowed="three settings or more, one for each method",
        )
    return MethodPlan("ordered", labels, (factor,), tuple((x, (places[x],)) for x in labels))


def lines_of(found: SeveralFinding, names: Names, decimals: int) -> Iterator[str]:
    """The finding as the command line prints it."""
    yield say(wording.whole_headline(found, names))
    level = shortest(100 * (1 - found.alpha), 1)
    for claim in found.claims:
        yield _claim_line(found, claim, level, decimals)
    means = ", ".join(f"{x.letter} {shortest(x.mean, max(4, decimals))}" for x in found.means)
    yield f"Means: {means}"
    for said in (wording.ruled_out(found, names), wording.cost(found, names)):
        if said is not None:
            yield say(said)
    yield from (f"- {say(note)}" for note in found.notes)


def _claim_line(found: SeveralFinding, claim: Claim, level: str, decimals: int) -> str:
    shown = wording.turned(claim, found)
    plain = shown.finding.comparison
    line = say(wording.claim_name(shown, found))
    if plain.estimate is None:
        return f"{line}: no estimate"
    line += f": {shortest(plain.estimate, max(4, decimals + 1))}"
    if plain.low is not None and plain.high is not None:
        low, high = (shortest(x, max(4, decimals + 1)) for x in (plain.low, plain.high))
        line += f"  ({level} % interval, all at once, {low} to {high})"
    if shown.holm_p is not None:
        line += f", Holm {p_text(shown.holm_p)}"
    return f"{line}; {say(wording.claim_verdict(shown, Names()))}"

"""The redraw test: what other draws of the lots would have given (policy 1, section 6.5).

It moves labels over units only, within the blocks in which lots were drawn, and only over draws
that the plan's rules allowed. The statistic is |mean over cooks of (mean of a - mean of b)|.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from trialbench.model.message import Message, msg
from trialbench.stats import frames
from trialbench.stats.numbers import BadNumbers, mean, plain

NULL_HYPOTHESIS = msg("For every unit both methods would have given the same number.")
TIE = 1e-9
"""Statistics closer than this share of the range of the values tie, and ties count."""
MAX_ENUMERATED = 2_000_000
DRAWS = 100_000
"""Draws sampled where there are more than `max_enumerated`."""
MOST_COOKS = 40

Rule = Callable[[tuple[str, ...]], bool]
Assignments = Iterable[Sequence[object]] | Rule


@dataclass(frozen=True, slots=True)
class RedrawResult:
    """p with what it rests on; None where there is nothing to redraw (reason in `notes`).

    `assignments` counts the draws looked at, `hits` those at least as far apart as seen. `seed` is
    the lot number of sampled draws, None when all were enumerated. `smallest_possible_p` is 2/N
    when every block has equal counts (and the rules allow each mirror image), else 1/N, and never
    below what the sampled draws can give.
    """

    p: float | None
    smallest_possible_p: float | None
    assignments: int
    seed: int | None
    enumerated: bool
    hits: int
    statistic: float | None
    possible: int
    mirrored: bool
    cooks: int
    null_hypothesis: Message = NULL_HYPOTHESIS
    notes: tuple[Message, ...] = field(default=())

    def cooks_needed(self, alpha: float = 0.05) -> int | None:
        """Cooks laid out like these from which the floor is at most alpha / 3.

        The number of draws is taken to grow by the same factor with every cook; None above 40.
        """
        if self.possible < 2 or self.cooks < 1:
            return None
        factor = math.log(self.possible) / self.cooks
        wanted = math.log((2 if self.mirrored else 1) * 3 / alpha)
        needed = math.ceil(wanted / factor - 1e-9)
        return needed if needed <= MOST_COOKS else None


@dataclass(frozen=True, slots=True)
class _Layout:
    """Units in an order that does not depend on names, the first method being the higher one."""

    value: NDArray[np.float64]
    first: NDArray[np.bool_]
    blocks: tuple[NDArray[np.intp], ...]
    cooks: tuple[NDArray[np.intp], ...]
    order: tuple[int, ...]
    label_first: str
    label_second: str

    @property
    def weight_first(self) -> NDArray[np.float64]:
        return self._weights(self.first)

    def _weights(self, first: NDArray[np.bool_]) -> NDArray[np.float64]:
        """What a unit adds to the statistic when it carries the first method, per unit of value."""
        weights = np.zeros(self.value.size)
        for cook in self.cooks:
            weights[cook] = 1 / (len(self.cooks) * max(1, int(first[cook].sum())))
        return weights

    @property
    def weight_second(self) -> NDArray[np.float64]:
        return -self._weights(~self.first)


def redraw(
    value: Sequence[object],
    label: Sequence[object],
    block: Sequence[object] | None = None,
    assignments: Assignments | None = None,
    seed: int = 1,
    max_enumerated: int = MAX_ENUMERATED,
    *,
    cook: Sequence[object] | None = None,
    draws: int = DRAWS,
) -> RedrawResult:
    """Redraw the lots of units.

    `value` and `label` are one number and one method per unit, `block` names where lots were drawn
    (a pair or a cook; None: all together), `cook` the cook of each unit (None: the block).
    `assignments` are the draws the plan allowed: label vectors in the order of `value` (the draw
    that was made among them), or a rule that says of a label vector whether it was allowed. All
    draws are enumerated up to `max_enumerated`; beyond, `draws` are sampled with lot number
    `seed` and p = (hits + 1) / (draws + 1). Raises `BadNumbers`.
    """
    layout, names = _lay_out(value, label, block, cook)
    if layout is None:
        note = msg("No cook carries both methods: nothing to redraw.")
        return RedrawResult(None, None, 0, None, True, 0, None, 0, False, 0, notes=(note,))
    if callable(assignments):
        return _by_rule(layout, assignments, seed, max_enumerated, draws)
    if assignments is not None:
        return _listed(layout, _vectors(assignments, layout, names))
    possible = math.prod(_ways(layout.first[own]) for own in layout.blocks)
    if possible <= max_enumerated:
        return _answer(layout, _all_statistics(layout), possible)
    sampled = _sampled_statistics(layout, np.random.default_rng(seed), draws)
    return _answer(layout, sampled, possible, seed)


def _lay_out(
    value: Sequence[object],
    label: Sequence[object],
    block: Sequence[object] | None,
    cook: Sequence[object] | None,
) -> tuple[_Layout | None, tuple[str, str]]:
    numbers = [plain(each, f"value {i}") for i, each in enumerate(value)]
    n = len(numbers)
    if None in numbers:
        raise BadNumbers("A unit has no value.", where="value", allowed="a number for each unit")
    named = frames.labels({"label": list(label)}, "label")
    blocks = [""] * n if block is None else frames.labels({"block": list(block)}, "block")
    cooks = blocks if cook is None else frames.labels({"cook": list(cook)}, "cook")
    if not n == len(named) == len(blocks) == len(cooks):
        raise BadNumbers("Values, labels, blocks and cooks differ in number.", where="label")
    a, b = frames.two_labels(named)
    kept = [c for c in set(cooks) if {named[i] for i in range(n) if cooks[i] == c} >= {a, b}]
    units = [i for i in range(n) if cooks[i] in kept]
    if not units:
        return None, (a, b)
    x = [number for number in numbers if number is not None]
    places = list(zip(cooks, blocks, strict=True))
    return _canonical(x, named, places, units, (a, b)), (a, b)


def _canonical(
    x: list[float],
    named: list[str],
    places: list[tuple[str, str]],
    units: list[int],
    methods: tuple[str, str],
) -> _Layout:
    """Order cooks, blocks and units by their values, so that names and row order do not count."""
    first, second = _higher_first(x, named, places, units, methods)

    def content(place: tuple[str, ...]) -> list[tuple[float, bool]]:
        own = [i for i in units if places[i][: len(place)] == place]
        return sorted((x[i], named[i] == first) for i in own)

    contents = {place: content(place) for i in units for place in (places[i][:1], places[i])}

    def key(i: int) -> tuple[object, ...]:
        cook, block = places[i][:1], places[i]
        return contents[cook], cook, contents[block], block, x[i], named[i] == first

    order = sorted(units, key=key)
    return _Layout(
        value=np.array([x[i] for i in order]),
        first=np.array([named[i] == first for i in order]),
        blocks=_runs([places[i] for i in order]),
        cooks=_runs([places[i][:1] for i in order]),
        order=tuple(order),
        label_first=first,
        label_second=second,
    )


def _higher_first(
    x: list[float],
    named: list[str],
    places: list[tuple[str, str]],
    units: list[int],
    methods: tuple[str, str],
) -> tuple[str, str]:
    """The method with the higher estimate before the other."""
    a, b = methods
    gaps = []
    for cook in {places[i][0] for i in units}:
        own = [[x[i] for i in units if places[i][0] == cook and named[i] == m] for m in methods]
        gaps.append(mean(own[0]) - mean(own[1]))
    return (a, b) if math.fsum(gaps) >= 0 else (b, a)


def _runs(places: Sequence[tuple[str, ...]]) -> tuple[NDArray[np.intp], ...]:
    """Positions of each run of equal places."""
    return tuple(
        np.array([position for position, _ in own], dtype=np.intp)
        for _, own in itertools.groupby(enumerate(places), key=lambda pair: pair[1])
    )


def _ways(first: NDArray[np.bool_]) -> int:
    return math.comb(first.size, int(first.sum()))


def _all_statistics(layout: _Layout) -> NDArray[np.float64]:
    """The statistic of every draw: sums over blocks of what each block can give."""
    totals = np.zeros(1)
    for own in layout.blocks:
        totals = np.add.outer(totals, _block_sums(layout, own)).ravel()
    return totals


def _block_sums(layout: _Layout, own: NDArray[np.intp]) -> NDArray[np.float64]:
    gain = (layout.value * (layout.weight_first - layout.weight_second))[own]
    base = float((layout.value * layout.weight_second)[own].sum())
    size = int(layout.first[own].sum())
    chosen = np.array(list(itertools.combinations(range(own.size), size)), dtype=np.intp)
    return base + gain[chosen].sum(axis=1) if size else np.array([base])


def _sampled_statistics(
    layout: _Layout, rng: np.random.Generator, draws: int
) -> NDArray[np.float64]:
    totals = np.zeros(draws)
    for own in layout.blocks:
        size = int(layout.first[own].sum())
        chosen = rng.random((draws, own.size)).argsort(axis=1)[:, :size]
        gain = (layout.value * (layout.weight_first - layout.weight_second))[own]
        totals += float((layout.value * layout.weight_second)[own].sum()) + gain[chosen].sum(axis=1)
    return totals


def _answer(
    layout: _Layout,
    statistics: NDArray[np.float64],
    possible: int,
    seed: int | None = None,
    mirrored: bool | None = None,
) -> RedrawResult:
    seen = abs(float(_statistic(layout, layout.first[None, :])[0]))
    scale = float(layout.value.max() - layout.value.min())
    hits = int((np.abs(statistics) >= seen - TIE * scale).sum())
    looked = int(statistics.size)
    equal = all(2 * int(layout.first[own].sum()) == own.size for own in layout.blocks)
    both = equal if mirrored is None else mirrored and equal
    floor = (2 if both else 1) / possible
    p = hits / looked if seed is None else (hits + 1) / (looked + 1)
    return RedrawResult(
        p=p,
        smallest_possible_p=min(1.0, floor if seed is None else max(floor, 1 / (looked + 1))),
        assignments=looked,
        seed=seed,
        enumerated=seed is None,
        hits=hits,
        statistic=seen,
        possible=possible,
        mirrored=both,
        cooks=len(layout.cooks),
    )


def _statistic(layout: _Layout, first: NDArray[np.bool_]) -> NDArray[np.float64]:
    """First less second of each row of labels; a cook that lost a method drops out of that row."""
    differences = []
    for cook in layout.cooks:
        mask, x = first[:, cook], layout.value[cook]
        ones = mask.sum(axis=1)
        others = cook.size - ones
        with np.errstate(invalid="ignore", divide="ignore"):
            differences.append((mask @ x) / ones - ((~mask) @ x) / others)
    table = np.array(differences)
    there = np.isfinite(table)
    return np.asarray(
        np.where(there, table, 0.0).sum(axis=0) / np.maximum(1, there.sum(axis=0)), dtype=float
    )


def _vectors(
    assignments: Iterable[Sequence[object]], layout: _Layout, names: tuple[str, str]
) -> NDArray[np.bool_]:
    rows = [frames.labels({"a": list(each)}, "a") for each in assignments]
    if not rows:
        raise BadNumbers("No draw is allowed.", where="assignments", allowed="one draw at least")
    for row in rows:
        if len(row) <= max(layout.order) or not set(row) <= set(names):
            raise BadNumbers(
                "An allowed draw does not name one of the two methods for each unit.",
                where="assignments",
                allowed=f"{names[0]} or {names[1]} for each unit",
            )
    # Draws that agree on the units with a value stay apart: each was equally likely.
    return np.array([[row[i] == layout.label_first for i in layout.order] for row in rows])


def _listed(layout: _Layout, first: NDArray[np.bool_]) -> RedrawResult:
    if not (first == layout.first).all(axis=1).any():
        raise BadNumbers(
            "The draw that was made is not among the allowed ones.",
            where="assignments",
            allowed="every allowed draw, the one that was made among them",
        )
    rows = {row.tobytes() for row in first}
    mirrored = all((~row).tobytes() in rows for row in first)
    return _answer(layout, _statistic(layout, first), len(first), mirrored=mirrored)


def _by_rule(
    layout: _Layout, rule: Rule, seed: int, max_enumerated: int, draws: int
) -> RedrawResult:
    """All draws within blocks that the rule allows, enumerated or, if they are many, sampled."""
    back = np.argsort(np.array(layout.order))

    def allowed(first: NDArray[np.bool_]) -> bool:
        names = np.where(first[back], layout.label_first, layout.label_second)
        return rule(tuple(str(name) for name in names))

    possible = math.prod(_ways(layout.first[own]) for own in layout.blocks)
    if possible <= max_enumerated:
        return _listed(layout, np.array([row for row in _every(layout) if allowed(row)]))
    rng = np.random.default_rng(seed)
    rows: list[NDArray[np.bool_]] = []
    for _ in range(50 * draws):
        row = layout.first.copy()
        for own in layout.blocks:
            row[own] = rng.permutation(row[own])
        if allowed(row):
            rows.append(row)
        if len(rows) == draws:
            return _answer(layout, _statistic(layout, np.array(rows)), possible, seed)
    raise BadNumbers("The rule allows almost no draw.", where="assignments", allowed="a list")


def _every(layout: _Layout) -> Iterable[NDArray[np.bool_]]:
    ways = [
        itertools.combinations(own.tolist(), int(layout.first[own].sum())) for own in layout.blocks
    ]
    for chosen in itertools.product(*(list(each) for each in ways)):
        row = np.zeros(layout.value.size, dtype=bool)
        row[list(itertools.chain.from_iterable(chosen))] = True
        yield row

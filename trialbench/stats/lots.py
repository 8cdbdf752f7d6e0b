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
from trialbench.stats.draws import Layout, gaps_of, lay_out, ways_of
from trialbench.stats.numbers import BadNumbers, listed, one_flag
from trialbench.stats.settings import between, count, lot

NULL_HYPOTHESIS = msg("For every unit both methods would have given the same number.")
TIE = 1e-9
"""Statistics closer than this share of the range of the values tie, and ties count."""
MAX_ENUMERATED = 2_000_000
DRAWS = 100_000
"""Draws sampled where there are more than `max_enumerated`."""
MOST_TRIES = 50
"""Rounds of sampling before a rule is taken to allow almost nothing."""
MOST_COOKS = 40
MOST_DRAWS = 50_000_000
"""What a computer's memory holds of draws."""

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
        alpha = between(alpha, "alpha")
        if self.possible < 2 or self.cooks < 1:
            return None
        factor = math.log(self.possible) / self.cooks
        wanted = math.log((2 if self.mirrored else 1) * 3 / alpha)
        needed = math.ceil(wanted / factor - 1e-9)
        return needed if needed <= MOST_COOKS else None


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

    `value` is one number per unit (its mean), or one row per unit with a column per taster, None
    or NaN where a taster did not score it; then each taster's own difference is averaged, as in
    the estimate over cooks. `label` is the method of each unit, `block` names where lots were
    drawn (a pair or a cook; None: all together), `cook` the cook of each unit (None: the block).
    `assignments` are the draws the plan allowed: label vectors in the order of `value` (the draw
    that was made among them), or a rule that says of a label vector whether it was allowed. All
    draws are enumerated up to `max_enumerated`; beyond, `draws` are sampled with lot number
    `seed` and p = (hits + 1) / (draws + 1). Raises `BadNumbers`, also for a unit without a value or
    a name.
    """
    layout, names = lay_out(value, label, block, cook)
    seed = lot(seed, "seed")
    max_enumerated = count(max_enumerated, "max_enumerated", 0, MOST_DRAWS)
    draws = count(draws, "draws", 1, MOST_DRAWS)
    if layout is None:
        note = msg("No cook carries both methods: nothing to redraw.")
        return RedrawResult(None, None, 0, None, True, 0, None, 0, False, 0, notes=(note,))
    if callable(assignments):
        return _by_rule(layout, assignments, seed, max_enumerated, draws)
    if assignments is not None:
        return _listed(layout, _vectors(assignments, layout, names))
    if layout.ways <= max_enumerated:
        return _answer(layout, _all_statistics(layout), layout.ways)
    rng = np.random.default_rng(seed)
    return _answer(layout, _statistics(layout, _drawn(layout, rng, draws)), layout.ways, seed)


def _all_statistics(layout: Layout) -> NDArray[np.float64]:
    """The statistic of every draw: the cooks' gaps, each combined with each."""
    totals, cooks = np.zeros(1), np.zeros(1, dtype=np.int64)
    for cook in layout.cooks:
        gaps = gaps_of(cook.scores, ways_of(cook))
        there = ~np.isnan(gaps)
        totals = np.add.outer(totals, np.where(there, gaps, 0.0)).ravel()
        cooks = np.add.outer(cooks, there.astype(np.int64)).ravel()
    return totals / np.maximum(cooks, 1)


def _drawn(layout: Layout, rng: np.random.Generator, draws: int) -> NDArray[np.bool_]:
    """Draws by lot within blocks, a row each in the order of the units as they were given."""
    rows = np.zeros((draws, layout.units), dtype=bool)
    for cook in layout.cooks:
        for block in cook.blocks:
            ranks = rng.random((draws, block.size)).argsort(axis=1).argsort(axis=1)
            rows[:, cook.place[block]] = ranks < int(cook.first[block].sum())
    return rows


def _statistics(layout: Layout, rows: NDArray[np.bool_]) -> NDArray[np.float64]:
    """The statistic of each row of labels; a cook without a difference drops out of that row."""
    gaps = np.array([gaps_of(cook.scores, rows[:, cook.place]) for cook in layout.cooks])
    there = ~np.isnan(gaps)
    totals = np.where(there, gaps, 0.0).sum(axis=0)
    return np.asarray(totals / np.maximum(1, there.sum(axis=0)), dtype=float)


def _answer(
    layout: Layout,
    statistics: NDArray[np.float64],
    possible: int,
    seed: int | None = None,
    mirrored: bool | None = None,
) -> RedrawResult:
    seen = abs(float(_statistics(layout, layout.made[None, :])[0]))
    hits = int((np.abs(statistics) >= seen - TIE * layout.scale).sum())
    looked = int(statistics.size)
    equal = all(cook.equal for cook in layout.cooks)
    both = equal if mirrored is None else mirrored and equal
    floor = (2 if both else 1) / possible
    return RedrawResult(
        p=hits / looked if seed is None else (hits + 1) / (looked + 1),
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


def _vectors(
    assignments: Iterable[Sequence[object]], layout: Layout, names: tuple[str, str]
) -> NDArray[np.bool_]:
    rows = [
        frames.names(listed(each, f"assignments[{i}]"))
        for i, each in enumerate(listed(assignments, "assignments"))
    ]
    if not rows:
        raise BadNumbers("No draw is allowed.", where="assignments", allowed="one draw at least")
    for row in rows:
        if len(row) != layout.units or not set(row) <= set(names):
            raise BadNumbers(
                "An allowed draw does not name one of the two methods for each unit.",
                where="assignments",
                allowed=f"{names[0]} or {names[1]} for each unit",
            )
    # Draws that agree on the units with a value stay apart: each was equally likely.
    return np.array([[name == layout.label_first for name in row] for row in rows])


def _listed(layout: Layout, rows: NDArray[np.bool_]) -> RedrawResult:
    used = np.concatenate([cook.place for cook in layout.cooks])
    of_used, made = rows[:, used], layout.made[used]
    if not (of_used == made).all(axis=1).any():
        raise BadNumbers(
            "The draw that was made is not among the allowed ones.",
            where="assignments",
            allowed="every allowed draw, the one that was made among them",
        )
    seen = {row.tobytes() for row in of_used}
    mirrored = all((~row).tobytes() in seen for row in of_used)
    return _answer(layout, _statistics(layout, rows), len(rows), mirrored=mirrored)


def _by_rule(
    layout: Layout, rule: Rule, seed: int, max_enumerated: int, draws: int
) -> RedrawResult:
    """All draws within blocks that the rule allows, enumerated or, if they are many, sampled."""

    def allowed(row: NDArray[np.bool_]) -> bool:
        drawn = tuple(layout.label_first if first else layout.label_second for first in row)
        return one_flag(rule(drawn), "assignments")

    if layout.ways <= max_enumerated:
        ways = [row for row in _every(layout) if allowed(row)]
        return _listed(layout, np.array(ways, dtype=bool).reshape(len(ways), layout.units))
    rng = np.random.default_rng(seed)
    kept: list[NDArray[np.bool_]] = []
    for _ in range(MOST_TRIES):
        kept += [row for row in _drawn(layout, rng, draws) if allowed(row)]
        if len(kept) >= draws:
            rows = np.array(kept[:draws])
            return _answer(layout, _statistics(layout, rows), layout.ways, seed)
    raise BadNumbers("The rule allows almost no draw.", where="assignments", allowed="a list")


def _every(layout: Layout) -> Iterable[NDArray[np.bool_]]:
    for chosen in itertools.product(*(ways_of(cook) for cook in layout.cooks)):
        row = np.zeros(layout.units, dtype=bool)
        for cook, own in zip(layout.cooks, chosen, strict=True):
            row[cook.place] = own
        yield row

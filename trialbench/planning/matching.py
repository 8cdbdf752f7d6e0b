"""Which pieces belong together: proposed pairs (sets of as many pieces as there are methods).

The rule, in this order:

1. as few pieces as can be lie in a set with a piece of another source (animal, lot or batch; where
   no source is written, the lot is taken; pieces of which neither is known are of no source);
2. as many sets as can be have sides that all differ (left and right of one animal);
3. the sum over all sets of heaviest less lightest is as small as it can be (weight as bought; a
   piece not weighed yet counts as the mean of its cook day);
4. where that leaves several, the one whose pieces stand nearest to their order on the list.

Sets never reach over cook days. The optimum is exact: up to MOST_LOOKED_THROUGH pieces by going
through all ways of dealing them out, beyond as a set partition by scipy.optimize.milp (HiGHS), one
solution a line of the rule, up to MOST_SETS possible sets. For more (six methods, 20 pieces a day)
pieces are taken by source and weight in order, and exchanged two by two as long as that is better.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import combinations, product
from math import comb

from trialbench.model.records import Piece
from trialbench.planning.of_trial import OfTrial, methods_of, pairs_of, pieces_of

MOST_LOOKED_THROUGH = 12
MOST_SETS = 20_000

Places = tuple[int, ...]
Cost = tuple[int, int, int, int]
"""By lines of the rule: strangers, sides alike, tenths of a gram apart, places apart."""


@dataclass(frozen=True, slots=True)
class ProposedPair:
    """Pieces that belong together, in their order on the list. `source` is theirs if it is one."""

    piece_ids: tuple[str, ...]
    source: str


@dataclass(frozen=True, slots=True)
class Matching:
    """The pairs proposed for one cook day. `left_over` pieces found no set."""

    cook_id: str
    pairs: tuple[ProposedPair, ...]
    left_over: tuple[str, ...] = ()


def matching(records: OfTrial, cook_id: str) -> Matching:
    """The best sets of a cook day, by the rule above."""
    pieces, size = pieces_of(records, cook_id), len(methods_of(records))
    if size < 2 or len(pieces) < size:
        return Matching(cook_id, (), tuple(p.id for p in pieces))
    sets = best_sets(pieces, size)
    inside = {piece.id for found in sets for piece in found}
    pairs = tuple(ProposedPair(tuple(p.id for p in found), _source(found)) for found in sets)
    return Matching(cook_id, pairs, tuple(p.id for p in pieces if p.id not in inside))


def best_sets(pieces: Sequence[Piece], size: int) -> list[tuple[Piece, ...]]:
    """The best sets of `size` pieces each, in the order of the list; what is over stays alone."""
    day = _Day(tuple(pieces))
    rest = len(pieces) % size
    if rest:
        kept = [p for n, p in enumerate(pieces) if n not in day.odd_ones(rest)]
        return best_sets(kept, size)
    if len(pieces) <= MOST_LOOKED_THROUGH:
        chosen = day.looked_through(size)
    elif comb(len(pieces), size) <= MOST_SETS:
        chosen = day.partitioned(size)
    else:
        chosen = day.exchanged(size)
    return [tuple(pieces[n] for n in found) for found in sorted(map(sorted, chosen))]


def is_as_proposed(records: OfTrial, found: Matching) -> bool:
    """Whether the pairs of the cook day are those that are proposed."""
    held: dict[str, set[str]] = {pair.id: set() for pair in pairs_of(records, found.cook_id)}
    for piece in pieces_of(records, found.cook_id):
        if piece.pair_id in held:
            held[piece.pair_id].add(piece.id)
    proposed = {frozenset(pair.piece_ids) for pair in found.pairs}
    return {frozenset(ids) for ids in held.values() if ids} == proposed


def widest_g(records: OfTrial, found: Matching) -> float | None:
    """How far apart the pieces of the proposed sets are at most, in g; None without weights."""
    grams = {piece.id: piece.bought_g for piece in pieces_of(records, found.cook_id)}
    spreads = [
        max(known) - min(known)
        for pair in found.pairs
        if len(known := [g for i in pair.piece_ids if (g := grams[i]) is not None]) > 1
    ]
    return max(spreads, default=None)


def origin(piece: Piece) -> str:
    """Where a piece is from, as far as it was written: source, else lot."""
    return (piece.source or piece.lot).strip().casefold()


def _source(pieces: Iterable[Piece]) -> str:
    said = {piece.source for piece in pieces}
    return said.pop() if len(said) == 1 else ""


class _Day:
    """The pieces of one cook day, by their place on the list."""

    def __init__(self, pieces: tuple[Piece, ...]) -> None:
        self._pieces = pieces
        known = [p.bought_g for p in pieces if p.bought_g is not None]
        mean = sum(known) / len(known) if known else 0.0
        self._grams = [mean if p.bought_g is None else p.bought_g for p in pieces]

    def cost(self, places: Sequence[int]) -> Cost:
        """What a set costs by the rule; whole numbers, so that sums are exact."""
        pieces = [self._pieces[n] for n in places]
        origins = [origin(piece) for piece in pieces]
        often = max(origins.count(o) if o else 1 for o in origins)
        strangers = len(pieces) - often if any(origins) else 0
        sides = [piece.side.strip().casefold() for piece in pieces]
        alike = len(set(sides)) < len(sides) or not all(sides)
        grams = [self._grams[n] for n in places]
        spread = round(10 * (max(grams) - min(grams)))
        return strangers, int(alike), spread, max(places) - min(places)

    def odd_ones(self, count: int) -> tuple[int, ...]:
        """The pieces that are left over: those of rare sources first, then the farthest off."""
        origins = [origin(piece) for piece in self._pieces]
        middle = sorted(self._grams)[len(self._grams) // 2]
        order = sorted(
            range(len(self._pieces)),
            key=lambda n: (origins.count(origins[n]), -abs(self._grams[n] - middle), -n),
        )
        return tuple(order[:count])

    def looked_through(self, size: int) -> list[Places]:
        """The cheapest way to deal all pieces into sets, of all ways there are."""

        @cache
        def cheapest(left: Places) -> tuple[Cost, tuple[Places, ...]]:
            if not left:
                return (0, 0, 0, 0), ()
            ways = []
            for others in combinations(left[1:], size - 1):
                mine = (left[0], *others)
                rest, sets = cheapest(tuple(n for n in left[1:] if n not in others))
                ways.append((_sum(self.cost(mine), rest), (mine, *sets)))
            return min(ways)

        return list(cheapest(tuple(range(len(self._pieces))))[1])

    def partitioned(self, size: int) -> list[Places]:
        """The cheapest partition into sets: line by line of the rule, each held for the next."""
        import numpy as np
        from scipy.optimize import Bounds, LinearConstraint, milp

        sets = list(combinations(range(len(self._pieces)), size))
        costs = np.array([self.cost(places) for places in sets], dtype=float)
        each = np.array([[n in places for places in sets] for n in range(len(self._pieces))])
        held = [LinearConstraint(each.astype(float), 1, 1)]
        whole = np.ones(len(sets))
        for line in costs.T:
            found = milp(line, constraints=held, integrality=whole, bounds=Bounds(0, 1))
            if found.x is None:
                return self.exchanged(size)
            held.append(LinearConstraint(line, -np.inf, float(round(found.fun)) + 0.5))
        return [places for places, taken in zip(sets, found.x, strict=True) if taken > 0.5]

    def exchanged(self, size: int) -> list[Places]:
        """Sets by source and weight, made better by exchanges of two until none is left."""
        order = sorted(
            range(len(self._pieces)),
            key=lambda n: (origin(self._pieces[n]), -self._grams[n], n),
        )
        sets = [order[n : n + size] for n in range(0, len(order), size)]
        while any(self._exchange(one, other) for one, other in combinations(sets, 2)):
            pass
        return [tuple(sorted(found)) for found in sets]

    def _exchange(self, one: list[int], other: list[int]) -> bool:
        before = _sum(self.cost(one), self.cost(other))
        for a, b in product(range(len(one)), range(len(other))):
            one[a], other[b] = other[b], one[a]
            if _sum(self.cost(one), self.cost(other)) < before:
                return True
            one[a], other[b] = other[b], one[a]
        return False


def _sum(one: Cost, other: Cost) -> Cost:
    return one[0] + other[0], one[1] + other[1], one[2] + other[2], one[3] + other[3]

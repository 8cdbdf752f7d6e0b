"""Orders for tasters who taste only some of the samples of a sitting.

Where there are several pieces of each method, every taster gets equally many of each, so that each
compares all methods; else the methods themselves are dealt by a block design (`block_designs`).
Labels are put on the design by lot; of several deals made by lot the first is kept that is most
even in what is served how often, what meets at one table, places, and what follows what.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import pairwise, permutations

from trialbench.planning.block_designs import block_design, times_counts, together_counts
from trialbench.planning.lots import Lots
from trialbench.planning.orders import (
    Evenness,
    Order,
    follow_counts,
    place_counts,
    williams_rows,
)

DEALS_COMPARED = 20


def samples_each(groups: Sequence[str], most: int) -> int:
    """How many samples a taster gets: at most `most`, and equally many of each method if it can be.

    `groups` names the method of each sample. Raises ValueError below 2.
    """
    methods = len(set(groups))
    if most < 2:
        raise ValueError("a comparison needs two samples")
    if most >= len(groups):
        return len(groups)
    return most // methods * methods if most >= methods else most


def deal_some(groups: Sequence[str], most: int, rows: int, lots: Lots) -> list[Order]:
    """`rows` orders of some of the samples, label numbers from 0.

    Raises ValueError where `most` is below two.
    """
    each = samples_each(groups, most)
    deals = (_ordered(_dealt(groups, each, rows, lots), lots) for _ in range(DEALS_COMPARED))
    return min(deals, key=lambda deal: _uneven(deal, groups))


def some_evenness(orders: Sequence[Order], samples: int, groups: Sequence[str]) -> Evenness:
    """How even such orders are; `even_at` rows make up whole designs."""
    each = max(map(len, orders), default=0)
    rows = len(orders)
    times, both = times_counts(orders), together_counts(orders)
    served = [times[label] for label in range(samples)]
    met = [both[pair] for pair in _meeting(samples, groups)]
    whole = whole_rows(groups, each)
    return Evenness(
        place_gap=_gap(_places(orders, samples)),
        follow_gap=_gap(_follows(orders, groups)),
        rows=rows,
        even_at=-(-max(rows, 1) // whole) * whole,
        times_gap=_gap(served),
        together_gap=_gap(met),
        each=each,
    )


def _meeting(samples: int, groups: Sequence[str]) -> Iterator[tuple[int, int]]:
    """The pairs of samples that should meet equally often: of different methods."""
    for a in range(samples):
        for b in range(a + 1, samples):
            if groups[a] != groups[b]:
                yield a, b


def whole_rows(groups: Sequence[str], each: int) -> int:
    """Rows of a whole design."""
    methods = sorted(set(groups))
    if each >= len(methods):
        sizes = Counter(groups)
        return max(len(block_design(n, each // len(methods)).blocks) for n in sizes.values())
    return len(block_design(len(methods), each).blocks)


def _dealt(groups: Sequence[str], each: int, rows: int, lots: Lots) -> list[list[int]]:
    """Which labels each row holds."""
    methods = lots.shuffled(sorted(set(groups)))
    labels = {m: lots.shuffled([n for n, own in enumerate(groups) if own == m]) for m in methods}
    if each >= len(methods):
        share = each // len(methods)
        own = {m: _blocks(len(labels[m]), share, rows, lots) for m in methods}
        return [[labels[m][n] for m in methods for n in own[m][row]] for row in range(rows)]
    found = []
    turn: Counter[str] = Counter()
    for block in _blocks(len(methods), each, rows, lots):
        row = []
        for place in block:
            method = methods[place]
            row.append(labels[method][turn[method] % len(labels[method])])
            turn[method] += 1
        found.append(row)
    return found


def _blocks(samples: int, each: int, rows: int, lots: Lots) -> list[tuple[int, ...]]:
    """Whole designs first, then part of one by lot."""
    blocks = block_design(samples, each).blocks
    dealt: list[tuple[int, ...]] = []
    while len(dealt) < rows:
        dealt += lots.shuffled(blocks)
    return dealt[:rows]


def _ordered(sets: Sequence[Sequence[int]], lots: Lots) -> list[Order]:
    """An order for each row, one after the other: the one that keeps places and successions even.

    Among up to four samples every order is looked at, above that those of Williams's rows.
    """
    places: Counter[tuple[int, int]] = Counter()
    follows: Counter[tuple[int, int]] = Counter()
    found: list[Order] = []
    for own in sets:
        ways = [tuple(own[n] for n in way) for way in lots.shuffled(_ways(len(own)))]
        best = min(ways, key=lambda way: _cost(way, places, follows))
        places.update(enumerate(best))
        follows.update(pairwise(best))
        found.append(best)
    return found


def _ways(size: int) -> tuple[Order, ...]:
    return tuple(permutations(range(size))) if size <= 4 else williams_rows(size)


def _cost(
    way: Order, places: Counter[tuple[int, int]], follows: Counter[tuple[int, int]]
) -> tuple[int, int]:
    """What adds least to the squares of both counts."""
    here = sum(2 * places[pair] + 1 for pair in enumerate(way))
    return here + sum(2 * follows[pair] + 1 for pair in pairwise(way)), here


def _uneven(deal: Sequence[Order], groups: Sequence[str]) -> int:
    samples = len(groups)
    times, both = times_counts(deal), together_counts(deal)
    gaps = [
        _gap([times[n] for n in range(samples)]),
        _gap([both[pair] for pair in _meeting(samples, groups)]),
        _gap(_places(deal, samples)),
        _gap(_follows(deal, groups)),
    ]
    return sum(gap**2 for gap in gaps)


def _places(orders: Sequence[Order], samples: int) -> list[int]:
    """How often each sample stands at each place that there is."""
    found = place_counts(orders)
    each = max(map(len, orders), default=0)
    return [found[place, label] for place in range(each) for label in range(samples)]


def _follows(orders: Sequence[Order], groups: Sequence[str]) -> list[int]:
    """How often each sample comes just after each one of another method."""
    found = follow_counts(orders)
    return [found[way] for a, b in _meeting(len(groups), groups) for way in ((a, b), (b, a))]


def _gap(counts: Sequence[int]) -> int:
    return max(counts, default=0) - min(counts, default=0)

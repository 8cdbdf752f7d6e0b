"""Serving orders balanced for place and for what came just before.

Williams 1949 (Australian Journal of Scientific Research A 2, 149): for an even number of samples
one square, for an odd number two, in which each sample stands in each place equally often and
follows each other sample equally often. For tasting: MacFie, Bratchell, Greenhoff and Vallis 1989
(Journal of Sensory Studies 4, 129). The labels are put on the square by lot and its rows are dealt
by lot; what does not come out even is counted and said.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from trialbench.model.message import Message, msg, msg_n
from trialbench.planning.lots import Lots

Order = tuple[int, ...]

DEALS_COMPARED = 60
"""How many deals are made by lot before the most even one is kept."""


def williams_rows(samples: int) -> tuple[Order, ...]:
    """The rows of Williams's design for this many samples, as label numbers from 0.

    1 row for 1 sample, k rows for an even k, 2 k rows for an odd k. Raises ValueError below 1.
    """
    if samples < 1:
        raise ValueError("an order needs at least one sample")
    if samples == 1:
        return ((0,),)
    zigzag = [place // 2 + 1 if place % 2 else -place // 2 for place in range(samples)]
    square = tuple(tuple((z + shift) % samples for z in zigzag) for shift in range(samples))
    return square if samples % 2 == 0 else square + tuple(row[::-1] for row in square)


@dataclass(frozen=True, slots=True)
class Evenness:
    """How even a set of orders is: the largest minus the smallest count; 0 is even.

    `place_gap` is over samples and places, `follow_gap` over ordered pairs of different samples;
    `even_at` is the smallest number of rows, at least as many as were dealt, that is even. Where a
    taster gets only `each` of the samples, `times_gap` is over how often a sample is served and
    `together_gap` over how often two are tasted by one. With `rounds` everybody gets the same
    sample at the same time.
    """

    place_gap: int
    follow_gap: int
    rows: int
    even_at: int
    times_gap: int = 0
    together_gap: int = 0
    each: int | None = None
    rounds: bool = False

    @property
    def even(self) -> bool:
        """Whether nothing is left over."""
        gaps = (self.place_gap, self.follow_gap, self.times_gap, self.together_gap)
        return not any(gaps) and not self.rounds

    @property
    def label(self) -> Message:
        """What is the matter, in two words."""
        if self.rounds:
            return msg("one product a round")
        if self.even:
            return msg("even")
        if max(self.place_gap, self.follow_gap, self.times_gap, self.together_gap) == 1:
            return msg("one small gap")
        return msg("not quite even")

    @property
    def sentences(self) -> tuple[Message, ...]:
        """What the counts say, and what would make them even."""
        if self.rounds:
            return (ROUNDS_NOTE,)
        if self.each is not None:
            return _of_some(self)
        if self.even:
            return (
                msg("Every sample stands in every place, and after every other, equally often."),
            )
        return (
            msg(
                "Counts by place differ by {place}, counts of what follows what by {follow}.",
                place=self.place_gap,
                follow=self.follow_gap,
            ),
            msg("{even_at} orders would come out even; here there are {rows}.",
                even_at=self.even_at, rows=self.rows),
        )  # fmt: skip


ROUNDS_NOTE = msg(
    "One product a round: what comes first comes first for everybody. Within one sitting its place "
    "and its method cannot be told apart, only over several sittings with the order turned round."
)


def _of_some(found: Evenness) -> tuple[Message, ...]:
    """The counts where a taster gets only some of the samples."""
    first = msg_n("Every taster gets {count} sample.", "Every taster gets {count} of the samples.",
                  found.each or 0)  # fmt: skip
    if not found.times_gap and not found.together_gap:
        how = msg("Every sample is served, and every two are tasted by one taster, equally often.")
    else:
        how = msg("How often a sample is served differs by {times}, how often two are tasted by "
                  "one taster by {together}.", times=found.times_gap,
                  together=found.together_gap)  # fmt: skip
    places = msg("Counts by place differ by {place}, counts of what follows what by {follow}.",
                 place=found.place_gap, follow=found.follow_gap)  # fmt: skip
    if found.rows >= found.even_at:
        return first, how, places
    return first, how, places, msg(
        "{even_at} orders would come out even; here there are {rows}.",
        even_at=found.even_at, rows=found.rows,
    )  # fmt: skip


def place_counts(orders: Iterable[Sequence[int]]) -> Counter[tuple[int, int]]:
    """(place from 0, label) to how often."""
    return Counter(pair for order in orders for pair in enumerate(order))


def follow_counts(orders: Iterable[Sequence[int]]) -> Counter[tuple[int, int]]:
    """(label, the one served just after it) to how often."""
    return Counter(pair for order in orders for pair in pairwise(order))


def evenness(orders: Sequence[Sequence[int]], samples: int) -> Evenness:
    """Count how even these orders of `samples` labels are."""
    labels = range(samples)
    places = place_counts(orders)
    follows = follow_counts(orders)
    square = len(williams_rows(samples))
    return Evenness(
        place_gap=_gap([places[place, label] for place in labels for label in labels]),
        follow_gap=_gap([follows[a, b] for a in labels for b in labels if a != b]),
        rows=len(orders),
        even_at=-(-max(len(orders), 1) // square) * square,
    )


def _gap(counts: Sequence[int]) -> int:
    return max(counts, default=0) - min(counts, default=0)


def _deal(samples: int, rows: int, lots: Lots) -> list[Order]:
    names = lots.shuffled(range(samples))
    dealt: list[Order] = []
    square = [tuple(names[label] for label in row) for row in williams_rows(samples)]
    while len(dealt) < rows:
        dealt += lots.shuffled(square)
    return dealt[:rows]


def deal_orders(
    samples: int,
    rows: int,
    lots: Lots,
    *,
    groups: Sequence[str] = (),
    earlier: Sequence[Sequence[str]] = (),
) -> list[Order]:
    """`rows` orders of `samples` labels: whole Williams squares first, then part of one by lot.

    `groups` names the method of each label and `earlier` the methods in the orders that were
    served before: of several deals made by lot, the first one is kept that leaves places and
    successions of methods most even over everything served.
    """
    deals = [_deal(samples, rows, lots) for _ in range(DEALS_COMPARED if groups else 1)]
    if not groups:
        return deals[0]
    return min(deals, key=lambda deal: _unevenness(deal, groups, earlier))


def _unevenness(
    deal: Sequence[Order], groups: Sequence[str], earlier: Sequence[Sequence[str]]
) -> int:
    served = [tuple(groups[label] for label in order) for order in deal] + list(earlier)
    places: Counter[tuple[int, str]] = Counter(
        pair for order in served for pair in enumerate(order)
    )
    follows = Counter(pair for order in served for pair in pairwise(order) if pair[0] != pair[1])
    names = sorted(set(groups))
    longest = max(map(len, served), default=0)
    by_place = [[places[place, name] for name in names] for place in range(longest)]
    by_follow = [follows[a, b] for a in names for b in names if a != b]
    return sum(_gap(counts) ** 2 for counts in by_place) + _gap(by_follow) ** 2


TRIANGLE_ORDERS = ("ABB", "BAB", "BBA", "AAB", "ABA", "BAA")
"""The six orders of a triangle: each product in each place three times, the odd one twice."""


def deal_triangles(tasters: int, lots: Lots) -> list[str]:
    """One of the six orders for each taster, dealt in blocks of six (ISO 4120:2021, clause 7)."""
    dealt: list[str] = []
    while len(dealt) < tasters:
        dealt += lots.shuffled(TRIANGLE_ORDERS)
    return dealt[:tasters]

"""Which method went where, and everywhere it could have gone: the ways that lots could have fallen.

Units are what gets a method by itself (a load, or a piece in none); blocks are the pairs where the
plan drew within pairs, else the cook days. Where places are written on the pieces, only those ways
count in which every method stands on every place as often as the others, to within one.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import combinations, groupby
from math import comb, factorial, prod
from types import MappingProxyType

from trialbench.model.records import Draw, Load, Lot, Piece
from trialbench.planning.lots import Lots
from trialbench.planning.matched_blocks import will_be_matched
from trialbench.planning.of_trial import OfTrial, methods_of, pieces_of

Labels = tuple[str, ...]

MOST_WAYS_OF_A_BLOCK = 20_000
MOST_STATES = 20_000
MOST_TRIES = 4_000
MOST_EXCHANGES = 20_000


@dataclass(frozen=True, slots=True)
class Unit:
    """What gets a method by itself. `block` is the id of its pair or cook day.

    `place` is "" where its pieces have none or several; `method_id` is what the last draw gave it.
    """

    key: str
    piece_ids: tuple[str, ...]
    cook_id: str
    block: str
    place: str = ""
    method_id: str | None = None


def units_of(records: OfTrial) -> tuple[Unit, ...]:
    """The units of the plan, by cook day, pair and position.

    Pieces of one load are one unit where they have one method or none yet; a load of pieces of
    several methods is no load. The block is the pair where every unit of the cook day lies in one,
    unless its lots were drawn within the whole day.
    """
    grouped: dict[str, list[Piece]] = {}
    loads = _loads_that_count(records)
    for piece in pieces_of(records):
        load_id = piece.load_id if piece.load_id in loads else None
        grouped.setdefault(load_id or piece.id, []).append(piece)
    unpaired = _days_without_pairs(records, grouped.values())
    units = [_unit(key, group, group[0].cook_id not in unpaired) for key, group in grouped.items()]
    order = {block: n for n, block in enumerate(dict.fromkeys(unit.block for unit in units))}
    return tuple(sorted(units, key=lambda unit: order[unit.block]))


def _days_without_pairs(records: OfTrial, groups: Iterable[Sequence[Piece]]) -> set[str]:
    drawn = {lot.piece_id: lot.draw_id for lot in _by_draw(records)}
    over_the_day = {draw.id for draw in records.of(Draw) if draw.within == "cook"}
    return {
        piece.cook_id
        for group in groups
        for piece in group
        if _one(p.pair_id for p in group) is None or drawn.get(piece.id) in over_the_day
    }


def _by_draw(records: OfTrial) -> list[Lot]:
    """The lots in the order of their draws: the last one of a piece holds."""
    number = {draw.id: draw.number for draw in records.of(Draw)}
    return sorted(records.of(Lot), key=lambda lot: number[lot.draw_id])


def _loads_that_count(records: OfTrial) -> frozenset[str]:
    methods: dict[str, set[str | None]] = {}
    for piece in records.of(Piece):
        if piece.load_id:
            methods.setdefault(piece.load_id, set()).add(piece.method_id)
    return frozenset(load.id for load in records.of(Load) if len(methods.get(load.id, ())) == 1)


def _one(values: Iterator[str | None]) -> str | None:
    found = set(values)
    return found.pop() if len(found) == 1 else None


def _unit(key: str, pieces: Sequence[Piece], paired: bool) -> Unit:
    pair_id = _one(p.pair_id for p in pieces) if paired else None
    return Unit(
        key=key,
        piece_ids=tuple(p.id for p in pieces),
        cook_id=pieces[0].cook_id,
        block=pair_id or pieces[0].cook_id,
        place=_one(p.place for p in pieces) or "",
        method_id=_one(p.method_id for p in pieces),
    )


@dataclass(frozen=True)
class Assignments:
    """The ways in which lots could have fallen over these units.

    `labels` holds the method id that each unit has (or "" before the draw); `method_ids` are the
    methods in order of letters.
    """

    units: tuple[Unit, ...]
    method_ids: tuple[str, ...]

    @property
    def labels(self) -> Labels:
        """What each unit has now."""
        return tuple(unit.method_id or "" for unit in self.units)

    @property
    def blocks(self) -> Labels:
        """The block of each unit."""
        return tuple(unit.block for unit in self.units)

    @cached_property
    def by_block(self) -> tuple[tuple[Unit, ...], ...]:
        """The units of each block; units of one block stand together."""
        return tuple(tuple(g) for _, g in groupby(self.units, key=lambda u: u.block))

    @property
    def equal(self) -> bool:
        """Whether every block has equally many units of each method."""
        return all(len(block) % len(self.method_ids) == 0 for block in self.by_block)

    @property
    def places_count(self) -> bool:
        """Whether places restrict the ways: one place at least is written."""
        return any(unit.place for unit in self.units)

    def fits(self, labels: Sequence[str]) -> bool:
        """Whether every method stands on every place equally often, to within one."""
        return self._even(_standing(self.units, labels))

    def _even(self, standing: Counter[tuple[str, str]]) -> bool:
        methods = len(self.method_ids)
        return all(
            abs(standing[place, method] * methods - there) < methods
            for place, there in self._at_place.items()
            for method in self.method_ids
        )

    @cached_property
    def _at_place(self) -> Counter[str]:
        return Counter(unit.place for unit in self.units if unit.place)

    def drawn(self, lots: Lots, fixed: Mapping[str, str] = MappingProxyType({})) -> Labels | None:
        """One way by lot, each allowed way equally likely; None when none was found.

        `fixed` holds by key what units of an earlier draw have already; blocks lie inside it or
        outside it. Where even places are so rare that none of MOST_TRIES ways has them (five
        methods on five places), an uneven way is made even by exchanges drawn by lot; such ways
        are not quite equally likely. Where what is fixed leaves no even way, the nearest one.
        """
        labels: Labels | None = None
        for _ in range(MOST_TRIES):
            labels = tuple(x for block in self.by_block for x in self._label(block, lots, fixed))
            if self.fits(labels):
                return labels
        return self._evened(labels, lots, fixed) if labels is not None else None

    def _label(
        self, block: tuple[Unit, ...], lots: Lots, fixed: Mapping[str, str]
    ) -> Sequence[str]:
        if block[0].key in fixed:
            return [fixed[unit.key] for unit in block]
        return self._shared(block, lots)

    def _evened(self, labels: Labels, lots: Lots, fixed: Mapping[str, str]) -> Labels | None:
        """Exchange within blocks, by lot, as long as it makes places no less even."""
        held, now = list(labels), self._unevenness(labels)
        starts = [sum(len(b) for b in self.by_block[:n]) for n in range(len(self.by_block))]
        free = [(a, b) for a, b in zip(starts, self.by_block, strict=True)
                if b[0].key not in fixed and len(b) > 1]  # fmt: skip
        for _ in range(MOST_EXCHANGES if free else 0):
            start, block = free[lots.below(len(free))]
            one, two = (start + place for place in lots.taken(range(len(block)), 2))
            held[one], held[two] = held[two], held[one]
            after = self._unevenness(held)
            if after > now:
                held[one], held[two] = held[two], held[one]
            else:
                now = after
            if now == 0:
                return tuple(held)
        return tuple(held) if fixed else None

    def _unevenness(self, labels: Sequence[str]) -> int:
        methods, standing = len(self.method_ids), _standing(self.units, labels)
        return sum(
            max(0, abs(standing[place, method] * methods - there) - methods + 1)
            for place, there in self._at_place.items()
            for method in self.method_ids
        )

    def _shared(self, block: tuple[Unit, ...], lots: Lots) -> list[str]:
        each, over = divmod(len(block), len(self.method_ids))
        extra = lots.taken(self.method_ids, over) if over else []
        return lots.shuffled([*self.method_ids * each, *extra])

    @cached_property
    def count(self) -> int | None:
        """How many ways there are; None when there are too many to go through."""
        if not self.places_count:
            return prod(ways(len(block), len(self.method_ids)) for block in self.by_block)
        states: Counter[tuple[tuple[tuple[str, str], int], ...]] = Counter({(): 1})
        for block in self.by_block:
            if ways(len(block), len(self.method_ids)) > MOST_WAYS_OF_A_BLOCK:
                return None
            steps = Counter(_frozen(_standing(block, way)) for way in self._ways_of(block))
            states = _joined(states, steps)
            if len(states) > MOST_STATES:
                return None
        return sum(n for state, n in states.items() if self._even(Counter(dict(state))))

    def _ways_of(self, block: tuple[Unit, ...]) -> Iterator[Labels]:
        each, over = divmod(len(block), len(self.method_ids))
        for extra in combinations(self.method_ids, over):
            needed = {m: each + (m in extra) for m in self.method_ids}
            yield from _arranged(len(block), needed)

    def all(self) -> Iterator[Labels]:
        """Every allowed way, block by block in order; may be very many: look at `count` first."""
        yield from (way for way in self._all(0) if self.fits(way))

    def _all(self, block: int) -> Iterator[Labels]:
        if block == len(self.by_block):
            yield ()
            return
        for head in self._ways_of(self.by_block[block]):
            for rest in self._all(block + 1):
                yield head + rest


def blocks_to_come(units: Sequence[Unit], size: int) -> tuple[Unit, ...]:
    """Units of days without lots in blocks of `size`, as they will be matched: which pieces come
    together only the weights will say, how many do is known."""
    turn: Counter[str] = Counter()
    found: list[Unit] = []
    for unit in units:
        block = unit.block
        if not unit.method_id and unit.block == unit.cook_id:
            block = f"{unit.cook_id}:{turn[unit.cook_id] // max(size, 1)}"
            turn[unit.cook_id] += 1
        found.append(replace(unit, block=block))
    return tuple(found)


def allowed_assignments(records: OfTrial) -> Assignments:
    """The ways that lots could have fallen in this plan, consistent with its draw.

    Whether a draw was held to even places is read from the places themselves: the ways in which
    places are even are a set of their own, fixed before the draw, so that going through these
    alone is exact when the draw is one of them. A draw that is not (places written later, or
    changed) leaves every way open.
    """
    units = units_of(records)
    methods = tuple(m.id for m in methods_of(records))
    if will_be_matched(records):
        units = blocks_to_come(units, len(methods))
    found = Assignments(units, methods)
    if found.places_count and all(found.labels) and not found.fits(found.labels):
        bare = tuple(Unit(u.key, u.piece_ids, u.cook_id, u.block, "", u.method_id) for u in units)
        return Assignments(bare, methods)
    return found


def ways(units: int, methods: int) -> int:
    """Ways to share `units` evenly among `methods`; what is over goes to different methods."""
    each, over = divmod(units, methods)
    inside: int = factorial(each) ** (methods - over) * factorial(each + 1) ** over
    return comb(methods, over) * factorial(units) // inside


def _standing(units: Sequence[Unit], labels: Sequence[str]) -> Counter[tuple[str, str]]:
    return Counter(
        (unit.place, label) for unit, label in zip(units, labels, strict=True) if unit.place
    )


def _frozen(standing: Counter[tuple[str, str]]) -> tuple[tuple[tuple[str, str], int], ...]:
    return tuple(sorted(standing.items()))


def _joined(
    states: Counter[tuple[tuple[tuple[str, str], int], ...]],
    steps: Counter[tuple[tuple[tuple[str, str], int], ...]],
) -> Counter[tuple[tuple[tuple[str, str], int], ...]]:
    joined: Counter[tuple[tuple[tuple[str, str], int], ...]] = Counter()
    for state, often in states.items():
        for step, more in steps.items():
            joined[_frozen(Counter(dict(state)) + Counter(dict(step)))] += often * more
    return joined


def _arranged(length: int, needed: dict[str, int]) -> Iterator[Labels]:
    if length == 0:
        yield ()
        return
    for method, left in needed.items():
        if left:
            rest = {**needed, method: left - 1}
            for tail in _arranged(length - 1, rest):
                yield (method, *tail)

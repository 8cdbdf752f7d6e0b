"""Exact sums over blocks whose numbers could have stood in any order, for ranks and counts."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from itertools import permutations

import numpy as np
from numpy.typing import NDArray

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]

MOST_WORK = 60_000_000
"""Sums looked at before an exact distribution is called too large."""
_PIECE = 2_000_000
_DENSE = 4_000_000


def orders(numbers: Sequence[int]) -> Ints:
    """All different orders of the numbers, one a row; each is equally likely."""
    if len(set(numbers)) == len(numbers):
        return np.array(list(permutations(numbers)), dtype=np.int64)
    return np.array(list(_different(Counter(numbers), len(numbers))), dtype=np.int64)


def _different(left: Counter[int], length: int) -> Iterator[tuple[int, ...]]:
    if length == 0:
        yield ()
        return
    for number in sorted(left):
        if left[number]:
            left[number] -= 1
            for rest in _different(left, length - 1):
                yield (number, *rest)
            left[number] += 1


def order_count(numbers: Sequence[int]) -> int:
    """How many different orders there are."""
    count = math.factorial(len(numbers))
    for times in Counter(numbers).values():
        count //= math.factorial(times)
    return count


def tail_of_squares(blocks: Sequence[Sequence[int]], seen: int) -> float | None:
    """P(sum of squares of the column sums >= `seen`) where each complete block is in any order.

    The columns are exchangeable, so it is enough to follow their sums in rising order: k! times
    fewer than all. Whole numbers, so ties are exact. None where it is too large.
    """
    ordered = sorted(tuple(sorted(block)) for block in blocks)
    # A block of equal numbers moves all columns alike.
    moving = [block for block in ordered if len(set(block)) > 1]
    still = sum(block[0] for block in ordered if len(set(block)) == 1)
    sums = _sorted_sums(moving)
    if sums is None:
        return None
    states, chances = sums
    reached = ((states + still) ** 2).sum(axis=1) >= seen
    return min(1.0, float(chances[reached].sum()))


def _sorted_sums(blocks: Sequence[tuple[int, ...]]) -> tuple[Ints, Floats] | None:
    if not blocks:
        return np.zeros((1, 1), dtype=np.int64), np.ones(1)
    # By exchange of columns the first block may stand as it is.
    states, chances = np.array([blocks[0]], dtype=np.int64), np.ones(1)
    work = 0
    known: dict[tuple[int, ...], Ints] = {}
    for block in blocks[1:]:
        work += len(states) * order_count(block)
        if work > MOST_WORK:
            return None
        if block not in known:
            known[block] = orders(block)
        states, chances = _add(states, chances, known[block], rising=True)
    return states, chances


def all_sums(
    blocks: Iterable[tuple[Sequence[int], Sequence[int]]], columns: int
) -> tuple[Ints, Floats] | None:
    """Column sums and their chances for blocks (places, numbers) that fill some columns only.

    None where it is too large.
    """
    states, chances = np.zeros((1, columns), dtype=np.int64), np.ones(1)
    work = 0
    for places, numbers in blocks:
        work += len(states) * order_count(numbers)
        if work > MOST_WORK:
            return None
        moves = np.zeros((order_count(numbers), columns), dtype=np.int64)
        moves[:, list(places)] = orders(numbers)
        states, chances = _add(states, chances, moves, rising=False)
    return states, chances


def _add(states: Ints, chances: Floats, moves: Ints, rising: bool) -> tuple[Ints, Floats]:
    """The sums after one more block, like sums joined."""
    share = chances / len(moves)
    pieces = max(1, len(states) * len(moves) * states.shape[1] // _PIECE)
    found = []
    for part in np.array_split(np.arange(len(states)), min(pieces, len(states))):
        moved = (states[part][:, None, :] + moves[None, :, :]).reshape(-1, states.shape[1])
        if rising:
            moved.sort(axis=1)
        found.append(_joined(moved, np.repeat(share[part], len(moves))))
    if len(found) == 1:
        return found[0]
    return _joined(np.concatenate([s for s, _ in found]), np.concatenate([c for _, c in found]))


def _joined(states: Ints, chances: Floats) -> tuple[Ints, Floats]:
    low = states.min(axis=0)
    sizes = states.max(axis=0) - low + 1
    # The last column follows from the others, because every order of a block has one sum.
    radix = np.concatenate(([1], np.cumprod(sizes[:-2]))) if len(sizes) > 1 else np.array([1])
    room = math.prod(int(size) for size in sizes[:-1]) if len(sizes) > 1 else int(sizes[0])
    if room > 2**62:
        kept, place = np.unique(states, axis=0, return_inverse=True)
        return kept, np.bincount(place.ravel(), chances, len(kept)).astype(float)
    used = max(1, len(sizes) - 1)
    codes = (states[:, :used] - low[:used]) @ radix[:used]
    if room <= max(_DENSE // 16, 4 * len(states)) and room <= _DENSE:
        total = np.bincount(codes, chances, room)
        where = np.zeros(room, dtype=np.int64)
        where[codes] = np.arange(len(states))
        there = np.flatnonzero(total)
        return states[where[there]], total[there].astype(float)
    _, first, place = np.unique(codes, return_index=True, return_inverse=True)
    return states[first], np.bincount(place.ravel(), chances, len(first)).astype(float)


def weighted_sum(numbers: Sequence[int], weights: Sequence[int]) -> Floats:
    """Chances of sum(weight x number), 0 upward, where the numbers stand in any order.

    Numbers are handed out one by one to sets of places: 2^k steps, not k!.
    """
    k = len(numbers)
    reach = sum(a * b for a, b in zip(sorted(numbers), sorted(weights), strict=True)) + 1
    table: dict[int, Floats] = {0: np.eye(1, reach)[0]}
    for taken, number in enumerate(numbers):
        following: dict[int, Floats] = {}
        for used, chances in table.items():
            for place in range(k):
                if used >> place & 1:
                    continue
                move = weights[place] * number
                into = following.setdefault(used | 1 << place, np.zeros(reach))
                into[move:] += chances[: reach - move] / (k - taken)
        table = following
    return table[(1 << k) - 1]

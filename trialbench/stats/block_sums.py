"""Exact sums over blocks whose numbers could have stood in any order, for ranks and counts."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Sequence
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]

MOST_WORK = 15_000_000
"""Sums looked at before an exact distribution is called too large."""
MOST_COLUMNS = 100
MOST_CELLS = 40_000_000
"""Numbers in all orders of one block that are held at once."""
_PIECE = 2_000_000
_DENSE = 4_000_000


def orders(numbers: Sequence[int]) -> Ints:
    """All different orders of the numbers, one a row; each is equally likely."""
    kinds, times = np.unique(np.array(numbers, dtype=np.int64), return_counts=True)
    found = np.empty((1, 0), dtype=np.int8)
    left = times[None, :].astype(np.int8)
    for _ in numbers:
        # Every order so far goes on with each number it has left.
        row, kind = np.nonzero(left)
        found = np.hstack((found[row], kind[:, None].astype(np.int8)))
        left = left[row]
        left[np.arange(len(row)), kind] -= 1
    return np.asarray(kinds[found])


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
    # Blocks with most orders first, while there are few sums; ties, which make half ranks, last.
    ordered = sorted((tuple(sorted(b)) for b in blocks), key=lambda b: (-order_count(b), b))
    # A block of equal numbers moves all columns alike.
    moving = [block for block in ordered if len(set(block)) > 1]
    still = sum(block[0] for block in ordered if len(set(block)) == 1)
    sums = _sorted_sums(moving)
    if sums is None:
        return None
    states, chances = sums
    reached = ((states + still) ** 2).sum(axis=0) >= seen
    return min(1.0, float(chances[reached].sum()))


def _sorted_sums(blocks: Sequence[tuple[int, ...]]) -> tuple[Ints, Floats] | None:
    if not blocks:
        return np.zeros((1, 1), dtype=np.int64), np.ones(1)
    # By exchange of columns the first block may stand as it is.
    states, chances = np.array([blocks[0]], dtype=np.int64).T, np.ones(1)
    work = 0
    known: dict[tuple[int, ...], Ints] = {}
    for block in blocks[1:]:
        if order_count(block) * len(block) > MOST_CELLS or len(block) > MOST_COLUMNS:
            return None
        # Sorting takes time in the square of the columns.
        work += states.shape[1] * order_count(block) * max(1, (len(block) - 6) ** 2 // 16)
        if work > MOST_WORK:
            return None
        if block not in known:
            known[block] = orders(block)
        states, chances = _add(states, chances, known[block], rising=True)
    return states, chances


def all_sums(
    blocks: Iterable[tuple[Sequence[int], Sequence[int]]], columns: int
) -> tuple[Ints, Floats] | None:
    """Column sums (columns, states) and their chances for blocks that fill some columns only.

    A block is (places, numbers). None where it is too large.
    """
    states, chances = np.zeros((columns, 1), dtype=np.int64), np.ones(1)
    work = 0
    for places, numbers in blocks:
        if order_count(numbers) * columns > MOST_CELLS // 4 or columns > MOST_COLUMNS:
            return None
        work += states.shape[1] * order_count(numbers)
        if work > MOST_WORK:
            return None
        moves = np.zeros((order_count(numbers), columns), dtype=np.int64)
        moves[:, list(places)] = orders(numbers)
        states, chances = _add(states, chances, moves, rising=False)
    return states, chances


def _add(states: Ints, chances: Floats, moves: Ints, rising: bool) -> tuple[Ints, Floats]:
    """The sums after one more block, like sums joined. States are (columns, states)."""
    share = chances / len(moves)
    k, m = states.shape
    # Also in rising order no sum can leave these bounds.
    low, high = states.min(axis=1) + moves.min(), states.max(axis=1) + moves.max()
    step = max(1, _PIECE // (k * len(moves)))
    found = []
    for start in range(0, m, step):
        part = slice(start, start + step)
        moved = (states[:, part, None] + moves.T[:, None, :]).reshape(k, -1)
        if rising:
            _sort_columns(moved)
        found.append(_joined(moved, np.repeat(share[part], len(moves)), low, high - low + 1))
    if len(found) == 1:
        return found[0]
    whole = np.concatenate([s for s, _ in found], axis=1)
    return _joined(whole, np.concatenate([c for _, c in found]), low, high - low + 1)


def _sort_columns(states: Ints) -> None:
    """Sort every state in place: neighbours compared in turn, whole rows of them at once."""
    k = len(states)
    low = np.empty_like(states[0])
    for end in range(k - 1, 0, -1):
        for i in range(end):
            np.minimum(states[i], states[i + 1], out=low)
            np.maximum(states[i], states[i + 1], out=states[i + 1])
            states[i] = low


def _joined(states: Ints, chances: Floats, low: Ints, sizes: Ints) -> tuple[Ints, Floats]:
    """Like sums joined; column j holds `sizes[j]` values from `low[j]` upward."""
    # The last column follows from the others, because every order of a block has one sum.
    used = max(1, len(sizes) - 1)
    codes, room = np.zeros(states.shape[1], dtype=np.int64), 1
    for column in range(used):
        if room * int(sizes[column]) > 2**62:
            kinds, codes = np.unique(codes, return_inverse=True)
            room = len(kinds)
        codes = codes * sizes[column] + (states[column] - low[column])
        room *= int(sizes[column])
    if room <= min(_DENSE, 8 * len(codes) + 1000):
        total = np.bincount(codes, chances, room)
        where = np.zeros(room, dtype=np.int64)
        where[codes] = np.arange(len(codes))
        there = np.flatnonzero(total)
        return states[:, where[there]], total[there].astype(float)
    _, first, place = np.unique(codes, return_index=True, return_inverse=True)
    return states[:, first], np.bincount(place.ravel(), chances, len(first)).astype(float)


@lru_cache(maxsize=256)
def weighted_sum(numbers: tuple[int, ...], weights: tuple[int, ...]) -> Floats:
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

"""Who tastes which samples when a taster cannot taste them all: cyclic block designs.

The rule: blocks are the turns of one or a few starting blocks, modulo the number of samples, or
modulo one less with one sample that stays in its place (cyclic and rotational designs; John and
Williams 1995, Cyclic and Computer Generated Designs, chapters 2 and 3, cited from memory). Of all
starting blocks, and of up to three of them together, the choice is that with the fewest blocks in
which every sample is served equally often and every two meet at one table equally often; where none
is found within MOST_BLOCKS, that in which the numbers differ least. In a balanced design b k = v r
and lambda (v - 1) = r (k - 1).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import combinations

Block = tuple[int, ...]

MOST_BLOCKS = 36
MOST_STARTS = 28
"""How many starting blocks are joined with each other; of more, each is looked at by itself."""


@dataclass(frozen=True, slots=True)
class BlockDesign:
    """Blocks of `each` out of `samples` labels from 0.

    `times_gap` and `together_gap` are the largest less the smallest count of how often a sample is
    served, and of how often two are in one block; 0 and 0 is balanced.
    """

    samples: int
    each: int
    blocks: tuple[Block, ...]
    times_gap: int
    together_gap: int

    @property
    def balanced(self) -> bool:
        """Whether every sample, and every two, come equally often."""
        return self.times_gap == 0 and self.together_gap == 0


def times_counts(blocks: Sequence[Sequence[int]]) -> Counter[int]:
    """Label to how many blocks hold it."""
    return Counter(label for block in blocks for label in block)


def together_counts(blocks: Sequence[Sequence[int]]) -> Counter[tuple[int, int]]:
    """Two labels, the lower first, to how many blocks hold both."""
    return Counter(pair for block in blocks for pair in combinations(sorted(block), 2))


@cache
def block_design(samples: int, each: int) -> BlockDesign:
    """The design of this many samples with `each` for a taster. Raises ValueError else than
    1 <= each <= samples."""
    if not 1 <= each <= samples:
        raise ValueError("a block holds one sample or more, and no more than there are")
    if each in (1, samples) or samples < 3:
        every = combinations(range(samples), each)
        return _design(samples, each, tuple(every))
    found = [
        _design(samples, each, blocks)
        for starts in (_turned(samples, each), _turned_with_one_fixed(samples, each))
        for blocks in _joined(tuple(starts))
    ]
    return min(found, key=lambda d: (d.together_gap, d.times_gap, len(d.blocks), d.blocks))


def _design(samples: int, each: int, blocks: tuple[Block, ...]) -> BlockDesign:
    times, both = times_counts(blocks), together_counts(blocks)
    served = [times[label] for label in range(samples)]
    met = [both[pair] for pair in combinations(range(samples), 2)]
    return BlockDesign(samples, each, blocks, _gap(served), _gap(met))


def _gap(counts: Sequence[int]) -> int:
    return max(counts, default=0) - min(counts, default=0)


def _turned(samples: int, each: int) -> Iterator[tuple[Block, ...]]:
    """Every set of blocks that turns into itself, modulo the number of samples."""
    seen: set[Block] = set()
    for start in combinations(range(samples), each):
        if start not in seen:
            turns = {tuple(sorted((x + turn) % samples for x in start)) for turn in range(samples)}
            seen |= turns
            yield tuple(sorted(turns))


def _turned_with_one_fixed(samples: int, each: int) -> Iterator[tuple[Block, ...]]:
    """The same modulo one less; the last sample stays where it is."""
    fixed, left = samples - 1, samples - 1
    seen: set[Block] = set()
    for start in combinations(range(samples), each):
        if start not in seen:
            turns = {
                tuple(sorted(x if x == fixed else (x + turn) % left for x in start))
                for turn in range(left)
            }
            seen |= turns
            yield tuple(sorted(turns))


def _joined(starts: tuple[tuple[Block, ...], ...]) -> Iterator[tuple[Block, ...]]:
    """One start, two or three together, up to MOST_BLOCKS blocks; always the single ones."""
    yield from starts
    if len(starts) > MOST_STARTS:
        return
    for count in (2, 3):
        for some in combinations(starts, count):
            if sum(map(len, some)) <= MOST_BLOCKS:
                yield tuple(sorted(block for start in some for block in start))

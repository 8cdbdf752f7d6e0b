"""Page's test: do ranks rise along an order that was named beforehand?"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from scipy import special

from trialbench.model.message import Message, msg
from trialbench.stats.block_sums import weighted_sum
from trialbench.stats.not_applicable import NotApplicable
from trialbench.stats.numbers import BadNumbers, listed
from trialbench.stats.table_of_rows import doubled_row_ranks, read_rows

NULL_HYPOTHESIS = msg("Each taster could have ranked the methods in any order.")
MOST_METHODS = 12
MOST_LENGTH = 60_000


@dataclass(frozen=True, slots=True, kw_only=True)
class PageResult:
    """Page's L for methods named in rising `order`.

    `p`: exact, one-sided, that ranks rise; `p_falling`: that they fall; `p_two_sided`: twice the
    smaller, at most 1. `p_tables`: rising, as printed tables have it, from orders without ties and
    the whole part of L (it is `p` where nothing ties, and larger where something does). `z`,
    `p_large`: large-sample, with ties (`z` 0 is no trend). `exact` is False above 12 methods or
    with very many tasters, where all p are large-sample ones.
    """

    tasters: int
    order: tuple[str, ...]
    L: float
    p: float
    p_falling: float
    p_two_sided: float
    p_tables: float
    exact: bool
    z: float
    p_large: float
    null_hypothesis: Message
    notes: tuple[Message, ...]


def page(table: Any, order: Sequence[object] | None = None) -> PageResult | NotApplicable:
    """Test for ranks that rise along `order` (names of columns; default: as they stand).

    Page 1963, J. American Statistical Association 58, 216; exact by going through all orders within
    tasters. `table` as for `friedman`. Raises `BadNumbers` where `order` does not name every column
    once.
    """
    read = read_rows(table)
    wanted = read.names if order is None else tuple(str(name) for name in listed(order, "order"))
    if sorted(wanted) != sorted(read.names):
        raise BadNumbers(
            f"The order {', '.join(wanted)} does not name every method once.",
            where="order",
            allowed=", ".join(read.names),
        )
    if not read.rows:
        return NotApplicable(msg("No row is complete."))
    places = [read.names.index(name) for name in wanted]
    blocks = [tuple(doubled_row_ranks(row)[j] for j in places) for row in read.rows]
    if all(len(set(block)) == 1 for block in blocks):
        return NotApplicable(msg("Nobody puts any method above another."))
    doubled = sum((j + 1) * rank for block in blocks for j, rank in enumerate(block))
    z = _large_sample(blocks, doubled)
    exact = len(wanted) <= MOST_METHODS and _length(len(blocks), len(wanted)) <= MOST_LENGTH
    rise, fall = _tails(blocks, doubled) if exact else (special.ndtr(-z), special.ndtr(z))
    plain = [tuple(range(2, 2 * len(wanted) + 2, 2))] * len(blocks)
    tied = any(len(set(block)) < len(block) for block in blocks)
    tables = _tails(plain, doubled // 2 * 2)[0] if exact and tied else rise
    note = msg("Too many orders to count them all: p is a large-sample one.")
    return PageResult(
        tasters=len(blocks), order=wanted, L=doubled / 2, p=float(rise), p_falling=float(fall),
        p_two_sided=min(1.0, 2 * min(float(rise), float(fall))),
        p_tables=float(tables), exact=exact, z=z,
        p_large=float(special.ndtr(-z)), null_hypothesis=NULL_HYPOTHESIS,
        notes=read.notes if exact else (*read.notes, note),
    )  # fmt: skip


def _length(tasters: int, methods: int) -> int:
    """Length of the table of chances, which takes time in its square."""
    return tasters * methods * (methods + 1) * (2 * methods + 1) // 3


def _tails(blocks: list[tuple[int, ...]], doubled: int) -> tuple[float, float]:
    weights = tuple(range(1, len(blocks[0]) + 1))
    total = np.ones(1)
    for block in blocks:
        # All terms are positive: the product keeps its digits in both tails.
        total = np.convolve(total, weighted_sum(tuple(sorted(block)), weights))
    return min(1.0, float(total[doubled:].sum())), min(1.0, float(total[: doubled + 1].sum()))


def _large_sample(blocks: list[tuple[int, ...]], doubled: int) -> float:
    k = len(blocks[0])
    weights = sum((j - (k - 1) / 2) ** 2 for j in range(k))
    scatter = sum(sum((rank - (k + 1)) ** 2 for rank in block) for block in blocks)
    middle = len(blocks) * k * (k + 1) ** 2 / 2
    return (doubled - middle) / math.sqrt(weights * scatter / (k - 1))

"""Several claims read as one family."""

from __future__ import annotations

from collections.abc import Iterable

from trialbench.stats.numbers import BadNumbers, listed, plain


def holm(p_values: Iterable[float | None]) -> list[float | None]:
    """Holm's step-down p for each p (Holm 1979, Scandinavian J. Statistics 6, 65); None stays None.

    Missing ones (None, NaN) are no claims and do not count in the family. Raises `BadNumbers` for
    what is no list, and for a p outside 0 to 1.
    """
    given = [_one_p(p, i) for i, p in enumerate(listed(p_values, "p_values"))]
    order = sorted((p, i) for i, p in enumerate(given) if p is not None)
    adjusted: list[float | None] = [None] * len(given)
    highest = 0.0
    for rank, (p, place) in enumerate(order):
        highest = max(highest, min(1.0, p * (len(order) - rank)))
        adjusted[place] = highest
    return adjusted


def _one_p(value: object, place: int) -> float | None:
    where = f"p_values[{place}]"
    p = plain(value, where)
    if p is not None and not 0.0 <= p <= 1.0:
        raise BadNumbers(f"A p of {p:g}.", where=where, allowed="0 to 1, or None")
    return p

"""Several claims read as one family."""

from __future__ import annotations

from collections.abc import Sequence


def holm(p_values: Sequence[float | None]) -> list[float | None]:
    """Holm's step-down p for each p (Holm 1979, Scandinavian J. Statistics 6, 65); None stays None.

    Missing ones are no claims and do not count in the family.
    """
    order = sorted((p, i) for i, p in enumerate(p_values) if p is not None)
    adjusted: list[float | None] = [None] * len(p_values)
    highest = 0.0
    for rank, (p, place) in enumerate(order):
        highest = max(highest, min(1.0, p * (len(order) - rank)))
        adjusted[place] = highest
    return adjusted

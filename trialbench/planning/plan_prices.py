"""What a plan costs: a cook day, a piece, a taster, as far as prices are written."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from trialbench.model.records import Cover, Piece, Price
from trialbench.notebook.records_read import Reads


@dataclass(frozen=True, slots=True)
class PlanPrices:
    """Prices in one currency; a taster's is for one cook day. None of them is invented."""

    cook_day: float
    piece: float
    taster: float
    currency: str


def plan_prices(book: Reads, trial_id: str, pieces: Sequence[Piece]) -> PlanPrices | None:
    """The prices that are written; None where no price for a piece or cook day is.

    Food by the kilogram counts with the mean weight of the pieces as bought, and not where no
    weight is written.
    """
    written = book.all(Price, trial_id=trial_id)
    weights = [piece.bought_g for piece in pieces if piece.bought_g is not None]
    mean_kg = sum(weights) / len(weights) / 1000 if weights else None
    piece = sum(
        price.amount * (1.0 if price.per == "piece" else mean_kg or 0.0)
        for price in written
        if price.per == "piece" or (price.item == "food" and price.per == "kg")
    )
    day = sum(price.amount for price in written if price.per == "cook_day")
    taster = sum(price.amount for price in written if price.per == "taster")
    if not piece and not day:
        return None
    return PlanPrices(day, piece, taster, book.all(Cover)[0].currency)

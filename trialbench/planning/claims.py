"""One kind of comparison that a plan of more than two methods will make."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

from trialbench.model.message import Message


@dataclass(frozen=True, slots=True)
class PlannedClaim:
    """A weighted sum of method means. `squares` is the sum of its squared weights: 2 for a pair.

    `family` counts the comparisons that are read together by Holm. `role` is pair | main | simple |
    interaction | trend | bend.
    """

    role: str
    label: Message
    squares: float
    family: int

    def sd(self, of_pair: float) -> float:
        """Its scatter from cook day to cook day, from that of a pair's difference, sd(D)."""
        return of_pair * sqrt(self.squares / 2.0)

    def share(self, alpha: float) -> float:
        """The level at which it is told apart for sure: Holm's first step."""
        return alpha / self.family

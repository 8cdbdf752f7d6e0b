"""What is asked of a table: the columns it has and what was decided beforehand."""

from __future__ import annotations

from dataclasses import dataclass, field
from math import inf
from typing import get_args

from trialbench.findings.finding import Better, Kind
from trialbench.model.errors import BadInput

ALPHA_RANGE = "above 0 and below 0.5"


@dataclass(frozen=True, slots=True)
class Columns:
    """Names of the columns of a table with one row per score or measurement.

    Piece, load and pair names count within cook (piece and load within cook and method). Without
    `cook` everything belongs to one cook. Without `piece` and `load` each method has one unit a
    cook. Without `taster` the values are measurements; where `serving` is named they are those of
    one unnamed taster, because only what is tasted comes in servings.
    """

    value: str = "value"
    method: str = "method"
    cook: str | None = None
    pair: str | None = None
    piece: str | None = None
    load: str | None = None
    taster: str | None = None
    serving: str | None = None

    @property
    def measured(self) -> bool:
        """True where nobody tasted."""
        return self.taster is None and self.serving is None

    def names(self) -> tuple[str | None, ...]:
        """All columns, None where one is not named."""
        return (
            self.value,
            self.method,
            self.cook,
            self.pair,
            self.piece,
            self.load,
            self.taster,
            self.serving,
        )


@dataclass(frozen=True, slots=True)
class AnalysisQuestion:
    """Everything that was fixed before the data: direction, kind, d, step, number of cooks.

    `matters` is d in the outcome's units, above 0. `step` is the scale's step (None: no rounding
    floor). `compare` names two labels where the table has more. `planned_cooks` is the sealed
    number of cooks (None: nothing was sealed). `assignments` are the label vectors that the plan's
    rules allowed, each a mapping (cook, unit) -> label; None: every draw within pair, else cook.
    `draw_within_pairs` False says that lots were drawn over the whole cook though pairs exist.
    """

    columns: Columns = field(default_factory=Columns)
    outcome: str | None = None
    kind: Kind = "better"
    better: Better = "higher"
    matters: float | None = None
    step: float | None = None
    easier: str | None = None
    same_recipe: bool = False
    planned_cooks: int | None = None
    compare: tuple[str, str] | None = None
    alpha: float = 0.05
    assignments: tuple[dict[tuple[str, str], str], ...] | None = None
    draw_within_pairs: bool = True
    lot_number: int = 1

    def check(self) -> None:
        """Raise `BadInput` where the question cannot be asked as it stands."""
        _one_of("kind", self.kind, get_args(Kind))
        _one_of("better", self.better, get_args(Better))
        if not 0 < self.alpha < 0.5:
            raise BadInput(f"alpha is {self.alpha:g}.", where="alpha", allowed=ALPHA_RANGE)
        for name, value in (("matters", self.matters), ("step", self.step)):
            if value is not None and not 0 < value < inf:
                raise BadInput(f"{name} is {value:g}.", where=name, allowed="a number above 0")
        if self.planned_cooks is not None and self.planned_cooks < 1:
            raise BadInput(
                f"planned cooks is {self.planned_cooks}.",
                where="planned_cooks",
                allowed="1 or more",
            )
        if self.kind == "at-least-as-good" and not self.same_recipe:
            self._check_at_least_as_good()

    def _check_at_least_as_good(self) -> None:
        asked = "At least as good"
        if self.easier is None:
            raise BadInput(
                f"{asked} as what? The easier method is not named.",
                where="easier",
                allowed="the label of the easier method",
            )
        if self.matters is None:
            raise BadInput(
                f"{asked} needs the smallest difference that matters.",
                where="matters",
                allowed="a number above 0",
            )
        if self.better == "neither":
            raise BadInput(
                f"{asked} needs to know which way is better.",
                where="better",
                allowed="higher or lower",
            )

    def check_easier(self, labels: tuple[str, str]) -> None:
        """Raise `BadInput` unless the easier method, if named, is one of the two compared."""
        if self.easier is not None and self.easier not in labels:
            raise BadInput(
                f"The easier method {self.easier!r} is not compared here.",
                where="easier",
                allowed=" or ".join(labels),
            )


def _one_of(where: str, value: str, allowed: tuple[str, ...]) -> None:
    if value not in allowed:
        raise BadInput(f"{where} is {value!r}.", where=where, allowed=", ".join(allowed))

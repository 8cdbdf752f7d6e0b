"""What is asked of a table: the columns it has and what was decided beforehand."""

from __future__ import annotations

from dataclasses import dataclass, field

from trialbench.findings.finding import Better, Kind


@dataclass(frozen=True, slots=True)
class Columns:
    """Names of the columns of a table with one row per score or measurement.

    Piece, load and pair names count within cook (piece and load within cook and method). Without
    `cook` everything belongs to one cook. Without `piece` and `load` each method has one unit a
    cook. Without `taster` the values are measurements.
    """

    value: str = "value"
    method: str = "method"
    cook: str | None = None
    pair: str | None = None
    piece: str | None = None
    load: str | None = None
    taster: str | None = None
    serving: str | None = None


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

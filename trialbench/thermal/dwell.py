"""A core log laid beside a table of dwell times: shown, not shown, or below the table's rows.

As the USDA-FSIS guideline (FSIS-GD-2021-14) has it: for each row the longest unbroken time with the
coldest point at or above the row's temperature, straight lines between readings. The instrument's
tolerance is taken off first. A gap near the row's temperature is time not shown.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from trialbench.model.message import Message, msg
from trialbench.model.quantities import show_duration
from trialbench.thermal.curves import Curve, Gap
from trialbench.thermal.safety_rules import DwellRow, DwellTable, Standing, said_time
from trialbench.thermal.spans import runs_above

NEAR_C, LONG_GAP_S = 5.0, 1800.0
"""A gap could hide a row when a reading beside it is this close, or when it is this long (ours)."""


@dataclass(frozen=True, slots=True)
class RowRun:
    """The longest unbroken time at or above a row; `at_most_s` if every gap near it were so too.

    None: it was never reached.
    """

    row: DwellRow
    kept_s: float | None
    at_most_s: float | None

    @property
    def shown(self) -> bool:
        """Whether the log shows the row's time."""
        return self.kept_s is not None and self.kept_s >= self.row.time_s

    @property
    def possible(self) -> bool:
        """Whether the gaps could hide the row's time."""
        return self.at_most_s is not None and self.at_most_s >= self.row.time_s

    @property
    def share(self) -> float:
        """How much of the row's time was kept, 0 to 1."""
        if self.kept_s is None:
            return 0.0
        return 1.0 if self.shown else self.kept_s / self.row.time_s


@dataclass(frozen=True, slots=True)
class DwellCheck:
    """What the log says of a table. `nearest` is the row that is shown, or comes nearest to it."""

    standing: Standing
    nearest: RowRun
    rows: tuple[RowRun, ...]
    tolerance_c: float
    cited: Message

    @property
    def says(self) -> Message:
        """One sentence, never a clearance."""
        row = self.nearest.row
        kept = said_time(self.nearest.kept_s or 0, row.time_s)
        wanted = show_duration(row.time_s)
        if self.standing == "shown":
            return msg(
                "The log shows {temp} or more for {kept}; the table's row asks for {wanted}.",
                temp=str(row.limit), kept=kept, wanted=wanted,
            )  # fmt: skip
        if self.standing == "not_shown":
            return msg("A gap in the log: whether a row of the table was reached is not shown.")
        if self.nearest.kept_s is None:
            return msg("Below the table's rows: {temp} was not reached.", temp=str(row.limit))
        return msg(
            "Below the table's row: {temp} for {kept}, and the row asks for {wanted}.",
            temp=str(row.limit), kept=kept, wanted=wanted,
        )  # fmt: skip


def check_dwell(
    curve: Curve,
    table: DwellTable,
    *,
    tolerance_c: float = 0.0,
    start_s: float | None = None,
    end_s: float | None = None,
) -> DwellCheck:
    """Lay a core curve beside a table, from `start_s` to `end_s`.

    `tolerance_c` is what the instrument may be off by (see `instruments`). With several probes or
    pokes give the curve of the coldest point.
    """
    part = curve.between(start_s, end_s)
    lowered = replace(part, temp_c=part.temp_c - tolerance_c) if part else None
    rows = tuple(_row_run(lowered, row) for row in table.rows)
    shown = [run for run in rows if run.shown]
    if shown:
        standing: Standing = "shown"
    else:
        standing = "not_shown" if lowered is None or any(r.possible for r in rows) else "below"
    nearest = shown[-1] if shown else max(rows, key=lambda run: run.share)
    return DwellCheck(standing, nearest, rows, tolerance_c, table.cited)


def _row_run(curve: Curve | None, row: DwellRow) -> RowRun:
    if curve is None:
        return RowRun(row, None, None)
    limit_c = row.limit.temp_c
    spans = [(run.start_s, run.end_s) for run in runs_above(curve, limit_c)]
    kept = max((end - start for start, end in spans), default=None)
    hidden = [(gap.start_s, gap.end_s) for gap in curve.gaps if _may_hide(curve, gap, limit_c)]
    return RowRun(row, kept, _longest_joined(sorted(spans + hidden)))


def _may_hide(curve: Curve, gap: Gap, limit_c: float) -> bool:
    beside = [curve.at(gap.start_s), curve.at(gap.end_s)]
    near = any(temp is not None and temp >= limit_c - NEAR_C for temp in beside)
    return near or gap.length_s > LONG_GAP_S


def _longest_joined(spans: list[tuple[float, float]]) -> float | None:
    longest: float | None = None
    begun, reached = 0.0, -1.0
    for number, (start, end) in enumerate(spans):
        if number == 0 or start > reached:
            begun = start
        reached = end
        longest = max(longest or 0.0, reached - begun)
    return longest

"""Scores of a frame by taster and sample."""

from __future__ import annotations

from collections import defaultdict

from trialbench.stats import frames
from trialbench.stats.numbers import BadNumbers

Cells = dict[str, dict[str, list[float]]]
"""Scores by taster, then by sample; several are repeats."""


def score_cells(frame: frames.Frame, value: str, taster: str, sample: str) -> Cells:
    """Read the rows that have a score. Raises `BadNumbers` where a name is missing."""
    cells: Cells = defaultdict(lambda: defaultdict(list))
    columns = (
        frames.numbers(frame, value), frames.labels(frame, taster), frames.labels(frame, sample),
    )  # fmt: skip
    frames.same_length(dict(zip(("values", "tasters", "samples"), columns, strict=True)))
    for row, (number, who, what) in enumerate(zip(*columns, strict=True), start=1):
        if number is None:
            continue
        if not who or not what:
            raise BadNumbers(f"Row {row} has a score and no name.", where=f"row {row}",
                             allowed="a taster and a sample")  # fmt: skip
        cells[who][what].append(number)
    return {who: dict(own) for who, own in cells.items()}

"""Scores of a frame by taster and sample."""

from __future__ import annotations

from collections import defaultdict

from trialbench.stats import frames

Cells = dict[str, dict[str, list[float]]]
"""Scores by taster, then by sample; several are repeats."""


def score_cells(frame: frames.Frame, value: str, taster: str, sample: str) -> Cells:
    """Read the rows that have a score. Raises `BadNumbers` where a name is missing."""
    cells: Cells = defaultdict(lambda: defaultdict(list))
    roles = [
        ("taster", taster, frames.labels(frame, taster)),
        ("sample", sample, frames.labels(frame, sample)),
    ]
    for number, (who, what) in frames.scored(frames.numbers(frame, value), roles):
        cells[who][what].append(number)
    return {who: dict(own) for who, own in cells.items()}

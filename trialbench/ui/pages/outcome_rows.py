"""The table of outcomes on Findings: the deciding one first, the verdict second."""

from __future__ import annotations

from collections.abc import Sequence

from trialbench.findings.trial_finding import TrialFinding
from trialbench.model.message import Message, msg
from trialbench.report.outcomes import (
    OutcomeLine,
    outcome_heads,
    outcome_lines,
    set_aside_lines,
)
from trialbench.ui.runs import Item, Run
from trialbench.ui.table import ReadingColumn, ReadingTable

_DIFFERENCE_PX, _INTERVAL_PX = 96, 146
_Cells = Sequence[Item | Sequence[Item]]


class OutcomeTable(ReadingTable):
    """One row an outcome; under the deciding one, the other answer about what was set aside.

    In pencil as long as nothing is claimed.
    """

    def __init__(self, found: TrialFinding) -> None:
        assert found.deciding is not None
        ink = "pencil" if found.deciding.case == "no_claim" else None
        heads = outcome_heads(found.deciding)
        columns = (
            ReadingColumn(heads[0], share=1.35),
            ReadingColumn(heads[1]),
            ReadingColumn(heads[4], _DIFFERENCE_PX, align="right"),
            ReadingColumn(heads[5], _INTERVAL_PX, align="right"),
        )
        first, *others = outcome_lines(found)
        aside = set_aside_lines(found)
        self.lines = (first, *aside, *others)
        self.set_aside_rows = range(1, 1 + len(aside))
        self.other_rows = range(1 + len(aside), len(self.lines))
        super().__init__(columns, [_cells(line, ink) for line in self.lines])


def _cells(line: OutcomeLine, ink: str | None) -> _Cells:
    decides = line.part == "decides"
    if line.part == "silent":
        return [Run(line.name, colour=ink), Run(line.said, colour="pencil"), Run(line.difference),
                Run(line.interval)]  # fmt: skip
    verdict = Run(line.said, weight=600, colour=ink)
    size = Run(line.difference, weight=600 if decides else None, colour=ink)
    return [_name(line, ink), verdict, size, Run(line.interval, colour=ink)]


def _name(line: OutcomeLine, ink: str | None) -> list[Item]:
    if line.part == "set_aside":
        return [Run(line.name, colour="pencil")]
    decides = line.part == "decides"
    items: list[Item] = [Run(line.name, weight=600 if decides else None, colour=ink)]
    if line.measure:
        items.append(Run(msg(" {measure}", measure=line.measure), colour="pencil"))
    if decides and line.measure:
        items.append(Run(msg(", decides"), colour="pencil"))
    elif decides:
        items.append(Run(msg(" decides"), colour="pencil"))
    return items


def about_intervals(found: TrialFinding) -> Message | None:
    """What the intervals of the others are, said under the table."""
    if not found.others:
        return None
    return msg(
        "One outcome decides. Intervals of the others are unadjusted: each stands by itself."
    )

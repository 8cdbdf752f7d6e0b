"""The tables of three methods or more on Findings: the comparisons, and the mean of each method."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtWidgets import QVBoxLayout, QWidget

from trialbench.findings.several_finding import SeveralFinding
from trialbench.findings.trial_finding import TrialFinding
from trialbench.model.message import Message, msg
from trialbench.report.claims_several import (
    ClaimLine,
    OtherLine,
    claim_heads,
    claim_lines,
    other_lines,
)
from trialbench.report.words import tied
from trialbench.ui import theme
from trialbench.ui.runs import Item, Run
from trialbench.ui.table import ReadingColumn, ReadingTable

_DIFFERENCE_PX, _INTERVAL_PX, _MEAN_PX, _SPACE_PX = 96, 146, 52, 14
_Cells = Sequence[Item | Sequence[Item]]


class SeveralTables(QWidget):
    """The comparisons of the outcome that decides (and the other answer where something was set
    aside), then the means of every outcome by method.
    """

    def __init__(self, found: TrialFinding) -> None:
        super().__init__()
        assert found.several is not None
        names = found.names_of(found.several.outcome)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(round(theme.px(_SPACE_PX)))
        self.claims = _comparisons(found.several, claim_lines(found.several, names))
        column.addWidget(self.claims)
        self.aside: list[ReadingTable] = []
        for answer in found.other_several:
            head = _other_way(answer.way, answer.subjects)
            table = _comparisons(answer.finding, claim_lines(answer.finding, names), head)
            self.aside.append(table)
            column.addWidget(table)
        self.means = _means(found)
        column.addWidget(self.means)


def _other_way(way: str, subjects: tuple[tuple[str, str], ...]) -> Message:
    what = ", ".join(f"{name} ({why.rstrip('.')})" for name, why in subjects)
    return msg("without {what}", what=what) if way == "without" else msg("with {what}", what=what)


def _comparisons(
    found: SeveralFinding, lines: Sequence[ClaimLine], head: Message | None = None
) -> ReadingTable:
    ink = "pencil" if found.claims_nothing else None
    heads = claim_heads(found)
    columns = (
        ReadingColumn(head or heads[0], share=1.35),
        ReadingColumn(heads[1]),
        ReadingColumn(heads[2], _DIFFERENCE_PX, align="right"),
        ReadingColumn(heads[3], _INTERVAL_PX, align="right"),
    )
    return ReadingTable(columns, [_cells(line, ink) for line in lines])


def _cells(line: ClaimLine, ink: str | None) -> _Cells:
    weight = 600 if line.told else None
    return [
        Run(tied(line.name), weight=weight, colour=ink),
        Run(line.said, weight=600, colour=ink),
        Run(line.difference, weight=weight, colour=ink),
        Run(line.interval, colour=ink),
    ]


def _means(found: TrialFinding) -> ReadingTable:
    assert found.several is not None
    columns = [
        ReadingColumn(msg("mean of each method"), share=1.1),
        ReadingColumn(msg("what also holds"), share=1.35),
    ]
    letters = found.several.plan.letters
    columns += [ReadingColumn(letter, _MEAN_PX, align="right") for letter in letters]
    return ReadingTable(tuple(columns), [_mean_cells(line) for line in other_lines(found)])


def _mean_cells(line: OtherLine) -> _Cells:
    return [Run(tied(line.name)), Run(tied(line.said)), *(Run(mean) for mean in line.means)]

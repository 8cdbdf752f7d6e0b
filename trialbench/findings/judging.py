"""From a table to a Finding, by policy 1 (DEVELOPERS.md, "What a finding may say")."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from trialbench.findings.finding import Family, Finding
from trialbench.findings.question import AnalysisQuestion

if TYPE_CHECKING:
    import pandas as pd

    Table = pd.DataFrame | Mapping[str, Sequence[object]]


def judge(table: Table, question: AnalysisQuestion) -> Finding:
    """The finding of one outcome."""
    raise NotImplementedError


def judge_family(
    deciding: tuple[Table, AnalysisQuestion], others: Sequence[tuple[Table, AnalysisQuestion]]
) -> Family:
    """The outcome that decides, and the others read as one family (Holm)."""
    raise NotImplementedError

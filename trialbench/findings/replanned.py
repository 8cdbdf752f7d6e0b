"""What ran late on a cook day, and what was done about it: a rider beside the finding."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from trialbench.findings.snapshot import TrialRecords
from trialbench.findings.tables import Table
from trialbench.model.message import Message
from trialbench.planning.replanning import rider_messages


def replanned(records: TrialRecords, tables: Sequence[Table]) -> Iterable[Message]:
    """Every re-plan and every turn at one place, in the order of the cook days."""
    return rider_messages(records, records.trial.id)

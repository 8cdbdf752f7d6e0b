"""A caution beside a finding: pieces that got more or less salt than their method says."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from trialbench.findings.snapshot import TrialRecords
from trialbench.findings.tables import Table
from trialbench.model.message import Message, msg
from trialbench.planning.salt_as_weighed import Salted, salted_pieces, shown_rate
from trialbench.planning.stage_words import listed


def salted_off_plan(records: TrialRecords, tables: Sequence[Table]) -> Iterator[Message]:
    """One sentence that names each such piece; nothing where all were salted as written."""
    off = [piece for piece in salted_pieces(records, records.trial.id) if piece.off_plan]
    if off:
        yield msg("Not salted as written: {pieces}.", pieces=listed([_said(p) for p in off]))


def _said(found: Salted) -> Message:
    return msg(
        "{piece} {got} g for each kilogram instead of {planned}",
        piece=found.piece.label,
        got=shown_rate(found.g_per_kg),
        planned=shown_rate(found.planned_g_per_kg or 0.0),
    )

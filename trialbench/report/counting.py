"""What the unit of a trial is, and how much of it was counted."""

from __future__ import annotations

from trialbench.findings.finding import Counts
from trialbench.model.message import Message, msg, msg_n

_UNITS: dict[str, Message] = {
    "piece": msg("A piece by itself is the unit."),
    "load": msg("A load is the unit: the pieces of one method that were treated together."),
    "piece or load": msg("A piece by itself, or its load, is the unit."),
}


def what_counts(unit: str, counts: Counts) -> Message:
    """ "A piece by itself is the unit. 4 cook days, 16 units, 128 numbers."."""
    return msg(
        "{unit} {cooks}, {units}, {scores}.",
        unit=_UNITS[unit],
        cooks=msg_n("{count} cook day", "{count} cook days", counts.cooks),
        units=msg_n("{count} unit", "{count} units", counts.units),
        scores=msg_n("{count} number", "{count} numbers", counts.scores),
    )

"""Which method is started first on a cook day: drawn too, and even over the cook days."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from trialbench.model.records import Cook
from trialbench.model.steps import Change
from trialbench.planning.lots import Lots

PURPOSE = "starts"


def starts(method_ids: Sequence[str], number: int, lot_number: int) -> str:
    """The method that starts first on cook day `number` (from 1).

    As many cook days after each other as there are methods make a round; in a round each method
    starts once, in an order drawn with the lot number under the purpose "starts:<round>".
    """
    turn, place = divmod(number - 1, len(method_ids))
    return Lots(lot_number, f"{PURPOSE}:{turn + 1}").shuffled(method_ids)[place]


def started(
    cooks: Sequence[Cook], method_ids: Sequence[str], lot_number: int
) -> tuple[Change, ...]:
    """The changes that write who starts first into these cook days."""
    changes = (
        Change(cook, replace(cook, starts_id=starts(method_ids, cook.number, lot_number)))
        for cook in cooks
    )
    return tuple(change for change in changes if change.before != change.after)

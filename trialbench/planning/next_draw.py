"""Which lots come next: those of a cook day whose weights are in, of the whole plan, or again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from trialbench.model.message import Message, msg
from trialbench.model.records import Cook, Draw, Lot
from trialbench.planning.draw import days_due, why_no_day, why_no_draw
from trialbench.planning.draw_checks import waits_for
from trialbench.planning.draw_rule import days_to_come, draws_of, holding_draws
from trialbench.planning.of_trial import OfTrial, cooks_of, pieces_of


@dataclass(frozen=True, slots=True)
class NextDraw:
    """What the verb that draws would do. `cook` is None for lots over the whole plan.

    `again`: lots are there and would be set aside. `why` says why it cannot be done now; `waits`
    that only weights are missing, so that it can be done early with a reason. `reason` whether one
    is needed.
    """

    label: Message
    cook: Cook | None = None
    why: Message | str | None = None
    again: bool = False
    waits: bool = False
    reason: bool = False

    @property
    def due(self) -> bool:
        """Whether it is to be done now."""
        return self.why is None and not self.again


def next_draw(records: OfTrial) -> NextDraw:
    """The lots that come next."""
    draws, to_come = draws_of(records), days_to_come(records)
    if not draws and (records.trial.draw_early_reason or not to_come):
        return NextDraw(msg("Draw lots"), why=why_no_draw(records))
    ready = days_due(records) or (to_come if records.trial.draw_early_reason else ())
    if ready:
        return _of_day(records, ready[0])
    again = _again(records, draws)
    if to_come and (again is None or again.why is not None):
        return _waiting(records, to_come[0])
    assert again is not None
    return again


def _of_day(records: OfTrial, cook: Cook) -> NextDraw:
    held = holding_draws(records)
    before = any(piece.id in held for piece in pieces_of(records, cook.id))
    planned = records.trial.planned_cooks
    more = planned is not None and cook.number > planned
    label = msg("Draw lots of day {day}", day=cook.number)
    return NextDraw(label, cook, why_no_day(records, cook), reason=before or more)


def _waiting(records: OfTrial, cook: Cook) -> NextDraw:
    why = why_no_day(records, cook)
    label = msg("Draw lots of day {day}", day=cook.number)
    early = waits_for(records, [cook]) == why and not draws_of(records)
    return NextDraw(label, cook, why, waits=early)


def _again(records: OfTrial, draws: Sequence[Draw]) -> NextDraw | None:
    """Drawing again what the last draw gave."""
    if not draws:
        return None
    mine = {lot.piece_id for lot in records.of(Lot) if lot.draw_id == draws[-1].id}
    days = [c for c in cooks_of(records) if any(p.id in mine for p in pieces_of(records, c.id))]
    if len(days) == 1 and len(cooks_of(records)) > 1:
        label = msg("Draw lots of day {day} again, and say why", day=days[0].number)
        why = why_no_day(records, days[0])
        return NextDraw(label, days[0], why, again=True, reason=True)
    label = msg("Draw lots again, and say why")
    return NextDraw(label, None, why_no_draw(records), again=True, reason=True)

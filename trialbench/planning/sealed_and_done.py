"""What was done against what was sealed: stopped early, added to, changed (policy 6.9)."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import Any

from trialbench.model.dates import said_day
from trialbench.model.message import Message, msg, msg_n
from trialbench.model.records import Cook, Measurement, Piece, Sample, Seal, Sitting
from trialbench.notebook.clock import local_time
from trialbench.planning.after_seal import Told, told_changes, when_said
from trialbench.planning.of_trial import OfTrial, cooks_of
from trialbench.planning.plan_changed import together
from trialbench.planning.seal import seal_of


@dataclass(frozen=True, slots=True)
class CookCount:
    """Cook days as sealed and as carried out. `sealed` is None where nothing was sealed.

    `done` counts cook days on which something was weighed or tasted, `added` those beyond the
    seal, `after_opening` those of them added when a key was open.
    """

    sealed: int | None
    done: int
    added: int
    after_opening: int

    @property
    def in_so_far(self) -> Message:
        """ "3 of 5 cook days in"."""
        if self.sealed is None:
            return msg_n("{count} cook day in", "{count} cook days in", self.done)
        return msg("{done} of {sealed} cook days in", done=self.done, sealed=self.sealed)

    @property
    def short(self) -> int:
        """Cook days that the seal promises and that are not in."""
        return max(0, (self.sealed or 0) - self.done)


def cook_count(records: OfTrial) -> CookCount:
    """Count the cook days of a trial against its seal."""
    seal = seal_of(records)
    done = _done(records)
    there = cooks_of(records)
    if seal is None:
        return CookCount(None, len(done), 0, 0)
    sealed = _value(seal)
    ids = {cook["id"] for cook in sealed["cooks"]}
    more = [cook for cook in there if cook.id not in ids]
    return CookCount(
        sealed=sealed["plan"]["planned_cooks"],
        done=len(done),
        added=len(more),
        after_opening=sum(cook.after_opening for cook in more),
    )


def _value(seal: Seal) -> dict[str, Any]:
    value: dict[str, Any] = json.loads(seal.written)
    return value


def _done(records: OfTrial) -> set[str]:
    cook_of = {piece.id: piece.cook_id for piece in records.of(Piece)}
    weighed = {cook_of.get(m.piece_id, "") for m in records.of(Measurement)}
    tasted = {sample.sitting_id for sample in records.of(Sample)}
    served = {s.cook_id for s in records.of(Sitting) if s.id in tasted}
    return (weighed | served) & {cook.id for cook in records.of(Cook)}


def differs_from_seal(records: OfTrial) -> tuple[Message, ...]:
    """What is not as it was sealed, as sentences for the finding; empty where nothing was sealed.

    What was changed under a reason says so, with old and new. Cook days still to come are no
    difference: ask `cook_count` for them.
    """
    if seal_of(records) is None:
        return ()
    count = cook_count(records)
    found = [_added(count)] if count.added else []
    return (*found, *(_told(each) for each in told_changes(records)))


def _told(told: Told) -> Message:
    what = together(told.changes)
    if told.opening is None:
        return msg("Not as it was sealed: {what}.", what=what)
    begun = local_time(told.opening.begun_utc, told.opening.offset_min)
    return msg(
        "Changed after the seal on {day}, {when}, because “{why}”: {what}.",
        day=said_day(f"{begun:%Y-%m-%d}"),
        when=when_said(told.opening),
        why=told.opening.reason.rstrip("."),
        what=what,
    )


def _added(count: CookCount) -> Message:
    if count.after_opening:
        return msg_n(
            "{count} cook day was added after a key was open.",
            "{count} cook days were added after a key was open.",
            count.after_opening,
        )
    return msg_n(
        "{count} cook day was added to the sealed plan.",
        "{count} cook days were added to the sealed plan.",
        count.added,
    )

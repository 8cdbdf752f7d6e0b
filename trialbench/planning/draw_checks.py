"""When lots can be drawn, and when not: what `draw` refuses, in sentences."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Sequence

from trialbench.model.errors import Refused, Sealed
from trialbench.model.message import Message, msg, msg_n
from trialbench.model.records import Cook, Measurement, Pair, Piece, Seal
from trialbench.planning.assignments import Unit
from trialbench.planning.draw_rule import draws_of, holding_draws
from trialbench.planning.of_trial import OfTrial, cooks_of, methods_of, pieces_of
from trialbench.planning.parting_weights import not_weighed, parting_checkpoint


def check_time(records: OfTrial, pieces: Collection[str] | None = None) -> None:
    """Raises Sealed after the seal, Refused after the first weight that follows a draw.

    `pieces` are the ids whose lots would be drawn (again); None: all of them. Pieces without lots
    may be drawn at any time.
    """
    held = holding_draws(records)
    again = {p for p in held if pieces is None or p in pieces}
    if again and any(True for _ in records.of(Seal)):
        raise Sealed(msg("The plan is sealed. Who gets which method cannot be drawn again."))
    after = [
        held[m.piece_id].number
        for m in records.of(Measurement)
        if m.piece_id in again and m.made_utc > held[m.piece_id].made_utc
    ]
    if after:
        raise Refused(
            msg("Something was weighed after draw {n}. No more draws.", n=max(after)),
            field="draw.number",
            allowed=msg("a draw before the first weight that follows one"),
            way_out=msg("Cook it as drawn. Leave out what cannot be cooked so, and say why."),
        )


def check_reason(records: OfTrial, reason: str) -> None:
    """Raises Refused where a reason is needed and none is given."""
    before = len(draws_of(records))
    if not reason.strip():
        raise Refused(
            msg("Draw {number} needs a reason. Not drawn.", number=before + 1),
            field="draw.reason",
            allowed=msg("why draw {number} is set aside", number=before),
            way_out=msg("Write why. It will be printed with the finding."),
        )


def check_parting(records: OfTrial, cooks: Sequence[Cook]) -> None:
    """Raises Refused before the weights of the parting are in, unless the trial was told so."""
    why = None if records.trial.draw_early_reason else waits_for(records, cooks)
    if why is not None:
        raise Refused(
            why,
            field="trial.draw_early_reason",
            allowed=msg("lots at the parting, on the weights just taken"),
            way_out=msg("Weigh first, or say why lots are drawn now."),
        )


def waits_for(records: OfTrial, cooks: Sequence[Cook]) -> Message | None:
    """Which weights of these cook days are still to come before their lots; None when all are in.

    A weight that is missing for a reason is not waited for.
    """
    at = parting_checkpoint(records)
    if at is None:
        return msg("Lots are drawn at the parting, and no weighing before it is laid out.")
    for cook in cooks:
        out = not_weighed(records, cook.id)
        if out:
            return msg_n(
                "Lots of day {day} are drawn on the weights at {weighing}: {count} is out, "
                "{piece}.",
                "Lots of day {day} are drawn on the weights at {weighing}: {count} are out, "
                "{piece} first.",
                len(out),
                day=cook.number,
                weighing=at.name,
                piece=out[0].label,
            )
    return None


def check_units(records: OfTrial, units: Sequence[Unit]) -> None:
    """Raises Refused where there is nothing to draw, or too little in a block."""
    methods = methods_of(records)
    if len(methods) < 2:
        raise refused(msg("Lots need two methods or more."), msg("Write the methods first."))
    if not units:
        raise refused(msg("There is no piece to draw lots for."), msg("Write the pieces first."))
    names = _block_names(records)
    for block, count in Counter(unit.block for unit in units).items():
        if count < len(methods):
            what = msg_n(
                "{block} has {count} piece or load for {methods} methods. Not drawn.",
                "{block} has {count} pieces or loads for {methods} methods. Not drawn.",
                count,
                block=names[block],
                methods=len(methods),
            )
            raise refused(what, msg("Add pieces there, or plan it without pairs."))
    lone = next((p for p in _of_units(records, units) if not p.pair_id), None)
    if records.trial.paired and lone is not None:
        what = msg("{piece} is in no pair. Not drawn.", piece=lone.label)
        raise refused(what, msg("Pair it, or plan without pairs."))


def _of_units(records: OfTrial, units: Sequence[Unit]) -> list[Piece]:
    ids = {piece_id for unit in units for piece_id in unit.piece_ids}
    return [piece for piece in pieces_of(records) if piece.id in ids]


def refused(what: Message, way_out: Message) -> Refused:
    """Why these pieces cannot be drawn."""
    allowed = msg("in every pair or cook day at least one piece or load for each method")
    return Refused(what, field="piece.method_id", allowed=allowed, way_out=way_out)


def uneven_places() -> Refused:
    """Why no draw was found."""
    return Refused(
        msg("No draw was found that gives every method every place equally often."),
        field="piece.place",
        allowed=msg("places that the pieces of a pair or cook day can exchange"),
        way_out=msg("Write other places, or none."),
    )


def _block_names(records: OfTrial) -> dict[str, Message]:
    cooks = {c.id: msg("Cook day {number}", number=c.number) for c in cooks_of(records)}
    pairs = {p.id: msg("Pair {number}", number=p.number) for p in records.of(Pair)}
    return {**cooks, **pairs}

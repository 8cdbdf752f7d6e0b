"""Drawing lots: who gets which method.

Lots are drawn within the pair where the plan has pairs, else within the cook day, with a lot number
that is stored and shown. A draw is never made again to come out more even; a repeated draw needs a
reason, stays in the notebook and is counted. After the first weight that follows a draw, or after
the seal, there is none.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

from trialbench.model.errors import Refused, Sealed
from trialbench.model.message import Message, msg, msg_n
from trialbench.model.records import Draw, Lot, Measurement, Pair, Piece, Seal, new_id
from trialbench.model.steps import Change, Step, added
from trialbench.notebook.clock import Moment
from trialbench.planning.assignments import Assignments, Unit, units_of
from trialbench.planning.lots import Lots
from trialbench.planning.of_trial import OfTrial, cooks_of, methods_of, pieces_of

PURPOSE = "draw"


def draws_of(records: OfTrial) -> tuple[Draw, ...]:
    """Every draw by number; the last one holds."""
    return tuple(sorted(records.of(Draw), key=lambda d: d.number))


def draw_lots(
    records: OfTrial,
    *,
    lot_number: int,
    when: Moment,
    reason: str = "",
    places: Sequence[str] = (),
) -> Step:
    """The step that draws lots over the whole plan: a Draw, its Lots, and each piece's method.

    `places` are given in turn to the pieces of each pair (or cook day) before the draw; where
    places are written, only draws that use them evenly can come out. `reason` says why the draw
    before was set aside. Raises Sealed after the seal, Refused when the plan cannot be drawn.
    """
    before = draws_of(records)
    _check_time(records, before)
    _check_reason(before, reason)
    units = _with_places(units_of(records), places)
    return _drawn(records, units, _draw(records, units, lot_number, when, reason))


def draw_for_new_pieces(records: OfTrial, *, lot_number: int, when: Moment, reason: str) -> Step:
    """The step that draws lots for pieces that came after the last draw; the others keep theirs.

    For cook days added to the plan, also after the seal. `reason` says why they came. Raises
    Refused when every piece has its method, a block has both kinds, or the reason is missing.
    """
    _check_reason(draws_of(records), reason)
    bare = {piece.id for piece in records.of(Piece) if piece.method_id is None}
    units = units_of(records)
    blocks = {unit.block for unit in units if bare & set(unit.piece_ids)}
    new = tuple(unit for unit in units if unit.block in blocks)
    if any(unit.method_id is not None for unit in new):
        what = msg("Some pieces of one pair or cook day were drawn and others were not. Not drawn.")
        raise _refused(what, msg("Draw the whole plan again, or take the new pieces away."))
    if not new:
        raise _refused(msg("Every piece has its method."), msg("Add a cook day first."))
    return _drawn(records, new, _draw(records, new, lot_number, when, reason))


def _draw(
    records: OfTrial, units: Sequence[Unit], lot_number: int, when: Moment, reason: str
) -> Draw:
    _check_units(records, units)
    return Draw(
        id=new_id(),
        trial_id=records.trial.id,
        number=len(draws_of(records)) + 1,
        lot_number=lot_number,
        made_utc=when.utc,
        offset_min=when.offset_min,
        within="cook" if all(unit.block == unit.cook_id for unit in units) else "pair",
        reason=reason.strip(),
    )


def _drawn(records: OfTrial, units: Sequence[Unit], draw: Draw) -> Step:
    ways = Assignments(tuple(units), tuple(m.id for m in methods_of(records)))
    labels = ways.drawn(Lots(draw.lot_number, PURPOSE))
    if labels is None:
        raise _uneven_places()
    given = {p: (u, m) for u, m in zip(units, labels, strict=True) for p in u.piece_ids}
    lots: list[Lot] = []
    changes: list[Change] = []
    for piece in pieces_of(records):
        if piece.id in given:
            unit, method_id = given[piece.id]
            lots.append(Lot(new_id(), draw.id, piece.id, method_id))
            after = replace(piece, method_id=method_id, place=unit.place or piece.place)
            changes += [Change(piece, after)] if after != piece else []
    label = msg("Lots drawn, draw {number}", number=draw.number)
    return Step(label, (*added(draw, *lots), *changes))


def why_no_draw(records: OfTrial) -> Message | str | None:
    """Why lots cannot be drawn (again), or None: what a verb that is not yet due says on focus.

    A repeated draw also needs a reason; that is asked for when it is made.
    """
    try:
        _check_time(records, draws_of(records))
        _check_units(records, units_of(records))
    except (Refused, Sealed) as why:
        return why.message
    return None


def _check_time(records: OfTrial, before: Sequence[Draw]) -> None:
    if any(True for _ in records.of(Seal)):
        raise Sealed(msg("The plan is sealed. Who gets which method cannot be drawn again."))
    if before and any(m.made_utc > before[-1].made_utc for m in records.of(Measurement)):
        raise Refused(
            msg("Something was weighed after draw {n}. No more draws.", n=before[-1].number),
            field="draw.number",
            allowed=msg("a draw before the first weight that follows one"),
            way_out=msg("Cook it as drawn. Leave out what cannot be cooked so, and say why."),
        )  # fmt: skip


def _check_reason(before: Sequence[Draw], reason: str) -> None:
    if before and not reason.strip():
        raise Refused(
            msg("Draw {number} needs a reason. Not drawn.", number=len(before) + 1),
            field="draw.reason",
            allowed=msg("why draw {number} is set aside", number=len(before)),
            way_out=msg("Write why. It will be printed with the finding."),
        )


def _check_units(records: OfTrial, units: Sequence[Unit]) -> None:
    methods = methods_of(records)
    if len(methods) < 2:
        raise _refused(msg("Lots need two methods or more."), msg("Write the methods first."))
    if not units:
        raise _refused(msg("There is no piece to draw lots for."), msg("Write the pieces first."))
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
            raise _refused(what, msg("Add pieces there, or plan it without pairs."))
    lone = next((p for p in records.of(Piece) if records.trial.paired and not p.pair_id), None)
    if lone is not None:
        what = msg("{piece} is in no pair. Not drawn.", piece=lone.label)
        raise _refused(what, msg("Pair it, or plan without pairs."))


def _refused(what: Message, way_out: Message) -> Refused:
    allowed = msg("in every pair or cook day at least one piece or load for each method")
    return Refused(what, field="piece.method_id", allowed=allowed, way_out=way_out)


def _uneven_places() -> Refused:
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


def _with_places(units: Sequence[Unit], places: Sequence[str]) -> tuple[Unit, ...]:
    """The units with these places in turn within each block; as they are where none are given."""
    if not places:
        return tuple(units)
    turn: Counter[str] = Counter()
    placed: list[Unit] = []
    for unit in units:
        placed.append(replace(unit, place=places[turn[unit.block] % len(places)]))
        turn[unit.block] += 1
    return tuple(placed)

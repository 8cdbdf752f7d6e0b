"""Drawing lots: who gets which method.

Lots are drawn at the parting, cook day by cook day, on the weights just taken (`draw_day`); over
the whole plan and earlier only when the trial was told why (`draw_lots`, Trial.draw_early_reason).
They are drawn within the pair where the plan has pairs, within pieces of like weight where it has
several pieces of each method and no pairs (`matched_blocks`), else within the cook day; with a lot
number that is stored and shown. A draw is never made again to come out more even; a repeated draw
needs a reason, stays in the notebook and is counted. After the first weight that follows a draw, or
after the seal, there is none; a sealed plan draws its days to come by the sealed rule
(`draw_rule`).

Where places are written, every method has every place equally often, to within one, over the whole
plan. A day is drawn as its part of one way over all days, with the days drawn before as they are
and each way that is left equally likely: so all allowed ways of the whole plan stay equally likely,
as the redraw test takes them (policy 6.5).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import replace

from trialbench.model.errors import Refused, Sealed
from trialbench.model.message import Message, msg
from trialbench.model.records import Cook, Draw, Lot, Piece, new_id
from trialbench.model.steps import Change, Step, added, removed
from trialbench.notebook.clock import Moment
from trialbench.planning.assignments import Assignments, Unit, blocks_to_come, units_of
from trialbench.planning.draw_checks import (
    check_parting,
    check_reason,
    check_time,
    check_units,
    refused,
    uneven_places,
    waits_for,
)
from trialbench.planning.draw_rule import (
    days_to_come,
    draws_of,
    holding_draws,
    is_drawn,
    within_rule,
)
from trialbench.planning.lots import Lots
from trialbench.planning.matched_blocks import Rewritten, matched_on_weight
from trialbench.planning.of_trial import OfTrial, cooks_of, methods_of, pieces_of
from trialbench.planning.parting_weights import parting_weights
from trialbench.planning.starts import started

PURPOSE = "draw"


def purpose_of_day(cook: Cook) -> str:
    """The purpose under which lots of one cook day are drawn."""
    return f"{PURPOSE}:day {cook.number}"


def draw_lots(
    records: OfTrial,
    *,
    lot_number: int,
    when: Moment,
    reason: str = "",
    places: Sequence[str] = (),
    early: str = "",
) -> Step:
    """The step that draws lots over the whole plan: a Draw, its Lots, and each piece's method.

    `places` are given in turn to the pieces of each pair (or cook day) before the draw; where
    places are written, only draws that use them evenly can come out. `reason` says why the draw
    before was set aside, `early` why lots are drawn before the weights of the parting are in.
    Raises Sealed after the seal, Refused when the plan cannot be drawn.
    """
    cooks = cooks_of(records)
    check_time(records)
    if draws_of(records):
        check_reason(records, reason)
    if not early.strip():
        check_parting(records, cooks)
    draw = _new_draw(records, lot_number, when, reason)
    step = _drawn(records, cooks, draw, Lots(lot_number, PURPOSE), places)
    trial = records.trial
    told = Change(trial, replace(trial, draw_early_reason=early.strip() or trial.draw_early_reason))
    return replace(step, changes=(told, *step.changes)) if early.strip() else step


def draw_day(
    records: OfTrial,
    cook_id: str,
    *,
    lot_number: int,
    when: Moment,
    reason: str = "",
    places: Sequence[str] = (),
) -> Step:
    """The step that draws the lots of one cook day at its parting; the other days keep theirs.

    `reason` is needed for a day that was drawn before, or that was added to the plan. Raises as
    `draw_lots`, and Refused before the weights of the parting are in, unless the trial was told.
    """
    cook = next(c for c in cooks_of(records) if c.id == cook_id)
    pieces = pieces_of(records, cook_id)
    check_time(records, {piece.id for piece in pieces})
    planned, held = records.trial.planned_cooks, holding_draws(records)
    if any(p.id in held for p in pieces) or (planned is not None and cook.number > planned):
        check_reason(records, reason)
    check_parting(records, [cook])
    draw = _new_draw(records, lot_number, when, reason)
    step = _drawn(records, [cook], draw, Lots(lot_number, purpose_of_day(cook)), places)
    label = msg("Lots of day {day} drawn, draw {number}", day=cook.number, number=draw.number)
    return replace(step, label=label)


def draw_for_new_pieces(records: OfTrial, *, lot_number: int, when: Moment, reason: str) -> Step:
    """The step that draws lots for pieces that came after the last draw; the others keep theirs.

    For cook days added to the plan, also after the seal. `reason` says why they came. Raises
    Refused when every piece has its method, a block has both kinds, or the reason is missing.
    """
    if draws_of(records):
        check_reason(records, reason)
    bare = {piece.id for piece in pieces_of(records) if piece.method_id is None}
    units = units_of(records)
    blocks = {unit.block for unit in units if bare & set(unit.piece_ids)}
    new = tuple(unit for unit in units if unit.block in blocks)
    if any(unit.method_id is not None for unit in new):
        what = msg("Some pieces of one pair or cook day were drawn and others were not. Not drawn.")
        raise refused(what, msg("Draw the whole plan again, or take the new pieces away."))
    if not new:
        raise refused(msg("Every piece has its method."), msg("Add a cook day first."))
    check_units(records, new)
    draw = _new_draw(records, lot_number, when, reason)
    return _with_lots(records, new, draw, _fallen(records, new, (), Lots(lot_number, PURPOSE)))


def _new_draw(records: OfTrial, lot_number: int, when: Moment, reason: str) -> Draw:
    return Draw(
        id=new_id(),
        trial_id=records.trial.id,
        number=len(draws_of(records)) + 1,
        lot_number=lot_number,
        made_utc=when.utc,
        offset_min=when.offset_min,
        within="pair",
        reason=reason.strip(),
    )


def _drawn(
    records: OfTrial, cooks: Sequence[Cook], draw: Draw, lots: Lots, places: Sequence[str]
) -> Step:
    """Lots of these cook days, with those drawn before and those still to come around them."""
    matched = _matched(records, cooks)
    mine = {cook.id for cook in cooks}
    open_days = mine | {cook.id for cook in days_to_come(records)}
    units = _with_places(units_of(matched), places, open_days)
    drawn = tuple(unit for unit in units if unit.cook_id in mine)
    check_units(matched, drawn)
    others = tuple(unit for unit in units if unit.cook_id not in mine)
    step = _with_lots(matched, drawn, draw, _fallen(matched, drawn, others, lots))
    method_ids = tuple(m.id for m in methods_of(records))
    standing = _places_of(matched, [u for u in others if not u.method_id])
    starting = started(cooks, method_ids, draw.lot_number)
    before = {piece.id: piece for piece in pieces_of(records)}
    made = [_from(before, change) for change in (*step.changes, *standing)]
    pairs = (*removed(*matched.gone), *added(*matched.pairs))
    made = [change for change in made if change.before != change.after]
    return replace(step, changes=(*pairs, *made, *starting))


def _matched(records: OfTrial, cooks: Iterable[Cook]) -> Rewritten:
    """The records with the pieces of these days matched on weight, where the rule says so."""
    anew = frozenset(p.id for cook in cooks for p in pieces_of(records, cook.id))
    if within_rule(records) != "weight":
        return Rewritten(records, {}, anew=anew)
    days = [matched_on_weight(records, cook.id) for cook in cooks]
    return Rewritten(
        records,
        {piece_id: piece for day in days for piece_id, piece in day.pieces.items()},
        tuple(pair for day in days for pair in day.pairs),
        tuple(pair for day in days for pair in day.gone),
        anew,
    )


def _from(before: dict[str, Piece], change: Change) -> Change:
    """The change with the piece as the notebook holds it now."""
    return Change(before.get(change.record.id, change.before), change.after)


def _places_of(records: OfTrial, units: Sequence[Unit]) -> list[Change]:
    """Places that days to come were given, so that all days are drawn by one rule."""
    place = {piece_id: unit.place for unit in units for piece_id in unit.piece_ids}
    return [
        Change(piece, replace(piece, place=place[piece.id]))
        for piece in pieces_of(records)
        if place.get(piece.id) and piece.place != place[piece.id]
    ]


def _fallen(
    records: OfTrial, drawn: Sequence[Unit], others: Sequence[Unit], lots: Lots
) -> dict[str, str]:
    """Unit key to method id, as the lots fell."""
    methods = tuple(m.id for m in methods_of(records))
    if within_rule(records) == "weight":
        others = blocks_to_come(others, len(methods))
    units = (*drawn, *others)
    fixed = {unit.key: unit.method_id for unit in others if unit.method_id}
    ways = Assignments(units, methods)
    labels = ways.drawn(lots, fixed)
    if labels is None:
        raise uneven_places()
    return {unit.key: label for unit, label in zip(units, labels, strict=True)}


def _with_lots(records: OfTrial, units: Sequence[Unit], draw: Draw, fallen: dict[str, str]) -> Step:
    inside = "cook" if all(unit.block == unit.cook_id for unit in units) else "pair"
    draw = replace(draw, within=inside)
    given = {piece_id: unit for unit in units for piece_id in unit.piece_ids}
    lots: list[Lot] = []
    changes: list[Change] = []
    for piece in pieces_of(records):
        if piece.id in given:
            unit, method_id = given[piece.id], fallen[given[piece.id].key]
            lots.append(Lot(new_id(), draw.id, piece.id, method_id))
            after = replace(piece, method_id=method_id, place=unit.place or piece.place)
            changes.append(Change(piece, after))
    label = msg("Lots drawn, draw {number}", number=draw.number)
    return Step(label, (*added(draw, *lots), *changes))


def why_no_draw(records: OfTrial) -> Message | str | None:
    """Why lots cannot be drawn over the whole plan (again), or None: what a verb that is not yet
    due says on focus.

    A repeated draw also needs a reason; that is asked for when it is made.
    """
    try:
        check_time(records)
        check_units(records, units_of(records))
        check_parting(records, cooks_of(records))
    except (Refused, Sealed) as why:
        return why.message
    return None


def why_no_day(records: OfTrial, cook: Cook) -> Message | str | None:
    """Why the lots of one cook day cannot be drawn (again) now, or None."""
    try:
        check_time(records, {piece.id for piece in pieces_of(records, cook.id)})
        units = [unit for unit in units_of(records) if unit.cook_id == cook.id]
        check_units(records, units)
        check_parting(records, [cook])
    except (Refused, Sealed) as why:
        return why.message
    return None


def is_due(records: OfTrial, cook: Cook) -> bool:
    """Whether the lots of a cook day are to be drawn now: not drawn, and its weights are in."""
    if is_drawn(records, cook.id) or waits_for(records, [cook]) is not None:
        return False
    return why_no_day(records, cook) is None


def days_due(records: OfTrial) -> tuple[Cook, ...]:
    """The cook days whose lots can be drawn now and are not: their weights are in."""
    there = parting_weights(records)
    out = {piece.cook_id for piece in pieces_of(records) if piece.id not in there}
    to_come = (cook for cook in days_to_come(records) if cook.id not in out)
    return tuple(cook for cook in to_come if is_due(records, cook))


def _with_places(
    units: Sequence[Unit], places: Sequence[str], cook_ids: Iterable[str]
) -> tuple[Unit, ...]:
    """The units of these cook days with the places in turn within each block; as they are where
    none are given."""
    if not places:
        return tuple(units)
    mine, turn = set(cook_ids), Counter[str]()
    placed: list[Unit] = []
    for unit in units:
        if unit.cook_id in mine:
            placed.append(replace(unit, place=places[turn[unit.block] % len(places)]))
            turn[unit.block] += 1
        else:
            placed.append(unit)
    return tuple(placed)

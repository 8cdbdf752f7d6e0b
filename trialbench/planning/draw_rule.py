"""The rule by which lots are drawn, as the seal holds it: later cook days follow it.

A plan of several cook days is sealed before its last pieces are bought, let alone weighed. So the
seal holds the draws made so far, and for the days to come the rule and **the lot number**: at which
weighing lots are drawn, within what, the places in turn, and the number that every later day is
drawn with, each under its own purpose (`draw.purpose_of_day`). Once sealed there is one draw a day
and nothing left to choose: who gets which follows from the seal and the weights of the day. Whoever
holds the seal can draw again and compare.
"""

from __future__ import annotations

import json
from typing import Any

from trialbench.model.records import Cook, Draw, Lot, Seal
from trialbench.planning.lots import fresh_lot_number
from trialbench.planning.matched_blocks import is_matched_on_weight
from trialbench.planning.of_trial import OfTrial, cooks_of, pieces_of
from trialbench.planning.parting_weights import parting_checkpoint


def draws_of(records: OfTrial) -> tuple[Draw, ...]:
    """Every draw by number."""
    return tuple(sorted(records.of(Draw), key=lambda d: d.number))


def holding_draws(records: OfTrial) -> dict[str, Draw]:
    """Piece id to the draw that holds for it: the last one in which it has a lot."""
    draws = {draw.id: draw for draw in draws_of(records)}
    found: dict[str, Draw] = {}
    for lot in records.of(Lot):
        draw = draws[lot.draw_id]
        if lot.piece_id not in found or found[lot.piece_id].number < draw.number:
            found[lot.piece_id] = draw
    return found


def set_aside(records: OfTrial) -> dict[str, Draw]:
    """Draw id to the draw that it set aside: the last one before it with a piece in common."""
    pieces: dict[str, set[str]] = {}
    for lot in records.of(Lot):
        pieces.setdefault(lot.draw_id, set()).add(lot.piece_id)
    draws, found = draws_of(records), {}
    for place, draw in enumerate(draws):
        mine = pieces.get(draw.id, set())
        for before in reversed(draws[:place]):
            if not mine or mine & pieces.get(before.id, set()):
                found[draw.id] = before
                break
    return found


def is_drawn(records: OfTrial, cook_id: str) -> bool:
    """Whether a cook day has pieces and each has its method."""
    pieces = pieces_of(records, cook_id)
    return bool(pieces) and all(piece.method_id for piece in pieces)


def days_to_come(records: OfTrial) -> tuple[Cook, ...]:
    """The cook days whose lots are not drawn."""
    there = pieces_of(records)
    drawn, bare = {p.cook_id for p in there}, {p.cook_id for p in there if not p.method_id}
    return tuple(cook for cook in cooks_of(records) if cook.id not in drawn - bare)


def sealed_rule(records: OfTrial) -> dict[str, Any] | None:
    """The rule as it was sealed; None before the seal, and for seals from before there was one."""
    seal = next(iter(records.of(Seal)), None)
    rule: dict[str, Any] | None = json.loads(seal.written).get("lots") if seal else None
    return rule


def lot_number_for(records: OfTrial) -> int:
    """The lot number of the next draw over days not drawn yet: the sealed one, else that of the
    last draw, else a fresh one. A draw made again takes a fresh one in any case."""
    rule = sealed_rule(records)
    if rule is not None:
        return int(rule["lot_number"])
    draws = draws_of(records)
    return draws[-1].lot_number if draws else fresh_lot_number()


def rule_written(records: OfTrial, lot_number: int | None = None) -> dict[str, Any]:
    """The rule for the seal: plain values in canonical order.

    `lot_number` is that of the days to come; None where a plan that has not been drawn is only
    looked at.
    """
    at, draws = parting_checkpoint(records), draws_of(records)
    early = records.trial.draw_early_reason
    return {
        "drawn": "early" if early else "at the parting",
        "because": early,
        "weighing": at.id if at and not early else None,
        "within": within_rule(records),
        "places": sorted({p.place for p in pieces_of(records) if p.place}),
        "starts": "each method equally often, in rounds",
        "lot_number": draws[-1].lot_number if draws else lot_number,
        "to_come": [cook.id for cook in days_to_come(records)],
    }


def within_rule(records: OfTrial) -> str:
    """Within what lots are drawn: pair | weight (pairs by weight, made at the draw) | cook."""
    if records.trial.paired:
        return "pair"
    return "weight" if is_matched_on_weight(records) else "cook"


def off_the_rule(records: OfTrial) -> tuple[Cook, ...]:
    """Cook days of the sealed plan that were drawn after the seal with another lot number."""
    rule, held = sealed_rule(records), holding_draws(records)
    if rule is None:
        return ()
    wrong = {
        piece.cook_id
        for piece in pieces_of(records)
        if piece.cook_id in rule["to_come"]
        and piece.id in held
        and held[piece.id].lot_number != rule["lot_number"]
    }
    return tuple(cook for cook in cooks_of(records) if cook.id in wrong)

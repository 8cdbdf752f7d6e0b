"""Loads that a plan asks for: where pieces of one method share a vessel, the draw makes them."""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import replace

from trialbench.model.message import msg
from trialbench.model.records import Cook, Load, Method, Piece, new_id
from trialbench.model.steps import Change, Step
from trialbench.planning.of_trial import OfTrial


def with_shared_loads(records: OfTrial, step: Step) -> Step:
    """A step of `draw_lots`, with a load for each method and cook day where the plan shares.

    Pieces that are in a load already stay there: then it was the load that got the lot.
    """
    if records.trial.loads != "shared":
        return step
    letters = {m.id: m.letter for m in records.of(Method)}
    days = {c.id: c.number for c in records.of(Cook)}
    named = Counter(load.cook_id for load in records.of(Load))
    changes = list(step.changes)
    alone: dict[tuple[str, str], list[int]] = defaultdict(list)
    for place, change in enumerate(changes):
        piece = change.after
        if isinstance(piece, Piece) and piece.method_id and piece.load_id is None:
            alone[piece.cook_id, piece.method_id].append(place)
    made: list[Change] = []
    for (cook_id, _), places in sorted(
        alone.items(), key=lambda item: (days[item[0][0]], letters[item[0][1]])
    ):
        named[cook_id] += 1
        # Not named by its method: a later draw may give the load the other one.
        load = Load(new_id(), cook_id, str(msg("load {number}", number=named[cook_id])))
        made.append(Change(None, load))
        for place in places:
            piece = changes[place].after
            assert isinstance(piece, Piece)
            changes[place] = Change(changes[place].before, replace(piece, load_id=load.id))
    return replace(step, changes=(*made, *changes))

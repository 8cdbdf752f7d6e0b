"""Margin notes of the Plan page on what belongs together and on what shares a vessel."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from trialbench.model.margin import MarginNote, NoteVerb
from trialbench.model.message import Message, msg, msg_n
from trialbench.model.numbers import figure
from trialbench.model.quantities import show_mass
from trialbench.model.records import Cook, Load, Pair, Piece, Trial
from trialbench.notebook.records_read import Reads
from trialbench.notebook.views import (
    OneTrial,
    cooks,
    cover,
    deciding,
    loads,
    methods,
    pairs,
    pieces,
    pieces_of_load,
)
from trialbench.notebook.views.on_paper import stages
from trialbench.planning.assignments import units_of
from trialbench.planning.stage_words import and_listed, stage_name
from trialbench.planning.units import PlannedUnits, planned_units, scope_sentence

Notes = Iterator[MarginNote]

FAR_APART = 0.1
"""A pair is far apart from a tenth of its lighter piece on (common practice, no source)."""


def notes_of_matching(book: Reads, trial_id: str) -> Notes:
    """Notes beside "cook:<id>" on pairs that are far apart or not whole, and on shared vessels."""
    for cook in cooks(book, trial_id):
        for pair in pairs(book, cook.id):
            inside = [piece for piece in pieces(book, cook.id) if piece.pair_id == pair.id]
            yield from _far_apart(book, cook, pair, inside)
            yield from _not_whole(book, cook, pair, inside)
        for load in loads(book, cook.id):
            yield from _shared(book, cook, load, pieces_of_load(book, load.id))


def named_pair(book: Reads, cook: Cook, pair: Pair) -> Message:
    """ "Day 2, pair 1"; "Day 2, set 1" where there are more than two methods."""
    if len(methods(book, cook.trial_id)) <= 2:
        return msg("Day {day}, pair {pair}", day=cook.number, pair=pair.number)
    return msg("Day {day}, set {pair}", day=cook.number, pair=pair.number)


def _far_apart(book: Reads, cook: Cook, pair: Pair, inside: Sequence[Piece]) -> Notes:
    grams = [piece.bought_g for piece in inside if piece.bought_g is not None]
    if len(grams) < 2 or min(grams) <= 0 or max(grams) - min(grams) < FAR_APART * min(grams):
        return
    apart = max(grams) - min(grams)
    unit = cover(book).mass_unit
    label = msg("{pair}: {weight} apart", pair=named_pair(book, cook, pair),
                weight=show_mass(apart, unit, with_unit=True))  # fmt: skip
    says = (
        msg("That is {percent} % of the lighter piece. A heavier piece takes longer, whichever "
            "method it gets.", percent=figure(100 * apart / min(grams), 0)),
        msg("Lots share that out over many cook days; on this one it stays."),
    )  # fmt: skip
    source = msg("From a tenth of the lighter piece on; common practice, no source.")
    verb = NoteVerb(msg("Open the matching list"), "matching", (cook.id,))
    yield MarginNote(f"cook:{cook.id}", "differs", label, says, (verb,), source, dear=48)


def _not_whole(book: Reads, cook: Cook, pair: Pair, inside: Sequence[Piece]) -> Notes:
    wanted = len(methods(book, cook.trial_id))
    if len(inside) == wanted or (inside and all(piece.method_id for piece in inside)):
        return
    label = msg("{pair}: not whole", pair=named_pair(book, cook, pair))
    says = msg_n("{count} piece in it, for {methods} methods. Take a spare in, or pair anew.",
                 "{count} pieces in it, for {methods} methods. Take a spare in, or pair anew.",
                 len(inside), methods=wanted)  # fmt: skip
    verb = NoteVerb(msg("Open the matching list"), "matching", (cook.id,))
    yield MarginNote(f"cook:{cook.id}", "missing", label, (says,), (verb,), dear=62)


def _shared(book: Reads, cook: Cook, load: Load, inside: Sequence[Piece]) -> Notes:
    """Which pan it is, and what it does to the count of units and to what the answer holds for."""
    gets = {piece.method_id for piece in inside}
    if len(inside) < 2 or len(gets) > 1:
        return
    names = and_listed([piece.label for piece in inside])
    label = msg("Day {day}, {load}: {pieces} count as one", day=cook.number, load=load.name,
                pieces=names)  # fmt: skip
    says = [_why_one(book, load)]
    units = [unit for unit in units_of(OneTrial(book, cook.trial_id)) if unit.cook_id == cook.id]
    each, alone = len(units) // max(len(methods(book, cook.trial_id)), 1), _alone(book, cook)
    if each < 1:
        says.append(msg("So there is nothing left to draw that day: not a unit for each method."))
    elif each < alone:
        says.append(
            msg_n("That day then counts {count} unit of each method, not {alone}.",
                  "That day then counts {count} units of each method, not {alone}.",
                  each, alone=alone)
        )  # fmt: skip
    now, before = planned_now(book, cook.trial_id), planned_now(book, cook.trial_id, loads=False)
    if scope_sentence(now) != scope_sentence(before):
        says.append(scope_sentence(now))
    verb = NoteVerb(msg("Give each a vessel of its own"), "apart", (load.id,))
    yield MarginNote(f"cook:{cook.id}", "shows", label, tuple(says), (verb,), dear=68)


def _why_one(book: Reads, load: Load) -> Message:
    stage = next((s for s in stages(book, _trial_id(book, load)) if s.id == load.stage_id), None)
    if stage is None:
        return msg("They share {load}: what happens in it happens to all of them.", load=load.name)
    return msg("They share {load} in {stage}: what happens in it happens to all of them.",
               load=load.name, stage=stage_name(stage))  # fmt: skip


def _trial_id(book: Reads, load: Load) -> str:
    return book.get(Cook, load.cook_id).trial_id


def _alone(book: Reads, cook: Cook) -> int:
    return len(pieces(book, cook.id)) // max(len(methods(book, cook.trial_id)), 1)


def planned_now(book: Reads, trial_id: str, *, loads: bool = True) -> PlannedUnits:
    """The units of the plan as it is; without its vessels where `loads` is False."""
    trial, outcome = book.get(Trial, trial_id), deciding(book, trial_id)
    tasted = outcome is None or outcome.source == "attribute"
    units = units_of(OneTrial(book, trial_id)) if loads else ()
    return planned_units(trial, len(methods(book, trial_id)), units, tasted=tasted)

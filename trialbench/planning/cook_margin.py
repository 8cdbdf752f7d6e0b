"""The margin of the Cook page: weights that are missing, pairs that do not match, loads, warmth."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from trialbench.model.margin import Margin, MarginNote, NoteVerb
from trialbench.model.message import Message, msg, msg_n
from trialbench.model.numbers import figure
from trialbench.model.quantities import show_temp
from trialbench.model.records import Checkpoint, Cook, Load, Piece, Stage, Trial
from trialbench.model.words import STAGE_KINDS
from trialbench.notebook import views
from trialbench.notebook.records_read import Reads
from trialbench.planning.amounts_margin import notes_on_amounts
from trialbench.planning.draw import is_due
from trialbench.planning.safety import with_local_code
from trialbench.planning.safety_tables import limits
from trialbench.planning.stage_words import listed

UNLIKE_PERCENT = 10.0
"""Raw weights of a pair that differ by more than this share of the lighter one are said."""


def margin_of_cook(book: Reads, cook_id: str) -> Margin:
    """Notes beside "piece:<id>", "piece:<id>:<checkpoint id>", "pair:<id>", "load:<id>", "loads",
    "cook", "amount:<piece id>:<key>" and "amounts".
    """
    cook = book.get(Cook, cook_id)
    notes = (
        *_cool_pieces(book, cook),
        *_added_day(book, cook),
        *_lots_due(book, cook),
        *_gaps(book, cook),
        *_unlike_pairs(book, cook),
        *_load_notes(book, cook),
        *notes_on_amounts(book, cook),
    )
    return Margin(_standing(book, cook), with_local_code(notes))


def _lots_due(book: Reads, cook: Cook) -> Iterator[MarginNote]:
    """At the parting: who gets which method is drawn now, on the weights just taken."""
    if is_due(views.OneTrial(book, cook.trial_id), cook):
        label = msg("Day {number}: lots are due", number=cook.number)
        says = msg("The weights of the parting are in. Draw who gets which method, then go on.")
        verb = NoteVerb(msg("Go to the Plan and draw"), "plan")
        yield MarginNote("cook", "missing", label, (says,), (verb,), dear=95)


def _standing(book: Reads, cook: Cook) -> Message:
    pieces, points = views.pieces(book, cook.id), views.checkpoints(book, cook.trial_id)
    weighings = [(p, c) for p in pieces for c in points if views.is_weighed_at(book, p, c)]
    every = len(weighings)
    if not every:
        return msg("Nothing to weigh yet: pieces come from the Plan page.")
    done = sum(views.measurement(book, p.id, c.id) is not None for p, c in weighings)
    if done == 0:
        return msg("Nothing weighed yet. Every percentage will name its base.")
    if done == every:
        return msg("All the weights of this day are in.")
    return msg("{done} of {every} weights of this day are in.", done=done, every=every)


def _cool_pieces(book: Reads, cook: Cook) -> Iterator[MarginNote]:
    """Food measured below hot holding at the end of a stage that keeps it warm."""
    limit, unit = limits()["hot_hold"], views.cover(book).temperature_unit
    for point in views.checkpoints(book, cook.trial_id):
        if not _ends_a_warm_stage(book, point):
            continue
        for piece in views.pieces(book, cook.id):
            found = views.measurement(book, piece.id, point.id)
            if found is None or found.temp_c is None or limit.reached_by(found.temp_c):
                continue
            label = msg("{piece}, {point}: watch", piece=piece.label, point=point.name)
            says = msg(
                "{temperature} inside. Hot food is usually held at {limit} or above.",
                temperature=show_temp(found.temp_c, unit),
                limit=limit.temperature,
            )
            source = msg("Hot holding: {cited}", cited=limit.cited)
            line = f"piece:{piece.id}:{point.id}"
            yield MarginNote(line, "watch", label, (says,), source=source, dear=100)


def _ends_a_warm_stage(book: Reads, point: Checkpoint) -> bool:
    stage = book.find(Stage, point.stage_id)
    word = STAGE_KINDS.get(stage.stage_kind) if stage else None
    return word is not None and word.warm


def _added_day(book: Reads, cook: Cook) -> Iterator[MarginNote]:
    if cook in views.added_cooks(book, cook.trial_id):
        label = msg("Day {number}: added to the plan", number=cook.number)
        says = msg("The finding says that it was added, and whether a key was open by then.")
        yield MarginNote("cook", "passage", label, (says,), dear=40)


def _gaps(book: Reads, cook: Cook) -> Iterator[MarginNote]:
    every = views.checkpoints(book, cook.trial_id)
    for piece in views.pieces(book, cook.id):
        points = [point for point in every if views.is_weighed_at(book, piece, point)]
        found = views.measurements(book, piece.id)
        last = max((n for n, p in enumerate(points) if p.id in found), default=-1)
        for point in points[: last + 1]:
            if point.id not in found:
                yield _skipped(piece, point)
            elif found[point.id].missing_reason:
                yield _missing(piece, point, found[point.id].missing_reason)


def _skipped(piece: Piece, point: Checkpoint) -> MarginNote:
    line = f"piece:{piece.id}:{point.id}"
    label = msg("{piece}: no weight {point}", piece=piece.label, point=point.name)
    says = msg("A later weight is in. Weigh nothing again now: say why this one is missing.")
    verb = NoteVerb(msg("Say why it is missing"), "go_to", (line,))
    return MarginNote(line, "missing", label, (says,), (verb,), dear=60)


def _missing(piece: Piece, point: Checkpoint, reason: str) -> MarginNote:
    label = msg("{piece}, {point}: missing", piece=piece.label, point=point.name)
    says = (
        msg("You wrote: {reason}.", reason=reason.rstrip(".")),
        msg("It is not filled in. If the method is why, the finding says so."),
    )
    return MarginNote(f"piece:{piece.id}:{point.id}", "missing", label, says, dear=35)


def _unlike_pairs(book: Reads, cook: Cook) -> Iterator[MarginNote]:
    points = views.checkpoints(book, cook.trial_id)
    if not points:
        return
    for pair in views.pairs(book, cook.id):
        own = [p for p in views.pieces(book, cook.id) if p.pair_id == pair.id]
        weights = [views.mass_g(book, p.id, points[0].id) for p in own]
        masses = [w for w in weights if w]
        if len(masses) < 2:
            continue
        apart = 100 * (max(masses) - min(masses)) / min(masses)
        if apart > UNLIKE_PERCENT:
            label = msg(
                "Pair {number}: {apart} % apart {point}",
                number=pair.number,
                apart=figure(apart, 0),
                point=points[0].name,
            )
            says = msg("The heavier one takes longer and loses less. Keep that in mind, or trim.")
            yield MarginNote(f"pair:{pair.id}", "differs", label, (says,), dear=55)


def _load_notes(book: Reads, cook: Cook) -> Iterator[MarginNote]:
    loads = views.loads(book, cook.id)
    begun = views.cook_is_begun(book, cook)
    if book.get(Trial, cook.trial_id).loads == "shared" and not loads and begun:
        label = msg("Loads: not written")
        says = msg("The plan says that pieces share a pan, bag or cooker. Which ones did?")
        verb = NoteVerb(msg("Write the loads"), "go_to", ("loads",))
        yield MarginNote("loads", "missing", label, (says,), (verb,), dear=58)
    for load in loads:
        yield from _load_note(load, views.pieces_of_load(book, load.id))


def _load_note(load: Load, pieces: Sequence[Piece]) -> Iterator[MarginNote]:
    line, name = f"load:{load.id}", listed([piece.label for piece in pieces])
    if len({piece.method_id for piece in pieces}) > 1:
        label = msg("{load}: both methods in it", load=load.name)
        says = msg("{pieces} count one by one: what they shared is the same for both.", pieces=name)
        yield MarginNote(line, "shows", label, (says,), dear=30)
    elif len(pieces) > 1:
        label = msg("{load}: counts as one", load=load.name)
        says = msg_n(
            "{pieces} had their method together: {count} piece, one unit.",
            "{pieces} had their method together: {count} pieces, one unit.",
            len(pieces),
            pieces=name,
        )
        yield MarginNote(line, "shows", label, (says,), dear=32)

"""Margin notes of the Plan page on pieces and lots: sources, draws, places, the seal."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from trialbench.model.margin import MarginNote, NoteVerb
from trialbench.model.message import msg, msg_n
from trialbench.model.records import Cook, Piece
from trialbench.notebook.records_read import Reads
from trialbench.notebook.views import OneTrial, all_pieces, cooks, draws, is_sealed, pairs
from trialbench.planning.draw_rule import days_to_come
from trialbench.planning.matching_margin import named_pair, notes_of_matching
from trialbench.planning.next_draw import next_draw

DRAW = "draw"


def notes_of_lots(book: Reads, trial_id: str) -> Iterator[MarginNote]:
    """Notes beside "cook:<id>", "draw" and "seal"."""
    to_come = days_to_come(OneTrial(book, trial_id))
    for cook in cooks(book, trial_id):
        # Nobody has bought yet for the days after the next.
        if cook not in to_come[1:]:
            yield from _cook_notes(book, cook)
    yield from notes_of_matching(book, trial_id)
    yield from _draw_notes(book, trial_id)


def _cook_notes(book: Reads, cook: Cook) -> Iterator[MarginNote]:
    line = f"cook:{cook.id}"
    bare = [
        pair for pair in pairs(book, cook.id) if not pair.source and not _sources(book, pair.id)
    ]
    if bare:
        label = msg("Day {number}: no source written", number=cook.number)
        says = msg("The pieces of a pair come from one animal, lot or batch. Write which.")
        verb = msg_n("Name the source", "Name the {count} sources", len(bare))
        yield MarginNote(
            line, "missing", label, (says,), (NoteVerb(verb, "go_to", (line,)),), dear=45
        )
    for pair in pairs(book, cook.id):
        if not pair.source and len(_sources(book, pair.id)) > 1:
            label = msg("{pair}: several sources", pair=named_pair(book, cook, pair))
            says = msg("These pieces come from several places. What differs there goes with them.")
            yield MarginNote(line, "differs", label, (says,), dear=50)


def _sources(book: Reads, pair_id: str) -> set[str]:
    return {piece.source for piece in book.all(Piece, pair_id=pair_id) if piece.source}


def _draw_notes(book: Reads, trial_id: str) -> Iterator[MarginNote]:
    there, of_trial = draws(book, trial_id), all_pieces(book, trial_id)
    half = [p for p in of_trial if p.method_id is None and _day_is_drawn(of_trial, p)]
    if half:
        label = msg_n(
            "{count} piece without a method", "{count} pieces without a method", len(half)
        )
        says = msg("They came after the draw. Draw lots for them.")
        yield MarginNote(DRAW, "missing", label, (says,), dear=66)
    elif of_trial and not all(piece.method_id for piece in of_trial):
        yield _to_come(book, trial_id, drawn=bool(there))
    if not there:
        return
    if len(there) > 1:
        yield _counted(len(there))
    if any(piece.place for piece in of_trial):
        label = msg("Who gets which: places")
        says = msg("Every method has every place equally often, to within one.")
        yield MarginNote(DRAW, "passage", label, (says,), dear=10)
    if not is_sealed(book, trial_id):
        label = msg("The seal: who gets which stays")
        says = msg("Once sealed, who gets which method cannot be drawn again.")
        yield MarginNote("seal", "passage", label, (says,), dear=5)


def _day_is_drawn(pieces: Sequence[Piece], piece: Piece) -> bool:
    return any(p.method_id for p in pieces if p.cook_id == piece.cook_id)


def _to_come(book: Reads, trial_id: str, *, drawn: bool) -> MarginNote:
    """Lots that are still to be drawn: what they wait for, or that they are due."""
    coming = next_draw(OneTrial(book, trial_id))
    label = msg("Lots: not drawn yet")
    if drawn:
        day = days_to_come(OneTrial(book, trial_id))[0].number
        label = msg("Lots of day {day}: not drawn yet", day=day)
    says = [msg("Who gets which method is drawn before the first difference, not chosen.")]
    if coming.due:
        says.append(msg("The weights are in: draw them now."))
        return MarginNote(DRAW, "missing", label, tuple(says), dear=66)
    if coming.cook is not None and not coming.again:
        says.append(
            msg("They are drawn at the parting, on the weights just taken: until then nobody knows "
                "which piece gets what.")
        )  # fmt: skip
    return MarginNote(DRAW, "passage", label, tuple(says), dear=28 if drawn else 65)


def _counted(number: int) -> MarginNote:
    label = msg("Draw {number}: counted in the open", number=number)
    says = (
        msg("Every draw is kept with its reason and stands in the report."),
        msg("After the first weight or the seal there are no more."),
    )
    return MarginNote(DRAW, "passage", label, says, dear=30)

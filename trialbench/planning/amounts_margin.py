"""Notes on what went onto the pieces of a cook day: off its target, not written, not alike."""

from __future__ import annotations

from collections.abc import Iterator

from trialbench.model.margin import MarginNote, NoteVerb
from trialbench.model.message import Message, msg
from trialbench.model.quantities import show_mass, typed_step_g
from trialbench.model.records import Cook, Piece
from trialbench.notebook import views
from trialbench.notebook.acts.amounts import name_of
from trialbench.notebook.records_read import Reads
from trialbench.planning.differences_of_pieces import differences_of_pieces
from trialbench.planning.salt_as_weighed import allowance, shown_rate
from trialbench.planning.stage_words import listed


def notes_on_amounts(book: Reads, cook: Cook) -> Iterator[MarginNote]:
    """Beside "amount:<piece id>:<key>" and "amounts"."""
    for thing in views.to_weigh(book, cook.trial_id):
        for piece in views.pieces(book, cook.id):
            yield from _off_target(book, thing, piece)
        yield from _not_written(book, cook, thing)
    for found in differences_of_pieces(book, cook.trial_id):
        if found.about == "salt":
            says = (found.sentence, found.why, msg("The finding names it."))
            yield MarginNote("amounts", "differs", found.label, says, dear=65)


def _off_target(book: Reads, thing: views.ToWeigh, piece: Piece) -> Iterator[MarginNote]:
    target, rate = views.target_g(book, thing, piece), views.rate_g_per_kg(book, thing, piece)
    there, trimmed = views.amount(book, thing, piece.id), views.trimmed_g(book, piece)
    if target is None or rate is None or trimmed is None or there is None or there.mass_g is None:
        return
    got = 1000 * there.mass_g / trimmed
    rounding = 1000 * typed_step_g(there.typed, there.mass_g) / 2 / trimmed
    if abs(got - rate) <= allowance(rounding, max(got, rate)):
        return
    unit = views.cover(book).mass_unit
    gap = show_mass(abs(there.mass_g - target), unit, with_unit=True)
    says = (
        msg("{gap} more than its target.", gap=gap) if got > rate
        else msg("{gap} less than its target.", gap=gap),
        msg("{got} g for each kilogram instead of {rate}.", got=shown_rate(got),
            rate=shown_rate(rate)),
    )  # fmt: skip
    label = msg("{piece}, {what}: off its target", piece=piece.label, what=name_of(thing))
    yield MarginNote(f"amount:{piece.id}:{thing.key}", "differs", label, says, dear=56)


def _not_written(book: Reads, cook: Cook, thing: views.ToWeigh) -> Iterator[MarginNote]:
    """Some pieces have it written and others, weighed since, have not."""
    there = views.pieces(book, cook.id)
    wanted = [p for p in there if views.target_g(book, thing, p) is not None]
    without = [p for p in wanted if views.amount(book, thing, p.id) is None]
    gone_by = [p for p in without if not views.is_amount_due(book, thing, p)]
    if not gone_by or len(without) == len(wanted):
        return
    line = f"amount:{gone_by[0].id}:{thing.key}"
    pieces: Message | str = listed([p.label for p in gone_by])
    label = msg("{pieces}: {what} not written", pieces=pieces, what=name_of(thing))
    says = msg("It went on, or not: write how much, or say after a dash why it is missing.")
    verb = NoteVerb(msg("Write it now"), "go_to", (line,))
    yield MarginNote(line, "missing", label, (says,), (verb,), dear=50)

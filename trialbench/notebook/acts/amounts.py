"""Acts on what is weighed onto a piece: salt, rub, brine, beside the grams that it is to get."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from trialbench.model.errors import Refused
from trialbench.model.message import Message, msg
from trialbench.model.quantities import parse_mass_g, show_mass, show_typed_mass
from trialbench.model.records import Amount, Cook, Piece, new_id
from trialbench.model.steps import Change, Step, added, removed
from trialbench.model.words import ADDITION_ROLES
from trialbench.notebook import views
from trialbench.notebook.acts.cooking import with_today
from trialbench.notebook.acts.writing import line, made, reason
from trialbench.notebook.book import Book
from trialbench.notebook.records_read import Reads
from trialbench.notebook.views.amounts import ToWeigh

MOST_TIMES = 5.0
"""More than so many times the target is taken for a slip of the figure, as is less than 1 in 10."""


def set_amount(book: Book, piece_id: str, key: str, typed: str, unit: str | None = None) -> Step:
    """Write what was weighed. `unit` (g or oz) is that of a bare number, else the notebook's.

    Nothing put on is 0. Raises Refused for far more or far less than the target.
    """
    piece, thing = book.get(Piece, piece_id), _thing(book, piece_id, key)
    shown = unit or views.cover(book).mass_unit
    mass_g = parse_mass_g(typed, shown, field="amount.mass_g")
    _check(book, piece, thing, mass_g, (typed, shown))
    kept = typed.strip() if any(c.isalpha() for c in typed) else f"{typed.strip()} {shown}"
    label = msg("{piece} {what} {mass}", piece=piece.label, what=name_of(thing),
                mass=f"{show_typed_mass(mass_g, kept, shown)} {shown}")  # fmt: skip
    return _written(book, piece, thing, label, {"mass_g": mass_g, "typed": kept,
                    "missing_reason": ""})  # fmt: skip


def set_amount_missing(book: Book, piece_id: str, key: str, why: str) -> Step:
    """Say why it was not weighed. Raises Refused without a reason."""
    piece, thing = book.get(Piece, piece_id), _thing(book, piece_id, key)
    asked = msg("Why is {piece} {what} missing?", piece=piece.label, what=name_of(thing))
    text = reason(why, "amount.missing_reason", asked)
    label = msg("{piece} {what} missing: {why}", piece=piece.label, what=name_of(thing), why=text)
    return _written(book, piece, thing, label, {"mass_g": None, "typed": "",
                    "missing_reason": text})  # fmt: skip


def clear_amount(book: Reads, piece_id: str, key: str) -> Step:
    """Leave it empty again."""
    piece, thing = book.get(Piece, piece_id), _thing(book, piece_id, key)
    there = views.amount(book, thing, piece_id)
    label = msg("{piece} {what} left empty", piece=piece.label, what=name_of(thing))
    return made(book, label, removed(there) if there else ())


def name_of(thing: ToWeigh) -> Message | str:
    """What is weighed: "salt", "rub", or its own name."""
    if thing.role == "salt":
        return msg("salt")
    return thing.name or ADDITION_ROLES.get(thing.role, thing.role)


def _thing(book: Reads, piece_id: str, key: str) -> ToWeigh:
    trial_id = book.get(Cook, book.get(Piece, piece_id).cook_id).trial_id
    found = views.thing_to_weigh(book, trial_id, key)
    if found is None:
        raise Refused(
            msg("No method says how much of this goes on. Nothing was written."),
            field="amount.role",
            allowed=msg("what the methods write in grams for each kilogram"),
            way_out=msg("Write it on Methods first."),
        )
    return found


def _written(
    book: Book, piece: Piece, thing: ToWeigh, label: Message, values: dict[str, Any]
) -> Step:
    now = book.now()
    there = views.amount(book, thing, piece.id)
    if there is not None:
        if all(getattr(there, name) == value for name, value in values.items()):
            return made(book, label, ())
        after = replace(there, made_utc=now.utc, offset_min=now.offset_min, **values)
        return made(book, label, [Change(there, after)], burst=f"{there.id}:mass_g")
    own = thing.slot.of(piece.method_id or "") if thing.slot else None
    fresh = Amount(
        new_id(), piece.id, thing.role, now.utc, now.offset_min, thing.stage.id,
        own.name if own else thing.name,
    )  # fmt: skip
    return made(book, label, with_today(book, piece, added(replace(fresh, **values))))


def _check(book: Reads, piece: Piece, thing: ToWeigh, mass_g: float, said: tuple[str, str]) -> None:
    typed, unit = said
    target = views.target_g(book, thing, piece)
    if target is None or not target or not mass_g:
        return
    if target / 10 <= mass_g <= target * MOST_TIMES:
        return
    shown, wanted = (show_mass(g, unit, with_unit=True) for g in (mass_g, target))
    raise Refused(
        msg("{typed} of {what} is far from the {target} that {piece} is to get. Not written.",
            typed=shown, what=name_of(thing), target=wanted, piece=piece.label),
        field="amount.mass_g",
        typed=line(typed, "amount.mass_g"),
        allowed=msg("a tenth of {target} to five times it, or 0", target=wanted),
        way_out=msg("Read the scale again, or leave it empty."),
    )  # fmt: skip

"""Acts on loads: pieces of one method that share a pan, bag, bath, cooker or hold box."""

from __future__ import annotations

from collections.abc import Sequence

from trialbench.model.errors import Refused
from trialbench.model.message import msg
from trialbench.model.records import Cook, Load, Piece, Stage, new_id
from trialbench.model.steps import Change, Step, added, removed
from trialbench.notebook import views
from trialbench.notebook.acts.writing import line, made, rewrite, rewritten
from trialbench.notebook.records_read import Reads


def make_load(
    book: Reads, cook_id: str, piece_ids: Sequence[str], name: str, vessel: str = ""
) -> Step:
    """Pieces of one cook day that share a vessel of their own.

    Raises Refused for pieces of two methods: a cooker that held both makes no load.
    """
    cook = book.get(Cook, cook_id)
    pieces = [book.get(Piece, piece_id) for piece_id in piece_ids]
    _check(cook_id, pieces)
    text = line(name, "load.name", most=60) or f"load {len(views.loads(book, cook_id)) + 1}"
    load = Load(new_id(), cook_id, text, line(vessel, "load.vessel", most=80))
    changes = [*added(load), *(rewritten(piece, load_id=load.id) for piece in pieces)]
    changes += _emptied(book, pieces)
    label = msg("Cook day {number}, {name}: {pieces}", number=cook.number, name=text,
                pieces=", ".join(p.label for p in pieces))  # fmt: skip
    return made(book, label, changes)


def join_load(book: Reads, piece_id: str, load_id: str) -> Step:
    """Put a piece into a load. Raises Refused when the load holds another method."""
    piece, load = book.get(Piece, piece_id), book.get(Load, load_id)
    _check(load.cook_id, [*views.pieces_of_load(book, load_id), piece])
    changes = [rewritten(piece, load_id=load_id), *_emptied(book, [piece])]
    return made(book, msg("{piece} into {load}", piece=piece.label, load=load.name), changes)


def put_in(book: Reads, piece_id: str, name: str) -> Step:
    """Put a piece into the vessel of this name on its cook day; without a name it is alone.

    A load of that name is made where there is none. Raises Refused when it holds another method,
    and for a spare or rejected piece, which is in no vessel.
    """
    piece = book.get(Piece, piece_id)
    text = line(name, "load.name", most=60)
    if not text:
        return leave_load(book, piece_id)
    if not views.takes_part(piece):
        raise Refused(
            msg("{piece} takes no part. It is in no vessel.", piece=piece.label),
            field="piece.load_id",
            typed=name,
            allowed=msg("pieces that are cooked"),
            way_out=msg("Let it take part first."),
        )
    there = {load.name.casefold(): load for load in views.loads(book, piece.cook_id)}
    found = there.get(text.casefold())
    if found is None:
        return make_load(book, piece.cook_id, [piece_id], text)
    return join_load(book, piece_id, found.id)


def share_at(book: Reads, load_id: str, stage_id: str | None) -> Step:
    """Say in which stage the pieces of a load share their vessel; None: not said."""
    load, stage = book.get(Load, load_id), book.find(Stage, stage_id)
    said = stage.stage_kind if stage else "–"
    label = msg("{load}: shared in {stage}", load=load.name, stage=said)
    return rewrite(book, load, label, stage_id=stage.id if stage else None)


def leave_load(book: Reads, piece_id: str) -> Step:
    """Take a piece out of its load; a load with no piece left goes."""
    piece = book.get(Piece, piece_id)
    changes = [rewritten(piece, load_id=None), *_emptied(book, [piece])]
    return made(book, msg("{piece} alone", piece=piece.label), changes)


def name_load(book: Reads, load_id: str, name: str, vessel: str = "") -> Step:
    """Write a load's name and vessel."""
    load = book.get(Load, load_id)
    text = line(name, "load.name", most=60, needed=True)
    held = line(vessel, "load.vessel", most=80)
    return rewrite(book, load, msg("Load {name}", name=text), name=text, vessel=held)


def remove_load(book: Reads, load_id: str) -> Step:
    """Take a load away; its pieces were alone."""
    load = book.get(Load, load_id)
    out = [rewritten(piece, load_id=None) for piece in views.pieces_of_load(book, load_id)]
    return made(book, msg("Load {name} taken away", name=load.name), (*out, *removed(load)))


def _emptied(book: Reads, leaving: Sequence[Piece]) -> tuple[Change, ...]:
    """Removal of the loads that hold nothing else."""
    gone = {p.id for p in leaving}
    load_ids = dict.fromkeys(p.load_id for p in leaving if p.load_id)
    empty = [i for i in load_ids if all(p.id in gone for p in views.pieces_of_load(book, i))]
    return removed(*(book.get(Load, load_id) for load_id in empty))


def _check(cook_id: str, pieces: Sequence[Piece]) -> None:
    methods = {piece.method_id for piece in pieces if piece.method_id}
    elsewhere = [piece for piece in pieces if piece.cook_id != cook_id]
    if pieces and not elsewhere and len(methods) <= 1:
        return
    if not pieces:
        what = msg("A load needs a piece in it.")
    elif elsewhere:
        what = msg("{piece} belongs to another cook day.", piece=elsewhere[0].label)
    else:
        what = msg("A vessel that holds both methods makes no load.")
    raise Refused(
        what,
        field="piece.load_id",
        allowed=msg("pieces of one method and one cook day"),
        way_out=msg("Choose pieces of one method, or leave them alone."),
    )

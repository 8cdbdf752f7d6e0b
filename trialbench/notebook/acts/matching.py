"""Acts on the matching list: what each piece is, which belong together, which take part."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

from trialbench.model.errors import Refused, Sealed
from trialbench.model.message import Message, msg
from trialbench.model.numbers import parse_number
from trialbench.model.quantities import parse_mass_g, parse_thickness_mm
from trialbench.model.records import Cook, Lot, Measurement, Pair, Piece, new_id
from trialbench.model.steps import Change, Step, added, removed
from trialbench.notebook import views
from trialbench.notebook.acts.writing import line, made, out_of_range, reason, rewrite
from trialbench.notebook.records_read import Reads

MOST_G, LOW_PH, HIGH_PH = 100_000.0, 3.0, 9.0
_FROZEN = {"never": "never", "no": "never", "was": "was", "yes": "was", "frozen": "was", "": ""}


def _words(most: int) -> Callable[[Reads, str], str]:
    return lambda book, typed: line(typed, "piece.source", most=most)


def _bought(book: Reads, typed: str) -> float | None:
    if not typed:
        return None
    grams = parse_mass_g(typed, views.cover(book).mass_unit, field="piece.bought_g")
    if not 0 < grams <= MOST_G:
        raise out_of_range(typed, "piece.bought_g", 1, MOST_G)
    return grams


def _thickness(book: Reads, typed: str) -> float | None:
    return parse_thickness_mm(typed, field="piece.thickness_mm") if typed else None


def _ph(book: Reads, typed: str) -> float | None:
    if not typed:
        return None
    number = parse_number(typed, field="piece.ph")
    if not LOW_PH <= number <= HIGH_PH:
        raise out_of_range(typed, "piece.ph", LOW_PH, HIGH_PH)
    return number


def _frozen(book: Reads, typed: str) -> str:
    said = typed.casefold()
    if said in _FROZEN:
        return _FROZEN[said]
    raise Refused(
        msg("Was it ever frozen? {typed} says neither.", typed=typed),
        field="piece.frozen",
        typed=typed,
        allowed=msg("never, was, or nothing"),
        way_out=msg("Write never or was."),
    )


FIELDS: dict[str, tuple[Message, Callable[[Reads, str], Any]]] = {
    "bought_g": (msg("weight as bought"), _bought),
    "source": (msg("animal or batch"), _words(200)),
    "side": (msg("side"), _words(40)),
    "lot": (msg("lot"), _words(80)),
    "thickness_mm": (msg("thickness"), _thickness),
    "marbling": (msg("marbling"), _words(40)),
    "frozen": (msg("ever frozen"), _frozen),
    "ph": (msg("pH"), _ph),
}
"""What a piece is matched by: its name on the list, and how it is read."""


def set_match(book: Reads, piece_id: str, field: str, typed: str) -> Step:
    """Write one of FIELDS of a piece; nothing typed clears it. Raises Refused."""
    piece, (said, read) = book.get(Piece, piece_id), FIELDS[field]
    text = " ".join(typed.split())
    label = msg("{piece}, {what}: {text}", piece=piece.label, what=said, text=text or "–")
    return rewrite(book, piece, label, **{field: read(book, text)})


def match_pieces(
    book: Reads, cook_id: str, sets: Sequence[Sequence[str]], sources: Sequence[str] = ()
) -> Step:
    """The pieces of a cook day in these pairs (or sets); places go with their place in the pair.

    `sets` hold ids of pieces, `sources` where each set is from. Pairs in excess go. Raises Refused
    once something was weighed after the day's lots, Sealed.
    """
    cook, there = book.get(Cook, cook_id), views.pairs(book, cook_id)
    new = tuple(Pair(new_id(), cook_id, n) for n in range(len(there) + 1, len(sets) + 1))
    pairs = (*there, *new)[: len(sets)]
    changes: list[Change] = [*added(*new)]
    for pair, said in zip(pairs, sources, strict=False):
        if pair in there and said and pair.source != said:
            changes.append(Change(pair, replace(pair, source=said)))
        elif said:
            changes[changes.index(Change(None, pair))] = Change(None, replace(pair, source=said))
    slots = _slots(book, cook_id, len(sets))
    inside = {
        piece_id: (pair.id, slots.get((row, column), ""))
        for row, (pair, ids) in enumerate(zip(pairs, sets, strict=True))
        for column, piece_id in enumerate(ids)
    }
    for piece in views.every_piece(book, cook_id):
        pair_id, place = inside.get(piece.id, (None, piece.place))
        changes.append(Change(piece, replace(piece, pair_id=pair_id, place=place)))
    gone = removed(*there[len(sets) :])
    label = msg("Cook day {number}: pieces matched", number=cook.number)
    return made(book, label, _loosened(book, cook, [*changes, *gone]))


def _slots(book: Reads, cook_id: str, sets: int) -> dict[tuple[int, int], str]:
    """The place in the cooker of each place in each pair, as they are now."""
    found: dict[tuple[int, int], str] = {}
    for row, pair in enumerate(views.pairs(book, cook_id)[:sets]):
        inside = [p for p in views.pieces(book, cook_id) if p.pair_id == pair.id]
        found |= {(row, column): piece.place for column, piece in enumerate(inside)}
    return found


def set_pair(book: Reads, piece_id: str, typed: str) -> Step:
    """Put a piece into the pair of this number, or into none ("–" or nothing).

    Where that pair is full, the piece goes and the last one in it takes the place it leaves.
    """
    piece = book.get(Piece, piece_id)
    cook, pairs = book.get(Cook, piece.cook_id), views.pairs(book, piece.cook_id)
    text = typed.strip().removeprefix("pair").strip()
    wanted = None
    if text not in ("", "-", "–"):
        wanted = next((pair for pair in pairs if str(pair.number) == text), None)
        if wanted is None:
            raise Refused(
                msg("There is no pair {typed} on cook day {n}.", typed=text, n=cook.number),
                field="piece.pair_id",
                typed=typed,
                allowed=msg("1 to {high}", high=len(pairs)),
                way_out=msg("Write one of the numbers on the list."),
            )
    changes = [Change(piece, replace(piece, pair_id=wanted.id if wanted else None))]
    if wanted is not None and piece.pair_id != wanted.id:
        changes += _exchanged(book, piece, wanted)
    said = wanted.number if wanted else "–"
    label = msg("{piece} into pair {number}", piece=piece.label, number=said)
    return made(book, label, _loosened(book, cook, changes))


def _exchanged(book: Reads, piece: Piece, pair: Pair) -> list[Change]:
    """The piece that leaves a full pair for the place that is given up."""
    inside = [p for p in views.pieces(book, piece.cook_id) if p.pair_id == pair.id]
    size = len(views.methods(book, book.get(Cook, piece.cook_id).trial_id))
    if len(inside) < size:
        return []
    other = inside[-1]
    return [Change(other, replace(other, pair_id=piece.pair_id))]


def reject(book: Reads, piece_id: str, why: str) -> Step:
    """A piece that takes no part, and why. Raises Refused without a reason, or once it is begun."""
    piece = book.get(Piece, piece_id)
    text = reason(why, "piece.rejected_reason", msg("{piece} is rejected only with a reason.",
                                                    piece=piece.label))  # fmt: skip
    after = replace(piece, rejected_reason=text, method_id=None, load_id=None)
    label = msg("{piece} rejected: {why}", piece=piece.label, why=text)
    cook = book.get(Cook, piece.cook_id)
    return made(book, label, _loosened(book, cook, [Change(piece, after)]))


def make_spare(book: Reads, piece_id: str) -> Step:
    """A piece that takes no part in the draw unless another one is rejected."""
    piece = book.get(Piece, piece_id)
    after = replace(piece, spare=True, rejected_reason="", pair_id=None, place="", method_id=None,
                    load_id=None)  # fmt: skip
    cook = book.get(Cook, piece.cook_id)
    label = msg("{piece} is a spare", piece=piece.label)
    return made(book, label, _loosened(book, cook, [Change(piece, after)]))


def take_in(book: Reads, piece_id: str) -> Step:
    """A spare or rejected piece takes part after all, in the place of one that was rejected."""
    piece = book.get(Piece, piece_id)
    cook = book.get(Cook, piece.cook_id)
    after = replace(piece, spare=False, rejected_reason="")
    changes: list[Change] = []
    others = (p for p in views.every_piece(book, cook.id) if p.rejected_reason and p != piece)
    left = next((p for p in others if p.pair_id or p.place), None)
    if left is not None and piece.pair_id is None:
        after = replace(after, pair_id=left.pair_id, place=left.place, position=left.position)
        gone = replace(left, pair_id=None, place="", position=piece.position)
        changes.append(Change(left, gone))
    label = msg("{piece} takes part", piece=piece.label)
    return made(book, label, _loosened(book, cook, [Change(piece, after), *changes]))


def _loosened(book: Reads, cook: Cook, changes: list[Change]) -> list[Change]:
    """The changes, with the day's lots set aside where who takes part, or with whom, is changed.

    Raises Refused once something was weighed after those lots: then it stays as it was drawn.
    """
    drawn = [piece for piece in views.pieces(book, cook.id) if piece.method_id]
    if not drawn or all(c.before == c.after for c in changes):
        return changes
    if views.is_sealed(book, cook.trial_id):
        raise Sealed(msg("The plan is sealed. Who gets which method stays as it was drawn."))
    if _weighed_after(book, drawn):
        raise Refused(
            msg("Day {number} was weighed after its lots. Its pieces stay.", number=cook.number),
            field="piece.pair_id",
            allowed=msg("other pieces before the first weight that follows the draw"),
            way_out=msg("Cook it as drawn. Leave out what cannot be cooked so, and say why."),
        )
    touched = {change.record.id: change for change in changes}
    loose: list[Change] = []
    for piece in drawn:
        change = touched.pop(piece.id, Change(piece, piece))
        assert isinstance(change.after, Piece)
        loose.append(Change(piece, replace(change.after, method_id=None)))
    return [*touched.values(), *loose]


def _weighed_after(book: Reads, pieces: Sequence[Piece]) -> bool:
    when = {draw.id: draw.made_utc for draw in views.draws(book, _trial_id(book, pieces[0]))}
    for piece in pieces:
        lots = [when[lot.draw_id] for lot in book.all(Lot, piece_id=piece.id)]
        found = book.all(Measurement, piece_id=piece.id)
        if lots and any(m.made_utc > max(lots) for m in found):
            return True
    return False


def _trial_id(book: Reads, piece: Piece) -> str:
    return book.get(Cook, piece.cook_id).trial_id

"""The difference audit beyond the written lines: how the pieces themselves were treated.

Salt as weighed, where the pieces come from, and where they lie in the cooker. Each is a rider as
soon as it goes with the method, whatever the methods say.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from trialbench.model.margin import NoteVerb
from trialbench.model.message import Message, msg
from trialbench.model.records import Cook, Method, Pair, Piece, Trial
from trialbench.notebook import views
from trialbench.notebook.records_read import Reads
from trialbench.planning.differences import usual_method
from trialbench.planning.salt_as_weighed import salt_apart, shown_rate
from trialbench.planning.stage_words import listed

FEWEST_ALWAYS = 2
"""From so many pieces on a method is "always" in one place."""


@dataclass(frozen=True, slots=True)
class PieceDifference:
    """Something that goes with the method in the pieces: `about` is salt | source | lot | place.

    `label` names it, `sentence` says it, `why` what it means for the finding, `short` stands in a
    list of riders. `verb` is the smallest change that removes it, None where it is done.
    """

    about: str
    label: Message
    sentence: Message
    why: Message
    short: Message
    verb: NoteVerb | None = None


def differences_of_pieces(book: Reads, trial_id: str) -> tuple[PieceDifference, ...]:
    """Every one of them, dearest first; none in a trial of one recipe."""
    return (
        *_salt(book, trial_id),
        *_from_one(book, trial_id, "source"),
        *_from_one(book, trial_id, "lot"),
        *_places(book, trial_id),
    )


def _salt(book: Reads, trial_id: str) -> Iterator[PieceDifference]:
    apart = salt_apart(book, trial_id)
    if apart is None:
        return
    usual = usual_method(book.get(Trial, trial_id), views.methods(book, trial_id))
    other = apart.high if apart.high.id != usual.id else apart.low
    what = msg("more salt") if other.id == apart.high.id else msg("less salt")
    (first, rate), *rest = apart.rates
    words: Message | str = msg(
        "{rate} g for each kilogram in {letter}", rate=shown_rate(rate), letter=first.letter
    )
    words = listed(
        [words, *(msg("{rate} g in {letter}", rate=shown_rate(r), letter=m.letter)
                  for m, r in rest)]
    )  # fmt: skip
    yield PieceDifference(
        "salt",
        msg("Salt as weighed: a rider"),
        msg("As weighed: {rates}.", rates=words),
        _if_wins(other, what),
        msg("the salt as weighed, {rates}", rates=words),
    )


def _from_one(book: Reads, trial_id: str, about: str) -> Iterator[PieceDifference]:
    """A method whose pieces all come from one animal or lot that no other method has."""
    from_where = _source if about == "source" else _lot
    found = _kept_to_one(book, trial_id, from_where)
    if found is None:
        return
    method, name = found
    label = msg("The lots") if about == "lot" else msg("Where the pieces come from")
    letter = method.letter
    verb = NoteVerb(msg("Draw within each lot: open Plan"), "open_page", ("plan",))
    drawn = views.seal(book, trial_id) is not None
    yield PieceDifference(
        about,
        msg("{what}: a rider", what=label),
        msg("Every piece of {letter} is from {name}, and none of another method.", letter=letter,
            name=name),
        _if_wins(_other(book, trial_id, method), msg("the meat itself")),
        msg("the pieces of {letter} all from {name}", letter=letter, name=name),
        None if drawn else verb,
    )  # fmt: skip


def _places(book: Reads, trial_id: str) -> Iterator[PieceDifference]:
    """A method that is always in the same place of the cooker."""
    found = _kept_to_one(book, trial_id, _place, fewest=FEWEST_ALWAYS)
    if found is None:
        return
    method, place = found
    letter, other = method.letter, _other(book, trial_id, method)
    yield PieceDifference(
        "place",
        msg("Places in the cooker: a rider"),
        msg("{letter} always has {place}, and no other method ever.", letter=letter, place=place),
        _if_wins(other, msg("its place in the cooker")),
        msg("the place, {place} always for {letter}", place=place, letter=letter),
        _swap(book, trial_id, method, other),
    )


def _kept_to_one(
    book: Reads, trial_id: str, said: Callable[[Reads, Piece], str], *, fewest: int = 1
) -> tuple[Method, str] | None:
    """The first method all of whose pieces have one word that no piece of another has."""
    known: dict[str, list[str]] = {}
    for piece in views.all_pieces(book, trial_id):
        word = said(book, piece)
        if word and piece.method_id is not None:
            known.setdefault(piece.method_id, []).append(word)
    for method in views.methods(book, trial_id):
        own = known.get(method.id, [])
        others = {word for key, words in known.items() if key != method.id for word in words}
        if len(own) >= fewest and len(set(own)) == 1 and others and own[0] not in others:
            return method, own[0]
    return None


def _source(book: Reads, piece: Piece) -> str:
    pair = book.find(Pair, piece.pair_id)
    return piece.source or (pair.source if pair else "")


def _lot(book: Reads, piece: Piece) -> str:
    return piece.lot


def _place(book: Reads, piece: Piece) -> str:
    return piece.place


def _other(book: Reads, trial_id: str, method: Method) -> Method:
    """The method whose winning would be doubtful: not the usual one."""
    there = views.methods(book, trial_id)
    usual = usual_method(book.get(Trial, trial_id), there)
    return method if method.id != usual.id else next(m for m in there if m.id != usual.id)


def _if_wins(method: Method, what: Message) -> Message:
    return msg("If {letter} wins, {what} may be why.", letter=method.letter, what=what)


def _swap(book: Reads, trial_id: str, one: Method, other: Method) -> NoteVerb | None:
    """Exchange the places on a cook day that is still to come; None when there is none."""
    if views.is_sealed(book, trial_id):
        return None
    there = views.methods(book, trial_id)
    second = other if other.id != one.id else next(m for m in there if m.id != one.id)
    cook = next(_days_to_come(book, views.cooks(book, trial_id), (one, second)), None)
    if cook is None:
        return None
    label = msg("Swap the places on cook day {number}", number=cook.number)
    return NoteVerb(label, "swap_places", (cook.id, one.id, second.id))


def _days_to_come(
    book: Reads, cooks: Sequence[Cook], methods: tuple[Method, Method]
) -> Iterator[Cook]:
    for cook in reversed(cooks):
        have = {p.method_id for p in views.pieces(book, cook.id)}
        if not views.cook_is_begun(book, cook) and {m.id for m in methods} <= have:
            yield cook

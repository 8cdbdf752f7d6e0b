"""The timetable in sentences: what is done with which pieces, where, how hot, until when."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from datetime import date, datetime

from trialbench.model.message import Message, msg, say
from trialbench.model.numbers import shortest
from trialbench.model.quantities import show_duration, show_temp
from trialbench.model.records import Load, Piece, Stage
from trialbench.model.words import COVERS
from trialbench.notebook import views
from trialbench.notebook.records_read import Reads
from trialbench.planning.stage_words import listed, stage_name
from trialbench.planning.timetable import Span, Timetable
from trialbench.planning.timetable_places import NEEDS_NO_NAME

_DO: dict[str, Callable[[Message | str], Message]] = {
    "prepare": lambda what: msg("Prepare {what}", what=what),
    "trim": lambda what: msg("Trim {what}", what=what),
    "salt": lambda what: msg("Salt {what}", what=what),
    "soak": lambda what: msg("Soak {what}", what=what),
    "smoke": lambda what: msg("Smoke {what}", what=what),
    "roast": lambda what: msg("Roast {what}", what=what),
    "braise": lambda what: msg("Braise {what}", what=what),
    "simmer": lambda what: msg("Simmer {what}", what=what),
    "boil": lambda what: msg("Boil {what}", what=what),
    "confit": lambda what: msg("Confit {what}", what=what),
    "water bath": lambda what: msg("Put {what} in the water", what=what),
    "steam": lambda what: msg("Steam {what}", what=what),
    "bake": lambda what: msg("Bake {what}", what=what),
    "fry": lambda what: msg("Fry {what}", what=what),
    "sear": lambda what: msg("Sear {what}", what=what),
    "wrap": lambda what: msg("Wrap {what}", what=what),
    "rest": lambda what: msg("Rest {what}", what=what),
    "hold": lambda what: msg("Hold {what}", what=what),
    "chill": lambda what: msg("Chill {what}", what=what),
    "reheat": lambda what: msg("Reheat {what}", what=what),
    "slice": lambda what: msg("Slice {what}", what=what),
    "serve": lambda what: msg("Plate {what}", what=what),
}
_DAYS = (
    msg("Mon"), msg("Tue"), msg("Wed"), msg("Thu"), msg("Fri"), msg("Sat"), msg("Sun"),
)  # fmt: skip
TO_THE_TABLE = msg("To the table.")


def clock_words(shown: datetime, last_day: date | None) -> Message | str:
    """The time on the clock, with the day where it is another one than in the line above."""
    time = f"{shown:%H:%M}"
    if shown.date() == last_day:
        return time
    return msg("{day} {time}", day=_DAYS[shown.weekday()], time=time)


def letters_words(letters: Sequence[str]) -> Message | str:
    """ "A", "A and B", "A, B and C"."""
    if len(letters) < 2:
        return "".join(letters)
    return msg("{first} and {last}", first=listed(letters[:-1]), last=letters[-1])


def act_words(book: Reads, table: Timetable, spans: Sequence[Span]) -> Message:
    """What is done when these spans begin, one sentence for all of them."""
    span = spans[0]
    what = _what(book, table, spans)
    do = _DO.get(span.stage.stage_kind)
    words = do(what) if do else msg("{stage} {what}", stage=stage_name(span.stage), what=what)
    details = list(_details(span, views.cover(book).temperature_unit))
    place = " ".join(span.stage.place.split())
    if span.named and span.stage.stage_kind in NEEDS_NO_NAME:
        details.insert(0, place)
    elif span.named:
        words = msg("{act} in the {place}", act=words, place=place)
    return msg("{act}.", act=listed([words, *details]))


def out_words(book: Reads, span: Span, letters: Sequence[str]) -> Message | None:
    """How the stage before came to its end, where that is a core temperature or a feel."""
    unit, who = views.cover(book).temperature_unit, letters_words(letters)
    core, feel = span.stage.end_core_c, span.stage.end_feel
    if core is not None and feel:
        return msg("{letters} out at {core} inside, {feel}.", letters=who,
                   core=_tied(show_temp(core, unit)), feel=feel)  # fmt: skip
    if core is not None:
        return msg(
            "{letters} out at {core} inside.", letters=who, core=_tied(show_temp(core, unit))
        )
    return msg("{letters} out when it is {feel}.", letters=who, feel=feel) if feel else None


def _details(span: Span, unit: str) -> Iterator[Message | str]:
    stage = span.stage
    if stage.salt_g_per_kg is not None:
        yield _tied(msg("{amount} g/kg salt", amount=shortest(stage.salt_g_per_kg)))
    if stage.set_temp_c is not None:
        yield _tied(show_temp(stage.set_temp_c, unit))
    if stage.slice_mm is not None:
        yield _tied(msg("{thick} mm", thick=shortest(stage.slice_mm)))
    if stage.cover and stage.cover != "uncovered":
        yield COVERS.get(stage.cover, stage.cover)
    if stage.duration_s and span.lasts:
        lasts = _tied(about_words(span))
        yield msg("about {time}", time=lasts) if span.about else lasts


def _tied(words: Message | str) -> str:
    """A number and its unit stay on one line."""
    return say(words).replace(" ", "\u00a0")


def about_words(span: Span) -> str:
    """How long it takes, "" where that is not known: the value of "about ..."."""
    return show_duration(span.lasts.total_seconds()) if span.lasts is not None else ""


def _what(book: Reads, table: Timetable, spans: Sequence[Span]) -> Message | str:
    who = letters_words([span.method.letter for span in spans])
    pieces = [
        piece
        for piece in views.pieces(book, table.cook.id)
        if piece.method_id in {span.method.id for span in spans} and piece.id not in table.dropped
    ]
    if not pieces:
        return who
    return msg("{letters} ({pieces})", letters=who, pieces=_pieces(book, pieces, spans[0].stage))


def _pieces(book: Reads, pieces: Sequence[Piece], stage: Stage) -> Message | str:
    """The pieces by their labels; those that share a load stand behind its name."""
    said: list[Message | str] = []
    left = list(pieces)
    for load in dict.fromkeys(book.find(Load, piece.load_id) for piece in pieces):
        if load is None or load.stage_id not in (None, stage.id):
            continue
        inside = [piece for piece in left if piece.load_id == load.id]
        left = [piece for piece in left if piece not in inside]
        said.append(msg("{load}: {pieces}", load=load.name, pieces=_labels(inside)))
    if left:
        said.append(_labels(left))
    return said[0] if len(said) == 1 else _with_stops(said)


def _with_stops(said: Sequence[Message | str]) -> Message | str:
    if len(said) == 1:
        return said[0]
    return msg("{first}; {rest}", first=said[0], rest=_with_stops(said[1:]))


def _labels(pieces: Sequence[Piece]) -> Message | str:
    """ "P05 to P08" where they follow each other, else one by one."""
    labels = [piece.label for piece in pieces]
    places = [piece.position for piece in pieces]
    in_a_row = places == list(range(places[0], places[0] + len(places)))
    if len(labels) > 2 and in_a_row:
        return msg("{first} to {last}", first=labels[0], last=labels[-1])
    return listed(labels)

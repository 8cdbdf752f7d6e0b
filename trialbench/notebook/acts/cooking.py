"""Acts at the stove: weights and core temperatures, refused where they cannot be."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from trialbench.model.errors import Refused
from trialbench.model.message import Message, msg
from trialbench.model.quantities import parse_mass_g, parse_temp_c, show_mass
from trialbench.model.records import Checkpoint, Cook, Measurement, Piece, Stage, new_id
from trialbench.model.steps import Change, Step, added, removed
from trialbench.notebook import views
from trialbench.notebook.acts.writing import line, made, reason
from trialbench.notebook.book import Book
from trialbench.notebook.clock import local_time
from trialbench.notebook.records_read import Reads

MOST_G = 200_000.0
GAIN_DRY, GAIN_WET = 1.5, 3.5
"""A weight may be so many times the one before: salt, glaze and handling; or what drinks water."""

LEAST_LEFT = 1 / 8
"""Less than this of the weight before is taken for a slip of the figure."""

WET_KINDS = frozenset({"soak", "simmer", "boil", "steam"})
WET_MEDIA = frozenset({"water", "salt water", "stock", "steam"})


def set_mass(
    book: Book, piece_id: str, checkpoint_id: str, typed: str, unit: str | None = None
) -> Step:
    """Write a weight. `unit` (g or oz) is that of a bare number, else the notebook's.

    Raises Refused for 0, for far more than the piece weighed before (a wet stage between allows
    more), for far less, and for what the next weight rules out.
    """
    piece, checkpoint = book.get(Piece, piece_id), book.get(Checkpoint, checkpoint_id)
    shown = unit or views.cover(book).mass_unit
    mass_g = parse_mass_g(typed, shown, field="measurement.mass_g")
    _check_mass(book, piece, checkpoint, mass_g, (typed, shown))
    label = msg(
        "{piece} {checkpoint} {mass}",
        piece=piece.label,
        checkpoint=checkpoint.name,
        mass=show_mass(mass_g, shown, with_unit=True),
    )
    kept = typed.strip() if any(c.isalpha() for c in typed) else f"{typed.strip()} {shown}"
    values = {"mass_g": mass_g, "typed": kept, "missing_reason": ""}
    return _measured(book, piece, checkpoint, label, values)


def set_core_temp(book: Book, piece_id: str, checkpoint_id: str, typed: str) -> Step:
    """Write a core temperature beside the weight. Raises Refused."""
    piece, checkpoint = book.get(Piece, piece_id), book.get(Checkpoint, checkpoint_id)
    unit = views.cover(book).temperature_unit
    temp_c = parse_temp_c(typed, unit, field="measurement.temp_c")
    if not -40 <= temp_c <= 300:
        raise Refused(
            msg("{typed} is no core temperature. Not written.", typed=typed.strip()),
            field="measurement.temp_c",
            typed=typed,
            allowed=msg("-40 to 300 °C"),
            way_out=msg("Read it again, or leave it empty."),
        )
    label = msg("{piece} {checkpoint}, core {typed}", piece=piece.label,
                checkpoint=checkpoint.name, typed=typed.strip())  # fmt: skip
    return _measured(book, piece, checkpoint, label, {"temp_c": temp_c, "missing_reason": ""})


def set_missing(book: Book, piece_id: str, checkpoint_id: str, why: str) -> Step:
    """Say why there is no weight: missing is never zero. Raises Refused without a reason."""
    piece, checkpoint = book.get(Piece, piece_id), book.get(Checkpoint, checkpoint_id)
    asked = msg("Why is {piece} {checkpoint} missing?", piece=piece.label,
                checkpoint=checkpoint.name)  # fmt: skip
    text = reason(why, "measurement.missing_reason", asked)
    label = msg("{piece} {checkpoint} missing: {why}", piece=piece.label,
                checkpoint=checkpoint.name, why=text)  # fmt: skip
    values = {"mass_g": None, "temp_c": None, "typed": "", "missing_reason": text}
    return _measured(book, piece, checkpoint, label, values)


def clear_measurement(book: Reads, piece_id: str, checkpoint_id: str) -> Step:
    """Leave a cell empty again."""
    piece, checkpoint = book.get(Piece, piece_id), book.get(Checkpoint, checkpoint_id)
    there = views.measurement(book, piece_id, checkpoint_id)
    label = msg("{piece} {checkpoint} left empty", piece=piece.label, checkpoint=checkpoint.name)
    return made(book, label, removed(there) if there else ())


def _measured(
    book: Book, piece: Piece, checkpoint: Checkpoint, label: Message, values: dict[str, Any]
) -> Step:
    now = book.now()
    there = views.measurement(book, piece.id, checkpoint.id)
    if there is None:
        fresh = Measurement(new_id(), piece.id, checkpoint.id, now.utc, now.offset_min)
        return made(book, label, with_today(book, piece, added(replace(fresh, **values))))
    if all(getattr(there, name) == value for name, value in values.items()):
        return made(book, label, ())
    after = replace(there, made_utc=now.utc, offset_min=now.offset_min, **values)
    return made(book, label, [Change(there, after)], burst=f"{there.id}:mass_g")


def with_today(book: Book, piece: Piece, changes: Iterable[Change]) -> tuple[Change, ...]:
    """The first that is weighed on a cook day writes today as its date, where none is written."""
    cook = book.get(Cook, piece.cook_id)
    if cook.date or views.cook_is_begun(book, cook):
        return tuple(changes)
    now = book.now()
    today = local_time(now.utc, now.offset_min).date().isoformat()
    return (*changes, Change(cook, replace(cook, date=today)))


def _check_mass(
    book: Reads, piece: Piece, checkpoint: Checkpoint, mass_g: float, said: tuple[str, str]
) -> None:
    typed, unit = said
    shown = show_mass(mass_g, unit, with_unit=True)
    if mass_g <= 0:
        what = msg("{piece} cannot weigh nothing. Not written.", piece=piece.label)
        raise _refused(piece, what, typed, msg("more than 0 g"))
    if mass_g > MOST_G:
        most = show_mass(MOST_G, unit, with_unit=True)
        what = msg("{typed} is more than {most}. Not written.", typed=shown, most=most)
        raise _refused(piece, what, typed, msg("up to {most}", most=most))
    trial_id = book.get(Cook, piece.cook_id).trial_id
    order = views.checkpoints(book, trial_id)
    place = [c.id for c in order].index(checkpoint.id)
    weighed = {c.id: g for c in order if (g := views.mass_g(book, piece.id, c.id)) is not None}
    earlier = [c for c in order[:place] if c.id in weighed]
    later = [c for c in order[place + 1 :] if c.id in weighed]
    if earlier:
        base = earlier[-1]
        most_g = weighed[base.id] * _gain(book, piece, base, checkpoint)
        if mass_g > most_g:
            over = max(earlier, key=lambda c: weighed[c.id])
            named = over if mass_g > weighed[over.id] else base
            raise _too_much(piece, (shown, typed), named, show_mass(weighed[named.id], unit,
                            with_unit=True), show_mass(most_g, unit, with_unit=True))  # fmt: skip
        if mass_g < weighed[base.id] * LEAST_LEFT:
            raise _too_little(piece, (shown, typed), base,
                              show_mass(weighed[base.id], unit, with_unit=True))  # fmt: skip
    if later:
        _check_later(book, (piece, checkpoint, later[0]), (mass_g, weighed[later[0].id]), said)


def _check_later(
    book: Reads,
    where: tuple[Piece, Checkpoint, Checkpoint],
    masses_g: tuple[float, float],
    said: tuple[str, str],
) -> None:
    """What the next weight rules out."""
    piece, checkpoint, after = where
    mass_g, later_g = masses_g
    typed, unit = said
    shown = show_mass(mass_g, unit, with_unit=True)
    next_one = show_mass(later_g, unit, with_unit=True)
    if later_g > mass_g * _gain(book, piece, checkpoint, after):
        what = msg(
            "{typed} is too little: {piece} weighed {next} {mass} after it. Not written.",
            typed=shown, piece=piece.label, next=after.name, mass=next_one,
        )  # fmt: skip
        raise _refused(piece, what, typed, msg("about {mass} or more", mass=next_one))
    if later_g < mass_g * LEAST_LEFT:
        what = msg(
            "{typed} is too much: {piece} weighed {next} {mass} after it. Not written.",
            typed=shown, piece=piece.label, next=after.name, mass=next_one,
        )  # fmt: skip
        raise _refused(piece, what, typed, msg("up to 8 times {mass}", mass=next_one))


def _gain(book: Reads, piece: Piece, base: Checkpoint, until: Checkpoint) -> float:
    """How many times the weight at `base` a piece can weigh at `until`."""
    first, last = _stage_position(book, base), _stage_position(book, until)
    stages = views.stages(book, base.trial_id)
    between = [s for s in stages if s.method_id in (None, piece.method_id)]
    wet = any(_is_wet(book, s, piece) for s in between if first < s.position <= last)
    return GAIN_WET if wet else GAIN_DRY


def _stage_position(book: Reads, checkpoint: Checkpoint) -> float:
    """Where a weighing stands among the stages; one without a stage by its place."""
    stage = book.find(Stage, checkpoint.stage_id)
    if stage is not None:
        return stage.position
    order = views.checkpoints(book, checkpoint.trial_id)
    earlier = [c for c in order if c.position < checkpoint.position and c.stage_id]
    if checkpoint.checkpoint_kind == "served":
        return float("inf")
    last = book.find(Stage, earlier[-1].stage_id) if earlier else None
    return last.position if last else 0


def _is_wet(book: Reads, stage: Stage, piece: Piece) -> bool:
    if piece.method_id is not None:
        stage = views.resolved_stage(book, stage, piece.method_id)
        return stage.stage_kind in WET_KINDS or stage.medium in WET_MEDIA
    media = {str(views.part_value(p)) for p in views.parts(book, stage.id, "medium")}
    return stage.stage_kind in WET_KINDS or bool(({stage.medium} | media) & WET_MEDIA)


def _too_much(
    piece: Piece, said: tuple[str, str], base: Checkpoint, mass: str, most: str
) -> Refused:
    shown, typed = said
    what = msg("{typed} is more than {piece} weighed {base}, {mass}. Not written.",
               typed=shown, piece=piece.label, base=base.name, mass=mass)  # fmt: skip
    return _refused(piece, what, typed, msg("up to {most} here", most=most))


def _too_little(piece: Piece, said: tuple[str, str], base: Checkpoint, mass: str) -> Refused:
    shown, typed = said
    what = msg("{typed} is less than an eighth of what {piece} weighed {base}, {mass}."
               " Not written.", typed=shown, piece=piece.label, base=base.name,
               mass=mass)  # fmt: skip
    return _refused(piece, what, typed, msg("an eighth of {mass} or more", mass=mass))


def _refused(piece: Piece, what: Message, typed: str, allowed: Message) -> Refused:
    return Refused(
        what,
        field="measurement.mass_g",
        typed=line(typed, "measurement.mass_g"),
        allowed=allowed,
        way_out=msg("Weigh {piece} again, or leave it empty.", piece=piece.label),
    )

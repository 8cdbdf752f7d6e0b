"""Acts on the timetable: when everything is served, how long stages take, turns at one oven."""

from __future__ import annotations

from trialbench.model.errors import Refused
from trialbench.model.kitchen_clock import KitchenClock, instant_of, is_zone
from trialbench.model.message import Message, msg
from trialbench.model.quantities import parse_duration_s
from trialbench.model.records import Cook, Expected, Method, Stage, new_id
from trialbench.model.steps import Step, added, removed
from trialbench.model.words import STAGE_KINDS
from trialbench.notebook import views
from trialbench.notebook.acts.serving_typed import read_serving, said_moment
from trialbench.notebook.acts.writing import line, made, rewrite, rewritten
from trialbench.notebook.book import Book
from trialbench.notebook.records_read import Reads

MOST_S = 30 * 86_400.0


def set_serving(book: Book, cook_id: str, typed: str, *, zone: str = "") -> Step:
    """Write the moment at which a cook day is served; empty is not written.

    `zone` is the machine's time zone by name: it becomes the kitchen's where none is known. Raises
    Refused, and TwoReadings where what was typed can be read in several ways.
    """
    cook, now = book.get(Cook, cook_id), book.now()
    if not typed.strip():
        label = msg("Cook day {number}: no serving moment", number=cook.number)
        return rewrite(book, cook, label, serve_utc="", offset_min=0)
    known = views.cover(book).zone or (zone if is_zone(zone) else "")
    clock = KitchenClock(known, now.offset_min)
    found = read_serving(typed, clock, instant_of(now.utc), cook.date)
    shown = clock.shown(instant_of(found.utc))
    label = msg("Cook day {number}: on the table {moment}", number=cook.number,
                moment=said_moment(shown))  # fmt: skip
    changes = [rewritten(cook, serve_utc=found.utc, offset_min=found.offset_min)]
    if known != views.cover(book).zone:
        changes.append(rewritten(views.cover(book), zone=known))
    return made(book, label, changes)


def set_zone(book: Reads, typed: str) -> Step:
    """Write the kitchen's time zone by its name ("Europe/London"); empty is not known.

    Every serving moment stays the instant that it is. Raises Refused for a name that is none.
    """
    text = line(typed, "cover.zone", most=60)
    if text and not is_zone(text):
        raise Refused(
            msg("{typed} is no time zone. Not written.", typed=text),
            field="cover.zone",
            typed=typed,
            allowed=msg("a zone by continent and city: Europe/London"),
            way_out=msg("Write it again, or leave it empty."),
        )
    label = msg("Time zone: {zone}", zone=text or "\u2013")
    return rewrite(book, views.cover(book), label, zone=text)


def set_expected(book: Reads, stage_id: str, typed: str, method_id: str | None = None) -> Step:
    """Write how long a stage is expected to take, for all methods or for one; empty takes it away.

    Raises Refused for what is no time with its unit, or more than 30 days.
    """
    stage = book.get(Stage, stage_id)
    there = next(iter(book.all(Expected, stage_id=stage_id, method_id=method_id)), None)
    label = _expected_label(book, stage, typed, method_id)
    if not typed.strip():
        return made(book, label, removed(there) if there else ())
    lasts_s = parse_duration_s(typed, field="expected.duration_s")
    if not 0 < lasts_s <= MOST_S:
        raise Refused(
            msg("{typed} is no time for a stage. Not written.", typed=typed.strip()),
            field="expected.duration_s",
            typed=typed,
            allowed=msg("more than nothing, up to 30 days"),
            way_out=msg("Write it again, or leave it empty."),
        )
    if there is not None:
        return rewrite(book, there, label, duration_s=lasts_s, typed=typed.strip())
    new = Expected(new_id(), stage.trial_id, stage_id, lasts_s, method_id, typed.strip())
    return made(book, label, added(new))


def _expected_label(book: Reads, stage: Stage, typed: str, method_id: str | None) -> Message:
    word = STAGE_KINDS.get(stage.stage_kind)
    name = word.label if word else stage.stage_kind
    text = typed.strip() or "\u2013"
    method = book.find(Method, method_id)
    if method is None:
        return msg("{stage}: expected to take {time}", stage=name, time=text)
    return msg("{stage} of {letter}: expected to take {time}", stage=name, letter=method.letter,
               time=text)  # fmt: skip


def take_turns(book: Reads, cook_id: str, on: str | bool) -> Step:
    """What wants one place at one time goes one after the other ("yes"), or stands as planned."""
    cook = book.get(Cook, cook_id)
    turns = on in (True, "yes")
    said = msg("in turns at one place") if turns else msg("no turns")
    label = msg("Cook day {number}: {said}", number=cook.number, said=said)
    return rewrite(book, cook, label, turns=turns)

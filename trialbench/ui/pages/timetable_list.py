"""The acts of a timetable as lines of the wall list, and the methods' ways through its columns."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from datetime import datetime, timedelta

from trialbench.model.kitchen_clock import ClockChange
from trialbench.model.message import Message, msg, say
from trialbench.planning.timetable import Span, Timetable
from trialbench.planning.timetable_acts import Act, second_run, spoken, times_of
from trialbench.planning.timetable_margin import line_of
from trialbench.planning.timetable_places import TABLE
from trialbench.planning.timetable_words import about_words, clock_words
from trialbench.ui.runs import Item, Run
from trialbench.ui.values import Value
from trialbench.ui.wall_list import Gap, WallEntry
from trialbench.ui.wall_strands import Stop, Strand

_SOON, _LONG = timedelta(minutes=45), timedelta(hours=3)

ValueOf = Callable[[Span], Value]
"""The place to write how long a stage is expected to take."""


def entries_of(table: Timetable, acts: Sequence[Act], value_of: ValueOf) -> list[WallEntry]:
    """One line an act, and one where the clock goes forward or back."""
    times, shown = times_of(table, acts), set[tuple[str, str | None]]()
    lines: list[tuple[datetime | None, WallEntry]] = [
        (act.at, _entry(table, (act, time), value_of, shown))
        for act, time in zip(acts, times, strict=True)
    ]
    for change in table.changes:
        place = next(n for n, (at, _) in enumerate(lines) if at and at >= change.instant)
        lines.insert(place, (change.instant, _change(change)))
    return [entry for _, entry in _spaced(lines)]


def _entry(
    table: Timetable,
    line: tuple[Act, Message | str],
    value_of: ValueOf,
    shown: set[tuple[str, str | None]],
) -> WallEntry:
    act, time = line
    items: list[Item] = [Run(act.says)]
    run = second_run(table, act)
    if run is not None:
        items.append(Run(msg(" ({which})", which=run), colour="pencil"))
    if act.asks is not None:
        items += _asked(table, act.asks, value_of, shown)
    said = spoken(table, act, time)
    if run is not None:
        said = msg("{said}, {which}", said=said, which=run)
    return WallEntry(line_of(act), time or "\u2013", tuple(items), said)


def _asked(
    table: Timetable, span: Span, value_of: ValueOf, shown: set[tuple[str, str | None]]
) -> list[Item]:
    """The place to write how long; what is written for several lines is written in the first."""
    key = value_key(table, span)
    if key in shown:
        return [Run(msg(" About {time}.", time=about_words(span)))] if span.lasts else []
    shown.add(key)
    return [Run(msg(" About ")), value_of(span), Run(".")]


def _change(change: ClockChange) -> WallEntry:
    time = clock_words(change.before, None)
    after = f"{change.after:%H:%M}"
    if change.forward:
        says = msg("The clock goes forward to {after}: this hour is missing.", after=after)
    else:
        says = msg("The clock goes back to {after}: that hour comes twice.", after=after)
    said = msg("{time}, {says}", time=time, says=says)
    items = (Run(says, italic=True, colour="pencil"),)
    return WallEntry(f"clock:{change.instant.isoformat()}", time, items, said, colour="pencil")


def _spaced(
    lines: list[tuple[datetime | None, WallEntry]],
) -> Iterable[tuple[datetime | None, WallEntry]]:
    """More room where more time passes, not to scale."""
    for number, (at, entry) in enumerate(lines):
        then = lines[number + 1][0] if number + 1 < len(lines) else None
        if number + 1 == len(lines):
            yield at, entry
            continue
        gap: Gap = "wide"
        if at is not None and then is not None:
            passed = then - at
            gap = "small" if passed <= _SOON else "wide" if passed <= _LONG else "wider"
        yield at, replace(entry, after=gap)


def places_of(table: Timetable, acts: Sequence[Act]) -> list[str]:
    """The columns, in the order in which the food comes to them; the table is the last."""
    found: dict[str, str] = {}
    for act in acts:
        if act.spans:
            found.setdefault(act.place.casefold(), act.place)
    last = say(TABLE)
    found.pop(last.casefold(), None)
    return [*found.values(), last] if acts else []


def strands_of(
    table: Timetable, acts: Sequence[Act], entries: Sequence[WallEntry], places: Sequence[str]
) -> list[Strand]:
    """Every method's way through the columns, by letter."""
    row = {entry.key: number for number, entry in enumerate(entries)}
    column = {place.casefold(): number for number, place in enumerate(places)}
    found = []
    for method in table.methods:
        stops = [
            Stop(row[line_of(act)], column[act.place.casefold()], _label(act, method.id))
            for act in acts
            if method.letter in act.letters
        ]
        loose = method.id in table.dropped
        found.append(Strand(method.letter, tuple(stops), loose))
    return found


def _label(act: Act, method_id: str) -> str:
    span = next((s for s in act.spans if s.method.id == method_id), None)
    if span is None or not span.lasts:
        return ""
    said = about_words(span)
    return say(msg("about {time}", time=said)) if span.about and said else said


def next_words(table: Timetable, act: Act, now: datetime) -> Message:
    """The next act with its clock time, for the head of the page."""
    assert act.at is not None
    time = clock_words(table.clock.shown(act.at), table.clock.shown(now).date())
    return msg("{time}: {act}", time=time, act=act.says)


def is_today(table: Timetable, acts: Sequence[Act], now: datetime) -> bool:
    """Whether the cook day is going on: from 12 hours before its first act to the table."""
    timed = [act.at for act in acts if act.at is not None]
    if not timed or table.serve is None:
        return False
    return min(timed) - timedelta(hours=12) <= now <= table.serve


def value_key(table: Timetable, span: Span) -> tuple[str, str | None]:
    """For whom an expected time is written: (stage id, None) where all have one stage alike."""
    alike = [s for s in table.spans if s.stage.id == span.stage.id]
    if span.expected is not None:
        return span.stage.id, span.expected.method_id
    if all(s.stage == span.stage for s in alike):
        return span.stage.id, None
    return span.stage.id, span.method.id

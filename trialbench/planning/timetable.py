"""The timetable of a cook day: reckoned back from the serving moment, every method on one list.

    timetable_of(book, cook_id) -> Timetable      spans, acts, clashes, room to spare, what is asked

The last stage of every method ends at the serving moment; each stage ends where the next begins. A
stage takes the time that is written, else the time it is expected to take; without either the acts
before it have no clock time and the stage is asked for. Instants are aware and in UTC; the clock of
the kitchen says what they look like there.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta

from trialbench.model.kitchen_clock import ClockChange, KitchenClock, instant_of
from trialbench.model.records import Cook, Expected, Method, Replan, Stage
from trialbench.notebook import views
from trialbench.notebook.records_read import Reads
from trialbench.planning.timetable_places import place_of

AT_ONCE = frozenset({"prepare", "trim", "salt", "wrap", "slice", "serve"})
"""Stages that take no time of their own where none is written."""

CAN_STAND = frozenset({"prepare", "trim", "salt", "soak", "chill"})
"""Stages at the beginning that all methods begin together: what goes on later stands longer."""

NO_TIME = timedelta(0)
_MOST_TURNS = 60


@dataclass(frozen=True, slots=True)
class Span:
    """One stage of one method on the clock. `number` is its place on the Methods page, from 1.

    `start` and `end` are None while a later stage waits for its time. `lasts` is what it takes,
    None where that is not known; `about` where it ends by a core temperature or by feel. `waits` is
    the time that the food stands after it before the next stage. `named` says whether its place was
    written or only follows from the kind of stage. `expected` is the record it was read from.
    """

    method: Method
    stage: Stage
    number: int
    place: str
    named: bool
    lasts: timedelta | None
    about: bool = False
    expected: Expected | None = None
    start: datetime | None = None
    end: datetime | None = None
    waits: timedelta = NO_TIME

    @property
    def key(self) -> tuple[str, str]:
        """Method id and stage id."""
        return self.method.id, self.stage.id

    @property
    def ends_by_itself(self) -> bool:
        """Whether it ends by a core temperature or by feel, so that its time is only expected."""
        return self.stage.end_core_c is not None or bool(self.stage.end_feel)


@dataclass(frozen=True, slots=True)
class Clash:
    """Two stages that want one place at one time, at different temperatures."""

    place: str
    first: Span
    second: Span
    start: datetime
    end: datetime


@dataclass(frozen=True, slots=True)
class Late:
    """A re-plan as it moves the clock: the span that took longer, and what gave way."""

    replan: Replan
    span: Span | None
    others: tuple[tuple[Span, str], ...] = ()
    """The spans of other methods that got longer, with "holds" or "waits"."""


@dataclass(frozen=True, slots=True)
class Timetable:
    """Everything on the clock. `serve` is the moment as re-planned, None while it is not written.

    `spans` are by method letter and stage; `dropped` are the ids of methods and pieces that are no
    longer cooked on. `lates` are the re-plans in the order in which they were made.
    """

    cook: Cook
    clock: KitchenClock
    methods: tuple[Method, ...]
    spans: tuple[Span, ...]
    serve: datetime | None = None
    clashes: tuple[Clash, ...] = ()
    lates: tuple[Late, ...] = ()
    dropped: frozenset[str] = frozenset()

    def of(self, method_id: str) -> tuple[Span, ...]:
        """The spans of one method in order."""
        return tuple(span for span in self.spans if span.method.id == method_id)

    def span(self, method_id: str | None, stage_id: str | None) -> Span | None:
        """One stage of one method."""
        return next((s for s in self.spans if s.key == (method_id, stage_id)), None)

    @property
    def asked(self) -> tuple[Span, ...]:
        """The stages whose time is not known."""
        return tuple(span for span in self.spans if span.lasts is None)

    @property
    def changes(self) -> tuple[ClockChange, ...]:
        """Where the clock goes forward or back between the first act and the table."""
        starts = [span.start for span in self.spans if span.start is not None]
        if self.serve is None or not starts:
            return ()
        return tuple(self.clock.changes(min(starts), self.serve))

    @property
    def order(self) -> Mapping[str, int]:
        """Method id to its turn: the one that lots let start first, then by letter."""
        ids = [method.id for method in self.methods]
        ids.sort(key=lambda i: i != self.cook.starts_id)
        return {identity: turn for turn, identity in enumerate(ids)}


@dataclass
class _Moves:
    """What re-plans and turns did: longer and shorter stages, waits, and a later table."""

    longer: dict[tuple[str, str], timedelta] = field(default_factory=dict)
    waits: dict[tuple[str, str], timedelta] = field(default_factory=dict)
    later: timedelta = NO_TIME

    def take(self, where: dict[tuple[str, str], timedelta], span: Span, by: timedelta) -> None:
        where[span.key] = where.get(span.key, NO_TIME) + by


def timetable_of(book: Reads, cook_id: str) -> Timetable:
    """The timetable of a cook day, with turns taken and re-plans followed."""
    cook = book.get(Cook, cook_id)
    clock = KitchenClock(views.cover(book).zone, cook.offset_min)
    there = views.methods(book, cook.trial_id)
    spans = tuple(span for method in there for span in _spans(book, method))
    serve = instant_of(cook.serve_utc) if cook.serve_utc else None
    bare = Timetable(cook, clock, there, spans, serve)
    moves = _Moves()
    table = _reckoned(bare, moves)
    if cook.turns:
        table = _in_turns(bare, moves, table)
    table = _followed(bare, moves, table, book.all(Replan, cook_id=cook_id))
    return replace(table, clashes=clashes_in(table))


def _spans(book: Reads, method: Method) -> list[Span]:
    number = {s.id: n for n, s in enumerate(views.stages(book, method.trial_id), start=1)}
    found = []
    for stage in views.method_stages(book, method.id):
        place, named = place_of(stage)
        expected = expected_of(book, stage.id, method.id)
        lasts = _lasts(stage, expected)
        span = Span(method, stage, number[stage.id], place, named, lasts)
        about = span.ends_by_itself and lasts is not None
        found.append(replace(span, about=about, expected=expected))
    return found


def expected_of(book: Reads, stage_id: str, method_id: str) -> Expected | None:
    """How long a stage is expected to take: as said for the method, else for all of them."""
    there = book.all(Expected, stage_id=stage_id)
    own = next((e for e in there if e.method_id == method_id), None)
    return own or next((e for e in there if e.method_id is None), None)


def _lasts(stage: Stage, expected: Expected | None) -> timedelta | None:
    if stage.duration_s is not None:
        return timedelta(seconds=stage.duration_s)
    if expected is not None:
        return timedelta(seconds=expected.duration_s)
    if stage.knife_to_mouth_min is not None and stage.stage_kind in ("slice", "serve"):
        return timedelta(minutes=stage.knife_to_mouth_min)
    ends = stage.end_core_c is not None or bool(stage.end_feel)
    return NO_TIME if stage.stage_kind in AT_ONCE and not ends else None


def _reckoned(bare: Timetable, moves: _Moves) -> Timetable:
    """The spans set on the clock, back from the table."""
    serve = bare.serve + moves.later if bare.serve is not None else None
    spans = [s for m in bare.methods for s in _back(bare.of(m.id), serve, moves)]
    return replace(bare, serve=serve, spans=_begun_together(bare.methods, spans))


def _back(spans: Sequence[Span], serve: datetime | None, moves: _Moves) -> list[Span]:
    end, found = serve, []
    for span in reversed(spans):
        waits = moves.waits.get(span.key, NO_TIME)
        end = end - waits if end is not None else None
        lasts = span.lasts
        if lasts is not None:
            lasts += moves.longer.get(span.key, NO_TIME)
        start = end - lasts if end is not None and lasts is not None else None
        found.append(replace(span, lasts=lasts, start=start, end=end, waits=waits))
        end = start
    return found[::-1]


def _begun_together(methods: Sequence[Method], spans: list[Span]) -> tuple[Span, ...]:
    """Stages at the beginning that can stand are begun at one time for all methods."""
    rows = {m.id: [s for s in spans if s.method.id == m.id] for m in methods}
    for place in range(min((len(row) for row in rows.values()), default=0)):
        at = [row[place] for row in rows.values()]
        starts = [span.start for span in at if span.start is not None]
        together = len({span.stage.id for span in at}) == 1 and len(starts) == len(at)
        if not together or at[0].stage.stage_kind not in CAN_STAND:
            break
        for row in rows.values():
            row[place] = replace(row[place], start=min(starts))
            if place:
                row[place - 1] = replace(row[place - 1], end=min(starts))
    return tuple(span for row in rows.values() for span in row)


# --- one place at one time --------------------------------------------------------------------


def clashes_in(table: Timetable) -> tuple[Clash, ...]:
    """Stages of different methods that want one named place at one time.

    A place takes one thing at a time, or several at one set temperature.
    """
    found = []
    named = [s for s in table.spans if s.named and s.start is not None and s.end is not None]
    named = [s for s in named if s.method.id not in table.dropped]
    for number, one in enumerate(named):
        for other in named[number + 1 :]:
            clash = _clash(one, other, table)
            if clash is not None:
                found.append(clash)
    return tuple(sorted(found, key=lambda c: c.start))


def _clash(one: Span, other: Span, table: Timetable) -> Clash | None:
    if one.method.id == other.method.id or one.place.casefold() != other.place.casefold():
        return None
    if same_temperature(one.stage, other.stage):
        return None
    assert one.start and one.end and other.start and other.end
    start, end = max(one.start, other.start), min(one.end, other.end)
    if start >= end:
        return None
    order = table.order
    first, second = sorted((one, other), key=lambda s: order[s.method.id])
    return Clash(one.place, first, second, start, end)


def same_temperature(one: Stage, other: Stage) -> bool:
    """Whether two stages want a place at one temperature (to half a degree), or at none."""
    if one.set_temp_c is None or other.set_temp_c is None:
        return one.set_temp_c is other.set_temp_c
    return abs(one.set_temp_c - other.set_temp_c) <= 0.5


def _in_turns(bare: Timetable, moves: _Moves, table: Timetable) -> Timetable:
    """Move what goes first to before what goes second, the latest clash first."""
    for _ in range(_MOST_TURNS):
        found = clashes_in(table)
        if not found:
            break
        clash = max(found, key=lambda c: c.end)
        assert clash.first.end is not None and clash.second.start is not None
        moves.take(moves.waits, clash.first, clash.first.end - clash.second.start)
        table = _reckoned(bare, moves)
    return table


# --- when something ran late ------------------------------------------------------------------


def _followed(
    bare: Timetable, moves: _Moves, table: Timetable, replans: Sequence[Replan]
) -> Timetable:
    lates: list[Late] = []
    dropped: set[str] = set()
    for each in replans:
        span = table.span(each.method_id, each.stage_id)
        by = timedelta(seconds=each.late_s)
        others: tuple[tuple[Span, str], ...] = ()
        if each.choice == "drop":
            dropped.add(each.piece_id or each.method_id or "")
        elif span is not None:
            others = _moved(table, moves, span, by, each.choice)
        lates.append(Late(each, span, others))
        table = _reckoned(bare, moves)
    return replace(table, lates=tuple(lates), dropped=frozenset(dropped))


def _moved(
    table: Timetable, moves: _Moves, span: Span, by: timedelta, choice: str
) -> tuple[tuple[Span, str], ...]:
    """Let a span take longer; returns the spans that gave way."""
    moves.take(moves.longer, span, by)
    if choice == "hold_longer":
        return _given(table, moves, span, by)
    moves.later += by
    others = []
    for method in table.methods:
        if method.id != span.method.id and method.id not in table.dropped:
            where, how = where_it_waits(table, method.id, span.end)
            if where is not None:
                moves.take(moves.longer if how == "holds" else moves.waits, where, by)
                others.append((where, how))
    return tuple(others)


def _given(
    table: Timetable, moves: _Moves, span: Span, by: timedelta
) -> tuple[tuple[Span, str], ...]:
    """Take the time from the holds after a span."""
    taken = []
    for hold in holds_after(table, span):
        part = min(by, hold.lasts or NO_TIME)
        if part:
            moves.take(moves.longer, hold, -part)
            taken.append((hold, "shorter"))
            by -= part
    return tuple(taken)


def holds_after(table: Timetable, span: Span) -> tuple[Span, ...]:
    """The holds that a method still has after a stage: the room to spare."""
    own = table.of(span.method.id)
    after = own[own.index(span) + 1 :] if span in own else ()
    return tuple(s for s in after if s.stage.stage_kind == "hold" and s.lasts)


def where_it_waits(
    table: Timetable, method_id: str, late: datetime | None
) -> tuple[Span | None, str]:
    """What gets longer in another method when the table waits: its hold ("holds"), else the food
    stands after the stage that it is in ("waits"); None while nothing of it was begun.
    """
    own = [s for s in table.of(method_id) if s.start is not None and s.end is not None]
    begun = [s for s in own if late is not None and s.start is not None and s.start <= late]
    if late is None or not begun:
        return None, ""
    still = [s for s in own if s.end is not None and s.end > late]
    hold = next((s for s in still if s.stage.stage_kind == "hold"), None)
    if hold is not None:
        return hold, "holds"
    now = begun[-1]
    return (now, "holds") if now.stage.stage_kind in CAN_STAND else (now, "waits")

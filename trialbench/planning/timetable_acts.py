"""The acts of a timetable in the order of the clock: one line of the list each."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from trialbench.model.message import Message, msg, say
from trialbench.notebook.records_read import Reads
from trialbench.planning.safety import in_a_row
from trialbench.planning.timetable import Span, Timetable
from trialbench.planning.timetable_places import TABLE
from trialbench.planning.timetable_words import (
    TO_THE_TABLE,
    act_words,
    clock_words,
    letters_words,
    out_words,
)


@dataclass(frozen=True, slots=True)
class Act:
    """Something to do. `at` is an instant, None where the time is not known yet.

    `spans` begin with it, one a method, none where everything comes to the table. `key` names the
    line and stays the same when its time changes; `place` is where the food goes.
    """

    key: str
    at: datetime | None
    letters: tuple[str, ...]
    says: Message
    place: str
    spans: tuple[Span, ...] = ()

    @property
    def asks(self) -> Span | None:
        """The span whose expected time stands in this line, where it ends by itself or unsaid."""
        span = self.spans[0] if self.spans else None
        if span is None or span.stage.duration_s is not None:
            return None
        return span if span.expected is not None or span.lasts is None else None


def acts_of(book: Reads, table: Timetable) -> tuple[Act, ...]:
    """Every act, earliest first; those without a time come first, in the order of the stages."""
    groups: dict[tuple[object, ...], list[tuple[Span | None, Span]]] = {}
    for method in table.methods:
        before: Span | None = None
        for span in table.of(method.id):
            if not _is_dropped(table, span):
                groups.setdefault(_together(before, span), []).append((before, span))
            before = span
    found = [_act(book, table, group) for group in groups.values()]
    left = [m for m in table.methods if m.id not in table.dropped]
    if left and table.spans:
        letters = tuple(m.letter for m in left)
        found.append(Act("table", table.serve, letters, TO_THE_TABLE, say(TABLE)))
    return tuple(sorted(found, key=lambda act: _order(table, act)))


def _is_dropped(table: Timetable, span: Span) -> bool:
    """Whether a method was dropped before this stage began."""
    if span.method.id not in table.dropped:
        return False
    late = next(t for t in table.lates if t.replan.method_id == span.method.id
                and t.replan.choice == "drop")  # fmt: skip
    return late.span is None or span.number > late.span.number


def _together(before: Span | None, span: Span) -> tuple[object, ...]:
    """What acts must have alike to stand in one line."""
    stage, ended = span.stage, before.stage if before else None
    ends = (ended.end_core_c, ended.end_feel) if ended else None
    return (span.start, stage, span.place, span.lasts, ends, span.expected)


def _act(book: Reads, table: Timetable, group: Sequence[tuple[Span | None, Span]]) -> Act:
    order = table.order
    group = sorted(group, key=lambda pair: order[pair[1].method.id])
    spans = sorted((span for _, span in group), key=lambda s: s.method.letter)
    letters = tuple(span.method.letter for span in spans)
    before, span = group[0]
    says = act_words(book, table, spans)
    out = out_words(book, before, letters) if before is not None else None
    if out is not None:
        says = in_a_row([out, says])
    key = f"{span.stage.id}:{spans[0].method.letter}"
    return Act(key, span.start, letters, says, span.place, tuple(spans))


def _order(table: Timetable, act: Act) -> tuple[float, ...]:
    """By the clock; at one moment by what must be done before it, then by turn."""
    if not act.spans:
        return (2.0, 0.0, 0.0, 0.0, 0.0)
    turn = min(table.order[span.method.id] for span in act.spans)
    number = act.spans[0].number
    if act.at is None:
        return (0.0, number, turn, 0.0, 0.0)
    before = max(
        sum(s.start == act.at and s.number < span.number for s in table.of(span.method.id))
        for span in act.spans
    )
    return (1.0, act.at.timestamp(), before, turn, number)


def times_of(table: Timetable, acts: Iterable[Act]) -> tuple[Message | str, ...]:
    """The clock time of every act, with the day at its change; "" where it is not known.

    Where the clock goes back an hour comes twice: times of its second run say so.
    """
    said: list[Message | str] = []
    last: date | None = None
    for act in acts:
        if act.at is None:
            said.append("")
            continue
        shown = table.clock.shown(act.at)
        said.append(clock_words(shown, last))
        last = shown.date()
    return tuple(said)


def second_run(table: Timetable, act: Act) -> Message | None:
    """Which of the two, for an act in an hour that comes twice."""
    if act.at is None:
        return None
    twice = table.clock.instants(table.clock.shown(act.at).replace(second=0, microsecond=0))
    if len(twice) < 2:
        return None
    first = act.at < twice[1]
    return msg("before the clock goes back") if first else msg("after the clock goes back")


def spoken(table: Timetable, act: Act, time: Message | str) -> Message:
    """The line as a reader hears it: "10:40, put A in the oven, strand A"."""
    when = time or msg("time not known yet")
    return msg("{time}, {act}, strand {letters}", time=when, act=act.says,
               letters=letters_words(act.letters))  # fmt: skip


def next_act(acts: Iterable[Act], now: datetime) -> Act | None:
    """The first act that is still to come."""
    return next((act for act in acts if act.at is not None and act.at >= now), None)

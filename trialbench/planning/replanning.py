"""When a piece runs late: three ways, what each does to the clock and to the finding.

ways(table, span, late, what) -> three Way values     before one is chosen
rider_messages(book, trial_id) -> messages            what the finding says of those chosen
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import timedelta

from trialbench.model.message import Message, msg
from trialbench.model.quantities import show_duration
from trialbench.model.records import Cook, Piece, Replan, Trial
from trialbench.notebook import views
from trialbench.notebook.records_read import Reads
from trialbench.planning.safety import in_a_row
from trialbench.planning.stage_words import listed, the_stage
from trialbench.planning.timetable import (
    NO_TIME,
    Late,
    Span,
    Timetable,
    holds_after,
    timetable_of,
    where_it_waits,
)

SERVE_LATE, HOLD_LONGER, DROP = "serve_late", "hold_longer", "drop"


@dataclass(frozen=True, slots=True)
class Way:
    """One way out. `clock` and `finding` say what it does; `why_not` why it cannot be taken."""

    choice: str
    name: Message
    clock: Message
    finding: Message
    why_not: Message | None = None


def ways(table: Timetable, span: Span, late: timedelta, what: str, trial: Trial) -> tuple[Way, ...]:
    """The three ways out when `what` (a letter, or a piece's label) is `late` in a stage."""
    return (
        _serve_late(table, span, late, trial),
        _hold_longer(table, span, late, trial),
        _drop(table, span, what),
    )


def _time(by: timedelta) -> str:
    return show_duration(by.total_seconds())


def _serve_late(table: Timetable, span: Span, late: timedelta, trial: Trial) -> Way:
    assert table.serve is not None
    old, new = (f"{table.clock.shown(t):%H:%M}" for t in (table.serve, table.serve + late))
    clock = msg("On the table at {new} instead of {old}.", new=new, old=old)
    gave = []
    for method in table.methods:
        if method.id != span.method.id and method.id not in table.dropped:
            where, how = where_it_waits(table, method.id, span.end)
            if where is not None:
                gave.append((where, how))
    finding = msg("Nothing new differs: nothing else was begun, all of it moves.")
    if gave:
        longer = listed([_gave(where, how, late) for where, how in gave])
        finding = in_a_row([msg("A rider: {longer}.", longer=longer), _could(trial, gave[0][0])])
    return Way(SERVE_LATE, msg("Serve late"), clock, finding)


def _gave(where: Span, how: str, late: timedelta) -> Message:
    letter, time, stage = where.method.letter, _time(late), the_stage(where.stage)
    if how == "waits":
        return msg("{letter} kept waiting {time} after {stage}", letter=letter, time=time,
                   stage=stage)  # fmt: skip
    if how == "shorter":
        return msg("{stage} of {letter} {time} shorter", letter=letter, time=time, stage=stage)
    return msg("{stage} of {letter} {time} longer", letter=letter, time=time, stage=stage)


def _could(trial: Trial, span: Span) -> Message:
    """What it means for the finding: "If one comes out juicier, the hold could be why." """
    stage = the_stage(span.stage)
    if trial.came_out:
        return msg("If one comes out {word}, {stage} could be why.", word=trial.came_out,
                   stage=stage)  # fmt: skip
    return msg("If one comes out better, {stage} could be why.", stage=stage)


def _hold_longer(table: Timetable, span: Span, late: timedelta, trial: Trial) -> Way:
    name = msg("A longer hold for the other")
    assert table.serve is not None
    at = f"{table.clock.shown(table.serve):%H:%M}"
    holds = holds_after(table, span)
    room = sum((h.lasts or NO_TIME for h in holds), NO_TIME)
    letter = span.method.letter
    clock = msg("On the table at {time} as planned.", time=at)
    if not holds:
        why = msg("{letter} has no hold after this that could give time.", letter=letter)
        return Way(HOLD_LONGER, name, clock, why, why)
    if late > room:
        why = msg("The hold of {letter} has {room} to give, and this takes {late}.", letter=letter,
                  room=_time(room), late=_time(late))  # fmt: skip
        return Way(HOLD_LONGER, name, clock, why, why)
    others = listed([m.letter for m in table.methods
                     if m.id != span.method.id and m.id not in table.dropped])  # fmt: skip
    rider = msg("A rider: the hold of {others} is {late} longer than that of {letter}.",
                others=others, late=_time(late), letter=letter)  # fmt: skip
    return Way(HOLD_LONGER, name, clock, in_a_row([rider, _could(trial, holds[0])]))


def _drop(table: Timetable, span: Span, what: str) -> Way:
    clock = msg("Everything else as planned, without {what}.", what=what)
    finding = msg(
        "{what} is missing, and never filled in. The finding says that it was late, and why.",
        what=what,
    )
    if what == span.method.letter:
        finding = msg(
            "This cook day no longer compares {letter}. The finding says that it was late.",
            letter=what,
        )
    return Way(DROP, msg("Drop it"), clock, finding)


# --- what the finding says --------------------------------------------------------------------


def rider_messages(book: Reads, trial_id: str) -> Iterator[Message]:
    """What re-plans and turns at one place did on every cook day, in words for the finding."""
    for cook in views.cooks(book, trial_id):
        if cook.turns or book.all(Replan, cook_id=cook.id):
            yield from riders_of_cook(book, cook)


def riders_of_cook(book: Reads, cook: Cook) -> Iterator[Message]:
    """The riders of one cook day."""
    table, trial = timetable_of(book, cook.id), book.get(Trial, cook.trial_id)
    for late in table.lates:
        yield _rider(book, table, late, trial)
    late_waits = {where.key for late in table.lates for where, how in late.others if how == "waits"}
    for span in table.spans:
        if cook.turns and span.waits and span.key not in late_waits:
            yield msg(
                "Cook day {number}: {letter} waits {time} after {stage}, in turns at one place.",
                number=cook.number,
                letter=span.method.letter,
                time=_time(span.waits),
                stage=the_stage(span.stage),
            )


def _rider(book: Reads, table: Timetable, late: Late, trial: Trial) -> Message:
    replan = late.replan
    by = timedelta(seconds=replan.late_s)
    first = msg(
        "Cook day {number}: {what} ran {time} late in {stage}{why}",
        number=table.cook.number,
        what=what_is_late(book, table, late),
        time=_time(by),
        stage=the_stage(late.span.stage) if late.span else msg("the cook"),
        why=msg(" ({reason})", reason=replan.reason) if replan.reason else "",
    )
    if replan.choice == DROP:
        return msg("{late}. It was dropped.", late=first)
    if not late.others:
        return msg("{late}. All was served later by as much.", late=first)
    gave = listed([_gave(where, how, by) for where, how in late.others])
    if replan.choice == HOLD_LONGER:
        others = listed([m.letter for m in table.methods if m.id != replan.method_id])
        said = msg("{late}, and was served on time: {gave}, so that of {others} was longer by it.",
                   late=first, gave=gave, others=others)  # fmt: skip
    else:
        said = msg("{late}, and all was served later: {gave}.", late=first, gave=gave)
    return in_a_row([said, _could(trial, late.others[0][0])])


def what_is_late(book: Reads, table: Timetable, late: Late) -> str:
    """A piece by its label, else the letter of its method."""
    piece = book.find(Piece, late.replan.piece_id)
    if piece is not None:
        return piece.label
    return next((m.letter for m in table.methods if m.id == late.replan.method_id), "\u2013")


def late_pieces(book: Reads, table: Timetable) -> Sequence[Piece]:
    """The pieces that can be late: drawn, and not dropped."""
    there = views.pieces(book, table.cook.id)
    return [p for p in there if p.method_id and p.id not in table.dropped]

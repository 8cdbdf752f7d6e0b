"""The margin of the timetable: what wants one place, where there is room, what is not known yet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import datetime

from trialbench.model.margin import Margin, MarginNote, NoteVerb
from trialbench.model.message import Message, msg, msg_n
from trialbench.model.quantities import show_duration, show_temp
from trialbench.model.records import Stage, Trial
from trialbench.notebook import views
from trialbench.notebook.acts.serving_typed import said_moment
from trialbench.notebook.records_read import Reads
from trialbench.planning.past_times import hint
from trialbench.planning.safety import caution_notes
from trialbench.planning.stage_words import listed, stage_name, the_stage
from trialbench.planning.timetable import Clash, Span, Timetable
from trialbench.planning.timetable_acts import Act
from trialbench.planning.timetable_places import NEEDS_NO_NAME
from trialbench.planning.timetable_words import letters_words

SERVING, LIST = "serving", "list"
LATE = "late"


def margin_of_timetable(book: Reads, table: Timetable, acts: Sequence[Act]) -> Margin:
    """Notes beside "act:<key>", "serving", "late" and "list"."""
    if not table.spans:
        return Margin(msg("The timetable is reckoned from the stages of the Methods page."))
    lines = {span.key: act for act in acts for span in act.spans}
    notes = (
        *_cautions(book, table, acts),
        *_clashes(book, table, lines),
        *_turns(table, lines),
        *_asked(book, table, lines),
        *_clock_changes(table),
        *_apart(table, lines),
        *_room(table, lines),
        *_places(table),
    )
    return Margin(_standing(table), notes)


def line_of(act: Act) -> str:
    """The page's name of an act's line."""
    return f"act:{act.key}"


def _standing(table: Timetable) -> Message:
    if table.serve is None:
        return msg("Write when it is to be on the table. Everything is reckoned back from there.")
    return msg("Reckoned back from the table, {moment}.",
               moment=said_moment(table.clock.shown(table.serve)))  # fmt: skip


def _hour(table: Timetable, at: datetime) -> str:
    return f"{table.clock.shown(at):%H:%M}"


Lines = dict[tuple[str, str], Act]


def _cautions(book: Reads, table: Timetable, acts: Sequence[Act]) -> Iterator[MarginNote]:
    """Cautions on food stand beside the act that begins their stage."""
    for note in caution_notes(book, table.cook.trial_id):
        stage_id = note.line.partition(":")[2]
        act = next((a for a in acts if any(s.stage.id == stage_id for s in a.spans)), None)
        if act is None:
            continue
        name = stage_name(book.get(Stage, stage_id))
        label = msg("{stage}: watch", stage=name)
        if act.at is not None:
            label = msg("{time} {stage}: watch", time=_hour(table, act.at), stage=name)
        yield replace(note, line=line_of(act), label=label)


def _clashes(book: Reads, table: Timetable, lines: Lines) -> Iterator[MarginNote]:
    unit = views.cover(book).temperature_unit
    for clash in table.clashes:
        act = lines.get(_later(clash).key)
        if act is None:
            continue
        label = msg("{time}: two things want one place", time=_hour(table, clash.start))
        says = [_wants(clash, unit), _who_first(table, clash)]
        verbs = (
            NoteVerb(
                msg("Take turns, {letter} first", letter=clash.first.method.letter),
                "take_turns",
                (table.cook.id, "yes"),
            ),
            NoteVerb(msg("Write another place on the Methods page"), "open_page", ("methods",)),
        )
        yield MarginNote(line_of(act), "differs", label, tuple(says), verbs, dear=90)


def _later(clash: Clash) -> Span:
    """The one that comes when the other is there already."""
    return clash.first if clash.first.start == clash.start else clash.second


def _wants(clash: Clash, unit: str) -> Message:
    at = [
        show_temp(s.stage.set_temp_c, unit) if s.stage.set_temp_c is not None
        else msg("no temperature written") for s in (clash.first, clash.second)
    ]  # fmt: skip
    return msg(
        "{place}: {one} for {first} and {two} for {second}, {time} at once.",
        place=clash.place,
        one=at[0],
        first=clash.first.method.letter,
        two=at[1],
        second=clash.second.method.letter,
        time=show_duration((clash.end - clash.start).total_seconds()),
    )


def _who_first(table: Timetable, clash: Clash) -> Message:
    first = clash.first
    assert first.end is not None and clash.second.start is not None
    waits = show_duration((first.end - clash.second.start).total_seconds())
    if table.cook.starts_id == first.method.id:
        return msg("Lots let {letter} start first: in turns it waits {time} before what follows.",
                   letter=first.method.letter, time=waits)  # fmt: skip
    return msg("In turns {letter} waits {time} before what follows, and the finding says so.",
               letter=first.method.letter, time=waits)  # fmt: skip


def _turns(table: Timetable, lines: Lines) -> Iterator[MarginNote]:
    if not table.cook.turns:
        return
    for span in table.spans:
        act = lines.get(span.key)
        if span.waits and act is not None and span.end is not None:
            label = msg("{time}: {letter} waits", time=_hour(table, span.end),
                        letter=span.method.letter)  # fmt: skip
            says = msg("It stands {time} after {stage}. The finding names it.",
                       time=show_duration(span.waits.total_seconds()),
                       stage=the_stage(span.stage))  # fmt: skip
            verb = NoteVerb(msg("Both at once again"), "take_turns", (table.cook.id, "no"))
            yield MarginNote(line_of(act), "differs", label, (says,), (verb,), dear=75)


def _asked(book: Reads, table: Timetable, lines: Lines) -> Iterator[MarginNote]:
    trial = book.get(Trial, table.cook.trial_id)
    shown: set[str] = set()
    for span in table.spans:
        act = lines.get(span.key)
        if act is None or act.asks is None or act.key in shown:
            continue
        shown.add(act.key)
        past = hint(book, trial, span.stage)
        label = msg("{stage} of {letters}: how long?", stage=stage_name(span.stage),
                    letters=letters_words(act.letters))  # fmt: skip
        if span.lasts is None:
            says = msg("It ends by itself. Say about how long it takes: what comes before hangs "
                       "on it.")  # fmt: skip
            verb = NoteVerb(msg("Write how long"), "go_to", (line_of(act),))
            notes = (says, past) if past else (says,)
            yield MarginNote(line_of(act), "missing", label, notes, (verb,), dear=80)
        elif past is not None:
            label = msg("{stage} of {letters}: in your kitchen", stage=stage_name(span.stage),
                        letters=letters_words(act.letters))  # fmt: skip
            yield MarginNote(line_of(act), "passage", label, (past,), dear=35)


def _clock_changes(table: Timetable) -> Iterator[MarginNote]:
    for change in table.changes:
        before, after = f"{change.before:%H:%M}", f"{change.after:%H:%M}"
        if change.forward:
            label = msg("The clock goes forward")
            says = msg("At {before} it becomes {after}: that night has one hour less. Every time "
                       "here is what the clock will show.", before=before, after=after)  # fmt: skip
        else:
            label = msg("The clock goes back")
            says = msg("At {before} it becomes {after}: that hour comes twice. The list says which "
                       "one it means.", before=before, after=after)  # fmt: skip
        yield MarginNote(f"clock:{change.instant.isoformat()}", "passage", label, (says,), dear=65)


def _apart(table: Timetable, lines: Lines) -> Iterator[MarginNote]:
    """Why a stage that all share is not begun at one time."""
    stages = dict.fromkeys(span.stage.id for span in table.spans)
    for stage_id in stages:
        spans = [s for s in table.spans if s.stage.id == stage_id and s.start is not None]
        starts = {s.start for s in spans}
        if len(spans) < 2 or len(starts) < 2:
            continue
        first = min(spans, key=lambda s: s.start)  # type: ignore[arg-type, return-value]
        last = max(spans, key=lambda s: s.start)  # type: ignore[arg-type, return-value]
        act = lines.get(first.key)
        if act is None or first.start is None or last.start is None:
            return
        label = msg("{early} and {late}: why apart", early=_hour(table, first.start),
                    late=_hour(table, last.start))  # fmt: skip
        says = msg("{letter} takes {time} longer from here to the table.",
                   letter=first.method.letter, time=_gap(first.start, last.start))  # fmt: skip
        yield MarginNote(line_of(act), "passage", label, (says,), dear=30)
        return


def _gap(early: datetime, late: datetime) -> str:
    return show_duration((late - early).total_seconds())


def _room(table: Timetable, lines: Lines) -> Iterator[MarginNote]:
    """What a hold can give: how much later things may come, and what that means."""
    alike: dict[tuple[datetime, float], list[Span]] = {}
    for span in table.spans:
        if span.stage.stage_kind == "hold" and span.lasts and span.start and span.key in lines:
            alike.setdefault((span.start, span.lasts.total_seconds()), []).append(span)
    for (start, room), spans in alike.items():
        label = msg("{time}: room to spare", time=_hour(table, start))
        letters = letters_words(sorted(span.method.letter for span in spans))
        says = (
            msg("{letters} can come up to {room} later and still be on the table in time: the hold "
                "gets shorter by it. Earlier, it gets longer.", letters=letters,
                room=show_duration(room)),
            msg("Where only one comes late, that goes into the finding."),
        )  # fmt: skip
        line = line_of(lines[spans[0].key])
        yield MarginNote(line, "passage", label, says, dear=45)


def _places(table: Timetable) -> Iterator[MarginNote]:
    """Places that only follow from the kind of stage are not checked for two things at once."""
    without = {
        span.stage.id: span for span in table.spans
        if not span.named and span.stage.stage_kind not in NEEDS_NO_NAME
    }  # fmt: skip
    if not without:
        return
    names = listed([the_stage(span.stage) for span in without.values()])
    label = msg_n("{count} place has no name", "{count} places have no name", len(without))
    says = msg(
        "Which cooker, bath or box for {stages}? Named places show where two things want one.",
        stages=names,
    )
    verb = NoteVerb(msg("Name them on the Methods page"), "open_page", ("methods",))
    yield MarginNote(LIST, "missing", label, (says,), (verb,), dear=25)

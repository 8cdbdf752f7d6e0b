"""The timetable, the second leaf of Plan: a cook day on one list, reckoned back from the table."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from functools import partial

from PySide6.QtCore import QTimer, QTimeZone, Slot

from trialbench.model.errors import TrialbenchError
from trialbench.model.kitchen_clock import instant_of
from trialbench.model.margin import Margin, MarginNote
from trialbench.model.message import Message, msg, say
from trialbench.model.records import Cook, Method
from trialbench.model.steps import Step
from trialbench.notebook import views
from trialbench.notebook.acts import serving
from trialbench.notebook.acts.serving_typed import said_moment
from trialbench.planning.replanning import riders_of_cook
from trialbench.planning.timetable import Span, Timetable, timetable_of
from trialbench.planning.timetable_acts import Act, acts_of, next_act
from trialbench.planning.timetable_margin import LATE, LIST, SERVING, margin_of_timetable
from trialbench.planning.timetable_words import about_words
from trialbench.ui.blanks import Blank
from trialbench.ui.leaf import Leaf
from trialbench.ui.page import Desk, Page
from trialbench.ui.pages.numbered_days import NumberedDays
from trialbench.ui.pages.timetable_file import CalendarWriting
from trialbench.ui.pages.timetable_late import LateSection
from trialbench.ui.pages.timetable_list import (
    entries_of,
    is_today,
    next_words,
    places_of,
    strands_of,
    value_key,
)
from trialbench.ui.pages.writing import Writing
from trialbench.ui.runs import Item, Run
from trialbench.ui.text import Line
from trialbench.ui.values import Value
from trialbench.ui.verbs import TextVerb
from trialbench.ui.verbs_table import VerbEntry
from trialbench.ui.wall_list import WallList

_KINDS = frozenset(
    {"trial", "method", "stage", "part", "addition", "expected", "cook", "load", "piece", "replan",
     "checkpoint", "measurement", "cover", "lot", "draw"}
)  # fmt: skip
_SAYS = msg("Hot to one moment. Hang it on the wall.")
_NO_DAY = msg("There is no cook day yet. The Plan says how many there are to be.")
_NO_STAGES = msg("Nothing to reckon from yet: the stages of the Methods page make this list.")
_NO_TIME = msg("Write when it is to be on the table.")
_MOST_WAIT_MS = 3_600_000


class TimetablePage(Page):
    """One cook day at a time; the days stand in one line under the title."""

    key, title = "timetable", msg("Timetable")

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self._cook_id = self._trial_id = ""
        self.table: Timetable | None = None
        self.acts: tuple[Act, ...] = ()
        self._expected: dict[tuple[str, str | None], tuple[Value, Writing]] = {}
        self._writing = CalendarWriting(desk)
        self._writing.changed.connect(self._show_written)
        self._next = QTimer(self)
        self._next.setSingleShot(True)
        self._next.timeout.connect(self._time_passed)

    # --- parts ---------------------------------------------------------------------------------

    def build(self, leaf: Leaf) -> None:
        leaf.set_title(self.title)
        self.empty = Line("standing_sentence")
        self.days = NumberedDays(
            msg("Cook day"), lambda number: msg("Cook day {number}", number=number)
        )
        self.days.chosen.connect(self._open_day)
        self.now = Line("next_act")
        self.moment = Blank(
            msg("when it is on the table"), hint=msg("a day and a time: Saturday 7 March, 18:30"),
            role="sentence",
        )  # fmt: skip
        self.moment_writing = Writing(self.desk, self.moment, "", self._write_moment)
        self.sentence = Line("sentence", [Run(msg("On the table ")), self.moment, Run(".")])
        self.first = Line("cell")
        self.list = WallList(msg("Timetable"))
        self.zone = Value(msg("time zone"), hint=msg("not known, as Europe/London"), role="cell")
        self.zone_writing = Writing(self.desk, self.zone, "cover:zone", self._write_zone)
        self.legend = Line(
            "cell",
            [Run(msg("One column a place. Time runs down, not to scale. Clock of ")), self.zone,
             Run(".")],
            colour="pencil",
        )  # fmt: skip
        self.written = Line("cell", colour="pencil")
        self.late = LateSection(self.desk)
        self.late.changed.connect(self._anchor)
        for part, space in ((self.empty, 0), (self.days, 0), (self.now, 4), (self.sentence, 4),
                            (self.first, 0), (self.written, 4), (self.list, 8), (self.legend, 4),
                            (self.late, 12)):  # fmt: skip
            leaf.add(part, space_px=space)

    def verbs(self) -> tuple[VerbEntry, ...]:
        return (
            VerbEntry("calendar", msg("Write the calendar file"), self._write_file,
                      why=self._why_not),
            VerbEntry("late", msg("Something runs late"), self._something_late,
                      why=self._why_not),
            VerbEntry("back", msg("Back to the plan"), self._back),
            VerbEntry("next_day", msg("Next cook day"), partial(self.days.turn, 1), "Ctrl+PgDown"),
            VerbEntry("day_before", msg("Cook day before"), partial(self.days.turn, -1),
                      "Ctrl+PgUp"),
        )  # fmt: skip

    # --- showing -------------------------------------------------------------------------------

    def refresh(self, kinds: frozenset[str]) -> None:
        if kinds and not kinds & _KINDS:
            return
        book, trial_id = self.desk.notebook, self.desk.trial_id
        if trial_id != self._trial_id:
            self._trial_id, self._cook_id = trial_id, ""
            self._writing.forget()
        days = views.cooks(book, trial_id)
        if not any(day.id == self._cook_id for day in days):
            self._cook_id = self._day_to_show(days)
        self.table, self.acts = None, ()
        if days:
            self.table = timetable_of(book, self._cook_id)
            self.acts = acts_of(book, self.table)
        self._show(days)
        self._anchor()

    def _day_to_show(self, days: tuple[Cook, ...]) -> str:
        """The next day that is still to be served, else the first that is not weighed to the end,
        else the last one."""
        now, book = self._now(), self.desk.notebook
        ahead = [d for d in days if d.serve_utc and instant_of(d.serve_utc) >= now]
        if ahead:
            return min(ahead, key=lambda day: day.serve_utc).id
        open_days = [day.id for day in days if not views.cook_is_weighed(book, day)]
        return next(iter([*open_days, *(day.id for day in reversed(days))]), "")

    def _now(self) -> datetime:
        return instant_of(self.desk.notebook.now().utc)

    def _show(self, days: tuple[Cook, ...]) -> None:
        assert self.leaf is not None
        there = self.table is not None and bool(self.table.spans)
        for part in (self.sentence, self.list, self.legend):
            part.setVisible(there)
        self.empty.setVisible(not there)
        self._show_head(days)
        self._show_written()
        if self.table is None or not there:
            self._show_empty(bool(days))
            self.late.hide()
            self.now.hide()
            self.first.hide()
            return
        table = self.table
        text = ""
        if table.cook.serve_utc:
            text = say(said_moment(table.clock.shown(instant_of(table.cook.serve_utc))))
        self.moment_writing.bind(f"cook:{table.cook.id}:serve", text)
        self.zone_writing.show(table.clock.zone)
        self._show_first(table)
        self._show_now(table)
        self._show_list(table)
        self.late.show_table(table)

    def _show_head(self, days: tuple[Cook, ...]) -> None:
        assert self.leaf is not None
        title: Message | str = self.title
        if self.table is not None:
            title = msg("Cook day {number} on one list", number=self.table.cook.number)
        self.leaf.set_title(title, _SAYS)
        self.days.show_days(days, self._cook_id)
        self.leaf.set_verb("calendar", msg("Write the calendar file"), why=self._why_not())
        self.leaf.set_verb("back", msg("Back to the plan"))

    def _show_empty(self, has_days: bool) -> None:
        to = TextVerb(msg("Write the methods") if has_days else msg("Write the plan"))
        to.clicked.connect(self._to_methods if has_days else self._back)
        self.empty.set_items([Run(_NO_STAGES if has_days else _NO_DAY), Run("  "), to])

    def _show_first(self, table: Timetable) -> None:
        """Who starts, and the way to what runs late."""
        starts = self.desk.notebook.find(Method, table.cook.starts_id)
        items: list[Item] = []
        if starts is not None:
            said = msg("Lots let {letter} start first.   ", letter=starts.letter)
            items.append(Run(said, colour="pencil"))
        if self._why_not() is None:
            late = TextVerb(msg("Something runs late"), weight=500)
            late.clicked.connect(self._something_late)
            items.append(late)
        self.first.set_items(items)
        self.first.setVisible(bool(items))

    def _show_now(self, table: Timetable) -> None:
        now = self._now()
        ahead = next_act(self.acts, now)
        today = ahead is not None and is_today(table, self.acts, now)
        self.now.setVisible(today)
        self._next.stop()
        if ahead is not None and ahead.at is not None and today:
            self.now.set_items(next_words(table, ahead, now))
            wait_ms = round((ahead.at - now).total_seconds() * 1000) + 1000
            self._next.start(min(max(wait_ms, 1000), _MOST_WAIT_MS))

    @Slot()
    def _time_passed(self) -> None:
        if self.leaf is not None and self.leaf.isVisible() and self.table is not None:
            self._show_now(self.table)

    def _show_list(self, table: Timetable) -> None:
        entries = entries_of(table, self.acts, self._value_of)
        places = places_of(table, self.acts)
        self.list.show_list(entries, places, strands_of(table, self.acts, entries, places))

    def _value_of(self, span: Span) -> Value:
        assert self.table is not None
        key = value_key(self.table, span)
        if key not in self._expected:
            name = msg("how long it is expected to take")
            value = Value(name, hint=msg("how long, as 9 h"), role="cell", missing=True)
            place = f"stage:{key[0]}:expected:{key[1] or ''}"
            writing = Writing(self.desk, value, place, _Expect(self.desk, key))
            self._expected[key] = value, writing
        value, writing = self._expected[key]
        writing.show(about_words(span) if span.expected is not None else "")
        return value

    @Slot()
    def _anchor(self) -> None:
        assert self.leaf is not None
        self.leaf.drop_anchors()
        self.leaf.anchor(SERVING, self.sentence)
        self.leaf.anchor(LIST, self.legend)
        self.leaf.anchor(LATE, self.late)
        for entry, row in zip(self.list.keys(), self.list.rows(), strict=True):
            self.leaf.anchor(entry, row)

    def margin(self) -> Margin:
        if self.table is None:
            return Margin(_NO_DAY)
        book = self.desk.notebook
        margin = margin_of_timetable(book, self.table, self.acts)
        riders = tuple(riders_of_cook(book, self.table.cook)) if self.table.lates else ()
        if riders:
            label = msg("What the finding says of it")
            note = MarginNote(LATE, "differs", label, riders, dear=85)
            margin = replace(margin, notes=(*margin.notes, note))
        return margin

    # --- what can be done ----------------------------------------------------------------------

    def do(self, name: str, args: tuple[str, ...]) -> None:
        if name == "calendar":
            self._write_file()
        elif name == "late":
            self._something_late()
        elif name == "back":
            self._back()
        elif name == "open_page":
            self.desk.go(args[0])
        elif name == "go_to" and self.leaf is not None:
            self._go_to(args[0])
        elif name == "take_turns":
            self._take(serving.take_turns(self.desk.notebook, *args))

    def _go_to(self, line: str) -> None:
        """To the blank of a line where it has one."""
        assert self.leaf is not None
        row = self.list.row(line)
        blank = row.findChild(Value) if row is not None else None
        if blank is not None:
            blank.setFocus()
        else:
            self.leaf.go_to_line(line)

    def _take(self, step: Step) -> TrialbenchError | None:
        trouble = self.desk.take(step)
        if trouble is not None:
            self.desk.trouble.emit(trouble)
        return trouble

    def _why_not(self) -> Message | None:
        """Why nothing can run late yet, nor stand in a calendar."""
        if self.table is None:
            return _NO_DAY
        if not self.table.spans:
            return _NO_STAGES
        return None if self.table.serve is not None else _NO_TIME

    @Slot()
    def _something_late(self) -> None:
        if self._why_not() is None:
            self.late.open_line()

    def _write_file(self) -> None:
        if self._why_not() is None and self.table is not None:
            self._writing.ask(self.leaf, self.table, self.acts)

    @Slot()
    def _show_written(self) -> None:
        said = self._writing.said()
        self.written.set_items(said)
        self.written.setVisible(bool(self.written.words()))

    def _write_moment(self, text: str) -> Step:
        zone = bytes(QTimeZone.systemTimeZoneId().data()).decode("ascii", "replace")
        return serving.set_serving(self.desk.notebook, self._cook_id, text, zone=zone)

    def _write_zone(self, text: str) -> Step:
        return serving.set_zone(self.desk.notebook, text)

    @Slot(object)
    def _open_day(self, cook_id: str) -> None:
        self._cook_id = cook_id
        self._writing.forget()
        self.refresh(frozenset())
        self.desk.margin_changed.emit()

    @Slot()
    def _back(self) -> None:
        self.desk.go("plan")

    @Slot()
    def _to_methods(self) -> None:
        self.desk.go("methods")


class _Expect:
    """Writes how long one stage is expected to take."""

    def __init__(self, desk: Desk, key: tuple[str, str | None]) -> None:
        self._desk, self._key = desk, key

    def __call__(self, text: str) -> Step:
        return serving.set_expected(self._desk.notebook, self._key[0], text, self._key[1])

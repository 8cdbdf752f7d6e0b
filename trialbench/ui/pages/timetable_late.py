"""When something runs late: what, where and by how much; three ways out, and what was done."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QVBoxLayout, QWidget

from trialbench.model.errors import Refused, TrialbenchError
from trialbench.model.kitchen_clock import instant_of
from trialbench.model.message import msg
from trialbench.model.quantities import show_duration
from trialbench.model.records import Piece, Replan, Trial
from trialbench.model.steps import Step
from trialbench.notebook.acts import replanning
from trialbench.planning.replanning import Way, late_pieces, ways, what_is_late
from trialbench.planning.stage_words import the_stage
from trialbench.planning.timetable import Late, Span, Timetable
from trialbench.ui import theme
from trialbench.ui.choices import Choice
from trialbench.ui.page import Desk
from trialbench.ui.pages.sections import empty
from trialbench.ui.pages.writing import WAYS_OUT, Writing
from trialbench.ui.rows import Row
from trialbench.ui.runs import Item, Run
from trialbench.ui.text import Line, Rule
from trialbench.ui.values import Value
from trialbench.ui.verbs import TextVerb

_WAY_PX = 190


class LateSection(QWidget):
    """The lines under the list. `changed()` when other lines are shown than before."""

    changed = Signal()

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self._table: Timetable | None = None
        self._cook_id, self._open = "", False
        self._shown: list[Replan] = []
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(round(theme.px(6)))
        self.head = Line("section", msg("When something runs late"))
        self.what = Choice(msg("what is late"), (), role="body")
        self.stage = Choice(msg("the stage it is late in"), (), role="body")
        self.by = Value(msg("how late"), hint=msg("how late, as 25 min"), role="body")
        self.why = Value(msg("why it is late"), hint=msg("why, if you know"), role="body")
        for choice in (self.what, self.stage):
            choice.committed.connect(self._chosen)
        self.by.typed.connect(self._draft)
        self.by.committed.connect(self._read)
        self.line = Line("body", [self.what, msg(" is late in "), self.stage, msg(" by "), self.by,
                                  msg(", because "), self.why, "."])  # fmt: skip
        self.why.committed.connect(self._why_written)
        self.ways = QVBoxLayout()
        self.ways.setSpacing(round(theme.px(4)))
        self.done = QVBoxLayout()
        self.done.setSpacing(round(theme.px(4)))
        column.addWidget(Rule())
        column.addWidget(self.head)
        column.addLayout(self.done)
        column.addWidget(self.line)
        column.addLayout(self.ways)
        self.buttons: dict[str, TextVerb] = {}
        self.reasons: dict[str, Writing] = {}

    # --- showing -------------------------------------------------------------------------------

    def show_table(self, table: Timetable) -> None:
        """Show what was done on this day, and the open line where it was asked for."""
        if table.cook.id != self._cook_id:
            self._cook_id, self._open = table.cook.id, False
            self.by.keep("")
            self.why.keep("")
        self._table = table
        draft = self._desk.notebook.draft(self._place())
        if draft and not self.by.text():
            self._open = True
            self.by.show_draft(draft)
        self._show_done(table)
        self._offer(table)
        self._show_open()

    def _show_open(self) -> None:
        assert self._table is not None
        can = self._table.serve is not None and bool(self._spans())
        self.line.setVisible(self._open and can)
        self.setVisible(bool(self._table.lates) or (self._open and can))
        self._show_ways()
        self.changed.emit()

    def open_line(self) -> None:
        """Something runs late: the keyboard goes to what it is."""
        self._open = True
        self._begin_stage()
        self._show_open()
        self.what.setFocus()

    def _offer(self, table: Timetable) -> None:
        pieces = [(p.id, p.label) for p in late_pieces(self._desk.notebook, table)]
        letters = [(m.id, m.letter) for m in table.methods if m.id not in table.dropped]
        whole = [(i, msg("all of {letter}", letter=letter)) for i, letter in letters]
        self.what.set_alternatives([*whole, *pieces])
        known = [key for key, _ in (*whole, *pieces)]
        if self.what.kept() not in known and known:
            self.what.keep(known[0])
        self._offer_stages()

    def _offer_stages(self) -> None:
        spans = self._spans()
        self.stage.set_alternatives([(s.stage.id, the_stage(s.stage)) for s in spans])
        if self.stage.kept() not in [s.stage.id for s in spans]:
            self._begin_stage()

    def _begin_stage(self) -> None:
        """The stage that is going on now, else the first that ends by itself, else the longest."""
        spans = self._spans()
        if not spans:
            return
        now = instant_of(self._desk.notebook.now().utc)
        running = (s for s in spans if s.start and s.end and s.start <= now <= s.end)
        by_itself = (s for s in spans if s.ends_by_itself)
        longest = max(spans, key=lambda s: s.lasts or timedelta(0))
        self.stage.keep(next(running, next(by_itself, longest)).stage.id)

    def _spans(self) -> list[Span]:
        if self._table is None:
            return []
        own = self._table.of(self._method_id())
        return [s for s in own if s.end is not None and s.lasts]

    def _method_id(self) -> str:
        piece = self._desk.notebook.find(Piece, self.what.kept())
        return (piece.method_id or "") if piece is not None else self.what.kept()

    def _show_done(self, table: Timetable) -> None:
        there = [replace(late.replan, reason="") for late in table.lates]
        if there == self._shown:
            for late in table.lates:
                self.reasons[late.replan.id].show(late.replan.reason)
            return
        self._shown = there
        empty(self.done)
        self.reasons.clear()
        for late in table.lates:
            self.done.addWidget(self._done_line(table, late))

    def _done_line(self, table: Timetable, late: Late) -> Line:
        what = what_is_late(self._desk.notebook, table, late)
        stage = the_stage(late.span.stage) if late.span else msg("the cook")
        said = msg("{what} was {time} late in {stage}: {done}, because ", what=what,
                   time=show_duration(late.replan.late_s), stage=stage,
                   done=replanning.CHOICES[late.replan.choice])  # fmt: skip
        why = Value(msg("why {what} was late", what=what), hint=msg("why, if you know"))
        act = _Reason(self._desk, late.replan.id)
        writing = Writing(self._desk, why, f"replan:{late.replan.id}:reason", act)
        writing.show(late.replan.reason)
        self.reasons[late.replan.id] = writing
        back = TextVerb(msg("It was not late"), weight=600)
        back.setObjectName(late.replan.id)
        back.clicked.connect(self._take_back)
        items: list[Item] = [Run(said), why, Run(".   "), back]
        return Line("body", items)

    def _show_ways(self) -> None:
        empty(self.ways)
        self.buttons.clear()
        for way in self._ways():
            self.ways.addWidget(self._way_row(way))

    def _ways(self) -> tuple[Way, ...]:
        span, late_s = self._span(), self._late_s()
        if self._table is None or span is None or late_s is None or not self._open:
            return ()
        trial = self._desk.notebook.get(Trial, self._table.cook.trial_id)
        return ways(self._table, span, timedelta(seconds=late_s), self._said_what(), trial)

    def _said_what(self) -> str:
        piece: Piece | None = self._desk.notebook.find(Piece, self.what.kept())
        if piece is not None:
            return str(piece.label)
        span = self._span()
        return span.method.letter if span is not None else ""

    def _way_row(self, way: Way) -> Row:
        head: Line | TextVerb
        if way.why_not is None:
            head = TextVerb(way.name, role="body", weight=600)
            head.setObjectName(way.choice)
            head.setAccessibleDescription(f"{way.clock} {way.finding}")
            head.clicked.connect(self._take_way)
            self.buttons[way.choice] = head
            says = Line("body", [Run(way.clock), Run(" "), Run(way.finding)])
        else:
            head = Line("body", Run(way.name, colour="pencil"))
            says = Line("body", Run(way.why_not, colour="pencil"))
        return Row([(head, _WAY_PX), (says, 0)], gap_px=10)

    # --- writing -------------------------------------------------------------------------------

    def _place(self) -> str:
        return f"cook:{self._cook_id}:late"

    def _span(self) -> Span | None:
        return next((s for s in self._spans() if s.stage.id == self.stage.kept()), None)

    def _late_s(self) -> float | None:
        try:
            return replanning.read_late_s(self.by.kept()) if self.by.kept() else None
        except Refused:
            return None

    @Slot(object)
    def _chosen(self, key: str) -> None:
        choice = self.sender()
        if isinstance(choice, Choice):
            choice.keep(key)
        self._offer_stages()
        self._show_open()

    @Slot(object)
    def _draft(self, text: str) -> None:
        self._desk.write_draft(self._place(), text or None)

    @Slot(object)
    def _read(self, text: str) -> None:
        try:
            if text.strip():
                replanning.read_late_s(text)
        except Refused as refused:
            self.by.refuse(refused, WAYS_OUT)
            return
        self.by.keep(text.strip())
        self._show_open()

    @Slot(object)
    def _why_written(self, text: str) -> None:
        self.why.keep(text.strip())

    @Slot()
    def _take_way(self) -> None:
        self.take(self.sender().objectName())

    def take(self, choice: str) -> None:
        """Take one of the ways; what was refused is shown over the page."""
        where = (self.what.kept(), self.stage.kept())
        book, late = self._desk.notebook, self.by.kept()
        self._do(lambda: replanning.replan(book, self._cook_id, choice, late, where,
                                           self.why.text()))  # fmt: skip

    @Slot()
    def _take_back(self) -> None:
        identity = self.sender().objectName()
        self._do(lambda: replanning.take_back(self._desk.notebook, identity))

    def _do(self, act: Callable[[], Step]) -> None:
        self._open = False
        try:
            trouble = self._desk.take(act(), clears_draft=self._place())
        except TrialbenchError as refused:
            trouble = refused
        if trouble is not None:
            self._open = True
            self._desk.trouble.emit(trouble)
            return
        self.by.keep("")
        self.why.keep("")
        self._show_open()


class _Reason:
    """Writes why something was late."""

    def __init__(self, desk: Desk, replan_id: str) -> None:
        self._desk, self._replan_id = desk, replan_id

    def __call__(self, text: str) -> Step:
        return replanning.set_reason(self._desk.notebook, self._replan_id, text)

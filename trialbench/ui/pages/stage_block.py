"""One stage on the page: number, name, its line, the lines that are parted, and its tools."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import Any

from PySide6.QtCore import QPointF, QRect, Signal, Slot
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from trialbench.model.records import Method, Stage
from trialbench.notebook import views
from trialbench.notebook.acts.addition_words import shown_addition
from trialbench.planning.stage_line import value_alone
from trialbench.planning.stage_words import stage_name
from trialbench.ui import theme
from trialbench.ui.page import Desk
from trialbench.ui.pages.addition_rows import (
    AdditionRow,
    NewAddition,
    role_choice,
    takes_additions,
)
from trialbench.ui.pages.feel_offer import FeelOffer
from trialbench.ui.pages.parted_row import BEFORE_PX, PartedRow
from trialbench.ui.pages.stage_line import StageLine
from trialbench.ui.pages.stage_tools import StageTools
from trialbench.ui.rows import Row
from trialbench.ui.signs import MethodSign
from trialbench.ui.strands import paint_strand
from trialbench.ui.text import Line, Rule
from trialbench.ui.values import Value

_NUMBER_PX = 18
NEW = "new addition"
"""The field of the quiet line for one more addition."""


class StageBlock(QWidget):
    """A stage. `wanted((stage_id, name, argument))` says what is to be done with it."""

    wanted = Signal(object)
    card_wanted = Signal()

    def __init__(self, desk: Desk, stage_id: str) -> None:
        super().__init__()
        self.stage_id = stage_id
        self._desk = desk
        self._shape: object = ()
        self._head: object = ()
        self._tool_words: Any = None
        self._number = Line("label", "", colour="pencil")
        self._name = Line("stage_name", "")
        self.line = Line("body", "")
        self._row = Row([(self._number, _NUMBER_PX), (self._name, BEFORE_PX - _NUMBER_PX),
                         (self.line, 0)])  # fmt: skip
        self.says = Line("cell", "")
        self.says.hide()
        self._own: MethodSign | None = None
        self._letter = ""
        self._is_open = False
        self._parts: dict[str, PartedRow] = {}
        self._additions: dict[str, AdditionRow] = {}
        self._new: NewAddition | None = None
        self._stage_line: StageLine | None = None
        self.feel = FeelOffer(desk)
        self.feel.card_wanted.connect(self.card_wanted)
        self._tools = StageTools()
        self._tools.wanted.connect(self._pass_on)
        self._tools.hide()
        self._build()

    def _build(self) -> None:
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, round(theme.px(11)), 0, 0)
        self._column.setSpacing(round(theme.px(6)))
        self._below = QVBoxLayout()
        self._below.setSpacing(round(theme.px(6)))
        self._below.setContentsMargins(0, 0, 0, 0)
        self._column.addWidget(self._row)
        offered = QVBoxLayout()
        offered.setContentsMargins(round(theme.px(BEFORE_PX)), 0, 0, 0)
        offered.addWidget(self.feel)
        self._column.addLayout(offered)
        self._column.addLayout(self._below)
        indented = QVBoxLayout()
        indented.setContentsMargins(round(theme.px(BEFORE_PX)), 0, 0, 0)
        indented.addWidget(self.says)
        indented.addWidget(self._tools)
        self._column.addLayout(indented)
        self._column.addSpacing(round(theme.px(7)))
        self._column.addWidget(Rule())

    # --- what it shows -------------------------------------------------------------------------

    def show_stage(
        self, stage: Stage, methods: Sequence[Method], count: int, missing: frozenset[str]
    ) -> None:
        """Show the stage as it is written now."""
        book = self._desk.notebook
        parted = views.parted_fields(book, stage.id)
        slots = views.slots(book, stage.id)
        shape = (parted, stage.method_id, stage.stage_kind, tuple(m.id for m in methods),
                 tuple((slot.position, slot.role, slot.parted) for slot in slots))  # fmt: skip
        if self._shape != shape or self._stage_line is None:
            self._shape = shape
            self._lay(stage, parted, slots, methods)
        unit = views.cover(book).temperature_unit
        if self._head != (stage.position, stage.stage_kind):
            self._head = (stage.position, stage.stage_kind)
            self._number.set_items(str(stage.position))
            self._name.set_items(stage_name(stage))
        assert self._stage_line is not None
        self._stage_line.show_stage(stage, unit, missing)
        for field in parted:
            held = {p.method_id: value_alone(field, views.part_value(p), unit)
                    for p in views.parts(book, stage.id, field)}  # fmt: skip
            self._parts[field].show_values(held)
        self._show_additions(slots, methods)
        self._tool_words = (stage, methods, frozenset(parted), count, slots)
        if not self._tools.isHidden():
            self._tools.show_stage(*self._tool_words)

    def _show_additions(self, slots: Sequence[views.Slot], methods: Sequence[Method]) -> None:
        for slot in slots:
            if slot.parted:
                shown = {m.id: shown_addition(slot.of(m.id)) for m in methods}
                self._parts[slot.field].show_values(shown)
            else:
                self._additions[slot.field].show_text(shown_addition(slot.records[0]))
        if self._new is not None:
            self._new.show_empty()

    def _lay(
        self,
        stage: Stage,
        parted: Sequence[str],
        slots: Sequence[views.Slot],
        methods: Sequence[Method],
    ) -> None:
        """Build the line and the parted lines anew: what they consist of has changed."""
        had = self.focus_field()
        if self._stage_line is not None:
            self._stage_line.deleteLater()
        self._stage_line = StageLine(self._desk, stage, frozenset(parted), self.line, self)
        while (item := self._below.takeAt(0)) is not None:
            gone = item.widget()
            if gone is not None:
                gone.hide()
                gone.deleteLater()
        owner = next((m for m in methods if m.id == stage.method_id), None)
        self._letter = owner.letter if owner else ""
        if owner is not None:
            sign = MethodSign(owner.letter, owner.name)
            sign.setContentsMargins(0, 0, 0, 0)
            self._below.addWidget(Row([(QWidget(), BEFORE_PX), (sign, 0)]))
        self._parts = {}
        for field in parted:
            row = PartedRow(self._desk, stage, field, methods, self)
            row.joined.connect(self._join)
            self._parts[field] = row
            self._below.addWidget(row)
        self._lay_additions(stage, slots, methods)
        if had:
            self.focus_on(had)

    def _lay_additions(
        self, stage: Stage, slots: Sequence[views.Slot], methods: Sequence[Method]
    ) -> None:
        self._additions = {}
        for slot in slots:
            call_it = partial(self._call, slot.position)
            if slot.parted:
                word = role_choice(stage, slot.role)
                word.committed.connect(call_it)
                parted = PartedRow(self._desk, stage, slot.field, methods, self, word=word)
                parted.joined.connect(self._join)
                self._parts[slot.field] = parted
                self._below.addWidget(parted)
                continue
            row = AdditionRow(self._desk, stage, slot, self)
            row.role_chosen.connect(call_it)
            self._additions[slot.field] = row
            self._below.addWidget(row)
        self._new = NewAddition(self._desk, stage, self) if takes_additions(stage) else None
        if self._new is not None:
            self._new.setVisible(self._is_open)
            self._below.addWidget(self._new)

    def set_open(self, is_open: bool) -> None:
        """One is in this stage: offer what is not written and what can be done."""
        self._is_open = is_open
        if self._new is not None:
            self._new.setVisible(is_open)
        if not is_open:
            self.feel.hide()
        if self._stage_line is not None:
            self._stage_line.set_open(is_open)
        if is_open and self._tool_words is not None:
            self._tools.show_stage(*self._tool_words)
        self._tools.setVisible(is_open)

    def stops(self) -> list[QWidget]:
        """What the Tab key visits, in the order of the page."""
        line = self._stage_line.stops() if self._stage_line is not None else []
        below: list[QWidget] = []
        for number in range(self._below.count()):
            row = _widget(self._below, number)
            if isinstance(row, PartedRow):
                below += [row.choice] if row.choice is not None else []
                below += row.values.values()
            elif isinstance(row, AdditionRow):
                below += [row.word, row.value]
        new = [self._new.value] if self._new is not None else []
        return [*line, *below, *new, *self._tools.stops()]

    def set_read_only(self, on: bool) -> None:
        """Readable and no more."""
        if self._stage_line is not None:
            self._stage_line.set_read_only(on)
        for parted in self._parts.values():
            parted.set_read_only(on)
        for added in self._additions.values():
            added.set_read_only(on)

    # --- where one is --------------------------------------------------------------------------

    def focus_field(self) -> str:
        """The field that has the keyboard, "" for none."""
        inner = self.focusWidget()
        if isinstance(inner, Value) and inner.hasFocus() and self.isAncestorOf(inner):
            return inner.objectName().rpartition(":")[2]
        return ""

    def follow_feel(self, *, writing: bool) -> None:
        """Offer the feel card while one writes how it is seen to be done."""
        inner = self.focusWidget()
        if writing and isinstance(inner, Value) and self.focus_field() == "end_feel":
            # A press on the offer takes the keyboard from the value it is for.
            self.feel.offer(inner)
        else:
            self.feel.hide()

    def focus_on(self, field: str, method_id: str = "") -> bool:
        """Put the keyboard into a field, of one method where it is parted; False when the stage has
        no such line."""
        found = self._value_made(field)
        if field in self._parts and method_id in self._parts[field].values:
            found = self._parts[field].values[method_id]
        if found is None:
            return False
        found.setVisible(True)
        found.setFocus()
        return True

    def _value(self, field: str) -> Value | None:
        if field in self._parts:
            return next(iter(self._parts[field].values.values()))
        if field in self._additions:
            return self._additions[field].value
        if field == NEW and self._new is not None:
            return self._new.value
        return self._stage_line.values.get(field) if self._stage_line else None

    def _value_made(self, field: str) -> Value | None:
        found = self._value(field)
        if found is not None or self._stage_line is None:
            return found
        return self._stage_line.value(field)

    def go_on(self) -> None:
        """Put the keyboard where writing goes on."""
        self.set_open(True)
        empty = self._stage_line.first_empty() if self._stage_line else None
        if empty is not None:
            empty.setVisible(True)
            empty.setFocus()

    def place_of(self, field: str) -> QRect | None:
        """Where a field stands in this block, for its note."""
        row = self._parts.get(field) or self._additions.get(field)
        if row is not None:
            return row.geometry()
        value = self._value(field)
        if value is not None and not value.isHidden():
            return QRect(value.mapTo(self, value.rect().topLeft()), value.size())
        return self._row.geometry()

    # --- what is done --------------------------------------------------------------------------

    def is_parted(self, field: str) -> bool:
        """Whether the field is written once a method."""
        return field in self._parts

    def ask_which_stays(self, field: str) -> None:
        """Join a parted line."""
        self._parts[field].ask_which_stays()

    def focus_tool(self, name: str) -> bool:
        """Put the keyboard back to a tool ("give", "move"), where it is."""
        return self._tools.focus_on(name)

    def _call(self, position: int, role: str) -> None:
        self.wanted.emit((self.stage_id, "role", (position, role)))

    @Slot(object)
    def _pass_on(self, wanted: tuple[str, object]) -> None:
        self.wanted.emit((self.stage_id, *wanted))

    @Slot(object)
    def _join(self, wanted: tuple[str, str]) -> None:
        self.wanted.emit((self.stage_id, "join", wanted))

    def paintEvent(self, event: QPaintEvent) -> None:
        """An own stage stands on its method's tint, its strand at the left."""
        if not self._letter:
            return
        painter = QPainter(self)
        left = round(theme.px(BEFORE_PX - 14))
        box = QRect(
            left, round(theme.px(4)), self.width() - left, self.height() - round(theme.px(9))
        )
        painter.fillRect(box, theme.method_tint(self._letter))
        x = left + theme.px(2.5)
        paint_strand(painter, self._letter, QPointF(x, box.top()), QPointF(x, box.bottom() + 1),
                     theme.px(5))  # fmt: skip
        painter.end()


def _widget(column: QVBoxLayout, number: int) -> QWidget | None:
    item = column.itemAt(number)
    return item.widget() if item is not None else None

"""One stage on the page: number, name, its line, the lines that are parted, and its tools."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import QPointF, QRect, Signal, Slot
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from trialbench.model.records import Method, Stage
from trialbench.notebook import views
from trialbench.planning.stage_words import stage_name
from trialbench.ui import theme
from trialbench.ui.page import Desk
from trialbench.ui.pages.parted_row import BEFORE_PX, PartedRow
from trialbench.ui.pages.stage_line import StageLine
from trialbench.ui.pages.stage_tools import StageTools
from trialbench.ui.rows import Row
from trialbench.ui.signs import MethodSign
from trialbench.ui.strands import paint_strand
from trialbench.ui.text import Line, Rule
from trialbench.ui.values import Value

_NUMBER_PX = 18


class StageBlock(QWidget):
    """A stage. `wanted((stage_id, name, argument))` says what is to be done with it."""

    wanted = Signal(object)

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
        self._parts: dict[str, PartedRow] = {}
        self._stage_line: StageLine | None = None
        self._tools = StageTools()
        self._tools.wanted.connect(self._pass_on)
        self._tools.hide()
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, round(theme.px(11)), 0, 0)
        self._column.setSpacing(round(theme.px(6)))
        self._below = QVBoxLayout()
        self._below.setSpacing(round(theme.px(6)))
        self._below.setContentsMargins(0, 0, 0, 0)
        self._column.addWidget(self._row)
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
        shape = (parted, stage.method_id, stage.stage_kind, tuple(m.id for m in methods))
        if self._shape != shape or self._stage_line is None:
            self._shape = shape
            self._lay(stage, parted, methods)
        unit = views.cover(book).temperature_unit
        if self._head != (stage.position, stage.stage_kind):
            self._head = (stage.position, stage.stage_kind)
            self._number.set_items(str(stage.position))
            self._name.set_items(stage_name(stage))
        assert self._stage_line is not None
        self._stage_line.show_stage(stage, unit, missing)
        for field, row in self._parts.items():
            held = {p.method_id: views.part_value(p) for p in views.parts(book, stage.id, field)}
            row.show_values(held, unit)
        self._tool_words = (stage, methods, frozenset(parted), count)
        if not self._tools.isHidden():
            self._tools.show_stage(*self._tool_words)

    def _lay(self, stage: Stage, parted: Sequence[str], methods: Sequence[Method]) -> None:
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
        if had:
            self.focus_on(had)

    def set_open(self, is_open: bool) -> None:
        """One is in this stage: offer what is not written and what can be done."""
        if self._stage_line is not None:
            self._stage_line.set_open(is_open)
        if is_open and self._tool_words is not None:
            self._tools.show_stage(*self._tool_words)
        self._tools.setVisible(is_open)

    def stops(self) -> list[QWidget]:
        """What the Tab key visits, in the order of the page."""
        line = self._stage_line.stops() if self._stage_line is not None else []
        parted = [value for row in self._parts.values() for value in row.values.values()]
        return [*line, *parted, *self._tools.stops()]

    def set_read_only(self, on: bool) -> None:
        """Readable and no more."""
        if self._stage_line is not None:
            self._stage_line.set_read_only(on)
        for row in self._parts.values():
            row.set_read_only(on)

    # --- where one is --------------------------------------------------------------------------

    def focus_field(self) -> str:
        """The field that has the keyboard, "" for none."""
        inner = self.focusWidget()
        if isinstance(inner, Value) and inner.hasFocus() and self.isAncestorOf(inner):
            return inner.objectName().rpartition(":")[2]
        return ""

    def focus_on(self, field: str) -> bool:
        """Put the keyboard into a field; False when the stage has no such line."""
        found = self._value_made(field)
        if found is None:
            return False
        found.setVisible(True)
        found.setFocus()
        return True

    def _value(self, field: str) -> Value | None:
        if field in self._parts:
            return next(iter(self._parts[field].values.values()))
        return self._stage_line.values.get(field) if self._stage_line else None

    def _value_made(self, field: str) -> Value | None:
        if field in self._parts or self._stage_line is None:
            return self._value(field)
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
        row = self._parts.get(field)
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

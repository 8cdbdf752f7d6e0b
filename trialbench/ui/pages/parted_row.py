"""A parted line: its word, and a field of each method on its tint; joined again by choice."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from trialbench.model.message import Message, msg, say
from trialbench.model.records import Method, Stage
from trialbench.model.steps import Step
from trialbench.notebook.acts.stages import set_value
from trialbench.planning.stage_line import LINE
from trialbench.planning.stage_words import field_name, stage_name
from trialbench.ui import theme
from trialbench.ui.choices import Choice
from trialbench.ui.page import Desk
from trialbench.ui.pages.field_grid import FieldGrid
from trialbench.ui.pages.writing import Writing
from trialbench.ui.runs import Item, Run
from trialbench.ui.text import Line
from trialbench.ui.values import MethodField, Value
from trialbench.ui.verbs import TextVerb

BEFORE_PX = 98
WORD_PX = 78
_FIELD_PX = 36
_ASKS = {place.field: place.asks for place in LINE}


class PartedRow(QWidget):
    """One line of a stage, once a method. `joined(field, method_id)` when one value is to stay.

    `word` stands before the fields where it is not the field's own.
    """

    joined = Signal(object)

    def __init__(
        self,
        desk: Desk,
        stage: Stage,
        field: str,
        methods: Sequence[Method],
        parent: QWidget,
        *,
        word: Choice | None = None,
    ) -> None:
        super().__init__(parent)
        self.field = field
        self._methods = tuple(methods)
        self.values: dict[str, Value] = {}
        self._writings: dict[str, Writing] = {}
        self.choice = word
        self._word = Line("cell", [word or Run(field_name(field), colour="pencil")])
        self._ask = Line("cell", "")
        self._ask.hide()
        fields = [self._field(desk, stage, method) for method in methods]
        self._lay(FieldGrid(fields))

    def _lay(self, grid: FieldGrid) -> None:
        row = QHBoxLayout()
        row.setSpacing(round(theme.px(8)))
        row.addSpacing(round(theme.px(BEFORE_PX)))
        before = QVBoxLayout()
        before.setContentsMargins(0, 0, 0, 0)
        self._word.setFixedWidth(round(theme.px(WORD_PX - 8)))
        # Beside the first row of fields, however many there are.
        high = self._word.sizeHint().height()
        before.addSpacing(max(round((theme.px(_FIELD_PX) - high) / 2), 0))
        before.addWidget(self._word)
        before.addStretch(1)
        row.addLayout(before)
        row.addWidget(grid, 1)
        asked = QHBoxLayout()
        asked.addSpacing(round(theme.px(BEFORE_PX + WORD_PX)))
        asked.addWidget(self._ask)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(round(theme.px(4)))
        column.addLayout(row)
        column.addLayout(asked)

    def _field(self, desk: Desk, stage: Stage, method: Method) -> MethodField:
        name = msg(
            "{stage} {what}, method {letter}",
            stage=stage_name(stage),
            what=field_name(self.field),
            letter=method.letter,
        )
        value = Value(name, "", _ASKS.get(self.field, msg("nothing")), weight=600)
        value.setObjectName(f"{stage.id}:{self.field}")
        act: Callable[[str], Step] = partial(
            _written, desk, stage.id, self.field, method_id=method.id
        )
        place = f"{stage.id}:{self.field}:{method.id}"
        self.values[method.id] = value
        self._writings[method.id] = Writing(desk, value, place, act)
        return MethodField(method.letter, value)

    def show_values(self, shown: Mapping[str, str]) -> None:
        """Show what each method has, by method id."""
        for method_id, writing in self._writings.items():
            writing.show(shown.get(method_id, ""))

    def set_read_only(self, on: bool) -> None:
        """Readable and no more."""
        for value in self.values.values():
            value.setReadOnly(on)

    def ask_which_stays(self) -> None:
        """Join: where the values are not alike, ask which one stays."""
        alike = len({value.kept() for value in self.values.values()}) == 1
        if alike:
            self.joined.emit((self.field, self._methods[0].id))
            return
        items: list[Item] = [Run(msg("Which one stays?"))]
        for method in self._methods:
            kept = self.values[method.id].kept()
            label = msg("{letter}: {value}", letter=method.letter, value=kept or _nothing())
            verb = TextVerb(label, weight=600)
            verb.setObjectName(method.id)
            verb.clicked.connect(self._stay)
            items += [Run("   "), verb]
        leave = TextVerb(msg("Leave it parted"))
        leave.clicked.connect(self._leave)
        self._ask.set_items([*items, Run("   "), leave])
        self._ask.show()
        first = self._ask.findChild(TextVerb, self._methods[0].id)
        if first is not None:
            first.setFocus(Qt.FocusReason.OtherFocusReason)

    @Slot()
    def _stay(self) -> None:
        self._ask.hide()
        self.joined.emit((self.field, self.sender().objectName()))

    @Slot()
    def _leave(self) -> None:
        self._ask.hide()
        self.values[self._methods[0].id].setFocus(Qt.FocusReason.OtherFocusReason)


def _written(desk: Desk, stage_id: str, field: str, typed: str, *, method_id: str) -> Step:
    return set_value(desk.notebook, stage_id, field, typed, method_id)


def _nothing() -> Message | str:
    return say(msg("nothing written"))

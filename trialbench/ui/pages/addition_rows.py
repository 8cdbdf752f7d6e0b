"""What goes on, in or under the food at a stage: a line each, under the stage's own line."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from trialbench.model.message import msg, say
from trialbench.model.records import Stage
from trialbench.model.steps import Step
from trialbench.model.words import ADDITION_ROLES
from trialbench.notebook.acts.additions import add_addition, set_addition
from trialbench.notebook.views import Slot as AdditionSlot
from trialbench.planning.stage_words import stage_name
from trialbench.ui.choices import Choice
from trialbench.ui.page import Desk
from trialbench.ui.pages.parted_row import BEFORE_PX, WORD_PX
from trialbench.ui.pages.writing import Writing
from trialbench.ui.rows import Row
from trialbench.ui.text import Line
from trialbench.ui.values import Value

_NONE_AT = ("trim", "slice", "serve", "rest", "chill")
"""Stages at which nothing is put on the food, so that nothing is offered either."""


def takes_additions(stage: Stage) -> bool:
    """Whether a stage offers a line for one more addition."""
    return stage.stage_kind not in _NONE_AT


def role_choice(stage: Stage, role: str) -> Choice:
    """What the line is: rub, brine, medium, fuel, wood, or something that goes with it."""
    name = msg("{stage}: what it is", stage=stage_name(stage))
    words = [(key, say(word)) for key, word in ADDITION_ROLES.items()]
    return Choice(name, words, role, role="cell")


class AdditionRow(Row):
    """One addition, the same for all methods. `role_chosen(role)` when it is called another."""

    role_chosen = Signal(object)

    def __init__(self, desk: Desk, stage: Stage, slot: AdditionSlot, parent: QWidget) -> None:
        self.field = slot.field
        self.word = role_choice(stage, slot.role)
        name = msg("{stage}, {what}", stage=stage_name(stage), what=ADDITION_ROLES[slot.role])
        self.value = Value(name, "", msg("what, and how much"))
        self.value.setObjectName(f"{stage.id}:{slot.field}")
        act: Callable[[str], Step] = partial(set_addition, desk.notebook, stage.id, slot.position)
        self._writing = Writing(desk, self.value, f"{stage.id}:{slot.field}", act)
        line = Line("body", [self.value])
        word = Line("cell", [self.word])
        super().__init__([(QWidget(), BEFORE_PX), (word, WORD_PX), (line, 0)], parent)
        self.word.committed.connect(self.role_chosen)

    def show_text(self, text: str) -> None:
        """Show what is written."""
        self._writing.show(text)

    def set_read_only(self, on: bool) -> None:
        """Readable and no more."""
        self.value.setReadOnly(on)
        self.word.setEnabled(not on)


class NewAddition(Row):
    """The quiet line for one more: "paprika rub, 20 g/kg, 12 % salt"."""

    def __init__(self, desk: Desk, stage: Stage, parent: QWidget) -> None:
        name = msg("{stage}: one more that goes on, in or under it", stage=stage_name(stage))
        self.value = Value(name, "", msg("rub, brine, stock, wood or fuel, by weight"))
        self.value.setObjectName(f"{stage.id}:new addition")
        act: Callable[[str], Step | None] = partial(_added, desk, stage.id)
        self._writing = Writing(desk, self.value, f"{stage.id}:new addition", act)
        line = Line("body", [self.value])
        word = Line("cell", msg("with"), colour="pencil")
        super().__init__([(QWidget(), BEFORE_PX), (word, WORD_PX), (line, 0)], parent)

    def show_empty(self) -> None:
        """Nothing is written here for long: what was typed has become a line of its own."""
        self._writing.show("")


def _added(desk: Desk, stage_id: str, typed: str) -> Step | None:
    return add_addition(desk.notebook, stage_id, typed) if typed.strip() else None

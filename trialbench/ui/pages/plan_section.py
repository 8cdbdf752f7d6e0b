"""What a section of the Plan page is: a part under the others, with its lines, verbs and notes."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QVBoxLayout, QWidget

from trialbench.model.errors import TrialbenchError
from trialbench.model.margin import MarginNote
from trialbench.model.message import Message, msg, say
from trialbench.model.records import Trial
from trialbench.model.steps import Step
from trialbench.notebook import views
from trialbench.ui import theme
from trialbench.ui.leaf import Leaf
from trialbench.ui.page import Desk
from trialbench.ui.runs import Run
from trialbench.ui.text import Line
from trialbench.ui.verbs import TextVerb
from trialbench.ui.verbs_table import VerbEntry


class PlanSection(QWidget):
    """One section. It stands in the table of `plan.py` and knows nothing of the others.

    `kinds` are the record kinds that it shows, `space_px` the room above it. Subclasses fill the
    methods below as far as they need them; parts go into `column`.
    """

    kinds: frozenset[str] = frozenset()
    space_px = 10

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self.desk = desk
        self.column = QVBoxLayout(self)
        self.column.setContentsMargins(0, 0, 0, 0)
        self.column.setSpacing(0)

    def anchors(self) -> dict[str, QWidget]:
        """The lines that margin notes are about, by name."""
        return {}

    def show_plan(self, trial: Trial, *, sealed: bool) -> None:
        """Show the trial as the notebook holds it."""
        raise NotImplementedError

    def show_head(self, leaf: Leaf, *, sealed: bool) -> None:
        """Set this section's verbs at the head of the page."""

    def notes(self) -> tuple[MarginNote, ...]:
        """Margin notes that only this section can reckon; the others come from planning."""
        return ()

    def do(self, name: str, args: tuple[str, ...]) -> bool:
        """Do a verb of the head or of a note; False when it is not one of this section's."""
        return False

    def verbs(self) -> tuple[VerbEntry, ...]:
        """Verbs for the Index."""
        return ()

    def take(self, act: Callable[[], Step]) -> Any:
        """Take the step that `act` builds; what was refused is shown over the page."""
        try:
            trouble = self.desk.take(act())
        except TrialbenchError as refused:
            trouble = refused
        if trouble is not None:
            self.desk.trouble.emit(trouble)
        return trouble


class FoldedSection(PlanSection):
    """A section that is opened by its name: until then it is one line, and does no work.

    Subclasses set `name`, fill `body`, and say in `says` what the line tells while it is folded.
    `wants_open` opens it by itself (something half written in it).
    """

    name: Message
    space_px = 12

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self._open = False
        self.opens = TextVerb(self.name, weight=600)
        self.opens.clicked.connect(self.turn)
        self.heading = Line("cell")
        self.heading.lend(self.opens)
        self.body = QWidget()
        self.body_column = QVBoxLayout(self.body)
        self.body_column.setContentsMargins(0, round(theme.px(6)), 0, round(theme.px(4)))
        self.body_column.setSpacing(round(theme.px(6)))
        self.body.hide()
        self.column.addWidget(self.heading)
        self.column.addWidget(self.body)

    def is_open(self) -> bool:
        """Whether it is unfolded."""
        return self._open

    @Slot()
    def turn(self) -> None:
        """Unfold it, or fold it again."""
        self._open = not self._open
        trial = self.desk.notebook.get(Trial, self.desk.trial_id)
        self.show_plan(trial, sealed=views.is_locked(self.desk.notebook, trial.id))
        self.desk.margin_changed.emit()

    def says(self, trial: Trial) -> Message | str:
        """What the line tells beside its name."""
        return ""

    def wants_open(self, trial: Trial) -> bool:
        """Whether it unfolds by itself."""
        return False

    def show_body(self, trial: Trial, *, sealed: bool) -> None:
        """Show what is inside; asked only while it is unfolded."""
        raise NotImplementedError

    def show_plan(self, trial: Trial, *, sealed: bool) -> None:
        self._open = self._open or self.wants_open(trial)
        state = msg("open") if self._open else msg("folded")
        self.opens.setAccessibleName(say(msg("{name}, {state}", name=self.name, state=state)))
        self.opens.set_underlined(True)
        said = self.says(trial)
        self.heading.set_items([self.opens, Run("   "), Run(said, colour="pencil")])
        if self._open:
            self.show_body(trial, sealed=sealed)
        self.body.setVisible(self._open)

"""What a section of the Plan page is: a part under the others, with its lines, verbs and notes."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtWidgets import QVBoxLayout, QWidget

from trialbench.model.errors import TrialbenchError
from trialbench.model.margin import MarginNote
from trialbench.model.records import Trial
from trialbench.model.steps import Step
from trialbench.ui.leaf import Leaf
from trialbench.ui.page import Desk
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

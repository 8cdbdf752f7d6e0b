"""What will share a vessel on a cook day: each load in a sentence, with its stage."""

from __future__ import annotations

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QVBoxLayout, QWidget

from trialbench.model.message import msg, msg_n
from trialbench.model.records import Load, Piece
from trialbench.notebook import views
from trialbench.notebook.acts import loads
from trialbench.planning.stage_words import and_listed, stage_name
from trialbench.ui.choices import Choice
from trialbench.ui.page import Desk
from trialbench.ui.runs import Run
from trialbench.ui.text import Line
from trialbench.ui.verbs import TextVerb


class SharedHere(QWidget):
    """A line a load: "P01 and P03 share pan 2 in the hold. Each by itself"."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self._shown: tuple[tuple[Load, tuple[Piece, ...]], ...] = ()
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(2)

    def show_cook(self, cook_id: str) -> None:
        """The loads of one cook day; lines that say the same stay as they are."""
        book = self._desk.notebook
        found = views.loads(book, cook_id)
        shown = tuple((load, views.pieces_of_load(book, load.id)) for load in found)
        self.setVisible(bool(found))
        if shown == self._shown:
            return
        self._shown = shown
        while (item := self._column.takeAt(0)) is not None:
            line = item.widget()
            if line is not None:
                line.hide()
                line.deleteLater()
        for load in found:
            self._column.addWidget(self._line(load))

    def _line(self, load: Load) -> Line:
        book = self._desk.notebook
        labels = [piece.label for piece in views.pieces_of_load(book, load.id)]
        trial_id = self._desk.trial_id
        stages = [(s.id, stage_name(s)) for s in views.stages(book, trial_id)]
        which = Choice(
            msg("stage in which {load} is shared", load=load.name),
            (("", msg("a stage not said")), *stages),
            role="cell",
        )
        which.setObjectName(load.id)
        which.keep(load.stage_id or "")
        which.committed.connect(self._choose)
        apart = TextVerb(msg("Each by itself"))
        apart.setObjectName(load.id)
        apart.clicked.connect(self._apart)
        words = msg_n("{pieces} is in {load}, in ", "{pieces} share {load}, in ", len(labels),
                      pieces=and_listed(labels), load=load.name)  # fmt: skip
        return Line("cell", [Run(words), which, Run(".   "), apart])

    @Slot(object)
    def _choose(self, stage_id: str) -> None:
        load_id = self.sender().objectName()
        self._desk.take(loads.share_at(self._desk.notebook, load_id, stage_id or None))

    @Slot()
    def _apart(self) -> None:
        load_id = self.sender().objectName()
        self._desk.take(loads.remove_load(self._desk.notebook, load_id))

"""Leaving out: what was set aside, with its reason, and the line that sets one more aside."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QWidget

from trialbench.model.message import msg
from trialbench.model.records import LeftOut, Piece, Taster
from trialbench.model.steps import Step
from trialbench.notebook import views
from trialbench.notebook.acts import leaving_out
from trialbench.ui.choices import Choice
from trialbench.ui.page import Desk
from trialbench.ui.pages.writing import Writing
from trialbench.ui.runs import Item, Run
from trialbench.ui.text import Line
from trialbench.ui.values import Value
from trialbench.ui.verbs import TextVerb


class SettingAside(Line):
    """One paragraph: "Left out: P03, its pan leaked. Count it again", and the line for another.

    `subject` is piece | taster.
    """

    def __init__(
        self, desk: Desk, parent: QWidget | None = None, *, subject: str = "piece"
    ) -> None:
        super().__init__("body", (), parent)
        self._desk, self._subject = desk, subject
        self._trial_id = ""
        self._which = Choice(msg("leave out"), (), hint=msg("a piece")
                             if subject == "piece" else msg("a taster"))  # fmt: skip
        self._which.committed.connect(self._chosen)
        self._why = Value(msg("why it is left out"), hint=msg("say why"))
        self._why_writing = Writing(desk, self._why, "", self._leave_out)

    def show_pieces(self, trial_id: str, pieces: Sequence[Piece]) -> None:
        """The pieces of one cook day."""
        self._show(trial_id, [(p.id, p.label) for p in pieces])

    def show_tasters(self, trial_id: str, tasters: Sequence[Taster]) -> None:
        """The tasters of one sitting."""
        self._show(trial_id, [(t.id, t.alias) for t in tasters])

    def _show(self, trial_id: str, named: Sequence[tuple[str, str]]) -> None:
        self._trial_id = trial_id
        names = dict(named)
        aside = [
            record
            for record in views.left_out(self._desk.notebook, trial_id)
            if record.subject == self._subject and record.subject_id in names
        ]
        gone = {record.subject_id for record in aside}
        self._which.set_alternatives([(key, name) for key, name in named if key not in gone])
        if self._which.kept() in gone or self._which.kept() not in names:
            self._which.keep("")
        self._why_writing.bind(f"left_out:{trial_id}:{self._which.kept()}", "")
        items: list[Item] = []
        for record in aside:
            items += self._said(record, names[record.subject_id])
        items += [Run(msg("Leave out ")), self._which]
        if self._which.kept():
            items += [Run(msg(" because ")), self._why]
        self.set_items(items)

    def _said(self, record: LeftOut, name: str) -> list[Item]:
        again = TextVerb(msg("Count {name} again", name=name), weight=600)
        again.setObjectName(record.id)
        again.clicked.connect(self._count_again)
        said = msg("Left out: {name}, {why}.", name=name, why=record.reason.rstrip("."))
        return [Run(said), Run("  "), again, Run("\n")]

    @Slot(object)
    def _chosen(self, subject_id: str) -> None:
        self._which.keep(subject_id)
        self._why_writing.bind(f"left_out:{self._trial_id}:{subject_id}", "")
        self.set_items([Run(msg("Leave out ")), self._which, Run(msg(" because ")), self._why])
        self._why.setFocus()

    def _leave_out(self, text: str) -> Step:
        return leaving_out.leave_out(
            self._desk.notebook, self._trial_id, self._subject, self._which.kept(), text
        )

    @Slot()
    def _count_again(self) -> None:
        record_id = self.sender().objectName()
        self._desk.take(leaving_out.take_back_in(self._desk.notebook, record_id))

"""How it was reckoned, the second leaf of Findings: everything needed to reckon it again."""

from __future__ import annotations

from PySide6.QtCore import Slot

from trialbench.model.margin import Margin
from trialbench.model.message import Message, msg
from trialbench.notebook import views
from trialbench.ui.leaf import Leaf
from trialbench.ui.page import Desk
from trialbench.ui.pages.faded import Faded
from trialbench.ui.pages.file_writing import FileWriting
from trialbench.ui.pages.reckoning_page import ReckoningPage
from trialbench.ui.pages.sections import Sections
from trialbench.ui.text import Line
from trialbench.ui.verbs_table import VerbEntry

_SAYS = msg("Anyone can reckon these numbers again.")
_AGAIN = msg("Something was written. Reckoning again; these are the numbers from before.")
_FIRST = msg("Reckoning what the trial supports.")


class ReckonedPage(ReckoningPage):
    """The sections of the report's second side, and the data as a file."""

    key, title = "reckoned", msg("How it was reckoned")

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self._writing = FileWriting(desk)
        self._writing.changed.connect(self._show_written)

    def build(self, leaf: Leaf) -> None:
        leaf.set_title(self.title, _SAYS)
        leaf.set_verb("sealed", msg("Write the seal"))
        leaf.set_verb("data", msg("Write the data file"))
        leaf.set_verb("back", msg("Back to the finding"))
        self.written = Line("cell", colour="pencil")
        self.written.hide()
        self.sections = Sections()
        self._faded = Faded(self.sections)
        leaf.add(self.written)
        leaf.add(self.sections)

    def verbs(self) -> tuple[VerbEntry, ...]:
        return (
            VerbEntry("sealed", msg("Write the sealed text"), self._write_sealed,
                      why=self._why_no_sealed),
            VerbEntry("data", msg("Write the data file"), self._write_data, why=self._why_no_data),
            VerbEntry("back", msg("Back to the finding"), self._back),
        )  # fmt: skip

    # --- showing -------------------------------------------------------------------------------

    def refresh(self, kinds: frozenset[str]) -> None:
        self._reckoning.ask(self.desk.trial_id)
        self._show()

    def _show(self) -> None:
        assert self.leaf is not None
        answer, fresh = self._answer(), self._is_fresh()
        says = _SAYS if fresh else _AGAIN if answer is not None else _FIRST
        self.leaf.set_title(self.title, says)
        self.leaf.set_verb("sealed", msg("Write the seal"), why=self._why_no_sealed())
        self.leaf.set_verb("data", msg("Write the data file"), why=self._why_no_data())
        if answer is None:
            self._shown = None
            self.sections.show_sections(())
        elif (self.desk.trial_id, answer.state) != self._shown:
            self._shown = (self.desk.trial_id, answer.state)
            self._faded.forget()
            self.sections.show_sections(answer.note.reckoned)
            self._anchor()
        self._faded.set(answer is not None and not fresh)
        self.leaf.set_written(self.foot() or "", can_take_back=self.desk.history.can_undo())

    def _anchor(self) -> None:
        assert self.leaf is not None
        self.leaf.drop_anchors()
        for label, row in self.sections.rows.items():
            self.leaf.anchor(label, row)

    def margin(self) -> Margin:
        from trialbench.ui.pages.reckoned_margin import margin_of_reckoned

        answer = self._answer()
        return margin_of_reckoned(answer.found if answer else None)

    def foot(self) -> Message | str | None:
        answer = self._answer()
        if answer is None or not self._is_fresh():
            return None
        return msg("Reckoned {time}; nothing has changed since", time=answer.time)

    # --- what can be done ----------------------------------------------------------------------

    def do(self, name: str, args: tuple[str, ...]) -> None:
        if name == "sealed":
            self._write_sealed()
        elif name == "data":
            self._write_data()
        elif name == "back":
            self._back()

    def _why_no_data(self) -> Message | None:
        if self._answer() is None or not self._is_fresh():
            return msg("It is being reckoned.")
        return self._writing.why_not()

    def _why_no_sealed(self) -> Message | None:
        if views.seal(self.desk.notebook, self.desk.trial_id) is None:
            return msg("The plan was not sealed.")
        return self._why_no_data()

    def _write_sealed(self) -> None:
        answer = self._answer()
        if answer is not None and self._why_no_sealed() is None:
            self._writing.ask(self.leaf, answer, ".json")

    def _write_data(self) -> None:
        answer = self._answer()
        if answer is not None and self._why_no_data() is None:
            self._writing.ask(self.leaf, answer, ".csv")

    @Slot()
    def _show_written(self) -> None:
        said = self._writing.said()
        self.written.set_items(said)
        self.written.setVisible(bool(self.written.words()))
        self._show()

    def _back(self) -> None:
        self.desk.go("findings")

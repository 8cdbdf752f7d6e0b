"""A sealed plan opened for change, with its reason; what was changed so far, old and new."""

from __future__ import annotations

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QVBoxLayout, QWidget

from trialbench.model.errors import Refused
from trialbench.model.message import Message, msg
from trialbench.model.records import Trial
from trialbench.notebook import views
from trialbench.planning.after_seal import end_change, open_for_change
from trialbench.planning.sealed_and_done import differs_from_seal
from trialbench.ui import theme
from trialbench.ui.blanks import Blank
from trialbench.ui.page import Desk
from trialbench.ui.pages.plan_section import PlanSection
from trialbench.ui.runs import Item, Run
from trialbench.ui.text import Line
from trialbench.ui.verbs import TextVerb
from trialbench.ui.verbs_table import VerbEntry

SAYS_OPEN = msg("Open for change after the seal. What is changed is told with its reason.")


class AfterSealSection(PlanSection):
    """Nothing before the seal; then the way to change it, and what was changed under which reason.

    Question and Methods can be changed with it while it is open.
    """

    kinds = frozenset(
        {"trial", "method", "stage", "part", "addition", "factor", "level", "setting", "outcome",
         "difference", "cook", "seal", "after_seal", "sitting"}
    )  # fmt: skip
    space_px = 2

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self.line = Line("body")
        self.reason = Blank(
            msg("why the sealed plan is changed"), hint=msg("say why, it will be printed"),
            role="body",
        )  # fmt: skip
        # Leaving the blank opens nothing: what was sealed is opened on purpose.
        self.reason.typed.connect(self._draft)
        self.reason.entered.connect(self._open)
        self.open = TextVerb(msg("Open it for change"), weight=600)
        self.open.clicked.connect(self._open)
        self.change = TextVerb(msg("Change it, and say why"), weight=600)
        self.change.clicked.connect(self._ask)
        self.leave = TextVerb(msg("Leave it as it is"), weight=600)
        self.leave.clicked.connect(self._leave)
        self.end = TextVerb(msg("End the change"), weight=600)
        self.end.clicked.connect(self._end)
        self.line.lend(self.reason, self.open, self.change, self.leave, self.end)
        self._told = QWidget()
        self._told_column = QVBoxLayout(self._told)
        self._told_column.setContentsMargins(0, 0, 0, round(theme.px(10)))
        self.column.setSpacing(round(theme.px(4)))
        self.column.addWidget(self.line)
        self.column.addWidget(self._told)
        self._asking = False

    def anchors(self) -> dict[str, QWidget]:
        return {"after_seal": self}

    def verbs(self) -> tuple[VerbEntry, ...]:
        return (
            VerbEntry("change_sealed", msg("Change the sealed plan"), self._ask,
                      why=self._why_no_change),
            VerbEntry("end_change", msg("End the change after the seal"), self._end,
                      why=self._why_no_end),
        )  # fmt: skip

    def _why_no_change(self) -> Message | None:
        if not views.is_sealed(self.desk.notebook, self.desk.trial_id):
            return msg("The plan is not sealed. It can be changed as it is.")
        if not views.is_locked(self.desk.notebook, self.desk.trial_id):
            return msg("The plan is open for change already.")
        return None

    def _why_no_end(self) -> Message | None:
        if views.open_after_seal(self.desk.notebook, self.desk.trial_id) is None:
            return msg("The plan is not open for change.")
        return None

    # --- showing -------------------------------------------------------------------------------

    def show_plan(self, trial: Trial, *, sealed: bool) -> None:
        book = self.desk.notebook
        self.setVisible(views.is_sealed(book, trial.id))
        opening = views.open_after_seal(book, trial.id)
        draft = book.draft(self._place())
        if not self.reason.hasFocus() and not self.reason.is_refused():
            self.reason.show_draft(draft) if draft else self.reason.keep("")
        self._asking = opening is None and (self._asking or bool(draft))
        items: list[Item]
        if opening is not None:
            items = [
                Run(msg("Open for change"), weight=600),
                Run(msg(" because “{why}”. Question and Methods too.   ", why=opening.reason)),
                self.end,
            ]
        elif self._asking:
            items = [Run(msg("The sealed plan is changed because ")), self.reason, Run("   "),
                     self.open, Run("   "), self.leave]  # fmt: skip
        elif book.read_only:
            items = [Run(msg("The plan is sealed."), colour="pencil")]
        else:
            said = msg("What is sealed can still be changed, with a reason that stays.   ")
            items = [Run(said, colour="pencil"), self.change]
        self.line.set_items(items)
        self._show_told()

    def _show_told(self) -> None:
        """What is not as it was sealed, under each reason."""
        while (item := self._told_column.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        told = differs_from_seal(views.OneTrial(self.desk.notebook, self.desk.trial_id))
        for each in told:
            self._told_column.addWidget(Line("cell", Run(each)))
        self._told.setVisible(bool(told))

    # --- what can be done ----------------------------------------------------------------------

    def _trial(self) -> Trial:
        trial: Trial = self.desk.notebook.get(Trial, self.desk.trial_id)
        return trial

    @Slot()
    def _ask(self) -> None:
        if self._why_no_change() is None:
            self._asking = True
            self.show_plan(self._trial(), sealed=True)
            self.reason.setFocus()

    @Slot()
    def _leave(self) -> None:
        self._forget()
        self.show_plan(self._trial(), sealed=True)
        self.change.setFocus()

    def _forget(self) -> None:
        self.desk.write_draft(self._place(), None)
        self.reason.keep("")
        self._asking = False

    def _place(self) -> str:
        return f"after_seal:{self.desk.trial_id}:reason"

    @Slot(object)
    def _draft(self, text: str) -> None:
        self.desk.write_draft(self._place(), text or None)

    @Slot()
    def _open(self) -> None:
        book, why = self.desk.notebook, self.reason.text()
        try:
            step = open_for_change(views.OneTrial(book, self.desk.trial_id), why, book.now())
        except Refused as refused:
            self.reason.refuse(refused)
            self.reason.setFocus()
            return
        self._forget()
        if self.take(lambda: step) is None:
            self.end.setFocus()

    @Slot()
    def _end(self) -> None:
        book = self.desk.notebook
        self.take(lambda: end_change(views.OneTrial(book, self.desk.trial_id), book.now()))

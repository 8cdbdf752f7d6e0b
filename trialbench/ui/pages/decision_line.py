"""What is done from now on, written by the cook: a choice and the reason as it will be printed."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, Slot

from trialbench.model.errors import TrialbenchError
from trialbench.model.message import msg
from trialbench.model.steps import Step
from trialbench.notebook import views
from trialbench.notebook.acts import decision
from trialbench.ui.choices import Choice
from trialbench.ui.page import Desk
from trialbench.ui.pages.writing import Writing
from trialbench.ui.runs import Run
from trialbench.ui.text import Line
from trialbench.ui.values import Value
from trialbench.ui.verbs import TextVerb


class DecisionLine(Line):
    """ "From now on: [change to the idea]. [why]" """

    def __init__(self, desk: Desk) -> None:
        super().__init__("body")
        self._desk = desk
        self.choice = Choice(
            msg("what you do from now on"), tuple(decision.CHOICES.items()),
            hint=msg("choose what you do"), boxed=True,
        )  # fmt: skip
        self.choice.committed.connect(self._choose)
        self.reason = Value(
            msg("the decision in your words"), hint=msg("say it in your words, as it is printed")
        )
        self._writing = Writing(desk, self.reason, "", self._decide)
        self.reason.entered.connect(self._leave)
        self.reason.installEventFilter(self)
        self.anew = TextVerb(msg("Say it in other words"), role="body", weight=500)
        self.anew.clicked.connect(self.write_reason)
        for part in (self.choice, self.reason, self.anew):
            part.setParent(self)
        self._lay(decided=False, open_to_write=False)

    def show_trial(self, trial_id: str) -> None:
        """What is decided, or what was being written."""
        made = views.decision(self._desk.notebook, trial_id)
        self.choice.show_kept(made.choice if made else "")
        self._writing.bind(f"decision:{trial_id}", made.reason if made else "")
        for part in (self.choice, self.reason):
            part.setEnabled(not self._desk.notebook.read_only)
        self._lay(decided=made is not None, open_to_write=self._is_writing())

    def _lay(self, *, decided: bool, open_to_write: bool) -> None:
        """What is said already stands on the paper; its place to write comes when it is wanted."""
        said = decided and bool(self.reason.kept()) and not open_to_write
        self.reason.setVisible(decided and not said)
        self.anew.setVisible(said)
        end = Run(msg(".   ")) if decided else Run("")
        self.set_items([Run(msg("From now on ")), self.choice, end, self.reason, self.anew])

    def _is_writing(self) -> bool:
        reason = self.reason
        return reason.hasFocus() or reason.is_refused() or reason.text() != reason.kept()

    @Slot()
    def write_reason(self) -> None:
        """Put the keyboard where the reason is written."""
        self._lay(decided=True, open_to_write=True)
        self.reason.setFocus()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """The place to write is left as it was: the words stand on the paper again."""
        if event.type() == QEvent.Type.FocusOut and not self._is_writing():
            self._lay(decided=bool(self.choice.kept()), open_to_write=False)
        return super().eventFilter(watched, event)

    @Slot()
    def _leave(self) -> None:
        """Enter ends the writing."""
        if not self.reason.is_refused():
            self.choice.setFocus()

    @Slot(object)
    def _choose(self, key: str) -> None:
        """A choice is a decision by itself; what was said of another choice is not its reason."""
        try:
            step = decision.decide(self._desk.notebook, self._desk.trial_id, key)
        except TrialbenchError as refused:
            self._desk.trouble.emit(refused)
            return
        if self._desk.take(step) is None:
            self.write_reason()

    def _decide(self, text: str) -> Step:
        return decision.decide(self._desk.notebook, self._desk.trial_id, self.choice.kept(), text)

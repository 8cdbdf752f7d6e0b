"""The rows of the Question page that say what kind of question it is and where it is found."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QObject, Qt

from trialbench.model.message import Message, msg
from trialbench.model.records import Method, Trial
from trialbench.model.steps import Step
from trialbench.notebook import views
from trialbench.notebook.acts import kinds, question, shapes
from trialbench.ui.choices import Choice
from trialbench.ui.page import Desk
from trialbench.ui.pages.field_rows import FieldRow, Option, Taker
from trialbench.ui.pages.writing import Writing
from trialbench.ui.runs import Item
from trialbench.ui.values import Value

KINDS: tuple[tuple[str, Message], ...] = (
    ("better", msg("is it better")),
    ("at_least_as_good", msg("is the easier way at least as good")),
    ("which_setting", msg("which setting")),
    ("same_recipe", msg("how noisy is my kitchen")),
)


class KindRow(QObject):
    """ "The question is": better, at least as good, which setting, or one recipe twice."""

    def __init__(self, desk: Desk, parent: QObject) -> None:
        super().__init__(parent)
        self._desk = desk
        self.row = FieldRow(msg("The question is"))
        self._taker = Taker(desk, self.row)
        self._shape: object = ()
        self._options: list[Option] = []
        self._easier: Choice | None = None

    def show_trial(self, trial: Trial, *, sealed: bool) -> None:
        """Mark the kind that holds; the easier way is named beside "at least as good"."""
        wants = trial.question == "at_least_as_good"
        shape = (wants, sealed, trial.question if sealed else "")
        if shape != self._shape:
            self._shape = shape
            self._lay(trial.question, with_easier=wants, sealed=sealed)
        for option in self._options:
            option.set_chosen(option.objectName() == trial.question)
        if self._easier is not None:
            there = views.methods(self._desk.notebook, trial.id)
            self._easier.set_alternatives([(m.id, ways_name(trial, m)) for m in there])
            self._easier.keep(trial.easier_id or "")
            self._easier.setEnabled(not sealed)

    def _lay(self, kind: str, *, with_easier: bool, sealed: bool) -> None:
        """All four to choose from; once sealed, the one that was chosen."""
        had = next((o.objectName() for o in self._options if o.hasFocus()), "")
        shown = [(key, words) for key, words in KINDS if not sealed or key == kind]
        self._options = [Option(key, words) for key, words in shown]
        items: list[Item] = []
        for option in self._options:
            option.clicked.connect(self._choose)
            option.setEnabled(not sealed)
            items += [option, "     "]
        self._easier = None
        if with_easier:
            self._easier = Choice(msg("The easier way"), (), hint=msg("which way"))
            self._easier.committed.connect(self._name_easier)
            items += [msg("The easier way is "), self._easier]
        self.row.put(items)
        for option in self._options:
            if option.objectName() == had:
                option.setFocus()

    def _choose(self) -> None:
        key = self.sender().objectName()
        book, trial_id = self._desk.notebook, self._desk.trial_id
        if book.get(Trial, trial_id).question != key:
            self._taker.take(partial(kinds.choose_question, book, trial_id, key))

    def _name_easier(self, method_id: str) -> None:
        book, trial_id = self._desk.notebook, self._desk.trial_id
        make = partial(kinds.choose_question, book, trial_id, "at_least_as_good", method_id)
        self._taker.take(make)


class ChapterRow(QObject):
    """The chapter of the contents under which the trial stands."""

    def __init__(self, desk: Desk, parent: QObject) -> None:
        super().__init__(parent)
        self._desk = desk
        self.row = FieldRow(msg("Stands under"))
        self._value = Value(msg("Chapter of the contents"), "", msg("its food"))
        self._writing = Writing(desk, self._value, "", self._step)
        self.row.put([self._value, msg(" in the contents")])

    def show_trial(self, trial: Trial, *, sealed: bool) -> None:
        """A chapter may be written at any time."""
        self._writing.bind(f"{trial.id}:chapter", trial.chapter)

    def _step(self, typed: str) -> Step:
        return question.set_words(self._desk.notebook, self._desk.trial_id, "chapter", typed)


class ReferenceRow(QObject):
    """ "In every sitting": a reference sample, asked in one line once it is wanted."""

    def __init__(self, desk: Desk, parent: QObject) -> None:
        super().__init__(parent)
        self._desk = desk
        self.row = FieldRow(msg("In every sitting"))
        self._value = Value(msg("The reference sample of every sitting"), "",
                            msg("the same thing each time: what"))  # fmt: skip
        self._writing = Writing(desk, self._value, "", self._step)
        self.row.put([msg("a reference sample: "), self._value, msg(", to compare trials by")])
        self._wanted_in = ""

    def show_trial(self, trial: Trial, *, sealed: bool) -> None:
        """Shown where there is one, or where it was asked for."""
        place = f"{trial.id}:reference"
        drafted = self._desk.notebook.draft(place) is not None
        self.row.setVisible(bool(trial.reference) or drafted or self._wanted_in == trial.id)
        self._value.setReadOnly(sealed)
        self._writing.bind(place, trial.reference)

    def ask(self) -> None:
        """Show the line and write in it."""
        self._wanted_in = self._desk.trial_id
        self.row.setVisible(True)
        self._value.setFocus(Qt.FocusReason.OtherFocusReason)

    def _step(self, typed: str) -> Step:
        return shapes.set_reference(self._desk.notebook, self._desk.trial_id, typed)


def ways_name(trial: Trial, method: Method) -> str:
    """A method by its way in the question, where it is one of the two."""
    return (
        {"A": trial.usual, "B": trial.idea}.get(method.letter, "") or method.name or method.letter
    )

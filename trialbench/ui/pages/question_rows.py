"""The rows of the Question page: the kind of question, what decides, where each way comes from."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from PySide6.QtCore import QObject

from trialbench.model.attributes import ATTRIBUTES
from trialbench.model.message import Message, msg, say
from trialbench.model.records import Method, Outcome, Trial
from trialbench.model.scales import SCALES
from trialbench.model.steps import Step
from trialbench.notebook import views
from trialbench.notebook.acts import deciding, kinds, methods, outcomes, question
from trialbench.ui.choices import Choice
from trialbench.ui.page import Desk
from trialbench.ui.pages.field_rows import FieldRow, Option, Taker
from trialbench.ui.pages.writing import Writing
from trialbench.ui.runs import Item
from trialbench.ui.values import Value

KINDS: tuple[tuple[str, Message], ...] = (
    ("better", msg("is it better")),
    ("at_least_as_good", msg("is the easier way at least as good")),
    ("same_recipe", msg("how noisy am I")),
)
BETTER: tuple[tuple[str, Message], ...] = (
    ("more", msg("more is better")),
    ("less", msg("less is better")),
    ("neither", msg("neither is better")),
)
ORIGINS: tuple[tuple[str, Message], ...] = (
    ("own", msg("own")),
    ("learned", msg("learned")),
    ("cited", msg("cited")),
)
MEASURED: tuple[tuple[str, Message], ...] = (
    ("loss", msg("loss of weight")),
    ("yield", msg("yield of weight")),
)


class KindRow(QObject):
    """ "The question is": better, at least as good, or one recipe twice."""

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
        """All three to choose from; once sealed, the one that was chosen."""
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


class DecidesRow(QObject):
    """ "Decides": an attribute on its scale, or a loss from one weighing to another."""

    def __init__(self, desk: Desk, parent: QObject) -> None:
        super().__init__(parent)
        self._desk = desk
        self.row = FieldRow(msg("Decides"))
        self._taker = Taker(desk, self.row)
        self._shape: object = ()
        self._choices: dict[str, Choice] = {}

    def show_trial(self, trial: Trial, *, sealed: bool) -> None:
        """What decides, on which scale, and which way is better."""
        book = self._desk.notebook
        decides = views.deciding(book, trial.id)
        shape = decides.source if decides else None
        if shape != self._shape:
            self._shape = shape
            self._lay(decides)
        self._choices["what"].set_alternatives(_can_decide(book, trial.id))
        self._choices["what"].keep(decides.id if decides else "")
        if decides is not None:
            self._fill(decides)
        for choice in self._choices.values():
            choice.setEnabled(not sealed)

    def _lay(self, decides: Outcome | None) -> None:
        had = next((name for name, choice in self._choices.items() if choice.hasFocus()), None)
        self._choices = {"what": Choice(msg("What decides"), (), hint=msg("nothing yet"))}
        items: list[Item] = [self._choices["what"]]
        if decides is not None and decides.source == "attribute":
            scales = [(name, scale.label) for name, scale in SCALES.items()]
            self._choices["scale"] = Choice(msg("On which scale"), scales)
            items += [msg(", blind, on "), self._choices["scale"]]
        elif decides is not None:
            self._choices["from_checkpoint_id"] = Choice(msg("From which weighing"), ())
            self._choices["to_checkpoint_id"] = Choice(msg("To which weighing"), ())
            items += [msg(", from "), self._choices["from_checkpoint_id"]]
            items += [msg(" to "), self._choices["to_checkpoint_id"]]
        if decides is not None:
            self._choices["better"] = Choice(msg("Which way is better"), BETTER)
            items += [", ", self._choices["better"]]
        for name, choice in self._choices.items():
            choice.committed.connect(partial(self._choose, name))
        self.row.put(items)
        if had in self._choices:
            self._choices[had].setFocus()

    def _fill(self, decides: Outcome) -> None:
        self._choices["better"].keep(decides.better)
        if decides.source == "attribute":
            self._choices["scale"].keep(decides.scale)
            return
        named = views.checkpoints(self._desk.notebook, decides.trial_id)
        for end in ("from_checkpoint_id", "to_checkpoint_id"):
            self._choices[end].set_alternatives([(c.id, c.name) for c in named])
            self._choices[end].keep(str(decides.values()[end] or ""))

    def _choose(self, name: str, key: str) -> None:
        self._taker.take(partial(self._step, name, key))

    def _step(self, name: str, key: str) -> Step:
        book, trial_id = self._desk.notebook, self._desk.trial_id
        if name == "what":
            known = book.find(Outcome, key)
            return deciding.decide_by(book, trial_id, known.name if known else key)
        outcome = views.deciding(book, trial_id)
        assert outcome is not None
        if name in deciding.ENDS:
            return deciding.set_span(book, outcome.id, name, key)
        return outcomes.set_outcome(book, outcome.id, name, key)


class OriginRow(QObject):
    """ "Where it comes from": for each way own, learned or cited, and from whom."""

    def __init__(self, desk: Desk, parent: QObject) -> None:
        super().__init__(parent)
        self._desk = desk
        self.row = FieldRow(msg("Where it comes from"))
        self._taker = Taker(desk, self.row)
        self._shape: object = ()
        self._choices: list[Choice] = []
        self._notes: list[Writing] = []

    def show_trial(self, trial: Trial, *, sealed: bool) -> None:
        """An origin may still be written when the plan is sealed."""
        there = views.methods(self._desk.notebook, trial.id)
        shape = (trial.id, tuple(method.id for method in there))
        if shape != self._shape:
            self._shape = shape
            self._lay(trial, there)
        for method, choice, note in zip(there, self._choices, self._notes, strict=True):
            choice.keep(method.origin)
            note.show(method.origin_note)

    def _lay(self, trial: Trial, there: Sequence[Method]) -> None:
        self._choices, self._notes = [], []
        items: list[Item] = []
        for method in there:
            who = ways_name(trial, method)
            choice = Choice(msg("{way}: where it comes from", way=who), ORIGINS)
            choice.committed.connect(partial(self._choose, method.id))
            value = Value(msg("{way}: from whom", way=who), "", msg("from whom, since when"))
            writing = Writing(
                self._desk, value, f"{method.id}:origin", partial(self._note, method.id)
            )
            self._choices.append(choice)
            self._notes.append(writing)
            items += [msg("; ") if items else "", _own_words(method), ": ", choice, ", ", value]
        self.row.put(items)

    def _choose(self, method_id: str, origin: str) -> None:
        method = self._desk.notebook.get(Method, method_id)
        make = partial(
            methods.set_origin, self._desk.notebook, method_id, origin, method.origin_note
        )
        self._taker.take(make)

    def _note(self, method_id: str, typed: str) -> Step:
        method = self._desk.notebook.get(Method, method_id)
        return methods.set_origin(self._desk.notebook, method_id, method.origin, typed)


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


def ways_name(trial: Trial, method: Method) -> str:
    """A method by its way in the question, where it is one of the two."""
    return (
        {"A": trial.usual, "B": trial.idea}.get(method.letter, "") or method.name or method.letter
    )


def _own_words(method: Method) -> Message | str:
    return {"A": msg("my way"), "B": msg("my idea")}.get(method.letter, method.name)


def _can_decide(book: object, trial_id: str) -> list[tuple[str, Message | str]]:
    """What there is, then the library's attributes that are not on the list, then weights."""
    there = views.outcomes(book, trial_id)  # type: ignore[arg-type]
    known = {say(outcome.name).casefold() for outcome in there}
    found: list[tuple[str, Message | str]] = [(o.id, o.name) for o in there]
    found += [(a.name, a.name) for a in ATTRIBUTES if a.name not in known]
    sources = {outcome.source for outcome in there}
    return found + [(key, words) for key, words in MEASURED if key not in sources]

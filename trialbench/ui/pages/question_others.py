"""What else we look at, and what the score card asks of each attribute."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from PySide6.QtCore import QObject, Qt, QTimer, Slot

from trialbench.model.attributes import ATTRIBUTES
from trialbench.model.food_attributes import fitting
from trialbench.model.message import Message, msg, say
from trialbench.model.records import Outcome, Trial
from trialbench.model.scales import SCALES
from trialbench.model.steps import Step
from trialbench.notebook import views
from trialbench.notebook.acts import outcomes, targets
from trialbench.ui.blanks import Blank
from trialbench.ui.choices import Choice
from trialbench.ui.page import Desk
from trialbench.ui.pages.field_rows import FieldRow, Taker
from trialbench.ui.pages.question_decides import BETTER, MEASURED, TargetValue
from trialbench.ui.pages.writing import Writing
from trialbench.ui.runs import Item
from trialbench.ui.values import Value
from trialbench.ui.verbs import TextVerb

_OWN_WORDS = "own words"
_ENOUGH = 3
"""With so many lines beside the one that decides, no more are offered one by one."""


class OthersRow(QObject):
    """ "What else we look at": names to write over (emptied, they leave the list), and one more.

    While there are fewer than three, what fits the food is offered, each a click.
    """

    def __init__(self, desk: Desk, parent: QObject) -> None:
        super().__init__(parent)
        self._desk = desk
        self.row = FieldRow(msg("What else we look at"))
        self._taker = Taker(desk, self.row)
        self._shape: object = ()
        self._names: list[Writing] = []
        self._add: Choice | None = None
        self._own: Blank | None = None
        self._offer: tuple[str, ...] = ()

    def show_trial(self, trial: Trial, *, sealed: bool) -> None:
        """The list may grow until a key is open."""
        others = views.other_outcomes(self._desk.notebook, trial.id)
        draft = self._desk.notebook.draft(f"{trial.id}:another") is not None
        offered = () if sealed else self._fitting(trial, len(others))
        shape = (trial.id, tuple(outcome.id for outcome in others), offered, sealed)
        if shape != self._shape:
            self._shape = shape
            self._offer = offered
            self._lay(trial.id, others, in_own_words=draft)
        for outcome, writing in zip(others, self._names, strict=True):
            writing.show(outcome.name)

    def _fitting(self, trial: Trial, count: int) -> tuple[str, ...]:
        """What would tell why in this food, once something decides and less than three lines do."""
        if count >= _ENOUGH or trial.decides_id is None:
            return ()
        there = {o.name.casefold() for o in views.outcomes(self._desk.notebook, trial.id)}
        return tuple(n for n in fitting(trial.food) if n not in there)[: _ENOUGH - count]

    def _lay(self, trial_id: str, others: Sequence[Outcome], *, in_own_words: bool) -> None:
        self._names = []
        items: list[Item] = []
        for outcome in others:
            value = Value(msg("Also looked at: {name}", name=outcome.name), outcome.name)
            place = f"{outcome.id}:name"
            self._names.append(Writing(self._desk, value, place, partial(self._rename, outcome.id)))
            items += [value, ", "]
        if items:
            items[-1] = "; "
        self._own = None
        if in_own_words:
            self._own = Blank(msg("What else, in your words"), "", msg("in your words"),
                              role="body")  # fmt: skip
            writing = Writing(self._desk, self._own, f"{trial_id}:another", self._in_own_words)
            items.append(self._own)
        self._add = None
        items += self._offered_items() if not in_own_words else []
        if not in_own_words:
            hint = msg("something else") if self._offer else msg("add one")
            self._add = Choice(msg("One more to look at"), self._offered(trial_id), hint=hint)
            self._add.committed.connect(self._choose)
            items.append(self._add)
        self.row.put(items)
        if self._own is not None:
            writing.show("")

    def _offered_items(self) -> list[Item]:
        """ "add tenderness or saltiness, or" before the list of everything else."""
        items: list[Item] = [msg("add ")] if self._offer else []
        for name in self._offer:
            verb = TextVerb(name, role="body")
            verb.setAccessibleName(say(msg("add {name}", name=name)))
            verb.setObjectName(name)
            verb.clicked.connect(self._take_offered)
            items += [verb, ", "]
        return [*items[:-1], msg(", or ")] if items else []

    @Slot()
    def _take_offered(self) -> None:
        name = self.sender().objectName()
        book, trial_id = self._desk.notebook, self._desk.trial_id
        if self._taker.take(partial(outcomes.add_attribute, book, trial_id, name)):
            QTimer.singleShot(0, self, self._back_to_add)

    def _offered(self, trial_id: str) -> list[tuple[str, Message | str]]:
        known = {o.name.casefold() for o in views.outcomes(self._desk.notebook, trial_id)}
        found: list[tuple[str, Message | str]] = [(_OWN_WORDS, msg("in your own words"))]
        found += [(a.name, a.name) for a in ATTRIBUTES if a.name not in known]
        return [*found, *MEASURED]

    def _choose(self, key: str) -> None:
        book, trial_id = self._desk.notebook, self._desk.trial_id
        if key == _OWN_WORDS:
            others = views.other_outcomes(book, trial_id)
            # After the list of choices has let go of the keyboard.
            QTimer.singleShot(0, self, partial(self._write_own, trial_id, others))
            return
        measured = key in dict(MEASURED)
        act = outcomes.add_measured if measured else outcomes.add_attribute
        if self._taker.take(partial(act, book, trial_id, key)):
            QTimer.singleShot(0, self, self._back_to_add)

    def _write_own(self, trial_id: str, others: Sequence[Outcome]) -> None:
        self._lay(trial_id, others, in_own_words=True)
        if self._own is not None:
            self._own.setFocus(Qt.FocusReason.OtherFocusReason)

    @Slot()
    def _back_to_add(self) -> None:
        if self._add is not None:
            self._add.setFocus(Qt.FocusReason.OtherFocusReason)

    def _in_own_words(self, typed: str) -> Step | None:
        if not typed.strip():
            self._shape = ()
            return None
        return outcomes.add_attribute(self._desk.notebook, self._desk.trial_id, typed)

    def _rename(self, outcome_id: str, typed: str) -> Step:
        if not typed.strip():
            return outcomes.remove_outcome(self._desk.notebook, outcome_id)
        return outcomes.set_outcome(self._desk.notebook, outcome_id, "name", typed)


class CardRow(QObject):
    """What the score card asks: question, words at both ends, scale and direction."""

    def __init__(self, desk: Desk, parent: QObject) -> None:
        super().__init__(parent)
        self._desk = desk
        self.row = FieldRow(msg("The score card asks"))
        self._taker = Taker(desk, self.row)
        self._which = ""
        self._shape: object = ()
        self._writings: dict[str, Writing] = {}
        self._choices: dict[str, Choice] = {}
        self._target: TargetValue | None = None

    def show_trial(self, trial: Trial, *, sealed: bool) -> None:
        """The attribute that was looked at last, at first the one that decides."""
        there = views.attributes(self._desk.notebook, trial.id)
        self.row.setVisible(bool(there))
        if not there:
            return
        decides = next((o for o in there if o.id == trial.decides_id), there[0])
        outcome = next((o for o in there if o.id == self._which), decides)
        shape = (outcome.id, outcome.id == trial.decides_id, outcome.better == "target")
        if shape != self._shape:
            self._shape = shape
            self._lay(outcome, decides=outcome.id == trial.decides_id)
        self._choices["which"].set_alternatives([(o.id, o.name) for o in there])
        self._choices["which"].keep(outcome.id)
        for field, writing in self._writings.items():
            writing.show(str(outcome.values()[field] or ""))
        if self._target is not None:
            self._target.show_outcome(outcome)
        for field in ("scale", "better"):
            if field in self._choices:
                self._choices[field].keep(str(outcome.values()[field]))

    def _lay(self, outcome: Outcome, *, decides: bool) -> None:
        had = next((name for name, c in self._choices.items() if c.hasFocus()), "")
        self._choices = {"which": Choice(msg("Which attribute"), ())}
        scale = SCALES.get(outcome.scale)
        hints = {
            "asked_as": msg("how the card asks it"),
            "low_anchor": scale.low_anchor if scale else msg("the low end"),
            "high_anchor": scale.high_anchor if scale else msg("the high end"),
        }
        values = {field: Value(hint, "", hint) for field, hint in hints.items()}
        self._writings = {
            field: Writing(self._desk, value, f"{outcome.id}:{field}",
                           partial(self._write, outcome.id, field))
            for field, value in values.items()
        }  # fmt: skip
        items: list[Item] = [
            self._choices["which"], ": ", values["asked_as"], msg(" from "), values["low_anchor"],
            msg(" to "), values["high_anchor"],
        ]  # fmt: skip
        self._target = None
        if not decides:
            scales = [(name, scale.label) for name, scale in SCALES.items()]
            self._choices["scale"] = Choice(msg("On which scale"), scales)
            self._choices["better"] = Choice(msg("Which way is better"), BETTER)
            items += [msg(", on "), self._choices["scale"], ", ", self._choices["better"]]
            if outcome.better == "target":
                self._target = TargetValue(self._desk, outcome.id)
                items += [": ", self._target]
            items += [";  ", self._verb(msg("Take it off the list"), self._drop)]
        for name, choice in self._choices.items():
            choice.committed.connect(partial(self._choose, name))
        self.row.put(items)
        if had:
            self._choices.get(had, self._choices["which"]).setFocus(Qt.FocusReason.OtherFocusReason)

    @staticmethod
    def _verb(label: Message, act: object) -> TextVerb:
        verb = TextVerb(label)
        verb.clicked.connect(act)
        return verb

    def _choose(self, name: str, key: str) -> None:
        if name == "which":
            self._which = key
            trial = self._desk.notebook.get(Trial, self._desk.trial_id)
            self.show_trial(trial, sealed=False)
            return
        which = self._choices["which"].kept()
        book = self._desk.notebook
        if name == "better":
            self._taker.take(partial(targets.set_better, book, which, key))
        else:
            self._taker.take(partial(outcomes.set_outcome, book, which, name, key))

    @Slot()
    def _drop(self) -> None:
        which = self._choices["which"].kept()
        self._taker.take(partial(outcomes.remove_outcome, self._desk.notebook, which))

    def _write(self, outcome_id: str, field: str, typed: str) -> Step:
        return outcomes.set_outcome(self._desk.notebook, outcome_id, field, typed)

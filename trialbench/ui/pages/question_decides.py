"""What decides: an attribute on its scale or a loss, and which way is better."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QObject, Qt

from trialbench.model.attributes import ATTRIBUTES
from trialbench.model.message import Message, msg, say
from trialbench.model.numbers import shortest
from trialbench.model.records import Outcome, Trial
from trialbench.model.scales import SCALES
from trialbench.model.steps import Step
from trialbench.notebook import views
from trialbench.notebook.acts import deciding, outcomes, targets
from trialbench.ui.choices import Choice
from trialbench.ui.page import Desk
from trialbench.ui.pages.field_rows import FieldRow, Taker
from trialbench.ui.pages.writing import Writing
from trialbench.ui.runs import Item
from trialbench.ui.values import Value

BETTER: tuple[tuple[str, Message], ...] = (
    ("more", msg("more is better")),
    ("less", msg("less is better")),
    ("target", msg("closest to a target")),
    ("neither", msg("neither is better")),
)
MEASURED: tuple[tuple[str, Message], ...] = (
    ("loss", msg("loss of weight")),
    ("yield", msg("yield of weight")),
)


class TargetValue(Value):
    """ "closest to [5]": what an outcome should come closest to."""

    def __init__(self, desk: Desk, outcome_id: str) -> None:
        super().__init__(msg("What it should come closest to"), "", msg("how much"))
        self._desk, self._outcome_id = desk, outcome_id
        self.writing = Writing(desk, self, f"{outcome_id}:target", self._step)

    def show_outcome(self, outcome: Outcome) -> None:
        """The target as the notebook holds it."""
        self.writing.show("" if outcome.target is None else shortest(outcome.target))

    def _step(self, typed: str) -> Step:
        return targets.set_target(self._desk.notebook, self._outcome_id, typed)


class DecidesRow(QObject):
    """ "Decides": an attribute on its scale, or a loss from one weighing to another."""

    def __init__(self, desk: Desk, parent: QObject) -> None:
        super().__init__(parent)
        self._desk = desk
        self.row = FieldRow(msg("Decides"))
        self._taker = Taker(desk, self.row)
        self._shape: object = ()
        self._choices: dict[str, Choice] = {}
        self.target: TargetValue | None = None

    def show_trial(self, trial: Trial, *, sealed: bool) -> None:
        """What decides, on which scale, and which way is better."""
        book = self._desk.notebook
        decides = views.deciding(book, trial.id)
        shape = (decides.id, decides.source, decides.better == "target") if decides else None
        if shape != self._shape:
            self._shape = shape
            self._lay(decides)
        self._choices["what"].set_alternatives(_can_decide(book, trial.id))
        self._choices["what"].keep(decides.id if decides else "")
        if decides is not None:
            self._fill(decides)
        for choice in self._choices.values():
            choice.setEnabled(not sealed)
        if self.target is not None:
            self.target.setReadOnly(sealed)

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
        self.target = None
        if decides is not None and decides.better == "target":
            self.target = TargetValue(self._desk, decides.id)
            items += [": ", self.target]
        for name, choice in self._choices.items():
            choice.committed.connect(partial(self._choose, name))
        self.row.put(items)
        if had in self._choices:
            self._choices[had].setFocus()

    def _fill(self, decides: Outcome) -> None:
        self._choices["better"].keep(decides.better)
        if self.target is not None:
            self.target.show_outcome(decides)
        if decides.source == "attribute":
            self._choices["scale"].keep(decides.scale)
            return
        named = views.checkpoints(self._desk.notebook, decides.trial_id)
        for end in ("from_checkpoint_id", "to_checkpoint_id"):
            self._choices[end].set_alternatives([(c.id, c.name) for c in named])
            self._choices[end].keep(str(decides.values()[end] or ""))

    def _choose(self, name: str, key: str) -> None:
        taken = self._taker.take(partial(self._step, name, key))
        if taken and key == "target" and self.target is not None and not self.target.text():
            self.target.setFocus(Qt.FocusReason.OtherFocusReason)

    def _step(self, name: str, key: str) -> Step:
        book, trial_id = self._desk.notebook, self._desk.trial_id
        if name == "what":
            known = book.find(Outcome, key)
            return deciding.decide_by(book, trial_id, known.name if known else key)
        outcome = views.deciding(book, trial_id)
        assert outcome is not None
        if name in deciding.ENDS:
            return deciding.set_span(book, outcome.id, name, key)
        if name == "better":
            return targets.set_better(book, outcome.id, key)
        return outcomes.set_outcome(book, outcome.id, name, key)


def _can_decide(book: object, trial_id: str) -> list[tuple[str, Message | str]]:
    """What there is, then the library's attributes that are not on the list, then weights."""
    there = views.outcomes(book, trial_id)  # type: ignore[arg-type]
    known = {say(outcome.name).casefold() for outcome in there}
    found: list[tuple[str, Message | str]] = [(o.id, o.name) for o in there]
    found += [(a.name, a.name) for a in ATTRIBUTES if a.name not in known]
    sources = {outcome.source for outcome in there}
    return found + [(key, words) for key, words in MEASURED if key not in sources]

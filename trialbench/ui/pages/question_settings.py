"""Rows of a trial of settings: their order and line, the methods they make, what is compared."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import Any

from PySide6.QtCore import QObject, QTimer, Signal, Slot

from trialbench.model.message import Message, msg, msg_n
from trialbench.model.records import Factor, Method, Trial
from trialbench.model.steps import Step
from trialbench.model.words import STAGE_FIELDS, STAGE_KINDS
from trialbench.notebook import views
from trialbench.notebook.acts import shapes
from trialbench.notebook.acts.level_reading import likely_field
from trialbench.notebook.views import shapes as seen
from trialbench.ui.choices import Choice
from trialbench.ui.page import Desk
from trialbench.ui.pages.field_rows import FieldRow, Option, Taker
from trialbench.ui.runs import Item, Run
from trialbench.ui.signs import MethodSign
from trialbench.ui.verbs import TextVerb

_ORDERS = (("yes", msg("numbers in order")), ("no", msg("ways in no order")))
_NO_LINE = ("", msg("no stage yet"))


class SettingsRow(QObject):
    """ "The settings are": in order or not, and the line of the methods that holds them.

    `crossed` says that a second thing is to be named.
    """

    crossed = Signal()

    def __init__(self, desk: Desk, parent: QObject) -> None:
        super().__init__(parent)
        self._desk = desk
        self.row = FieldRow(msg("The settings are"))
        self._taker = Taker(desk, self.row)
        self._shape: object = ()
        self.choices: list[dict[str, Choice]] = []

    def show_trial(self, trial: Trial, *, sealed: bool) -> None:
        """A line for each thing that is varied."""
        there = seen.factors(self._desk.notebook, trial.id)
        wanted = trial.question == "which_setting"
        self.row.setVisible(wanted and bool(there))
        if not wanted:
            return
        ready = seen.levels(self._desk.notebook, there[0].id)[1:2] if there else ()
        shape = (sealed, bool(ready), tuple((f.id, f.name, bool(f.stage_id)) for f in there))
        if shape != self._shape:
            self._shape = shape
            self._lay(there, sealed=sealed, ready=bool(ready))
        for factor, choices in zip(there, self.choices, strict=True):
            self._fill(factor, choices, sealed=sealed)

    def _lay(self, there: Sequence[Factor], *, sealed: bool, ready: bool) -> None:
        had = next(((n, key) for n, own in enumerate(self.choices) for key, choice in own.items()
                    if choice.hasFocus()), None)  # fmt: skip
        self.choices = []
        items: list[Item] = []
        for n, factor in enumerate(there):
            name = factor.name or (msg("the first") if n == 0 else msg("the second"))
            own = {"order": Choice(msg("{name}: in order or not", name=name), _ORDERS),
                   "stage": Choice(msg("{name}: in which stage", name=name), ())}  # fmt: skip
            items += ["\n"] if n else []
            items += [Run(name, weight=500), ": ", own["order"], msg(", written in "), own["stage"]]
            if factor.stage_id:
                own["field"] = Choice(msg("{name}: in which line of it", name=name), ())
                items += [msg(", line "), own["field"]]
            items += self._verb(n, len(there)) if ready and not sealed else []
            for key, choice in own.items():
                choice.committed.connect(partial(self._choose, factor.id, key))
            self.choices.append(own)
        self.row.put(items)
        if had is not None and had[0] < len(self.choices):
            kept = self.choices[had[0]]
            kept.get(had[1], kept["stage"]).setFocus()

    def _verb(self, n: int, count: int) -> list[Item]:
        """After the first: cross it with a second thing; after the second: leave it out."""
        if n == 0 and count > 1:
            return []
        verb = TextVerb(msg("leave it out") if n else msg("cross it with a second thing"),
                        role="body")  # fmt: skip
        verb.clicked.connect(self._drop if n else self._cross)
        return [";  ", verb]

    @Slot()
    def _cross(self) -> None:
        book, trial_id = self._desk.notebook, self._desk.trial_id
        if self._taker.take(partial(shapes.vary, book, trial_id)):
            # After the verb that was chosen has left its line.
            QTimer.singleShot(0, self, self.crossed.emit)

    @Slot()
    def _drop(self) -> None:
        book = self._desk.notebook
        second = seen.factors(book, self._desk.trial_id)[1]
        self._taker.take(partial(shapes.remove_factor, book, second.id))

    def _fill(self, factor: Factor, choices: dict[str, Choice], *, sealed: bool) -> None:
        book = self._desk.notebook
        choices["order"].keep("yes" if factor.ordered else "no")
        choices["stage"].set_alternatives(_stages(book, factor.trial_id))
        choices["stage"].keep(factor.stage_id or "")
        if "field" in choices:
            choices["field"].set_alternatives(_fields(factor))
            choices["field"].keep(factor.field)
        for choice in choices.values():
            choice.setEnabled(not sealed)

    def _choose(self, factor_id: str, key: str, chosen: str) -> None:
        self._taker.take(partial(self._step, factor_id, key, chosen))

    def _step(self, factor_id: str, key: str, chosen: str) -> Step:
        book = self._desk.notebook
        factor = book.get(Factor, factor_id)
        if key == "order":
            return shapes.set_ordered(book, factor_id, chosen)
        if key == "field":
            return shapes.set_line(book, factor_id, factor.stage_id or "", chosen)
        field = factor.field or likely_field(factor, seen.levels(book, factor_id))
        return shapes.set_line(book, factor_id, chosen, field)


def _stages(book: Any, trial_id: str) -> list[tuple[str, Message | str]]:
    """The stages that all methods share, then a new one of each kind."""
    shared = [s for s in views.stages(book, trial_id) if s.method_id is None]
    found: list[tuple[str, Message | str]] = [_NO_LINE]
    found += [
        (s.id, msg("{number} {stage}", number=s.position, stage=STAGE_KINDS[s.stage_kind].label))
        for s in shared
        if s.stage_kind in STAGE_KINDS
    ]
    found += [(name, msg("a new stage: {kind}", kind=word.label))
              for name, word in STAGE_KINDS.items()]  # fmt: skip
    return found


_FIELD_WORDS: dict[str, Message] = {
    "medium": msg("what it lies in"),
    "set_temp_c": msg("set temperature"),
    "duration_s": msg("time"),
    "end_core_c": msg("core temperature at the end"),
    "end_feel": msg("sign at the end"),
    "cover": msg("cover"),
    "vessel": msg("vessel"),
    "salt_g_per_kg": msg("salt"),
    "slice_mm": msg("slice"),
    "knife_to_mouth_min": msg("minutes from knife to mouth"),
    "place": msg("cooker"),
    "note": msg("remark"),
}


def _fields(factor: Factor) -> list[tuple[str, Message | str]]:
    numbers = factor.ordered
    return [
        (field, _FIELD_WORDS.get(field, word))
        for field, word in STAGE_FIELDS.items()
        if (field in views.NUMBER_FIELDS) == numbers
    ]


class MakesRow(QObject):
    """ "Which makes": the methods that follow from the settings, with their signs."""

    def __init__(self, desk: Desk, parent: QObject) -> None:
        super().__init__(parent)
        self._desk = desk
        self.row = FieldRow(msg("Which makes"))
        self._shape: object = ()

    def show_trial(self, trial: Trial, *, sealed: bool) -> None:
        """Every setting as a method."""
        book = self._desk.notebook
        made = len(seen.settings(book, trial.id))
        self.row.setVisible(trial.question == "which_setting" and made >= 2)
        there = views.methods(book, trial.id)[:made]
        shape = tuple((method.letter, method.name) for method in there)
        if shape == self._shape:
            return
        self._shape = shape
        items: list[Item] = [msg_n("{count} method: ", "{count} methods: ", made)]
        for n, method in enumerate(there):
            # Sign, letter and name stay together where the line is broken.
            words = Run(f"\u00a0{method.name}".replace(" ", "\u00a0"))
            items += ["    ", MethodSign(method.letter), words] if n else [
                MethodSign(method.letter), words]  # fmt: skip
        self.row.put(items)


class ComparesRow(QObject):
    """ "Compares": each against each, or each against the usual one."""

    def __init__(self, desk: Desk, parent: QObject) -> None:
        super().__init__(parent)
        self._desk = desk
        self.row = FieldRow(msg("Compare"))
        self._taker = Taker(desk, self.row)
        self._shape: object = ()
        self.options: list[Option] = []
        self.usual: Choice | None = None

    def show_trial(self, trial: Trial, *, sealed: bool) -> None:
        """Only where more than two are compared; crossed settings are compared as they lie."""
        book = self._desk.notebook
        there = views.methods(book, trial.id)
        self.row.setVisible(len(there) > 2)
        held = trial.compares == "with_usual"
        shape = (trial.shape, held, sealed)
        if shape != self._shape:
            self._shape = shape
            self._lay(trial, held=held, sealed=sealed)
        for option in self.options:
            option.set_chosen(option.objectName() == trial.compares)
        if self.usual is not None:
            self.usual.set_alternatives([(m.id, _named(m)) for m in there])
            self.usual.keep(trial.usual_id or "")
            self.usual.setEnabled(not sealed)

    def _lay(self, trial: Trial, *, held: bool, sealed: bool) -> None:
        had = next((o.objectName() for o in self.options if o.hasFocus()), "")
        self.options, self.usual = [], None
        if trial.shape == "crossed":
            self.row.put([msg("each setting of one thing against the others, at each setting of "
                              "the other thing")])  # fmt: skip
            return
        items: list[Item] = []
        for key, words in _COMPARES:
            if not sealed or key == trial.compares:
                option = Option(key, words)
                option.clicked.connect(self._choose)
                option.setEnabled(not sealed)
                self.options.append(option)
                items += [option, "     "]
        if held:
            self.usual = Choice(msg("My way, against which each is held"), (),
                                hint=msg("which one"))  # fmt: skip
            self.usual.committed.connect(self._name_usual)
            items += [msg("My way is "), self.usual]
        self.row.put(items)
        for option in self.options:
            if option.objectName() == had:
                option.setFocus()

    def stops(self) -> list[Any]:
        """What the Tab key visits."""
        return [*self.options, *([self.usual] if self.usual else [])]

    def _choose(self) -> None:
        key = self.sender().objectName()
        book, trial_id = self._desk.notebook, self._desk.trial_id
        if book.get(Trial, trial_id).compares != key:
            self._taker.take(partial(shapes.set_compares, book, trial_id, key))

    def _name_usual(self, method_id: str) -> None:
        book, trial_id = self._desk.notebook, self._desk.trial_id
        self._taker.take(partial(shapes.set_usual, book, trial_id, method_id))


_COMPARES: tuple[tuple[str, Message], ...] = (
    ("all_pairs", msg("each against each")),
    ("with_usual", msg("each against my way")),
)


def _named(method: Method) -> str:
    return f"{method.letter} {method.name}".strip()

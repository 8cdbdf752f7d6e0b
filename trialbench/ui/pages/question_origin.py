"""Where each way comes from, and where this trial departs from it; printed in the recipe note."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from PySide6.QtCore import QObject

from trialbench.model.message import Message, msg
from trialbench.model.records import Method, Trial
from trialbench.model.steps import Step
from trialbench.notebook import views
from trialbench.notebook.acts.origins import write_origin
from trialbench.ui.choices import Choice
from trialbench.ui.page import Desk
from trialbench.ui.pages.field_rows import FieldRow, Taker
from trialbench.ui.pages.question_rows import ways_name
from trialbench.ui.pages.writing import Writing
from trialbench.ui.runs import Item
from trialbench.ui.values import Value

ORIGINS: tuple[tuple[str, Message], ...] = (
    ("own", msg("own")),
    ("learned", msg("learned")),
    ("cited", msg("cited")),
)


class OriginRow(QObject):
    """ "Where it comes from": for each way own, learned or cited, and from whom.

    A way that is somebody else's also says where this trial departs from it.
    """

    def __init__(self, desk: Desk, parent: QObject) -> None:
        super().__init__(parent)
        self._desk = desk
        self.row = FieldRow(msg("Where it comes from"))
        self._taker = Taker(desk, self.row)
        self._shape: object = ()
        self._choices: list[Choice] = []
        self._notes: list[Writing] = []
        self.departs: dict[str, Writing] = {}

    def show_trial(self, trial: Trial, *, sealed: bool) -> None:
        """An origin may still be written when the plan is sealed."""
        there = views.methods(self._desk.notebook, trial.id)
        if trial.question in ("which_setting", "same_recipe"):
            # All of them are one method that differs in nothing but what is varied.
            there = there[:1]
        shape = (trial.id, tuple((m.id, m.name, m.origin == "own") for m in there))
        if shape != self._shape:
            self._shape = shape
            self._lay(trial, there)
        for method, choice, note in zip(there, self._choices, self._notes, strict=True):
            choice.keep(method.origin)
            note.show(method.origin_note)
            if method.id in self.departs:
                self.departs[method.id].show(method.departs)

    def _lay(self, trial: Trial, there: Sequence[Method]) -> None:
        had = next((n for n, choice in enumerate(self._choices) if choice.hasFocus()), None)
        self._choices, self._notes, self.departs = [], [], {}
        items: list[Item] = []
        for method in there:
            items += [msg("; ") if items else "", *self._items(trial, method)]
        self.row.put(items)
        if had is not None and had < len(self._choices):
            self._choices[had].setFocus()

    def _items(self, trial: Trial, method: Method) -> list[Item]:
        who = ways_name(trial, method)
        choice = Choice(msg("{way}: where it comes from", way=who), ORIGINS)
        choice.committed.connect(partial(self._choose, method.id))
        note = Value(msg("{way}: from whom", way=who), "", msg("from whom, since when"))
        self._choices.append(choice)
        self._notes.append(self._writing(note, method, "origin_note"))
        items: list[Item] = [_own_words(trial, method), ": ", choice, ", ", note]
        if method.origin != "own":
            value = Value(msg("{way}: where this trial departs from it", way=who), "",
                          msg("nowhere"))  # fmt: skip
            self.departs[method.id] = self._writing(value, method, "departs")
            items += [msg(", departing from it: "), value]
        return items

    def _writing(self, value: Value, method: Method, field: str) -> Writing:
        place = f"{method.id}:origin" if field == "origin_note" else f"{method.id}:{field}"
        return Writing(self._desk, value, place, partial(self._step, method.id, field))

    def _choose(self, method_id: str, origin: str) -> None:
        self._taker.take(partial(self._step, method_id, "origin", origin))

    def _step(self, method_id: str, field: str, typed: str) -> Step:
        return write_origin(self._desk.notebook, method_id, field, typed)


def _own_words(trial: Trial, method: Method) -> Message | str:
    words = {"A": msg("my way"), "B": msg("my idea")}
    return words.get(method.letter) or method.name

"""A line that says of whom and why: "Leave out [P03] because [its pan leaked]"."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QWidget

from trialbench.model.message import Message, msg
from trialbench.model.steps import Step
from trialbench.ui.choices import Choice
from trialbench.ui.page import Desk
from trialbench.ui.pages.writing import Writing
from trialbench.ui.runs import Item, Run
from trialbench.ui.text import Line
from trialbench.ui.values import Value
from trialbench.ui.verbs import TextVerb


@dataclass(frozen=True, slots=True)
class Said:
    """One that was said before: its words, and the verb that takes it back."""

    words: Message
    back: Message
    key: str


@dataclass(frozen=True, slots=True)
class Asked:
    """The words of the line: "Leave out ", "a piece", " because "."""

    before: Message
    who: Message
    between: Message = msg(" because ")
    why: Message = msg("say why")


class WhoAndWhy(Line):
    """What was said before, then the line for one more.

    `write(key, why)` builds the step; `take_back(key)` the one that undoes what was said.
    `place` is the beginning of its drafts' names.
    """

    def __init__(
        self,
        desk: Desk,
        asked: Asked,
        write: Callable[[str, str], Step],
        take_back: Callable[[str], Step],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__("body", (), parent)
        self._desk, self._asked, self._write, self._back = desk, asked, write, take_back
        self._place = ""
        self._before: list[Item] = []
        self._who = Choice(asked.before, (), hint=asked.who)
        self._who.committed.connect(self._chosen)
        self._why = Value(asked.why, hint=asked.why)
        self._writing = Writing(desk, self._why, "", self._written)
        self._done = ""
        self.lend(self._why)

    def show_all(self, place: str, named: Sequence[tuple[str, str]], said: Sequence[Said]) -> None:
        """Who can be chosen, as (key, name), and what was said before."""
        self._place = place
        names = dict(named)
        self._who.set_alternatives(named)
        if self._who.kept() not in names or self._who.kept() == self._done:
            self._who.keep("")
        self._done = ""
        for key in names:
            if not self._who.kept() and self._desk.notebook.draft(f"{place}:{key}"):
                self._who.keep(key)
        self._before = []
        for one in said:
            self._before += self._said(one)
        self._lay()

    def _lay(self) -> None:
        self._writing.bind(f"{self._place}:{self._who.kept()}", "")
        items: list[Item] = [*self._before, Run(self._asked.before), self._who]
        if self._who.kept():
            items += [Run(self._asked.between), self._why]
        self.set_items(items)

    def _said(self, one: Said) -> list[Item]:
        back = TextVerb(one.back, weight=600)
        back.setObjectName(one.key)
        back.clicked.connect(self._take_back)
        return [Run(one.words), Run("  "), back, Run("\n")]

    def choose(self, key: str) -> None:
        """Choose somebody and put the keyboard into the reason."""
        self._who.keep(key)
        self._lay()
        self._why.setFocus()

    @Slot(object)
    def _chosen(self, key: str) -> None:
        self.choose(key)

    def _written(self, why: str) -> Step:
        step = self._write(self._who.kept(), why)
        self._done = self._who.kept()
        return step

    @Slot()
    def _take_back(self) -> None:
        self._desk.take(self._back(self.sender().objectName()))

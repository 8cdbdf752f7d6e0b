"""The line under a title that turns to another cook day or sitting: "Cook day 1 2 3"."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import Signal, Slot

from trialbench.model.message import Message
from trialbench.model.records import Cook, Sitting
from trialbench.ui.runs import Item, Run
from trialbench.ui.text import Line
from trialbench.ui.verbs import TextVerb


class NumberedDays(Line):
    """Emits `chosen(id)`. One day alone needs no line."""

    chosen = Signal(object)

    def __init__(self, word: Message, spoken: Callable[[int], Message]) -> None:
        super().__init__("cell")
        self._word, self._spoken = word, spoken
        self._ids: list[str] = []
        self._open_id = ""

    def show_days(self, days: Sequence[Cook] | Sequence[Sitting], open_id: str) -> None:
        """Every day by its number; the open one is heavy and without underline."""
        self._ids, self._open_id = [day.id for day in days], open_id
        items: list[Item] = [Run(self._word, colour="pencil")]
        for day in days:
            verb = TextVerb(str(day.number), weight=600 if day.id == open_id else 500)
            verb.setAccessibleName(str(self._spoken(day.number)))
            verb.set_underlined(day.id != open_id)
            verb.setObjectName(day.id)
            verb.clicked.connect(self._choose)
            items += [Run("   "), verb]
        self.set_items(items)
        self.setVisible(len(days) > 1)

    def turn(self, by: int) -> None:
        """Choose the day that stands `by` further on than the open one; none past either end."""
        if self._open_id in self._ids:
            place = self._ids.index(self._open_id) + by
            if 0 <= place < len(self._ids):
                self.chosen.emit(self._ids[place])

    @Slot()
    def _choose(self) -> None:
        self.chosen.emit(self.sender().objectName())

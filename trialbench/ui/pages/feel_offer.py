"""The feel card offered under a stage while one writes how it is seen to be done."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import Qt, Signal
from shiboken6 import isValid

from trialbench.model.message import msg
from trialbench.notebook import views
from trialbench.ui.page import Desk
from trialbench.ui.runs import Item, Run
from trialbench.ui.text import Line
from trialbench.ui.values import Value
from trialbench.ui.verbs import TextVerb


class FeelOffer(Line):
    """The words by their numbers; typing a number alone writes its word. `card_wanted()`. Tab
    passes them by: the keyboard has the numbers.
    """

    card_wanted = Signal()

    def __init__(self, desk: Desk) -> None:
        super().__init__("cell", "", colour="pencil")
        self._desk = desk
        self._shown: object = None
        self._value: Value | None = None
        self.hide()

    def offer(self, value: Value) -> None:
        """Show the card as it is now, for a value."""
        self._value = value
        card = views.feel_card(self._desk.notebook)
        shown = tuple((feel.position, feel.word, feel.meaning) for feel in card)
        if shown != self._shown:
            self._shown = shown
            self.set_items(self._words())
        self.show()

    def _words(self) -> list[Item]:
        card = views.feel_card(self._desk.notebook)
        if not card:
            begin = TextVerb(msg("Write a feel card of five words"), weight=500)
            begin.clicked.connect(self.card_wanted)
            begin.setFocusPolicy(Qt.FocusPolicy.NoFocus)
            return [Run(msg("By feel:  ")), begin]
        items: list[Item] = [Run(msg("Feel card:"))]
        for feel in card:
            verb = TextVerb(feel.word, weight=400)
            verb.setAccessibleDescription(feel.meaning)
            verb.setToolTip(feel.meaning)
            verb.setFocusPolicy(Qt.FocusPolicy.NoFocus)
            verb.clicked.connect(partial(self._choose, feel.word))
            items += [Run(f"   {feel.position} "), verb]
        change = TextVerb(msg("Change it"), weight=500)
        change.clicked.connect(self.card_wanted)
        change.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        return [*items, Run("     "), change]

    def _choose(self, word: str, checked: bool = False) -> None:
        if self._value is not None and isValid(self._value):
            self._value.setFocus(Qt.FocusReason.OtherFocusReason)
            self._value.setText(word)
            self._value.committed.emit(word)

"""The kitchen's own feel card: five words for how done something feels, each with its meaning."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from trialbench.model.message import msg
from trialbench.model.records import Feel
from trialbench.model.steps import Step
from trialbench.notebook import views
from trialbench.notebook.acts.feel import begin_card, set_feel
from trialbench.ui import theme
from trialbench.ui.page import Desk
from trialbench.ui.pages.writing import Writing
from trialbench.ui.rows import Row
from trialbench.ui.text import Line, Rule
from trialbench.ui.values import Value
from trialbench.ui.verbs import TextVerb

_WORD_PX = 150


class FeelCard(QWidget):
    """Hidden until it is asked for. `put_away()` when it is done with."""

    put_away = Signal()

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self._shape: object = ()
        self._values: list[Value] = []
        self._writings: list[tuple[str, str, Writing]] = []
        self.done = TextVerb(msg("Put the card away"), weight=500)
        self.done.clicked.connect(self.put_away)
        title = Line("section", msg("Feel card"))
        says = Line(
            "cell",
            [msg("Where a stage ends by feel, its number writes the word.   "), self.done],
            colour="pencil",
        )
        self._rows = QVBoxLayout()
        self._rows.setSpacing(round(theme.px(4)))
        column = QVBoxLayout(self)
        column.setContentsMargins(0, round(theme.px(14)), 0, round(theme.px(8)))
        column.setSpacing(round(theme.px(6)))
        for part in (title, says):
            column.addWidget(part)
        column.addLayout(self._rows)
        column.addWidget(Rule())
        self.hide()

    def open(self) -> None:
        """Show the card; it is begun where there is none."""
        if not views.feel_card(self._desk.notebook):
            self._desk.take(begin_card(self._desk.notebook))
        self.show()
        self.show_card()

    def enter(self) -> None:
        """Put the keyboard into the first word."""
        if self._values:
            self._values[0].setFocus()

    def show_card(self) -> None:
        """Show the words as they are now."""
        card = views.feel_card(self._desk.notebook)
        if tuple(feel.id for feel in card) != self._shape:
            self._shape = tuple(feel.id for feel in card)
            self._lay(card)
        by_id = {feel.id: feel for feel in card}
        for feel_id, field, writing in self._writings:
            writing.show(getattr(by_id[feel_id], field))

    def stops(self) -> list[QWidget]:
        """What the Tab key visits."""
        return [*self._values, self.done] if not self.isHidden() else []

    def _lay(self, card: tuple[Feel, ...]) -> None:
        while (item := self._rows.takeAt(0)) is not None:
            gone = item.widget()
            if gone is not None:
                gone.hide()
                gone.deleteLater()
        self._values, self._writings = [], []
        for feel in card:
            number = Line("label", str(feel.position), colour="pencil")
            parts: list[tuple[QWidget, int]] = [(number, 18)]
            for field, hint, wide in (
                ("word", msg("a word"), _WORD_PX),
                ("meaning", msg("what it means under the finger"), 0),
            ):
                name = msg("Feel card, word {n}: {what}", n=feel.position, what=hint)
                value = Value(name, "", hint, weight=500 if field == "word" else None)
                place = f"{feel.id}:{field}"
                writing = Writing(self._desk, value, place, partial(self._write, feel.id, field))
                self._values.append(value)
                self._writings.append((feel.id, field, writing))
                parts.append((Line("body", [value]), wide))
            self._rows.addWidget(Row(parts))

    def _write(self, feel_id: str, field: str, typed: str) -> Step:
        return set_feel(self._desk.notebook, feel_id, field, typed)

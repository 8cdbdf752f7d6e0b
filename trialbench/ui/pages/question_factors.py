"""What is varied, in the sentence of the Question page: its name and its settings, to be written.

"I vary [the temperature]: [77 °C], [88 °C], [one more]". Places for settings are counted, not
bound to one setting each: what is written in the last one becomes a setting and leaves a new place
behind it.
"""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QVBoxLayout, QWidget

from trialbench.model.message import msg
from trialbench.model.records import Factor, Level, Trial
from trialbench.model.steps import Step
from trialbench.notebook.acts import shapes
from trialbench.notebook.views.shapes import MOST_METHODS, factors, level_words, levels
from trialbench.ui.blanks import Blank
from trialbench.ui.page import Desk
from trialbench.ui.pages.writing import Writing
from trialbench.ui.runs import Item
from trialbench.ui.text import Line

_HINTS = (msg("one setting"), msg("another"))
_OPENS = (msg("I vary "), msg("crossed with "))


class FactorLine(Line):
    """One thing that is varied: its name, and a place for each setting."""

    stops_changed = Signal()

    def __init__(self, desk: Desk, number: int) -> None:
        super().__init__("question")
        self._desk, self._number = desk, number
        self._factor: Factor | None = None
        self._levels: tuple[Level, ...] = ()
        self._room = MOST_METHODS
        self._laid: object = ()
        hint = msg("temperature, time, pan") if number == 0 else msg("what else")
        name = msg("What you vary") if number == 0 else msg("What else you vary")
        self.name = Blank(name, "", hint, role="question")
        self._naming = Writing(desk, self.name, "", self._name)
        self.places: list[Blank] = []
        self._writings: list[Writing] = []
        self.lend(self.name)

    def show_factor(self, factor: Factor, room: int, *, sealed: bool) -> None:
        """Its name and settings; up to `room` settings fit."""
        self._factor, self._room = factor, room
        self._levels = levels(self._desk.notebook, factor.id)
        self._naming.bind(f"{factor.id}:name", factor.name)
        self.name.setReadOnly(sealed)
        self._lay(sealed=sealed)
        for n in range(self._count(sealed=sealed)):
            self.places[n].setReadOnly(sealed)
            self._bind(n)

    def _bind(self, n: int) -> None:
        assert self._factor is not None
        if n < len(self._levels):
            level = self._levels[n]
            words = level_words(self._desk.notebook, self._factor, level)
            self._writings[n].bind(f"{level.id}:text", words)
        else:
            self._writings[n].bind(self._place(n), "")

    def _place(self, n: int) -> str:
        assert self._factor is not None
        return f"{self._factor.id}:setting {n + 1}"

    def _count(self, *, sealed: bool) -> int:
        """As many places as settings, and one to go on in; two at least."""
        there = len(self._levels)
        if sealed:
            return there
        written = [n for n in range(there, self._room) if self._is_begun(n)]
        wanted = max(there + 1, 2, max(written, default=-1) + 2)
        return max(min(wanted, self._room), there)

    def _is_begun(self, n: int) -> bool:
        drafted = self._desk.notebook.draft(self._place(n)) is not None
        typing = n < len(self.places) and self.places[n].hasFocus() and self.places[n].text()
        return drafted or bool(typing)

    def _lay(self, *, sealed: bool) -> None:
        count = self._count(sealed=sealed)
        while len(self.places) < count:
            self._add_place()
        for n, blank in enumerate(self.places[:count]):
            blank.set_hint(_HINTS[n] if n < 2 else msg("one more"))
        if (count, sealed) == self._laid:
            return
        self._laid = (count, sealed)
        items: list[Item] = [_OPENS[self._number], self.name, ": "]
        for n, blank in enumerate(self.places[:count]):
            items += [", ", blank] if n else [blank]
        self.set_items(items)
        self.stops_changed.emit()

    def _add_place(self) -> None:
        n = len(self.places)
        blank = Blank(msg("Setting {number}", number=n + 1), "", msg("one more"), role="question")
        self.lend(blank)
        self._writings.append(Writing(self._desk, blank, "", partial(self._write, n)))
        self.places.append(blank)
        blank.typed.connect(self._go_on)

    @Slot(object)
    def _go_on(self, text: str) -> None:
        """What is written in the last place leaves another one behind it."""
        self._lay(sealed=False)
        for n in range(len(self._levels), self._count(sealed=False)):
            if not self._writings[n].place:
                self._bind(n)

    def blanks(self) -> list[Blank]:
        """The blanks that stand in the line, in order."""
        return [item for item in self.items() if isinstance(item, Blank)]

    def half_typed(self) -> Blank | None:
        """The blank in which something was being written, if any."""
        drafts = self._desk.notebook.drafts
        pairs = [(self.name, self._naming), *zip(self.places, self._writings, strict=True)]
        shown = self.blanks()
        return next((b for b, w in pairs if w.place in drafts and b in shown), None)

    def _name(self, typed: str) -> Step | None:
        if self._factor is None:
            return None
        return shapes.name_factor(self._desk.notebook, self._factor.id, typed)

    def _write(self, n: int, typed: str) -> Step | None:
        book = self._desk.notebook
        if n < len(self._levels):
            return shapes.set_level(book, self._levels[n].id, typed)
        if self._factor is None or not typed.strip():
            return None
        return shapes.add_level(book, self._factor.id, typed)


class FactorLines(QWidget):
    """One or two lines of what is varied; hidden while the question is another."""

    stops_changed = Signal()

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._factors: tuple[Factor, ...] = ()
        self.lines = (FactorLine(desk, 0), FactorLine(desk, 1))
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        for line in self.lines:
            column.addWidget(line)
            line.stops_changed.connect(self.stops_changed)

    def show_trial(self, trial: Trial, *, sealed: bool) -> None:
        """What is varied, as the notebook holds it."""
        book = self._desk.notebook
        asked = trial.question == "which_setting"
        self._factors = factors(book, trial.id) if asked else ()
        self.setVisible(bool(self._factors))
        counts = [max(len(levels(book, f.id)), 1) for f in self._factors]
        for n, line in enumerate(self.lines):
            line.setVisible(n < len(self._factors))
            if n < len(self._factors):
                other = counts[1 - n] if len(counts) > 1 else 1
                line.show_factor(self._factors[n], MOST_METHODS // other, sealed=sealed)

    def blanks(self) -> list[QWidget]:
        """The blanks that are shown, in order."""
        return [b for line in self.lines if not line.isHidden() for b in line.blanks()]

    def half_typed(self) -> Blank | None:
        """The blank in which something was being written, if any."""
        found = (line.half_typed() for line in self.lines if not line.isHidden())
        return next((blank for blank in found if blank is not None), None)

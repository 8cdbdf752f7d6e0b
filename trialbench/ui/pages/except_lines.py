""" "B is the same as A, except ...": what each method has otherwise, and one more line to part."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QVBoxLayout, QWidget

from trialbench.model.message import Message, msg, say
from trialbench.model.records import Method, Stage
from trialbench.notebook import views
from trialbench.notebook.acts.addition_words import shown_addition
from trialbench.planning.except_words import departures
from trialbench.planning.stage_line import LINE, value_alone
from trialbench.planning.stage_words import field_name, stage_name
from trialbench.ui import theme
from trialbench.ui.choices import Choice
from trialbench.ui.page import Desk
from trialbench.ui.pages.stage_tools import role_and_name
from trialbench.ui.runs import Item, Run
from trialbench.ui.signs import MethodSign
from trialbench.ui.text import Line

_MOST_SAID = 4
"""Above so many methods the lines themselves are read as a table."""


class ExceptLines(QWidget):
    """One sentence a method beside the usual one. `parted((stage_id, field, method_id))`."""

    parted = Signal(object)

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self._shown: object = None
        self._lines: list[Line] = []
        self._choices: list[Choice] = []
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, round(theme.px(2)), 0, round(theme.px(6)))
        self._column.setSpacing(round(theme.px(2)))

    def show_trial(self, trial_id: str, *, sealed: bool) -> None:
        """Say it as it is now; what can be parted is offered unless the plan is sealed."""
        book = self._desk.notebook
        methods, there = views.methods(book, trial_id), views.stages(book, trial_id)
        said = departures(book, trial_id)
        wanted = bool(there) and 2 <= len(methods) <= _MOST_SAID
        self.setVisible(wanted)
        offered = () if sealed else self._to_part(there)
        shown = (wanted, said, offered, methods)
        if shown == self._shown or not wanted:
            return
        self._shown = shown
        usual = next(m for m in methods if m.id not in {method.id for method, _ in said})
        self._lay(usual, said, offered)

    def stops(self) -> list[QWidget]:
        """What the Tab key visits."""
        return [] if self.isHidden() else [*self._choices]

    def _lay(
        self,
        usual: Method,
        said: Sequence[tuple[Method, tuple[tuple[str, Message], ...]]],
        offered: tuple[tuple[str, str], ...],
    ) -> None:
        for line in self._lines[len(said) :]:
            line.hide()
            line.deleteLater()
        del self._lines[len(said) :]
        while len(self._lines) < len(said):
            self._lines.append(Line("cell"))
            self._column.addWidget(self._lines[-1])
        self._choices = []
        for line, (method, words) in zip(self._lines, said, strict=True):
            line.set_items(self._words(usual, method, words, offered))

    def _words(
        self,
        usual: Method,
        method: Method,
        words: tuple[tuple[str, Message], ...],
        offered: tuple[tuple[str, str], ...],
    ) -> list[Item]:
        items: list[Item] = [MethodSign(method.letter, role="cell")]
        if not offered and not words:
            return [*items, Run(msg(" is the same as {usual}.", usual=usual.letter))]
        items.append(Run(msg(" is the same as {usual}, except: ", usual=usual.letter)))
        for number, (_, said) in enumerate(words):
            items += [Run(", ")] if number else []
            items.append(Run(said, weight=500))
        if not offered:
            return [*items, Run(".")]
        hint = msg("one more") if words else msg("choose a line")
        choice = Choice(
            msg("Where {letter} goes its own way", letter=method.letter), offered, "",
            role="cell", hint=hint,
        )  # fmt: skip
        choice.setObjectName(method.id)
        choice.committed.connect(self._part)
        self._choices.append(choice)
        return [*items, Run(", ") if words else Run(""), choice]

    def _to_part(self, there: Sequence[Stage]) -> tuple[tuple[str, str], ...]:
        """Every written line that all methods still share, as (stage and field, words)."""
        book = self._desk.notebook
        unit = views.cover(book).temperature_unit
        found: list[tuple[str, str]] = []
        for stage in (s for s in there if s.method_id is None):
            parted = views.parted_fields(book, stage.id)
            begin = f"{stage.position} {say(stage_name(stage))}, "
            for place in LINE:
                value = value_alone(place.field, getattr(stage, place.field), unit)
                if value and place.field not in parted:
                    word = say(field_name(place.field))
                    found.append((f"{stage.id}|{place.field}", f"{begin}{word} {value}"))
            for slot in views.slots(book, stage.id):
                if not slot.parted:
                    text = shown_addition(slot.records[0]) or say(role_and_name(slot))
                    found.append((f"{stage.id}|{slot.field}", f"{begin}{slot.role} {text}"))
        return tuple(found)

    @Slot(object)
    def _part(self, key: str) -> None:
        stage_id, _, field = key.partition("|")
        self.parted.emit((stage_id, field, self.sender().objectName()))

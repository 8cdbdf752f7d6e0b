"""A stage's written line: its values among words, and blanks for what is not written there yet."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from functools import partial

from PySide6.QtCore import QObject, Qt

from trialbench.model.message import Message, msg, say
from trialbench.model.records import Stage
from trialbench.model.steps import Step
from trialbench.notebook.acts.cover import show_in
from trialbench.notebook.acts.stages import set_value
from trialbench.planning.stage_line import (
    LINE,
    Place,
    comma_before,
    offered,
    shown_value,
    words_before,
)
from trialbench.planning.stage_words import TEMPERATURES, stage_name
from trialbench.ui.page import Desk
from trialbench.ui.pages.writing import Writing
from trialbench.ui.runs import Item, Run
from trialbench.ui.text import Line
from trialbench.ui.values import Value
from trialbench.ui.verbs import TextVerb


class UnitSwitch(TextVerb):
    """The unit of a temperature: pressing it shows all of them in the other one."""

    def __init__(self, desk: Desk) -> None:
        super().__init__("", role="body", weight=400)
        self._desk, self._unit = desk, ""
        # Tab goes from value to value; by keyboard the unit is switched from the Index.
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.clicked.connect(self._switch)

    def spoken_value(self) -> str:
        """In its line it is read as the unit it is."""
        return self.label()

    def show_unit(self, unit: str) -> None:
        """C or F."""
        if unit != self._unit:
            self._unit = unit
            self.set_label(f"°{unit}")
            other = "F" if unit == "C" else "C"
            self.setAccessibleName(say(msg("°{unit}; press for °{other}", unit=unit, other=other)))

    def _switch(self) -> None:
        self._desk.take(
            show_in(self._desk.notebook, "temperature_unit", "F" if self._unit == "C" else "C")
        )


class StageLine(QObject):
    """Builds and keeps the values of one stage in `line`. `values` by field."""

    def __init__(
        self, desk: Desk, stage: Stage, parted: frozenset[str], line: Line, parent: QObject
    ) -> None:
        super().__init__(parent)
        self._desk, self.line = desk, line
        self.values: dict[str, Value] = {}
        self._writings: dict[str, Writing] = {}
        self._switches: dict[str, UnitSwitch] = {}
        self._open, self._missing = False, frozenset[str]()
        self._said: object = None
        self._read_only = False
        self._stage, self._unit_shown = stage, "C"
        self._places = _places(stage, parted)

    def _make(self, stage: Stage, place: Place) -> None:
        name = msg("{stage}, {what}", stage=stage_name(stage), what=place.asks)
        value = Value(name, "", place.asks, self.line)
        value.setObjectName(f"{stage.id}:{place.field}")
        self.values[place.field] = value
        self._writings[place.field] = Writing(
            self._desk, value, f"{stage.id}:{place.field}", self._act(stage.id, place.field)
        )
        if place.field in TEMPERATURES:
            self._switches[place.field] = UnitSwitch(self._desk)
            self._switches[place.field].setParent(self.line)

    def _act(self, stage_id: str, field: str) -> Callable[[str], Step]:
        return partial(set_value, self._desk.notebook, stage_id, field)

    def show_stage(self, stage: Stage, unit: str, missing: frozenset[str]) -> None:
        """Show what is written; `missing` fields stand on ruled ground."""
        self._stage, self._unit_shown, self._missing = stage, unit, missing
        self._fill()
        self._say()

    def _fill(self) -> None:
        """Make the values that are to be seen and show what they hold."""
        unit = self._unit_shown
        for place in self._places:
            if place.field not in self.values and self._is_wanted(place.field):
                self._make(self._stage, place)
        for field, writing in self._writings.items():
            self.values[field].set_missing(field in self._missing)
            text = shown_value(field, getattr(self._stage, field), unit)
            writing.show(text.removesuffix(f" °{unit}") if field in self._switches else text)
            self.values[field].setReadOnly(self._read_only)
        for switch in self._switches.values():
            switch.show_unit(unit)
            switch.set_underlined(not self._read_only)

    def _is_wanted(self, field: str) -> bool:
        held = getattr(self._stage, field) not in (None, "")
        draft = self._desk.notebook.draft(f"{self._stage.id}:{field}") is not None
        return held or draft or self._open or field in self._missing

    def value(self, field: str) -> Value | None:
        """The value of a field, made if it was not wanted until now; None where it has no place."""
        place = next((p for p in self._places if p.field == field), None)
        if place is not None and field not in self.values:
            self._make(self._stage, place)
            self._fill()
            self._say()
        return self.values.get(field)

    def set_open(self, is_open: bool) -> None:
        """Offer what is not written, or not."""
        if is_open != self._open:
            self._open = is_open
            self._fill()
            self._say()

    def set_read_only(self, on: bool) -> None:
        """Readable and no more."""
        if on != self._read_only:
            self._read_only = on
            self._fill()

    def stops(self) -> list[Value]:
        """The values in the order of the line."""
        return [self.values[p.field] for p in self._places if p.field in self.values]

    def first_empty(self) -> Value | None:
        """Where writing goes on."""
        return next((value for value in self.stops() if not value.text()), None)

    def _shown(self, field: str) -> bool:
        value = self.values[field]
        written = bool(value.text()) or bool(value.kept()) or value.is_refused()
        return written or self._open or field in self._missing or value.hasFocus()

    def _say(self) -> None:
        """Lay the words around the values that stand in the line now."""
        shown = tuple(field for field in self.values if self._shown(field))
        written = tuple(field for field in shown if self._is_written(field))
        if (shown, written) == self._said:
            return
        self._said = (shown, written)
        items: list[Item] = []
        earlier: str | None = None
        for place in (p for p in LINE if p.field in self.values):
            visible = place.field in shown
            self.values[place.field].setVisible(visible)
            if visible:
                items += self._words(place, earlier, written)
                earlier = place.field
            else:
                items.append(self.values[place.field])
            items += self._unit(place, visible=place.field in written)
            if visible and say(place.after):
                items.append(place.after)
        self.line.set_items(items)

    def _is_written(self, field: str) -> bool:
        value = self.values[field]
        return bool(value.text()) or bool(value.kept())

    def _unit(self, place: Place, *, visible: bool) -> list[Item]:
        switch = self._switches.get(place.field)
        if switch is None:
            return []
        switch.setVisible(visible)
        return [Run("\u202f"), switch] if visible else [switch]

    def _words(self, place: Place, earlier: str | None, written: Collection[str]) -> list[Item]:
        comma = "," if comma_before(earlier, place) else ""
        before: Message | str = say(words_before(place, written)) or (" " if comma else "")
        words = f"{comma}{before}" if earlier is not None else say(before).lstrip()
        value = self.values[place.field]
        return [words, value] if words else [value]


def _places(stage: Stage, parted: frozenset[str]) -> list[Place]:
    """The fields on the line: offered by the kind, or written; what is parted stands below."""
    wanted = set(offered(stage))
    values: Mapping[str, object] = stage.values()
    return [
        place
        for place in LINE
        if place.field not in parted
        and (place.field in wanted or values[place.field] not in (None, ""))
    ]

"""Who tastes, how it is served, who left early: the lines around the scores of a sitting."""

from __future__ import annotations

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QVBoxLayout, QWidget

from trialbench.model.message import Message, msg
from trialbench.model.numbers import shortest
from trialbench.model.quantities import show_temp
from trialbench.model.records import Sitting, Taster, Trial
from trialbench.model.steps import Step
from trialbench.notebook import views
from trialbench.notebook.acts import sitting as sitting_acts
from trialbench.notebook.acts import tasters as taster_acts
from trialbench.notebook.views.table import tasters_at_home
from trialbench.ui.blanks import Blank
from trialbench.ui.choices import Choice
from trialbench.ui.page import Desk
from trialbench.ui.pages.who_and_why import Asked, Said, WhoAndWhy
from trialbench.ui.pages.writing import Writing
from trialbench.ui.runs import Item, Run
from trialbench.ui.text import Line
from trialbench.ui.values import Value

_SERVED: tuple[tuple[str, Message, Message], ...] = (
    ("served_temp_c", msg("served at"), msg("what temperature")),
    ("slice_mm", msg("slices of, mm"), msg("how thick")),
    ("knife_to_mouth_min", msg("minutes from the knife to the mouth"), msg("how many")),
    ("allergens", msg("allergens served"), msg("list them, or write none")),
)


class Seats(QWidget):
    """Who sits: every alias can be written anew, one can be taken off, more can be added."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self._sitting: Sitting | None = None
        self.line = Line("body")
        self.others = Line("body")
        self.more = Blank(
            msg("one more taster"), hint=msg("a name, or a number of tasters"), role="body"
        )
        self._more_writing = Writing(desk, self.more, "", self._add)
        self.off = Choice(msg("who does not taste today"), (), hint=msg("nobody"))
        self.off.committed.connect(self._unseat)
        self.on = Choice(msg("who tastes too"), (), hint=msg("somebody from before"))
        self.on.committed.connect(self._seat)
        self.others.lend(self.off, self.on)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        column.addWidget(self.line)
        column.addWidget(self.others)

    def show_sitting(self, sitting: Sitting) -> None:
        """The seats of a sitting; they change until its key is sealed."""
        self._sitting = sitting
        book = self._desk.notebook
        items: list[Item] = [Run(msg("Who tastes: "), weight=500)]
        here: list[tuple[str, str]] = []
        for seat in views.seats(book, sitting.id):
            taster = book.get(Taster, seat.taster_id)
            here.append((seat.id, taster.alias))
            items += [self._alias(taster), Run(",  ")]
        self._more_writing.bind(f"sitting:{sitting.id}:more", "")
        self.line.set_items([*items, self.more])
        self._show_others(sitting, here)

    def _alias(self, taster: Taster) -> Value:
        value = Value(msg("alias of {alias}", alias=taster.alias))
        write = _Alias(self._desk, taster.id)
        Writing(self._desk, value, f"taster:{taster.id}:alias", write).show(taster.alias)
        return value

    def _show_others(self, sitting: Sitting, here: list[tuple[str, str]]) -> None:
        """Those who can be taken off today, and those of earlier sittings who can sit too."""
        book = self._desk.notebook
        seated = {seat.taster_id for seat in views.seats(book, sitting.id)}
        invented = book.get(Trial, sitting.trial_id).invented
        known = tasters_at_home(book, invented=invented)
        before = [(t.id, t.alias) for t in known if t.id not in seated]
        self.off.set_alternatives(here)
        self.on.set_alternatives(before)
        items: list[Item] = [Run(msg("Not today: ")), self.off] if here else []
        if before:
            items += [Run(msg("    Tastes too: ")), self.on]
        self.others.set_items(items)
        self.others.setVisible(bool(items))

    def _add(self, text: str) -> Step:
        """One taster by name, or so many tasters; they sit at once."""
        book, sitting = self._desk.notebook, self._sitting
        assert sitting is not None
        if text.strip().isdigit():
            return taster_acts.seat_new_tasters(book, sitting.id, int(text))
        return taster_acts.seat_new_taster(book, sitting.id, text)

    @Slot(object)
    def _unseat(self, seat_id: str) -> None:
        self._desk.take(sitting_acts.unseat_taster(self._desk.notebook, seat_id))

    @Slot(object)
    def _seat(self, taster_id: str) -> None:
        assert self._sitting is not None
        self._desk.take(sitting_acts.seat_taster(self._desk.notebook, self._sitting.id, taster_id))


class _Alias:
    """Writes the alias of one taster."""

    def __init__(self, desk: Desk, taster_id: str) -> None:
        self._desk, self._taster_id = desk, taster_id

    def __call__(self, text: str) -> Step:
        return taster_acts.name_taster(self._desk.notebook, self._taster_id, text)


class HowServed(Line):
    """ "Served at 58 °C, slices of 8 mm, 3 min from the knife to the mouth. Allergens: wheat." """

    def __init__(self, desk: Desk) -> None:
        super().__init__("body")
        self._desk = desk
        self._sitting: Sitting | None = None
        self.values = {name: Value(label, hint=hint) for name, label, hint in _SERVED}
        self._writings = {
            name: Writing(desk, value, "", _Written(self, name))
            for name, value in self.values.items()
        }
        self.set_items(
            [Run(msg("Served at ")), self.values["served_temp_c"], Run(msg(", slices of ")),
             self.values["slice_mm"], Run(msg(" mm, ")), self.values["knife_to_mouth_min"],
             Run(msg(" min from the knife to the mouth. A warm-up sample comes first and is not"
                     " counted. ")), Run(msg("Allergens served: "), weight=600),
             self.values["allergens"]]
        )  # fmt: skip

    def show_sitting(self, sitting: Sitting) -> None:
        """What is written of a sitting."""
        self._sitting = sitting
        unit = views.cover(self._desk.notebook).temperature_unit
        temp = sitting.served_temp_c
        shown = {
            "served_temp_c": "" if temp is None else show_temp(temp, unit),
            "slice_mm": _plain(sitting.slice_mm),
            "knife_to_mouth_min": _plain(sitting.knife_to_mouth_min),
            "allergens": sitting.allergens,
        }
        for name, writing in self._writings.items():
            writing.bind(f"sitting:{sitting.id}:{name}", shown[name])

    def write(self, name: str, text: str) -> Step:
        """The step for one of the values."""
        assert self._sitting is not None
        return sitting_acts.set_sitting(self._desk.notebook, self._sitting.id, name, text)


class _Written:
    """Writes one value of the line."""

    def __init__(self, line: HowServed, name: str) -> None:
        self._line, self._name = line, name

    def __call__(self, text: str) -> Step:
        return self._line.write(self._name, text)


class LeftEarly(WhoAndWhy):
    """Who left before the last sample: their cards stay empty, and are not counted as zero."""

    def __init__(self, desk: Desk) -> None:
        asked = Asked(msg("Left early: "), msg("a taster"))
        self._book = desk.notebook
        super().__init__(desk, asked, self._leave, self._come_back)

    def show_sitting(self, sitting: Sitting) -> None:
        """Who can leave, and who left."""
        names = {t.id: t.alias for t in views.tasters(self._book)}
        seats = views.seats(self._book, sitting.id)
        here = [(s.id, names[s.taster_id]) for s in seats if not s.left_reason]
        gone = [
            Said(
                msg("{alias} left: {why}.", alias=names[s.taster_id],
                    why=s.left_reason.rstrip(".")),
                msg("{alias} came back", alias=names[s.taster_id]),
                s.id,
            )
            for s in seats
            if s.left_reason
        ]  # fmt: skip
        self.show_all(f"left:{sitting.id}", here, gone)

    def _leave(self, seat_id: str, why: str) -> Step:
        return sitting_acts.leave(self._book, seat_id, why)

    def _come_back(self, seat_id: str) -> Step:
        return sitting_acts.come_back(self._book, seat_id)


def _plain(value: float | None) -> str:
    return "" if value is None else shortest(value)

"""The timetable's line on the Plan page: when each cook day is served, and the way to its list."""

from __future__ import annotations

from trialbench.model.kitchen_clock import KitchenClock, instant_of
from trialbench.model.message import msg
from trialbench.model.records import Cook, Trial
from trialbench.notebook import views
from trialbench.notebook.acts.serving_typed import said_moment
from trialbench.ui.page import Desk
from trialbench.ui.pages.plan_section import PlanSection
from trialbench.ui.runs import Item, Run
from trialbench.ui.text import Line
from trialbench.ui.verbs import TextVerb
from trialbench.ui.verbs_table import VerbEntry


class TimetableSection(PlanSection):
    """One line, once there are cook days."""

    kinds = frozenset({"cook", "cover", "trial"})
    space_px = 14

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self.line = Line("body")
        self.column.addWidget(self.line)
        self.line.hide()

    def show_plan(self, trial: Trial, *, sealed: bool) -> None:
        days = views.cooks(self.desk.notebook, trial.id)
        self.line.setVisible(bool(days))
        verb = TextVerb(msg("Timetable of each cook day"), role="body", weight=500)
        verb.clicked.connect(self.open)
        items: list[Item] = [verb]
        served = [day for day in days if day.serve_utc]
        if served:
            items += [Run("   "), *self._moments(served)]
        else:
            words = msg("   reckoned back from when it is on the table")
            items.append(Run(words, colour="pencil"))
        self.line.set_items(items)

    def _moments(self, served: list[Cook]) -> list[Item]:
        zone = views.cover(self.desk.notebook).zone
        said: list[Item] = []
        for day in served:
            shown = KitchenClock(zone, day.offset_min).shown(instant_of(day.serve_utc))
            words = msg("day {number}: {moment}", number=day.number, moment=said_moment(shown))
            said += [Run("; ", colour="pencil")] if said else []
            said.append(Run(words, colour="pencil"))
        return said

    def verbs(self) -> tuple[VerbEntry, ...]:
        return (VerbEntry("timetable", msg("Timetable of each cook day"), self.open),)

    def open(self) -> None:
        """Turn to the list."""
        self.desk.go("timetable")

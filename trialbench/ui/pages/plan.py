"""Plan: one sentence with figures, what it could find, who gets which method, the seal.

The page is a list of sections (`plan_section.PlanSection`), each a module of its own; a new one
is one line in `_sections`.
"""

from __future__ import annotations

from dataclasses import replace

from trialbench.model.margin import Margin
from trialbench.model.message import Message, msg
from trialbench.model.records import Trial
from trialbench.notebook import views
from trialbench.planning.plan_margin import margin_of_plan
from trialbench.ui.leaf import Leaf
from trialbench.ui.page import Desk, Page
from trialbench.ui.pages.plan_after_seal import SAYS_OPEN, AfterSealSection
from trialbench.ui.pages.plan_buying import BuyingSection
from trialbench.ui.pages.plan_feasibility import FeasibilitySection
from trialbench.ui.pages.plan_figures import FiguresSection
from trialbench.ui.pages.plan_matching import MatchingSection
from trialbench.ui.pages.plan_paper import PaperSection
from trialbench.ui.pages.plan_seal import SealSection
from trialbench.ui.pages.plan_section import PlanSection
from trialbench.ui.pages.plan_timetable import TimetableSection
from trialbench.ui.pages.plan_who import WhoSection
from trialbench.ui.verbs_table import VerbEntry

_SEALED = msg("The plan is sealed. Who gets which method stays as it was drawn.")


class PlanPage(Page):
    """The plan of a trial. Figures lay out cook days and pieces as they are written."""

    key, title = "plan", msg("Plan")

    def _sections(self, desk: Desk) -> tuple[PlanSection, ...]:
        """The sections from the top of the page to its foot."""
        self.seal = SealSection(desk)
        self.after_seal = AfterSealSection(desk)
        self.figures = FiguresSection(desk)
        self.feasibility = FeasibilitySection(desk)
        self.matching = MatchingSection(desk)
        self.who = WhoSection(desk)
        self.buying = BuyingSection(desk)
        self.timetable = TimetableSection(desk)
        self.paper = PaperSection(desk)
        return (
            self.seal,
            self.after_seal,
            self.figures,
            self.feasibility,
            self.matching,
            self.who,
            self.buying,
            self.timetable,
            self.paper,
        )

    def build(self, leaf: Leaf) -> None:
        self.sections = self._sections(self.desk)
        for section in self.sections:
            leaf.add(section, space_px=section.space_px)
        self.paper.papers.say_in(leaf)
        self._anchor(leaf)

    def _anchor(self, leaf: Leaf) -> None:
        for section in self.sections:
            for name, part in section.anchors().items():
                leaf.anchor(name, part)

    def verbs(self) -> tuple[VerbEntry, ...]:
        return tuple(verb for section in self.sections for verb in section.verbs())

    def refresh(self, kinds: frozenset[str]) -> None:
        wanted = [s for s in self.sections if not kinds or kinds & (s.kinds | {"after_seal"})]
        if not wanted:
            return
        assert self.leaf is not None
        trial = self.desk.notebook.get(Trial, self.desk.trial_id)
        sealed = views.is_locked(self.desk.notebook, trial.id)
        self.leaf.set_title(self.title, self._says(trial.id))
        for section in wanted:
            section.show_plan(trial, sealed=sealed)
        # Lots are drawn before the plan is sealed: their verb stands first.
        for section in reversed(wanted):
            section.show_head(self.leaf, sealed=sealed)
        self.leaf.drop_anchors()
        self._anchor(self.leaf)

    def _says(self, trial_id: str) -> Message:
        if views.is_locked(self.desk.notebook, trial_id):
            return _SEALED
        if views.is_sealed(self.desk.notebook, trial_id):
            return SAYS_OPEN
        return msg("Change it freely until it is sealed. Then it stays.")

    def margin(self) -> Margin:
        if self.feasibility.found is None:
            return Margin(msg("Can this trial give an answer?"))
        found = self.feasibility.found
        margin = margin_of_plan(self.desk.notebook, self.desk.trial_id, found)
        notes = (note for section in self.sections for note in section.notes())
        return replace(margin, notes=(*margin.notes, *notes))

    def do(self, name: str, args: tuple[str, ...]) -> None:
        if name == "go_to" and self.leaf is not None:
            self.leaf.go_to_line(args[0])
            return
        any(section.do(name, args) for section in self.sections)

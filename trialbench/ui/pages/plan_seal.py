"""The seal of the plan: asked once, under the head where the verb stands."""

from __future__ import annotations

from PySide6.QtCore import Slot

from trialbench.model.errors import TrialbenchError
from trialbench.model.message import Message, msg
from trialbench.model.records import Trial
from trialbench.notebook import views
from trialbench.planning.draw_rule import days_to_come
from trialbench.planning.next_draw import next_draw
from trialbench.planning.seal import lacks_for_seal, seal_plan
from trialbench.ui import theme
from trialbench.ui.leaf import Leaf
from trialbench.ui.page import Desk
from trialbench.ui.pages.plan_section import PlanSection
from trialbench.ui.runs import Run
from trialbench.ui.text import Line
from trialbench.ui.trouble_line import TroubleLine
from trialbench.ui.verbs import TextVerb
from trialbench.ui.verbs_table import VerbEntry

_ASKED = msg("Once sealed, who gets which method cannot be drawn again. Seal it?")
_ASKED_BEFORE = msg(
    "Once sealed, each day's lots are drawn once, at its parting, with the lot number that the "
    "seal holds. Seal it?"
)


class SealSection(PlanSection):
    """The question before the seal, and why it was refused. Nothing is sealed by one press."""

    kinds = frozenset(
        {"trial", "outcome", "method", "stage", "checkpoint", "cook", "piece", "draw", "lot",
         "seal", "measurement"}
    )  # fmt: skip
    space_px = 0

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self.asks = Line("body")
        self.trouble = TroubleLine()
        self.column.addWidget(self.asks)
        self.asks.hide()
        self.column.addWidget(self.trouble)

    def verbs(self) -> tuple[VerbEntry, ...]:
        return (VerbEntry("seal", msg("Seal the plan"), self.ask, why=self._why_not),)

    def do(self, name: str, args: tuple[str, ...]) -> bool:
        if name != "seal":
            return False
        self.ask()
        return True

    def show_plan(self, trial: Trial, *, sealed: bool) -> None:
        if views.is_sealed(self.desk.notebook, trial.id):
            self._leave()
            self.trouble.hide()

    def show_head(self, leaf: Leaf, *, sealed: bool) -> None:
        records = views.OneTrial(self.desk.notebook, self.desk.trial_id)
        no_seal = self._why_not()
        due = no_seal is None and not next_draw(records).due
        leaf.set_verb("seal", msg("Seal the plan"), due=due, why=no_seal)

    def _why_not(self) -> Message | None:
        if views.is_sealed(self.desk.notebook, self.desk.trial_id):
            return msg("The plan is sealed already.")
        records = views.OneTrial(self.desk.notebook, self.desk.trial_id)
        return next(iter(lacks_for_seal(records)), None)

    @Slot()
    def ask(self) -> None:
        """Ask once, in place."""
        yes, no = TextVerb(msg("Seal it now"), weight=600), TextVerb(msg("Not yet"), weight=600)
        yes.clicked.connect(self._seal)
        no.clicked.connect(self._leave)
        records = views.OneTrial(self.desk.notebook, self.desk.trial_id)
        words = _ASKED_BEFORE if days_to_come(records) else _ASKED
        self.asks.set_items([Run(words), Run("   "), yes, Run("   "), no])
        self.column.setContentsMargins(0, 0, 0, round(theme.px(10)))
        self.asks.show()
        yes.setFocus()

    @Slot()
    def _leave(self) -> None:
        self.column.setContentsMargins(0, 0, 0, 0)
        self.asks.hide()

    @Slot()
    def _seal(self) -> None:
        self._leave()
        book = self.desk.notebook
        trouble: TrialbenchError | None
        try:
            step = seal_plan(views.OneTrial(book, self.desk.trial_id), book.now())
            trouble = self.desk.take(step)
        except TrialbenchError as refused:
            trouble = refused
        self.trouble.show_trouble(trouble)

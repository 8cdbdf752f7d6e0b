"""The matching list of the Plan: opened by its name, a cook day at a time, pairs proposed."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QWidget

from trialbench.model.message import Message, msg
from trialbench.model.quantities import show_mass
from trialbench.model.records import Cook, Trial
from trialbench.model.steps import Step
from trialbench.notebook import views
from trialbench.notebook.acts import loads, plan
from trialbench.notebook.acts import matching as acts
from trialbench.planning.matching import (
    MOST_LOOKED_THROUGH,
    Matching,
    is_as_proposed,
    matching,
    widest_g,
)
from trialbench.planning.stage_words import and_listed, listed
from trialbench.ui.cells_table import CellsTable
from trialbench.ui.page import Desk
from trialbench.ui.pages.numbered_days import NumberedDays
from trialbench.ui.pages.plan_loads import SharedHere
from trialbench.ui.pages.plan_matching_list import MatchingModel, column_name
from trialbench.ui.pages.plan_section import FoldedSection
from trialbench.ui.pages.writing import Writing
from trialbench.ui.runs import Item, Run
from trialbench.ui.text import Line
from trialbench.ui.values import Value
from trialbench.ui.verbs import TextVerb
from trialbench.ui.verbs_table import VerbEntry


class MatchingSection(FoldedSection):
    """What each piece is, which belong together, which take part, and what shares a vessel."""

    kinds = frozenset({"trial", "method", "stage", "cook", "pair", "load", "piece", "draw", "lot",
                       "seal", "cover"})  # fmt: skip
    name = msg("Matching list")

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self._cook_id, self._trial_id = "", ""
        self._opened: frozenset[str] = frozenset()
        self.days = NumberedDays(
            msg("Cook day"), lambda number: msg("Matching list of cook day {number}", number=number)
        )
        self.days.chosen.connect(self._open_day)
        self.columns = Line("cell")
        self.spares = Value(msg("spare pieces a day"), hint=msg("none"), role="cell")
        self._spares_writing = Writing(desk, self.spares, "", self._write_spares)
        self.columns.lend(self.spares)
        self.model = MatchingModel(desk)
        self.table = CellsTable(self.model, msg("Matching list"))
        self.proposal = Line("cell")
        self.shared = SharedHere(desk)
        for part in (self.days, self.columns, self.table, self.proposal, self.shared):
            self.body_column.addWidget(part)

    def anchors(self) -> dict[str, QWidget]:
        return {"matching": self.proposal if self.is_open() else self.heading}

    def verbs(self) -> tuple[VerbEntry, ...]:
        return (
            VerbEntry("matching", msg("Open or fold the matching list"), self.turn),
            VerbEntry("pair_proposed", msg("Pair the pieces as proposed"), self.accept,
                      why=self._why_no_proposal),
        )  # fmt: skip

    def do(self, name: str, args: tuple[str, ...]) -> bool:
        if name == "matching":
            self._open, self._cook_id = True, args[0]
            self.show_plan(self.desk.notebook.get(Trial, self.desk.trial_id), sealed=False)
            self.table.setFocus()
            return True
        if name == "apart":
            self.take(lambda: loads.remove_load(self.desk.notebook, args[0]))
            return True
        if name == "pair_proposed":
            self._cook_id = args[0]
            self.accept()
            return True
        return False

    # --- showing -------------------------------------------------------------------------------

    def says(self, trial: Trial) -> Message | str:
        pieces = views.all_pieces(self.desk.notebook, trial.id)
        if not pieces:
            return msg("what each piece is, once pieces are laid out")
        known = sum(1 for piece in pieces if piece.bought_g is not None)
        if not known:
            return msg("weights, sources, sides; what belongs together")
        return msg("{known} of {all} pieces have a weight", known=known, all=len(pieces))

    def wants_open(self, trial: Trial) -> bool:
        return any(place.startswith("match:") for place in self.desk.notebook.drafts)

    def show_plan(self, trial: Trial, *, sealed: bool) -> None:
        days = views.cooks(self.desk.notebook, trial.id)
        self.setVisible(bool(days))
        if trial.id != self._trial_id:
            self._trial_id, self._open, self._opened = trial.id, False, frozenset()
        if not any(day.id == self._cook_id for day in days):
            self._cook_id = self._first_open(days)
        super().show_plan(trial, sealed=sealed)

    def _first_open(self, days: Sequence[Cook]) -> str:
        """The first day whose pieces have no method yet, else the first."""
        book = self.desk.notebook
        drafts = [place for place in book.drafts if place.startswith("match:")]
        half = [
            day.id
            for day in days
            for piece in views.every_piece(book, day.id)
            if any(place.startswith(f"match:{piece.id}:") for place in drafts)
        ]
        waits = [day.id for day in days if not all(p.method_id for p in views.pieces(book, day.id))]
        return next(iter([*half, *waits, *(day.id for day in days)]), "")

    def show_body(self, trial: Trial, *, sealed: bool) -> None:
        book = self.desk.notebook
        self.days.show_days(views.cooks(book, trial.id), self._cook_id)
        two = len(views.methods(book, trial.id)) <= 2
        self.model.show_cook(self._cook_id, self._opened, paired=trial.paired, two=two)
        self._spares_writing.bind(f"trial:{trial.id}:spares", str(trial.spares or ""))
        self.spares.setReadOnly(sealed)
        self._show_columns()
        self._show_proposal(trial)
        self.shared.show_cook(self._cook_id)
        self.model.bring_back(self.table)

    def _show_columns(self) -> None:
        items: list[Item] = []
        missing = self.model.missing_columns()
        if missing:
            items.append(Run(msg("Also write: "), colour="pencil"))
        for field in missing:
            verb = TextVerb(column_name(field))
            verb.setObjectName(field)
            verb.clicked.connect(self._open_column)
            items += [verb, Run("   ")]
        items += [Run(msg("Spares a day: "), colour="pencil"), self.spares]
        self.columns.set_items(items)

    def _proposed(self) -> Matching | None:
        """The pairs proposed for the day that is shown; None where there are none to propose."""
        book, trial_id = self.desk.notebook, self.desk.trial_id
        pieces = views.pieces(book, self._cook_id)
        if not book.get(Trial, trial_id).paired or all(p.method_id for p in pieces):
            return None
        if not any(p.bought_g is not None or p.source or p.lot or p.side for p in pieces):
            return None
        found = matching(views.OneTrial(book, trial_id), self._cook_id)
        return found if found.pairs else None

    def _show_proposal(self, trial: Trial) -> None:
        book = self.desk.notebook
        many = len(views.pieces(book, self._cook_id)) > MOST_LOOKED_THROUGH
        found = None if many else self._proposed()
        items: list[Item] = []
        if many and trial.paired:
            items = [self._accept_verb(msg("Find the best pairs"))]
        elif found is not None and is_as_proposed(views.OneTrial(book, trial.id), found):
            items = [Run(msg("Paired by source, side and weight. "), colour="pencil"),
                     Run(self._widest(found), colour="pencil")]  # fmt: skip
        elif found is not None:
            items = [Run(msg("Proposed: "), weight=600), Run(self._said(found)), Run(". "),
                     Run(self._widest(found), colour="pencil"), Run("   "),
                     self._accept_verb(msg("Pair them so"))]  # fmt: skip
        elif not trial.paired and trial.pieces_each > 1:
            items = [Run(msg("Matched on weight when lots are drawn."), colour="pencil")]
        self.proposal.set_items(items)
        self.proposal.setVisible(bool(items))

    def _accept_verb(self, words: Message) -> TextVerb:
        verb = TextVerb(words, weight=600)
        verb.clicked.connect(self.accept)
        return verb

    def _said(self, found: Matching) -> Message | str:
        names = {p.id: p.label for p in views.pieces(self.desk.notebook, self._cook_id)}
        said = [and_listed([names[i] for i in pair.piece_ids]) for pair in found.pairs]
        return listed(said)

    def _widest(self, found: Matching) -> Message | str:
        book = self.desk.notebook
        widest = widest_g(views.OneTrial(book, self.desk.trial_id), found)
        if widest is None:
            return ""
        unit = views.cover(book).mass_unit
        return msg("At most {weight} apart.", weight=show_mass(widest, unit, with_unit=True))

    # --- writing -------------------------------------------------------------------------------

    def _why_no_proposal(self) -> Message | None:
        if self._cook_id and self._proposed() is not None:
            return None
        return msg("There is nothing to propose: no weights or sources, or no pairs planned.")

    @Slot()
    def accept(self) -> None:
        """Pair the pieces of the day that is shown as proposed."""
        found = self._proposed()
        if found is None:
            return
        sets = [pair.piece_ids for pair in found.pairs]
        sources = [pair.source for pair in found.pairs]
        self.take(lambda: acts.match_pieces(self.desk.notebook, self._cook_id, sets, sources))

    @Slot()
    def _open_column(self) -> None:
        self._opened |= {self.sender().objectName()}
        self._again()
        self.table.setFocus()

    @Slot(object)
    def _open_day(self, cook_id: str) -> None:
        self._cook_id = cook_id
        self._again()

    def _again(self) -> None:
        trial = self.desk.notebook.get(Trial, self.desk.trial_id)
        self.show_plan(trial, sealed=views.is_locked(self.desk.notebook, trial.id))

    def _write_spares(self, text: str) -> Step:
        return plan.set_plan(self.desk.notebook, self.desk.trial_id, "spares", text or "0")

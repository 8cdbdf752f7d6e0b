"""Findings: what the trial supports, in a sentence, in pictures, in a table, and no more."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QRect, QTimer, Slot
from PySide6.QtWidgets import QVBoxLayout, QWidget

from trialbench.findings.trial_finding import TrialFinding
from trialbench.model.margin import Margin
from trialbench.model.message import Message, msg
from trialbench.model.records import Trial
from trialbench.notebook import views
from trialbench.ui.leaf import Leaf
from trialbench.ui.page import Desk
from trialbench.ui.pages.again import ask_again
from trialbench.ui.pages.faded import Faded
from trialbench.ui.pages.finding_pictures import FindingPictures
from trialbench.ui.pages.not_yet import NotYet
from trialbench.ui.pages.reckoning import Reckoned
from trialbench.ui.pages.reckoning_page import ReckoningPage
from trialbench.ui.pages.sections import Sections, empty
from trialbench.ui.runs import Run
from trialbench.ui.strip import SeamProgress
from trialbench.ui.text import Line
from trialbench.ui.verbs import TextVerb
from trialbench.ui.verbs_table import VerbEntry

if TYPE_CHECKING:
    from trialbench.ui.pages.outcome_rows import OutcomeTable

_LONG_MS = 500
_AGAIN = msg("Something was written. Reckoning again; this is what was found before.")
_FIRST = msg("Reckoning what the trial supports.")
_STOPPED = msg("Reckoning was stopped.")
_OLD = msg("This is what was found before the last thing was written.")


class FindingsPage(ReckoningPage):
    """The finding of the trial as last reckoned, greyed while it is reckoned again."""

    key, title = "findings", msg("Findings")

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self._late = QTimer(self)
        self._late.setSingleShot(True)
        self._late.setInterval(_LONG_MS)
        self._late.timeout.connect(self._show_seam)

    # --- parts ---------------------------------------------------------------------------------

    def build(self, leaf: Leaf) -> None:
        leaf.set_title(self.title)
        leaf.set_verb("reckoned", msg("How it was reckoned"))
        leaf.set_verb("note", msg("Write the recipe note"))
        self.seam = SeamProgress(msg("Reckoning"))
        self.seam.stopped.connect(self._reckoning.stop)
        self.stopped = Line("cell")
        self.not_yet = NotYet(self.desk)
        self.headline = Line("headline")
        self.holds = Line("cell")
        self.riders = Line("cell", colour="pencil")
        self.pictures = FindingPictures(self.desk)
        self.reading = Line("label", colour="pencil")
        self.table = QWidget()
        self._table_column = QVBoxLayout(self.table)
        self._table_column.setContentsMargins(0, 0, 0, 0)
        self.unadjusted = Line("label", colour="pencil")
        self.facts = Sections(label="note_label", label_px=150, rule_first=True)
        for part, space in ((self.seam, 0), (self.stopped, 0), (self.not_yet, 0),
                            (self.headline, 0), (self.holds, 6), (self.riders, 2),
                            (self.pictures, 14), (self.reading, 6), (self.table, 8),
                            (self.unadjusted, 4), (self.facts, 12)):  # fmt: skip
            leaf.add(part, space_px=space)
            part.hide()
        self._faded = Faded(self.headline, self.holds, self.table, self.facts)

    def verbs(self) -> tuple[VerbEntry, ...]:
        return (
            VerbEntry("reckoned", msg("How it was reckoned"), self._to_reckoned),
            VerbEntry("note", msg("Write the recipe note"), self._to_note),
            VerbEntry("as_table", msg("Show the pictures as tables, or as pictures again"),
                      self.pictures.turn),
        )  # fmt: skip

    # --- showing -------------------------------------------------------------------------------

    def refresh(self, kinds: frozenset[str]) -> None:
        self._reckoning.ask(self.desk.trial_id)
        self._show()

    def _show(self) -> None:
        trial_id = self.desk.trial_id
        answer, fresh = self._answer(), self._is_fresh()
        self._show_waiting(fresh)
        self._show_head(answer, fresh)
        if answer is None:
            self._shown = None
            self._show_parts(None)
            return
        if (trial_id, answer.state) != self._shown:
            self._shown = (trial_id, answer.state)
            self._faded.set(False)
            self._show_answer(answer)
        self._faded.set(not fresh)
        self.pictures.fade(not fresh)

    def _show_waiting(self, fresh: bool) -> None:
        asked = self._reckoning.is_asked()
        if not asked:
            self._late.stop()
            self.seam.hide()
        elif not self._late.isActive() and self.seam.isHidden():
            self._late.start()
        halted = not asked and not fresh
        self.stopped.setVisible(halted)
        if halted and not self.stopped.words():
            again = TextVerb(msg("Reckon it now"), weight=600)
            again.clicked.connect(self._reckon)
            self.stopped.set_items([Run(_STOPPED), Run("  "), again])

    @Slot()
    def _show_seam(self) -> None:
        self.seam.setVisible(self._reckoning.is_asked())

    @Slot()
    def _reckon(self) -> None:
        self._reckoning.ask(self.desk.trial_id)

    def _show_head(self, answer: Reckoned | None, fresh: bool) -> None:
        from trialbench.ui.pages import several_words
        from trialbench.ui.pages.finding_words import supports

        assert self.leaf is not None
        finding = answer.found.deciding if answer is not None else None
        several = answer.found.several if answer is not None else None
        says: Message = msg("What the trial supports, and no more.")
        if not fresh and self._reckoning.is_asked():
            says = _AGAIN if answer is not None else _FIRST
        elif not fresh and answer is not None:
            says = _OLD
        elif finding is not None:
            says = supports(finding)
        elif several is not None:
            says = several_words.supports(several)
        self.leaf.set_title(self.title, says)
        decided = views.decision(self.desk.notebook, self.desk.trial_id) is not None
        speaks = finding is not None and finding.case != "no_claim"
        speaks = speaks or (several is not None and not several.claims_nothing)
        self.leaf.set_verb(
            "note", msg("Write the recipe note"), due=speaks and fresh and not decided
        )

    def _show_parts(self, found: TrialFinding | None) -> None:
        there = found is not None and found.spoken
        self.not_yet.setVisible(found is not None and not there)
        for part in (self.headline, self.pictures, self.reading, self.table):
            part.setVisible(there)
        if not there:
            for part in (self.holds, self.riders, self.unadjusted, self.facts):
                part.hide()

    def _show_answer(self, answer: Reckoned) -> None:
        found = answer.found
        self._show_parts(found)
        if not found.spoken:
            self.not_yet.show_trial(self.desk.notebook.get(Trial, self.desk.trial_id), found)
            self._anchor({"headline": self.not_yet})
            return
        if found.several is not None:
            self._show_several(answer)
        else:
            self._show_sentences(answer)
        self.pictures.show_finding(found)
        self._show_table(found)
        self._show_facts(answer)

    def _show_several(self, answer: Reckoned) -> None:
        from trialbench.findings.wording_several import headline
        from trialbench.report.words import tied
        from trialbench.ui.pages.several_words import holds_words, how_to_read

        several = answer.found.several
        assert several is not None
        names = answer.found.names_of(several.outcome)
        self.headline.set_items(tied(headline(several, names)))
        claims = not several.claims_nothing
        self._show_holds(answer, holds_words(several), claims=claims,
                         riders=claims and not several.same_recipe)  # fmt: skip
        self.reading.set_items(how_to_read(several))
        self.reading.show()

    def _show_holds(
        self, answer: Reckoned, words: tuple[Message, Message], *, claims: bool, riders: bool
    ) -> None:
        from trialbench.planning.stage_words import listed
        from trialbench.report import claims as report
        from trialbench.report.words import tied

        what, rest = words
        self.holds.set_items([Run(what, weight=600), Run(tied(rest), colour="pencil")])
        self.holds.setVisible(claims)
        came = report.riders(answer.records)
        self.riders.set_items(tied(msg("This came along: {riders}.", riders=listed(came))))
        self.riders.setVisible(riders and bool(came))

    def _show_sentences(self, answer: Reckoned) -> None:
        from trialbench.findings.wording import headline
        from trialbench.ui.pages.finding_words import holds_words, how_to_read

        finding = answer.found.deciding
        assert finding is not None
        names = answer.found.names_of(finding.outcome)
        self.headline.set_items(headline(finding, names))
        claims = finding.case != "no_claim"
        self._show_holds(answer, holds_words(finding, names), claims=claims,
                         riders=claims and finding.case != "same_recipe")  # fmt: skip
        self.reading.set_items(how_to_read(finding))
        self.reading.setVisible(finding.comparison.estimate is not None)

    def _show_table(self, found: TrialFinding) -> None:
        from trialbench.ui.pages import several_words
        from trialbench.ui.pages.outcome_rows import OutcomeTable, about_intervals
        from trialbench.ui.pages.several_rows import SeveralTables

        empty(self._table_column)
        self.outcomes = SeveralTables(found) if found.several is not None else OutcomeTable(found)
        self._table_column.addWidget(self.outcomes)
        several = found.several
        said = about_intervals(found) if several is None else several_words.about_intervals(several)
        self.unadjusted.set_items(said or "")
        self.unadjusted.setVisible(said is not None)

    def _show_facts(self, answer: Reckoned) -> None:
        from trialbench.report.reckoned import missing_lines
        from trialbench.report.words import Section

        found = answer.found
        sections = (
            Section(msg("Missing"), tuple(missing_lines(found))),
            Section(msg("How the data came about"), found.cautions),
            Section(
                msg("Notes") if found.several is not None else msg("Why no more"),
                _why_no_more(found),
            ),
        )
        self.facts.show_sections([s for s in sections if not s.empty])
        self.facts.setVisible(bool(self.facts.rows))
        places = {"headline": self.headline, "holds": self.holds, "days": self.pictures.days,
                  "interval": self.pictures.interval}  # fmt: skip
        if "Missing" in self.facts.rows:
            places["missing"] = self.facts.rows[str(msg("Missing"))]
        self._anchor(places)
        self._anchor_rows()

    def _anchor(self, places: dict[str, QWidget]) -> None:
        assert self.leaf is not None
        self.leaf.drop_anchors()
        for line, part in places.items():
            self.leaf.anchor(line, part)

    def _anchor_rows(self) -> None:
        from trialbench.ui.pages.several_rows import SeveralTables

        assert self.leaf is not None
        if isinstance(self.outcomes, SeveralTables):
            self.leaf.anchor("others", self.outcomes.means)
            for number, table in enumerate(self.outcomes.aside):
                self.leaf.anchor(f"set_aside:{number}", table)
            return
        for number, row in enumerate(self.outcomes.set_aside_rows):
            place = _RowPlace(self.outcomes, row)
            self.leaf.anchor(f"set_aside:{number}", self.outcomes, place)
        if self.outcomes.other_rows:
            place = _RowPlace(self.outcomes, self.outcomes.other_rows[0])
            self.leaf.anchor("others", self.outcomes, place)

    def margin(self) -> Margin:
        answer = self._reckoning.answer(self.desk.trial_id)
        if answer is None:
            return Margin(_FIRST)
        if not self._reckoning.is_fresh(self.desk.trial_id):
            return Margin(_AGAIN, answer.margin.notes)
        return answer.margin

    # --- what can be done ----------------------------------------------------------------------

    def do(self, name: str, args: tuple[str, ...]) -> None:
        if name == "reckoned":
            self._to_reckoned()
        elif name == "note":
            self._to_note()
        elif name == "ask_again":
            ask_again(self.desk, *args)

    def _to_reckoned(self) -> None:
        self.desk.go("reckoned")

    def _to_note(self) -> None:
        self.desk.go("recipe_note")


def _why_no_more(found: TrialFinding) -> tuple[Message, ...]:
    """What is missing for an interval or a claim, and what must be known of it."""
    from trialbench.ui.pages import finding_words, several_words

    if found.several is not None:
        names = found.names_of(found.several.outcome)
        return tuple(several_words.notes_beside(found.several, names))
    if found.deciding is None:
        return ()
    names = found.names_of(found.deciding.outcome)
    return tuple(finding_words.why_nothing_claimed(found.deciding, names))


class _RowPlace:
    """Where a row of the table stands now, for the margin."""

    def __init__(self, table: OutcomeTable, row: int) -> None:
        self._table, self._row = table, row

    def __call__(self) -> QRect:
        return self._table.row_rect(self._row)

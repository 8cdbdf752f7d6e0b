"""Question: the sentence to fill, then what kind of question it is and what decides."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from itertools import pairwise
from typing import Any

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import QVBoxLayout, QWidget

from trialbench.model.margin import Margin
from trialbench.model.message import Message, msg
from trialbench.model.records import Trial
from trialbench.notebook import views
from trialbench.notebook.acts.kinds import choose_question
from trialbench.notebook.acts.question import set_matters
from trialbench.notebook.views.shapes import factors
from trialbench.planning.first_question import margin_of_first_question, two_things_note
from trialbench.planning.question_margin import margin_of_question
from trialbench.ui import theme
from trialbench.ui.leaf import Leaf
from trialbench.ui.page import Desk, Page
from trialbench.ui.pages.answers import Answers
from trialbench.ui.pages.field_rows import Taker
from trialbench.ui.pages.finished import Finished, is_blank
from trialbench.ui.pages.question_decides import DecidesRow
from trialbench.ui.pages.question_origin import OriginRow
from trialbench.ui.pages.question_others import CardRow, OthersRow
from trialbench.ui.pages.question_rows import ChapterRow, KindRow, ReferenceRow
from trialbench.ui.pages.question_sentence import Sentence
from trialbench.ui.pages.question_settings import ComparesRow, MakesRow, SettingsRow
from trialbench.ui.text import Line, Rule
from trialbench.ui.verbs_table import VerbEntry

_SAYS = msg("Three lines. The rest of the notebook follows from them.")
_SAYS_SEALED = msg("The plan is sealed. To change the question, say why on the Plan page.")
_STANDING_SEALED = msg("The question stays as it was asked when the plan was sealed.")
_ANCHORS = {"kind": "question", "others": "else"}
_READS = frozenset(
    {"trial", "method", "outcome", "checkpoint", "stage", "seal", "after_seal", "sitting", "cover",
     "score", "part", "factor", "level", "setting"}
)  # fmt: skip


class QuestionPage(Page):
    """The first page of a trial."""

    key = "question"
    title = msg("Question")

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self._stops: list[QWidget] = []
        self._answers = Answers.of(desk)
        self._answers.changed.connect(self._show_finished)
        self._answers.changed.connect(desk.margin_changed)

    def build(self, leaf: Leaf) -> None:
        leaf.set_title(self.title, _SAYS)
        self.sentence = Sentence(self.desk)
        leaf.add(self.sentence)
        for field in ("food", "usual", "idea", "came_out", "matters"):
            leaf.anchor(field, self.sentence.blanks[field])
        for n, line in enumerate(self.sentence.factors.lines, start=1):
            leaf.anchor(f"varied {n}", line)
        self.sentence.factors.stops_changed.connect(self._order_tabs)
        self.rows: dict[str, Any] = {
            "kind": KindRow(self.desk, self),
            "settings": SettingsRow(self.desk, self),
            "makes": MakesRow(self.desk, self),
            "compares": ComparesRow(self.desk, self),
            "decides": DecidesRow(self.desk, self),
            "others": OthersRow(self.desk, self),
            "card": CardRow(self.desk, self),
            "origin": OriginRow(self.desk, self),
            "reference": ReferenceRow(self.desk, self),
            "chapter": ChapterRow(self.desk, self),
        }
        self.rows["settings"].crossed.connect(self._name_second)
        self._under = QWidget()
        column = QVBoxLayout(self._under)
        column.setContentsMargins(0, round(theme.px(20)), 0, 0)
        column.setSpacing(round(theme.px(8)))
        for name, row in self.rows.items():
            column.addWidget(row.row)
            leaf.anchor(_ANCHORS.get(name, name), row.row)
        column.addWidget(Rule())
        self._remark = Line("standing_sentence", "", colour="pencil")
        column.addWidget(self._remark)
        leaf.add(self._under)
        self.finished = Finished()
        self.finished.opened.connect(self._read)
        leaf.add(self.finished, space_px=20)
        leaf.anchor("finished", self.finished)

    def refresh(self, kinds: frozenset[str]) -> None:
        if kinds and not kinds & _READS:
            return
        book = self.desk.notebook
        trial = book.find(Trial, self.desk.trial_id)
        if trial is None:
            self.desk.go("contents", "")
            return
        sealed = views.is_locked(book, trial.id) or book.read_only
        blank = is_blank(trial)
        self.sentence.show_trial(trial, sealed=sealed)
        self._under.setVisible(not blank)
        for row in self.rows.values() if not blank else ():
            row.show_trial(trial, sealed=sealed)
        self._order_tabs()
        self._remark.set_items(trial.remark)
        self._remark.setVisible(bool(trial.remark))
        if not kinds and not sealed:
            self._answers.ask_noise()
        self._show_finished()
        self._show_head(trial, sealed=sealed)
        if not kinds and not sealed:
            self._go_on_writing(blank=blank)

    @Slot()
    def _name_second(self) -> None:
        self.sentence.factors.lines[1].name.setFocus(Qt.FocusReason.OtherFocusReason)

    @Slot()
    def _order_tabs(self) -> None:
        """Tab goes through the page as the eye does, whenever its parts were made."""
        assert self.leaf is not None
        stops = self.sentence.stops()
        for row in self.rows.values():
            stops += [item for item in row.row.line.items() if isinstance(item, QWidget)
                      and item.focusPolicy() & Qt.FocusPolicy.TabFocus]  # fmt: skip
        # A line that is being laid has parts that do not stand in it yet.
        stops = [stop for stop in stops if stop.window() is self.leaf.window()]
        if stops != self._stops:
            self._stops = stops
            for before, after in pairwise(stops):
                QWidget.setTabOrder(before, after)

    def _go_on_writing(self, *, blank: bool) -> None:
        """The keyboard goes where writing stopped; on a blank page to its first blank."""
        wanted = self.sentence.half_typed() or (self.sentence.first_empty() if blank else None)
        if wanted is not None:
            wanted.setFocus()

    def _show_head(self, trial: Trial, *, sealed: bool) -> None:
        assert self.leaf is not None
        leaf, book = self.leaf, self.desk.notebook
        leaf.set_title(self.title, _SAYS_SEALED if views.is_locked(book, trial.id) else _SAYS)
        asked = views.page_state(book, trial.id, "question").stitch == "complete"
        held = {factor.stage_id for factor in factors(book, trial.id)}
        begun = any(stage.id not in held for stage in views.stages(book, trial.id))
        if asked and not begun and not sealed:
            leaf.set_verb("methods", msg("Write the methods"), due=True)
        else:
            leaf.head.drop_verbs()

    @Slot()
    def _show_finished(self) -> None:
        trial = self.desk.notebook.find(Trial, self.desk.trial_id)
        if trial is None or self.leaf is None:
            return
        wanted = is_blank(trial)
        if wanted:
            self._answers.ask()
            wanted = self.finished.show_trials(self.desk.notebook, trial.id, self._answers.answer)
        self.finished.setVisible(wanted)

    @Slot(object)
    def _read(self, trial_id: str) -> None:
        self.desk.go("findings", trial_id)

    def foot(self) -> Message | None:
        """Until something is written of the question, the foot says how writing is kept."""
        trial = self.desk.notebook.find(Trial, self.desk.trial_id)
        if trial is None or self.desk.notebook.read_only or trial.food or not is_blank(trial):
            return None
        return msg("Nothing to save: every line is kept as you write it")

    def margin(self) -> Margin:
        book = self.desk.notebook
        trial = book.find(Trial, self.desk.trial_id)
        if trial is None:
            return Margin(msg(""))
        if is_blank(trial):
            return margin_of_first_question(with_finished=not self.finished.isHidden())
        margin = margin_of_question(book, trial.id, self._answers.own_noise(trial))
        if views.is_locked(book, trial.id):
            return replace(margin, standing=_STANDING_SEALED)
        two = two_things_note(trial)
        return replace(margin, notes=(two, *margin.notes)) if two is not None else margin

    def do(self, name: str, args: tuple[str, ...]) -> None:
        if name == "methods":
            self.desk.go("methods")
        elif name == "open_trial":
            self.desk.go("findings", args[0])
        elif name == "go_to" and self.leaf is not None:
            self.leaf.go_to_line(args[0])
        elif name == "reference":
            self.rows["reference"].ask()
        elif name == "set_matters":
            taker = Taker(self.desk, self.rows["decides"].row)
            taker.take(partial(set_matters, self.desk.notebook, *args))
        elif name == "choose_question":
            taker = Taker(self.desk, self.rows["kind"].row)
            taker.take(partial(choose_question, self.desk.notebook, *args))

    def verbs(self) -> tuple[VerbEntry, ...]:
        return (
            VerbEntry("reference", msg("Serve a reference sample too"), self._ask_reference,
                      why=self._why_no_reference),
        )  # fmt: skip

    def _ask_reference(self) -> None:
        if self._why_no_reference() is None:
            self.rows["reference"].ask()

    def _why_no_reference(self) -> Message | None:
        trial = self.desk.notebook.find(Trial, self.desk.trial_id)
        if trial is None or views.is_locked(self.desk.notebook, trial.id):
            return msg("the plan is sealed")
        return msg("write the question first") if is_blank(trial) else None

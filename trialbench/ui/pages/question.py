"""Question: the sentence to fill, then what kind of question it is and what decides."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import Any

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QVBoxLayout, QWidget

from trialbench.model.margin import Margin
from trialbench.model.message import Message, msg
from trialbench.model.records import Trial
from trialbench.notebook import views
from trialbench.planning.first_question import margin_of_first_question, two_things_note
from trialbench.planning.question_margin import margin_of_question
from trialbench.ui import theme
from trialbench.ui.leaf import Leaf
from trialbench.ui.page import Desk, Page
from trialbench.ui.pages.answers import Answers
from trialbench.ui.pages.field_rows import Taker
from trialbench.ui.pages.finished import Finished, is_blank
from trialbench.ui.pages.question_others import CardRow, OthersRow
from trialbench.ui.pages.question_rows import ChapterRow, DecidesRow, KindRow, OriginRow
from trialbench.ui.pages.question_sentence import Sentence
from trialbench.ui.text import Line, Rule

_SAYS = msg("Three lines. The rest of the notebook follows from them.")
_SAYS_SEALED = msg("The plan is sealed: the question can be read, and not changed any more.")
_STANDING_SEALED = msg("The question stays as it was asked when the plan was sealed.")
_ANCHORS = {"kind": "question", "others": "else"}
_READS = frozenset(
    {"trial", "method", "outcome", "checkpoint", "stage", "seal", "sitting", "cover", "score"}
)


class QuestionPage(Page):
    """The first page of a trial."""

    key = "question"
    title = msg("Question")

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self._answers = Answers.of(desk)
        self._answers.changed.connect(self._show_finished)

    def build(self, leaf: Leaf) -> None:
        leaf.set_title(self.title, _SAYS)
        self.sentence = Sentence(self.desk)
        leaf.add(self.sentence)
        for field in ("food", "usual", "idea", "came_out", "matters"):
            leaf.anchor(field, self.sentence.blanks[field])
        self.rows: dict[str, Any] = {
            "kind": KindRow(self.desk, self),
            "decides": DecidesRow(self.desk, self),
            "others": OthersRow(self.desk, self),
            "card": CardRow(self.desk, self),
            "origin": OriginRow(self.desk, self),
            "chapter": ChapterRow(self.desk, self),
        }
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
        sealed = views.is_sealed(book, trial.id) or book.read_only
        blank = is_blank(trial)
        self.sentence.show_trial(trial, sealed=sealed)
        self._under.setVisible(not blank)
        for row in self.rows.values() if not blank else ():
            row.show_trial(trial, sealed=sealed)
        self._remark.set_items(trial.remark)
        self._remark.setVisible(bool(trial.remark))
        self._show_finished()
        self._show_head(trial, sealed=sealed)
        if not kinds and not sealed:
            self._go_on_writing(blank=blank)

    def _go_on_writing(self, *, blank: bool) -> None:
        """The keyboard goes where writing stopped; on a blank page to its first blank."""
        wanted = self.sentence.half_typed() or (self.sentence.first_empty() if blank else None)
        if wanted is not None:
            wanted.setFocus()

    def _show_head(self, trial: Trial, *, sealed: bool) -> None:
        assert self.leaf is not None
        leaf, book = self.leaf, self.desk.notebook
        leaf.set_title(self.title, _SAYS_SEALED if views.is_sealed(book, trial.id) else _SAYS)
        asked = views.page_state(book, trial.id, "question").stitch == "complete"
        if asked and not views.stages(book, trial.id) and not sealed:
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
        if views.is_sealed(book, trial.id):
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
        elif name == "choose_question":
            from trialbench.notebook.acts.kinds import choose_question

            taker = Taker(self.desk, self.rows["kind"].row)
            taker.take(partial(choose_question, self.desk.notebook, *args))

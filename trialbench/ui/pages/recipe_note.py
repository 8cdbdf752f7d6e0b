"""Recipe note: one side of paper for the next cook, the decision on it, and the way out."""

from __future__ import annotations

from itertools import pairwise

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QWidget

from trialbench.model.errors import TrialbenchError
from trialbench.model.margin import Margin
from trialbench.model.message import Message, msg, say
from trialbench.notebook import views
from trialbench.notebook.acts import decision
from trialbench.ui.leaf import Leaf
from trialbench.ui.page import Desk
from trialbench.ui.pages.decision_line import DecisionLine
from trialbench.ui.pages.file_writing import FileWriting
from trialbench.ui.pages.paper import Paper
from trialbench.ui.pages.reckoning import Reckoned
from trialbench.ui.pages.reckoning_page import ReckoningPage
from trialbench.ui.runs import Item, Run
from trialbench.ui.text import Line
from trialbench.ui.verbs import TextVerb
from trialbench.ui.verbs_table import VerbEntry

_SAYS = msg("What the next cook gets. One side of paper, and one on how it was reckoned.")
_AGAIN = msg("Something was written. Reckoning again; this is the note from before.")
_FIRST = msg("Reckoning what the trial supports.")
_EMPTY = msg(
    "Here stands the method as it was cooked, by weight, with what the trial shows, what it does"
    " not show, and what you decided: on one side of paper."
)
_FORMS: tuple[tuple[str, Message], ...] = (
    (".pdf", msg("page to print")),
    (".html", msg("web page")),
    (".md", msg("plain text")),
    (".csv", msg("its data")),
)


class RecipeNotePage(ReckoningPage):
    """The note as the report writes it; nothing on it is worded here."""

    key, title = "recipe_note", msg("Recipe note")

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self._trial_id = ""
        self._writing = FileWriting(desk)
        self._writing.changed.connect(self._show_written)

    # --- parts ---------------------------------------------------------------------------------

    def build(self, leaf: Leaf) -> None:
        leaf.set_title(self.title, _SAYS)
        head = leaf.set_verb("hand_on", msg("Hand the note on"))
        self.forms = Line("body")
        self.written = Line("cell", colour="pencil")
        self.empty = Line("standing_sentence", _EMPTY, colour="pencil")
        self.decision = DecisionLine(self.desk)
        self.paper = Paper(self.desk)
        over = TextVerb(msg("How it was reckoned"), role="cell", weight=500)
        over.clicked.connect(self._to_reckoned)
        self.second = Line("cell", [Run(msg("On its second side: ")), over], colour="pencil")
        for part, space in ((self.forms, 0), (self.written, 2), (self.decision, 2),
                            (self.empty, 8), (self.paper, 10), (self.second, 10)):  # fmt: skip
            leaf.add(part, space_px=space)
        forms = self._fill_forms()
        line = self.decision
        for before, after in pairwise([head, *forms, line.choice, line.reason, line.anew, over]):
            QWidget.setTabOrder(before, after)
        for part in (self.forms, self.written, self.empty, self.paper, self.second):
            part.hide()

    def _fill_forms(self) -> list[TextVerb]:
        items: list[Item] = [Run(msg("Hand it on as a "))]
        verbs = []
        for ending, words in _FORMS:
            if ending == ".csv":
                items.append(Run(msg("   or ")))
            elif ending != ".pdf":
                items.append(Run("   "))
            verb = TextVerb(words, role="body", weight=500)
            verb.setObjectName(ending)
            verb.clicked.connect(self._choose_form)
            items.append(verb)
            verbs.append(verb)
        no = TextVerb(msg("Not now"), role="body", weight=500)
        no.clicked.connect(self._not_now)
        self.forms.set_items([*items, Run("       "), no])
        return [*verbs, no]

    def verbs(self) -> tuple[VerbEntry, ...]:
        return (
            VerbEntry("hand_on", msg("Hand the note on"), self._hand_on, "", self._why_not),
            VerbEntry("reckoned", msg("How it was reckoned"), self._to_reckoned),
            VerbEntry("decide", msg("Write the decision"), self._focus_decision),
        )

    # --- showing -------------------------------------------------------------------------------

    def refresh(self, kinds: frozenset[str]) -> None:
        if self.desk.trial_id != self._trial_id:
            self._trial_id = self.desk.trial_id
            self._writing.forget()
            self.forms.hide()
        self._reckoning.ask(self._trial_id)
        self.decision.show_trial(self._trial_id)
        self._show()

    def _show(self) -> None:
        assert self.leaf is not None
        answer, fresh = self._answer(), self._is_fresh()
        says = _SAYS if fresh else _AGAIN if answer is not None else _FIRST
        self.leaf.set_title(self.title, says)
        book = self.desk.notebook
        decided = views.decision(book, self._trial_id) is not None
        handed = bool(views.handed_on(book, self._trial_id))
        why = self._why_not()
        self.leaf.set_verb(
            "hand_on", msg("Hand the note on"), due=decided and not handed and why is None, why=why
        )
        self._show_said()
        written = self._is_written()
        self.empty.setVisible(not written)
        for part in (self.paper, self.second):
            part.setVisible(answer is not None and written)
        if answer is None:
            self._shown = None
        elif (self._trial_id, answer.state) != self._shown:
            self._shown = (self._trial_id, answer.state)
            self.paper.show_note(answer.note, answer.found)
            self._anchor()
        self.paper.fade(answer is not None and not fresh)

    def _anchor(self) -> None:
        assert self.leaf is not None
        self.leaf.drop_anchors()
        self.leaf.anchor("decision", self.decision)
        self.leaf.anchor("empty", self.empty)
        for line, part in self.paper.places.items():
            self.leaf.anchor(line, part)

    def _show_said(self) -> None:
        said = self._writing.said()
        self.written.set_items(said)
        self.written.setVisible(bool(say(said)))

    def margin(self) -> Margin:
        from trialbench.ui.pages.recipe_note_margin import margin_of_recipe_note

        answer = self._answer()
        found = answer.found if answer is not None else None
        weighed = answer is not None and answer.note.weight is not None
        return margin_of_recipe_note(self.desk.notebook, self._trial_id, found, weighed)

    # --- what can be done ----------------------------------------------------------------------

    def do(self, name: str, args: tuple[str, ...]) -> None:
        if name == "hand_on":
            self._hand_on()
        elif name == "decide":
            self._focus_decision()
        elif name == "page":
            self.desk.go(args[0])

    def _is_written(self) -> bool:
        """Whether there is anything to write of: a method, or a finding."""
        answer = self._answer()
        found = answer is not None and answer.found.deciding is not None
        return found or bool(views.stages(self.desk.notebook, self._trial_id))

    def _why_not(self) -> Message | None:
        if not self._is_written():
            return msg("There is no method yet: its stages are written on Methods.")
        if self._answer() is None or not self._is_fresh():
            return msg("It is being reckoned.")
        return self._writing.why_not()

    def _hand_on(self) -> None:
        """Offer the forms, in place."""
        if self._why_not() is None:
            self.forms.show()
            first = self.forms.findChild(TextVerb, ".pdf")
            if isinstance(first, TextVerb):
                first.setFocus()

    @Slot()
    def _not_now(self) -> None:
        self.forms.hide()
        assert self.leaf is not None
        self.leaf.head.verbs()["hand_on"].setFocus()

    @Slot()
    def _choose_form(self) -> None:
        answer = self._answer()
        if answer is not None and self._why_not() is None:
            keep = _HandedOn(self.desk, self._trial_id, answer)
            self._writing.ask(self.leaf, answer, self.sender().objectName(), keep)

    @Slot()
    def _show_written(self) -> None:
        if self._writing.why_not() is None:
            self.forms.hide()
        self._show()

    def _focus_decision(self) -> None:
        self.decision.choice.setFocus()

    @Slot()
    def _to_reckoned(self) -> None:
        self.desk.go("reckoned")


class _HandedOn:
    """Writes in the notebook what left it, once the file is there."""

    def __init__(self, desk: Desk, trial_id: str, answer: Reckoned) -> None:
        self._desk, self._trial_id, self._answer = desk, trial_id, answer

    def __call__(self, ending: str) -> None:
        from trialbench.report.handed import finding_json, headline_of

        if self._desk.notebook.read_only:
            return
        found = self._answer.found
        try:
            step = decision.hand_on(
                self._desk.notebook, self._trial_id, ending.removeprefix("."),
                say(headline_of(found)), finding_json(found),
            )  # fmt: skip
        except TrialbenchError as refused:
            self._desk.trouble.emit(refused)
            return
        self._desk.take(step)

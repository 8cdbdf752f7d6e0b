"""The empty last line of the methods: the next stage by its kind, with the kinds to choose from."""

from __future__ import annotations

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QSizePolicy, QVBoxLayout, QWidget

from trialbench.model.errors import Refused
from trialbench.model.message import msg, say
from trialbench.model.records import Stage
from trialbench.model.steps import Step
from trialbench.model.words import STAGE_KINDS
from trialbench.notebook.acts import new_record
from trialbench.notebook.acts.additions import with_additions
from trialbench.notebook.acts.feel import word_typed
from trialbench.notebook.acts.stages import add_stage
from trialbench.planning.stage_typed import additions_in, kind_and_rest, values_in
from trialbench.ui import theme
from trialbench.ui.blanks import Blank
from trialbench.ui.page import Desk
from trialbench.ui.pages.parted_row import BEFORE_PX
from trialbench.ui.pages.writing import WAYS_OUT, Writing
from trialbench.ui.rows import Row
from trialbench.ui.runs import Item, Run
from trialbench.ui.text import Line
from trialbench.ui.verbs import TextVerb


def kinds_beginning(typed: str) -> list[str]:
    """The kinds whose word begins as typed; all of them for a word that no kind begins with."""
    known = kind_and_rest(typed)
    if known is not None:
        return [known[0]]
    text = " ".join(typed.casefold().split())
    found = [w.name for w in STAGE_KINDS.values() if say(w.label).casefold().startswith(text)]
    return found or list(STAGE_KINDS)


class NextStage(QWidget):
    """`added(stage_id)` when a stage was written."""

    added = Signal(object)

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self._new_id = ""
        self._why: Refused | None = None
        self.blank = Blank(msg("The next stage"), "", msg("the next stage, or nothing more"),
                           role="body")  # fmt: skip
        self.blank.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self._writing = Writing(desk, self.blank, "", self._step)
        self.blank.committed.connect(self._tell)
        self._number = Line("label", "", colour="pencil")
        row = Row([(self._number, 18), (QWidget(), BEFORE_PX - 18), (self.blank, 0)])
        self._says = Line("cell", "")
        self._says.hide()
        self._open = False
        self._kinds = Line("cell", "", colour="pencil")
        self._verbs: dict[str, TextVerb] = {}
        self._kinds.hide()
        self.blank.typed.connect(self._suggest)
        below = QVBoxLayout()
        below.setContentsMargins(round(theme.px(BEFORE_PX)), round(theme.px(6)), 0, 0)
        below.addWidget(self._says)
        below.addWidget(self._kinds)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, round(theme.px(11)), 0, 0)
        column.setSpacing(0)
        column.addWidget(row)
        column.addLayout(below)

    def show_next(self, trial_id: str, number: int) -> None:
        """The number it would have; what is half typed stays."""
        self._number.set_items(str(number))
        self._writing.bind(f"{trial_id}:next_stage", "")

    def _verb(self, name: str) -> TextVerb:
        verb = TextVerb(STAGE_KINDS[name].label, self._kinds, role="cell", weight=400)
        verb.setObjectName(name)
        verb.clicked.connect(self._choose)
        return verb

    def set_open(self, is_open: bool) -> None:
        """Show the kinds while one is here."""
        if is_open != self._open:
            self._open = is_open
            self._suggest(self.blank.text())
            self._kinds.setVisible(is_open)

    @Slot(object)
    def _suggest(self, typed: str) -> None:
        """Leave the kinds that begin as typed; the verbs stay the same ones."""
        self._says.setVisible(self.blank.is_refused())
        if not self._verbs:
            self._verbs = {name: self._verb(name) for name in STAGE_KINDS}
        shown = kinds_beginning(typed)
        items: list[Item] = []
        for name, verb in self._verbs.items():
            verb.setVisible(name in shown)
            items += [verb, Run("   ")] if name in shown else [verb]
        self._kinds.set_items(items)

    @Slot()
    def _choose(self) -> None:
        kind, typed = self.sender().objectName(), self.blank.text()
        known = kind_and_rest(typed)
        begun = say(STAGE_KINDS[kind].label).casefold().startswith(typed.strip().casefold())
        rest = known[1] if known is not None else "" if begun else typed
        try:
            step = self._made(kind, rest)
        except Refused as refused:
            self._why = refused
            self.blank.refuse(refused, WAYS_OUT)
            self._tell(typed)
            return
        self._new_id = new_record(step, Stage).id
        if self._desk.take(step, clears_draft=self._writing.place) is None:
            self.blank.keep("")
            self.added.emit(self._new_id)

    def _step(self, typed: str) -> Step | None:
        self._new_id, self._why = "", None
        if not typed.strip():
            return None
        try:
            step = self._made(*_known(typed))
        except Refused as refused:
            self._why = refused
            raise
        self._new_id = new_record(step, Stage).id
        return step

    def _made(self, kind: str, rest: str) -> Step:
        book = self._desk.notebook
        additions, left = additions_in(rest)
        values = values_in(kind, left)
        if "end_feel" in values:
            values["end_feel"] = word_typed(book, values["end_feel"])
        step = add_stage(book, self._desk.trial_id, kind, values=values)
        return with_additions(step, additions) if additions else step

    @Slot(object)
    def _tell(self, typed: str) -> None:
        """Connected after the writing: the stage is there by now, or was refused in place."""
        if self._new_id and not self.blank.is_refused():
            self.added.emit(self._new_id)
        elif self.blank.is_refused() and self._why is not None:
            self._says.set_items([Run(self._why.message), Run(" "), Run(self._why.way_out)])
            self._says.show()


def _known(typed: str) -> tuple[str, str]:
    known = kind_and_rest(typed)
    if known is None:
        raise Refused(
            msg("“{typed}” is no kind of stage here. Not written.", typed=typed.strip()),
            field="stage.stage_kind",
            typed=typed,
            allowed=msg("one of the kinds below"),
            way_out=msg("Choose one below: what you wrote stands in it."),
        )
    return known

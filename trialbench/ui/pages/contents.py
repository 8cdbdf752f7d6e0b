"""Contents: every question the notebook holds, and what came of it; a word found in any line."""

from __future__ import annotations

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import QSizePolicy, QVBoxLayout, QWidget

from trialbench.model.margin import Margin
from trialbench.model.message import Message, msg, msg_n
from trialbench.model.records import Trial
from trialbench.model.steps import Step
from trialbench.notebook.views import cover, trials
from trialbench.ui import theme
from trialbench.ui.blanks import Blank
from trialbench.ui.choices import Choice
from trialbench.ui.contents_line import Chapter, ContentsLine
from trialbench.ui.leaf import Leaf
from trialbench.ui.page import Desk, Page
from trialbench.ui.pages.answers import Answers
from trialbench.ui.pages.contents_rows import ORDERS, Entry, Lines, entries
from trialbench.ui.pages.writing import Writing
from trialbench.ui.rows import Row
from trialbench.ui.text import Line
from trialbench.ui.values import Value
from trialbench.ui.verbs import TextVerb
from trialbench.ui.verbs_table import VerbEntry

_FIND_LEAST_PX = 150
_MOST_FOUND = 6
_MOST_IN_ALL = 40


class ContentsPage(Page):
    """The first page of the book. Typing in Find filters as one types."""

    key = "contents"
    title = msg("Contents")

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self._shown: tuple[object, ...] = ()
        self._entries: tuple[Entry, ...] = ()
        self._lines: dict[str, ContentsLine] = {}
        self._written = Lines()
        self._whole: set[str] = set()
        self._answers = Answers.of(desk)
        self._answers.changed.connect(self._show_entries)

    # --- the page ------------------------------------------------------------------------------

    def build(self, leaf: Leaf) -> None:
        leaf.set_title(self.title, msg("Every question this notebook holds, and what came of it."))
        leaf.set_verb("bring", msg("Bring in a trial"))
        leaf.set_verb("begin", msg("Begin a trial"))
        self._build_sentence(leaf)
        self._build_empty_line(leaf)
        self._list = QVBoxLayout()
        self._list.setSpacing(0)
        leaf.add(self._list)
        self._rest = Line("standing_sentence", "", colour="pencil")
        leaf.add(self._rest, space_px=14)
        name = Value(msg("Name of this notebook"), "", msg("a name"), role="contents_line")
        self._name = Writing(self.desk, name, "contents:name", self._name_it)
        self._called = Line(
            "contents_line", [msg("This notebook is called "), name, "."], colour="pencil"
        )
        leaf.add(self._called, space_px=14)

    def _build_sentence(self, leaf: Leaf) -> None:
        self._order = Choice(msg("Order of the contents"), ORDERS, self.desk.settings.text(
            "contents_order"), role="contents_line")  # fmt: skip
        self._order.committed.connect(self._reorder)
        self._find = Blank(
            msg("Find a word in any line"), "", msg("a word in any line"), role="contents_line",
            least_px=_FIND_LEAST_PX,
        )  # fmt: skip
        self._find.setProperty("liveFilter", True)
        self._find.typed.connect(self._look)
        self._sentence = Line("contents_line", "", colour="pencil")
        self._say_sentence()
        leaf.add(self._sentence, space_px=1)
        leaf.anchor("find", self._sentence)

    def _build_empty_line(self, leaf: Leaf) -> None:
        self._new = Blank(
            msg("A new trial: what you cook"), "", msg("What do you cook? Begin a trial here."),
            role="contents_line",
        )  # fmt: skip
        self._new.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self._writing = Writing(self.desk, self._new, "contents:new", self._begun_from_line)
        self._next = Line("contents_line", "", colour="pencil", align_right=True)
        self._empty = Row([(self._new, 0), (self._next, 36)])
        leaf.add(self._empty, space_px=4)
        leaf.anchor("new", self._empty)

    # --- what it shows -------------------------------------------------------------------------

    def refresh(self, kinds: frozenset[str]) -> None:
        last = max((t.number for t in trials(self.desk.notebook)), default=0)
        self._next.set_items(str(last + 1))
        self._writing.show("")
        self._new.setReadOnly(self.desk.notebook.read_only)
        self._empty.setVisible(not self._words())
        self._say_verbs()
        self._name.show(cover(self.desk.notebook).name)
        self._answers.ask()
        self._show_entries()

    def _say_verbs(self) -> None:
        why = msg("this window only reads") if self.desk.notebook.read_only else None
        assert self.leaf is not None
        self.leaf.set_verb("bring", msg("Bring in a trial"), why=why)
        self.leaf.set_verb("begin", msg("Begin a trial"), why=why)

    def _words(self) -> str:
        return " ".join(self._find.text().split())

    @Slot()
    def _show_entries(self) -> None:
        order, words = self._order.kept(), self._words()
        found = entries(self.desk.notebook, self._answers.answer, order, words, self._written)
        wanted = (order, words, found, frozenset(self._whole))
        if wanted == self._shown:
            return
        self._shown, self._entries = wanted, found
        self._fill()
        self._say_sentence()
        self._say_rest()
        self.desk.margin_changed.emit()

    def _fill(self) -> None:
        assert self.leaf is not None
        focused = next((key for key, line in self._lines.items() if line.hasFocus()), None)
        _empty(self._list)
        self._lines = {}
        chapter = None
        for entry in self._entries:
            if entry.chapter != chapter and self._order.kept() == "food":
                chapter = entry.chapter
                self._list.addWidget(Chapter(chapter))
            self._add_entry(entry)
        if focused in self._lines:
            self._lines[focused].setFocus(Qt.FocusReason.OtherFocusReason)

    def _add_entry(self, entry: Entry) -> None:
        assert self.leaf is not None
        line = ContentsLine(entry.question, str(entry.number), entry.answer, mark=self._words())
        line.setObjectName(entry.trial_id)
        line.clicked.connect(self._open)
        self._lines[entry.trial_id] = line
        self._list.addWidget(line)
        self.leaf.anchor(f"trial:{entry.trial_id}", line)
        self._add_found(entry)

    def _add_found(self, entry: Entry) -> None:
        if not entry.found:
            return
        from trialbench.ui.pages.found_lines import FoundLine

        most = max(1, min(_MOST_FOUND, _MOST_IN_ALL // len(self._entries)))
        whole = entry.trial_id in self._whole or len(entry.found) <= most + 1
        for found in entry.found if whole else entry.found[:most]:
            below = FoundLine(found, self._words())
            below.setObjectName(f"{entry.trial_id} {found.page}")
            below.clicked.connect(self._open_found)
            self._list.addWidget(below)
        if not whole:
            more = len(entry.found) - most
            rest = TextVerb(msg("{count} more lines of trial {number}", count=more,
                                number=entry.number), role="cell", weight=400)  # fmt: skip
            rest.setObjectName(entry.trial_id)
            rest.clicked.connect(self._show_whole)
            self._list.addWidget(Row([(QWidget(), 20), (rest, 0)]))
        self._list.addSpacing(round(theme.px(8)))

    def _say_sentence(self) -> None:
        items: list[object] = [msg("In order of "), self._order, msg(".  Find "), self._find]
        if self._words():
            lines = sum(len(entry.found) for entry in self._entries)
            many = len(trials(self.desk.notebook))
            found = msg_n("{count} trial", "{count} trials", len(self._entries))
            written = msg_n("{count} line", "{count} lines", lines)
            items.append(msg("  {trials}, {lines}. ", trials=found, lines=written))
            everything = TextVerb(
                msg("Show all {count}", count=many), role="contents_line", weight=500
            )
            everything.clicked.connect(self._show_all)
            items.append(everything)
        self._sentence.set_items(items)  # type: ignore[arg-type]

    def _say_rest(self) -> None:
        words, shown = self._words(), len(self._entries)
        rest = len(trials(self.desk.notebook)) - shown
        said: Message | str = ""
        if words and rest:
            said = msg_n("The other trial has no line with “{words}”.",
                         "The other {count} trials have no line with “{words}”.", rest,
                         words=words)  # fmt: skip
            if not shown:
                said = msg("No trial has a line with “{words}”.", words=words)
        self._rest.set_items(said)
        self._rest.setVisible(bool(said))

    # --- what is done --------------------------------------------------------------------------

    @Slot()
    def _show_whole(self) -> None:
        self._whole.add(self.sender().objectName())
        self._show_entries()

    @Slot(object)
    def _look(self, words: str) -> None:
        self._whole.clear()
        self._empty.setVisible(not self._words())
        self._find.keep(words)
        self._show_entries()

    @Slot()
    def _show_all(self) -> None:
        self._find.keep("")
        self._look("")
        self._find.setFocus(Qt.FocusReason.OtherFocusReason)

    @Slot(object)
    def _reorder(self, key: str) -> None:
        self.desk.settings.put("contents_order", key)
        self._order.keep(key)
        self._show_entries()

    @Slot()
    def _open(self) -> None:
        self._open_trial(self.sender().objectName())

    def _open_trial(self, trial_id: str) -> None:
        """A trial opens on the page where it stands."""
        from trialbench.ui.pages.where_next import page_to_open

        self.desk.go(page_to_open(self.desk.notebook, trial_id), trial_id)

    @Slot()
    def _open_found(self) -> None:
        trial_id, page = self.sender().objectName().split()
        self.desk.go(page, trial_id)

    def _begun_from_line(self, food: str) -> None:
        if food.strip():
            self._begin(food)

    def _name_it(self, typed: str) -> Step:
        from trialbench.notebook.acts.cover import name_notebook

        return name_notebook(self.desk.notebook, typed)

    def _begin(self, food: str = "") -> None:
        from trialbench.notebook.acts.question import begin_trial

        step = begin_trial(self.desk.notebook, food)
        trouble = self.desk.take(step, clears_draft="contents:new")
        if trouble is None:
            self._new.keep("")
            self.desk.go("question", _new_trial(step))

    def _bring(self) -> None:
        from trialbench.ui.pages.bringing_in import choose_package

        path = choose_package(self.leaf)
        if path:
            self._bring_in(path)

    def _bring_in(self, path: str) -> None:
        from trialbench.ui.pages.bringing_in import step_from

        step = step_from(self.desk, path)
        if step is not None and self.desk.take(step) is None:
            self._open_trial(_new_trial(step))

    def do(self, name: str, args: tuple[str, ...]) -> None:
        if name == "begin":
            self._begin()
        elif name == "bring":
            self._bring()
        elif name == "page":
            self.desk.go(*args)

    def verbs(self) -> tuple[VerbEntry, ...]:
        return (
            VerbEntry("begin", msg("Begin a trial"), self._begin, "Ctrl+N", self._only_reads),
            VerbEntry("bring", msg("Bring in a trial"), self._bring, "", self._only_reads),
            VerbEntry("find", msg("Find a word in any line"), self._focus_find, "Ctrl+F"),
        )

    def _only_reads(self) -> Message | None:
        return msg("this window only reads") if self.desk.notebook.read_only else None

    def _focus_find(self) -> None:
        self._find.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self._find.selectAll()

    # --- the margin ----------------------------------------------------------------------------

    def margin(self) -> Margin:
        from trialbench.ui.pages.contents_margin import margin_of_contents

        return margin_of_contents(self.desk.notebook, self._entries, self._words())


def _new_trial(step: Step) -> str:
    return next(c.record.id for c in step.changes if isinstance(c.record, Trial))


def _empty(layout: QVBoxLayout) -> None:
    while (item := layout.takeAt(0)) is not None:
        widget = item.widget()
        if widget is not None:
            widget.hide()
            widget.deleteLater()

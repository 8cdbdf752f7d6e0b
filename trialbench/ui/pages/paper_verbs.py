"""One line of a page that puts things on paper: what, and on which paper.

A paper is typeset on the worker from a snapshot; the page says what was written.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal, Slot

from trialbench.model.errors import TrialbenchError
from trialbench.model.message import Message, msg
from trialbench.model.records import Trial
from trialbench.ui.choices import Choice
from trialbench.ui.leaf import Leaf
from trialbench.ui.page import Desk
from trialbench.ui.pages.where_to import ask_where, file_stem
from trialbench.ui.runs import Item, Run
from trialbench.ui.text import Line
from trialbench.ui.verbs import TextVerb
from trialbench.ui.verbs_table import VerbEntry

if TYPE_CHECKING:
    from trialbench.report.papers.making import Wanted

PLAN, PLACES, WEIGHING, WEIGHING_WITHOUT = "plan", "places", "weighing", "weighing_without"
LABELS, CARDS, PLATES = "labels", "cards", "plates"

_SIZES = (("a4", msg("A4")), ("letter", msg("Letter")))
_WORDS: dict[str, Message] = {
    PLAN: msg("the plan"),
    PLACES: msg("which piece goes where"),
    WEIGHING: msg("the weighing list"),
    WEIGHING_WITHOUT: msg("the weighing list without methods"),
    LABELS: msg("codes to cut out"),
    CARDS: msg("the score cards"),
    PLATES: msg("the plate map"),
}
_VERBS: dict[str, Message] = {
    PLAN: msg("Put the plan on paper"),
    PLACES: msg("Put on paper which piece goes where"),
    WEIGHING: msg("Put the weighing list on paper"),
    WEIGHING_WITHOUT: msg("Put the weighing list without methods on paper"),
    LABELS: msg("Put codes to cut out on paper"),
    CARDS: msg("Put the score cards on paper"),
    PLATES: msg("Put the plate map on paper, for the server"),
}
_FILES: dict[str, str] = {
    PLAN: "plan",
    PLACES: "places",
    WEIGHING: "weighing",
    WEIGHING_WITHOUT: "weighing-without-methods",
    LABELS: "codes",
    CARDS: "score-cards",
    PLATES: "plate-map",
}
_KIND = msg("Page to print (*.pdf)")


class PaperVerbs(QObject):
    """The verbs of one page, in `line`. `changed()` when `said()` tells something else.

    `names` are papers. Set `sitting_id` for those of a sitting, `why` for why none can be made.
    """

    changed = Signal()

    def __init__(self, desk: Desk, names: Sequence[str]) -> None:
        super().__init__(desk)
        self._desk, self._names = desk, tuple(names)
        self.sitting_id = ""
        self.why: Message | None = None
        self._said: Message | None = None
        self._leaf: Leaf | None = None
        self._busy = False
        self.size = Choice(msg("which paper"), _SIZES, role="cell")
        self.size.committed.connect(self._keep_size)
        self.verbs = {name: self._verb(name) for name in self._names}
        self.line = Line("cell")
        self.line.lend(self.size, *self.verbs.values())
        self.show_line()

    def _verb(self, name: str) -> TextVerb:
        verb = TextVerb(_WORDS[name], role="cell", weight=500)
        verb.setObjectName(name)
        verb.clicked.connect(self._chosen)
        return verb

    # --- showing -------------------------------------------------------------------------------

    def show_line(self) -> None:
        """ "Put on A4 paper: the plan   the weighing list", and what became of it."""
        self.size.keep(self._desk.settings.text("paper_size"))
        items: list[Item] = [Run(msg("On paper"), weight=600), Run("   "), self.size]
        for verb in self.verbs.values():
            items += [Run("   "), verb]
        if self._said is not None:
            items += [Run("   "), Run(self._said, colour="pencil")]
        self.line.set_items(items)

    def said(self) -> Message | None:
        """What became of the last file, None before the first."""
        return self._said

    def say_in(self, leaf: Leaf) -> None:
        """The foot of this leaf says the whole path of what was written."""
        self._leaf = leaf

    def forget(self) -> None:
        """Say nothing more of the last file (another trial is open)."""
        if not self._busy and self._said is not None:
            self._say(None)

    def _say(self, said: Message | None) -> None:
        self._said = said
        self.show_line()
        self.changed.emit()

    # --- verbs ---------------------------------------------------------------------------------

    def entries(self) -> tuple[VerbEntry, ...]:
        """Rows for the Index; Ctrl+P goes to the line."""
        made = [
            VerbEntry(f"paper:{name}", _VERBS[name], _Put(self, name), why=self.why_not)
            for name in self._names
        ]
        return (VerbEntry("paper", msg("Put something on paper"), self.go, "Ctrl+P"), *made)

    def go(self) -> None:
        """The keyboard goes to the first of the papers."""
        next(iter(self.verbs.values())).setFocus()

    def why_not(self) -> Message | None:
        """Why no paper can be made now."""
        return msg("A file is being written.") if self._busy else self.why

    @Slot()
    def _chosen(self) -> None:
        self.put(self.sender().objectName())

    @Slot(object)
    def _keep_size(self, key: str) -> None:
        self._desk.settings.put("paper_size", key)
        self.show_line()

    def put(self, name: str) -> None:
        """Ask where to, and write the paper there."""
        path = self.where(name)
        if path is not None:
            self.write(name, path)

    def where(self, name: str) -> Path | None:
        """Where the cook wants it; None where it cannot be made or nothing was chosen."""
        why = self.why_not()
        if why is not None:
            self._say(why)
            return None
        trial = self._desk.notebook.get(Trial, self._desk.trial_id)
        try:
            return ask_where(
                self.line.window(), self._desk.settings,
                file_stem(trial, _FILES[name]) + ".pdf", _KIND,
            )  # fmt: skip
        except TrialbenchError as trouble:
            self._desk.trouble.emit(trouble)
            return None

    def write(
        self, name: str, path: Path, piece_of: Mapping[str, str | None] | None = None
    ) -> None:
        """Write it on the worker; `piece_of` is the key, for the plate map."""
        from trialbench.report.papers.making import Wanted

        size = self._desk.settings.text("paper_size")
        wanted = Wanted(name, size, self.sitting_id, piece_of)
        self._busy = True
        self._say(msg("Writing {file}.", file=path.name))
        work = _Write(self._desk.notebook.snapshot(), self._desk.trial_id, wanted, path)
        self._desk.background.ask("paper", work, self._take, trouble=self._fail)

    @Slot(object)
    def _take(self, path: Path) -> None:
        self._busy = False
        self._say(msg("Written: {file}", file=path.name))
        if self._leaf is not None:
            # Taking back would take the last step back, not the file: it is not offered here.
            self._leaf.set_written(msg("Put on paper: {file}", file=str(path)))

    @Slot(object)
    def _fail(self, trouble: Exception) -> None:
        self._busy = False
        self._say(None)
        if not isinstance(trouble, TrialbenchError):
            raise trouble
        self._desk.trouble.emit(trouble)


class _Put:
    """Puts one paper where the cook wants it."""

    def __init__(self, verbs: PaperVerbs, name: str) -> None:
        self._verbs, self._name = verbs, name

    def __call__(self) -> None:
        self._verbs.put(self._name)


class _Write:
    """What the worker does."""

    def __init__(self, records: object, trial_id: str, wanted: Wanted, path: Path) -> None:
        self._records, self._trial_id = records, trial_id
        self._wanted, self._path = wanted, path

    def __call__(self) -> Path:
        from trialbench.findings.snapshot import records_of
        from trialbench.report.papers.making import paper_bytes
        from trialbench.report.writing import write_file

        own = records_of(self._records, self._trial_id)  # type: ignore[arg-type]
        return write_file(self._path, paper_bytes(own, self._wanted))

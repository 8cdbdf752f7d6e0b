"""What a page is: a part of the book that fills a leaf, and what it may ask of the desk."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import QObject, Signal

from trialbench.model.errors import FileTrouble, TrialbenchError
from trialbench.model.margin import Margin
from trialbench.model.message import Message
from trialbench.model.steps import Step
from trialbench.ui.background import Background
from trialbench.ui.history import History
from trialbench.ui.leaf import Leaf
from trialbench.ui.settings import Settings
from trialbench.ui.signs import Stitch
from trialbench.ui.verbs_table import VerbEntry


class Desk(QObject):
    """What every page works with. Pages change the notebook only through `take`."""

    wants_page = Signal(object)
    trouble = Signal(object)
    margin_changed = Signal()

    def __init__(
        self,
        notebook: Any,
        history: History,
        background: Background,
        settings: Settings,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self.notebook = notebook
        self.history = history
        self.background = background
        self.settings = settings
        self.trial_id = ""

    def take(self, step: Step, clears_draft: str | None = None) -> TrialbenchError | None:
        """Take a step, and clear the draft it came from. What was refused comes back for the page
        to show in place; trouble with the file is shown over the page and comes back too."""
        try:
            self.history.take(step, clears_draft)
        except TrialbenchError as trouble:
            if isinstance(trouble, FileTrouble):
                self.trouble.emit(trouble)
            return trouble
        return None

    def write_draft(self, place: str, text: str | None) -> None:
        """Keep what is being typed at `place`; None forgets it. Trouble is shown over the page."""
        if self.notebook.read_only:
            return
        try:
            if text is None:
                self.notebook.clear_draft(place)
            else:
                self.notebook.write_draft(place, text)
        except FileTrouble as trouble:
            self.trouble.emit(trouble)

    def pass_barrier(self, act: Callable[[], object]) -> TrialbenchError | None:
        """Run what seals or opens (`notebook.seal_key` ...); nothing before it can be taken back.
        Trouble as in `take`."""
        try:
            act()
        except TrialbenchError as trouble:
            if isinstance(trouble, FileTrouble):
                self.trouble.emit(trouble)
            return trouble
        self.history.forget()
        return None

    def go(self, key: str, trial_id: str | None = None) -> None:
        """Open a page ("plan"), of another trial when `trial_id` is given."""
        self.wants_page.emit((key, self.trial_id if trial_id is None else trial_id))


class Page(QObject):
    """One page. The window makes it when it is first opened and gives it a leaf of its own.

    Subclasses set `key` and `title` and fill the four methods below. A page keeps no records: it
    reads them from `desk.notebook` in `refresh`.
    """

    key = ""
    title: Message | str = ""

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self.desk = desk
        self.leaf: Leaf | None = None

    def build(self, leaf: Leaf) -> None:
        """Make the parts, once. `leaf.add`, `leaf.set_verb`, `leaf.anchor`."""
        raise NotImplementedError

    def refresh(self, kinds: frozenset[str]) -> None:
        """Records of these kinds have changed; an empty set means: show everything afresh."""
        raise NotImplementedError

    def margin(self) -> Margin:
        """What the margin says of this page now. Must be quick: long reckoning goes to
        `desk.background` and comes back through `desk.margin_changed`."""
        return Margin(Message(""))

    def do(self, name: str, args: tuple[str, ...]) -> None:
        """A verb of the head or of a note was chosen."""

    def verbs(self) -> tuple[VerbEntry, ...]:
        """Verbs for the Index and their keys, while this page is open."""
        return ()

    def foot(self) -> Message | str | None:
        """What the foot says instead of "Last written ..."; None leaves it to the window."""
        return None


@dataclass(frozen=True, slots=True)
class PageEntry:
    """A row of the page table. `number` is the Ctrl key and, from 1 on, the page number; pages
    with None (second leaves, the Index) are reached by name. `state` gives the spine's two words
    and the stitch without the page being made; `of` is the numbered page a second leaf belongs to.
    """

    key: str
    number: int | None
    name: Message
    make: Callable[[Desk], Page]
    state: Callable[[Any, str], tuple[Message | str, Stitch]] = lambda notebook, trial: ("", "none")
    of: str = ""

"""The Tasting page's papers: score cards and codes for the table, the plate map for the server.

The plate map holds the key. While the key is sealed it is put on paper by whoever holds its verb
down for two seconds (and has the passphrase, where there is one), and the look is written down.
"""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QVBoxLayout, QWidget

from trialbench.model.message import Message, msg
from trialbench.model.records import Sitting
from trialbench.planning.key import read_key
from trialbench.ui import theme
from trialbench.ui.held_verb import HeldVerb
from trialbench.ui.page import Desk
from trialbench.ui.pages.paper_verbs import CARDS, LABELS, PLATES, PaperVerbs
from trialbench.ui.runs import Run
from trialbench.ui.text import Line
from trialbench.ui.verbs_table import VerbEntry


class TastingPapers(QWidget):
    """Under the key: what goes on paper once there are codes. `passphrase` gives what is typed."""

    def __init__(self, desk: Desk, passphrase: Callable[[], str]) -> None:
        super().__init__()
        self._desk, self._passphrase = desk, passphrase
        self._sitting: Sitting | None = None
        self.papers = PaperVerbs(desk, (CARDS, LABELS))
        self.plates = HeldVerb(msg("Put the plate map on paper, for the server"))
        self.plates.held.connect(self._held)
        self.trouble = Line("cell")
        self.trouble.hide()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(round(theme.px(6)))
        column.addWidget(self.papers.line)
        column.addWidget(self.plates)
        column.addWidget(self.trouble)

    def show_sitting(self, sitting: Sitting | None) -> None:
        """Away until the sitting has codes."""
        if self._sitting is None or sitting is None or self._sitting.id != sitting.id:
            self.papers.forget()
            self._say(None)
        self._sitting = sitting
        has_codes = sitting is not None and sitting.key_state != "none"
        self.papers.sitting_id = sitting.id if sitting is not None else ""
        self.papers.why = None if has_codes else msg("There are no codes yet.")
        self.setVisible(has_codes)

    def verbs(self) -> tuple[VerbEntry, ...]:
        """Rows for the Index."""
        hold = VerbEntry("paper:plates", msg("Put the plate map on paper, for the server"),
                         self.plates.setFocus, why=self.papers.why_not)  # fmt: skip
        return (*self.papers.entries(), hold)

    def _say(self, said: Message | str | None) -> None:
        self.trouble.setVisible(said is not None)
        self.trouble.set_items([Run(said)] if said is not None else "")

    @Slot()
    def _held(self) -> None:
        """Where to, then the key, then the page: a look is written down only when it is taken."""
        sitting, book = self._sitting, self._desk.notebook
        assert sitting is not None
        self._say(None)
        path = self.papers.where(PLATES)
        if path is None:
            return
        if sitting.key_state == "open":
            self.papers.write(PLATES, path)
            return
        found: list[bytes] = []
        word = self._passphrase() or None
        trouble = self._desk.pass_barrier(
            lambda: found.append(book.key_for_server(sitting.id, word, printed=True))
        )
        if trouble is not None:
            self._say(trouble.message)
            return
        piece_of = read_key(found[0], sitting.key_fingerprint).piece_of
        self._say(msg("For the server alone, who does not taste. The look is noted."))
        self.papers.write(PLATES, path, piece_of)

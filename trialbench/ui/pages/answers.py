"""What came of each trial in a few words: reckoned off the desk, kept until its records change."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QObject, Signal, Slot

from trialbench.model.message import Message
from trialbench.notebook.views import has_finding, trials
from trialbench.ui.page import Desk

Known = dict[str, tuple[int, Message]]
_SUBJECT = "answers of the contents"


class Answers(QObject):
    """One for a desk (`Answers.of(desk)`). `changed()` when an answer came."""

    changed = Signal()

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self._desk = desk
        self._known: Known = {}
        self._asked_at: Any = None

    @staticmethod
    def of(desk: Desk) -> Answers:
        """The answers of this desk, made when they are first wanted."""
        found = desk.findChild(Answers)
        return found if isinstance(found, Answers) else Answers(desk)

    def answer(self, trial_id: str) -> Message | None:
        """The finding in its short form as last reckoned, None while nothing is known."""
        known = self._known.get(trial_id)
        return known[1] if known else None

    def ask(self) -> None:
        """Have what changed since the last time reckoned anew."""
        notebook = self._desk.notebook
        if notebook.last_written == self._asked_at:
            return
        self._asked_at = notebook.last_written
        wanted = [t.id for t in trials(notebook) if has_finding(notebook, t.id)]
        if not wanted:
            return
        records, known = notebook.snapshot(), dict(self._known)
        self._desk.background.ask(
            _SUBJECT, lambda: reckoned(records, wanted, known), self._take, trouble=self._fail
        )

    @Slot(object)
    def _take(self, known: Known) -> None:
        if known != self._known:
            self._known = known
            self.changed.emit()

    @Slot(object)
    def _fail(self, trouble: Exception) -> None:
        """A finding that cannot be reckoned says so on its own page; the contents stay without."""


def reckoned(records: Any, wanted: list[str], known: Known) -> Known:
    """The short form of each wanted trial; those whose records are as before are not reckoned."""
    from trialbench.findings.snapshot import records_of

    found: Known = {}
    for trial_id in wanted:
        own = records_of(records, trial_id)
        state = hash(own.records.as_set())
        before = known.get(trial_id)
        if before is not None and before[0] == state:
            found[trial_id] = before
            continue
        said = _short_form(own)
        if said is not None:
            found[trial_id] = (state, said)
    return found


def _short_form(own: Any) -> Message | None:
    from trialbench.findings.of_trial import reckon_trial
    from trialbench.findings.wording import short_form

    found = reckon_trial(own)
    if found.deciding is None:
        return None
    return short_form(found.deciding, found.names_of(found.deciding.outcome))

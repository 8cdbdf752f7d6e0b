"""What a trial supports, reckoned off the desk: one answer for Findings, its second leaf, the note.

Records are read on the main thread and handed over as a snapshot; the latest question wins.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject, Signal, Slot

from trialbench.model.margin import Margin
from trialbench.model.records import Trial
from trialbench.notebook.clock import local_time
from trialbench.ui.page import Desk

if TYPE_CHECKING:
    from trialbench.findings.snapshot import TrialRecords
    from trialbench.findings.trial_finding import TrialFinding
    from trialbench.report.note import RecipeNote

_KEPT = 8


@dataclass(frozen=True, slots=True)
class Reckoned:
    """What was reckoned from records whose hash is `state`: the finding, its note, its margin.

    `time` is the kitchen's own, "15:12".
    """

    state: int
    records: TrialRecords
    found: TrialFinding
    note: RecipeNote
    margin: Margin
    time: str


class Reckoning(QObject):
    """One for a desk (`Reckoning.of(desk)`). `changed()` when an answer came or became old."""

    changed = Signal()

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self._desk = desk
        self._known: dict[str, Reckoned] = {}
        self._fresh: dict[str, int] = {}
        self._asked: tuple[str, int] | None = None

    @staticmethod
    def of(desk: Desk) -> Reckoning:
        """The reckoning of this desk, made when it is first wanted."""
        found = desk.findChild(Reckoning)
        return found if isinstance(found, Reckoning) else Reckoning(desk)

    def answer(self, trial_id: str) -> Reckoned | None:
        """What was reckoned last for a trial, fresh or not."""
        return self._known.get(trial_id)

    def is_fresh(self, trial_id: str) -> bool:
        """Whether nothing was written since that was reckoned."""
        return self._fresh.get(trial_id) == self._version()

    def is_asked(self) -> bool:
        """Whether an answer is on its way."""
        return self._asked is not None

    def ask(self, trial_id: str) -> None:
        """Have a trial reckoned anew where anything was written since the last time."""
        wanted = (trial_id, self._version())
        if self._fresh.get(trial_id) == wanted[1] or self._asked == wanted:
            return
        if self._desk.notebook.find(Trial, trial_id) is None:
            return
        self._asked = wanted
        work = _Work(self._desk.notebook, trial_id, self._known.get(trial_id))
        self._desk.background.ask("finding", work, _Answer(self, wanted), trouble=self._fail)
        self.changed.emit()

    @Slot()
    def stop(self) -> None:
        """The answer is no longer waited for; what was known stays, as old as it is."""
        self._desk.background.stop("finding")
        self._asked = None
        self.changed.emit()

    def take(self, wanted: tuple[str, int], reckoned: Reckoned) -> None:
        """An answer has come."""
        trial_id, version = wanted
        self._asked = None
        self._known.pop(trial_id, None)
        self._known[trial_id] = reckoned
        self._fresh[trial_id] = version
        while len(self._known) > _KEPT:
            del self._known[next(iter(self._known))]
        self.changed.emit()

    @Slot(object)
    def _fail(self, trouble: Exception) -> None:
        self._asked = None
        raise trouble

    def _version(self) -> int:
        """The newest row of history: it grows with every step."""
        newest = self._desk.notebook.history(limit=1)
        return newest[0].number if newest else 0


class _Answer:
    """Brings an answer home to the question it belongs to."""

    def __init__(self, reckoning: Reckoning, wanted: tuple[str, int]) -> None:
        self._reckoning, self._wanted = reckoning, wanted

    def __call__(self, reckoned: Reckoned) -> None:
        self._reckoning.take(self._wanted, reckoned)


class _Work:
    """What the worker does: a snapshot in, plain values out; nothing where nothing has changed."""

    def __init__(self, notebook: Any, trial_id: str, before: Reckoned | None) -> None:
        self._records, self._now = notebook.snapshot(), notebook.now()
        self._trial_id, self._before = trial_id, before

    def __call__(self) -> Reckoned:
        from trialbench.findings.of_trial import reckon_trial
        from trialbench.findings.snapshot import records_of
        from trialbench.report.note import recipe_note
        from trialbench.ui.pages.findings_margin import margin_of_findings

        own = records_of(self._records, self._trial_id)
        state = hash(own.records.as_set())
        if self._before is not None and self._before.state == state:
            return self._before
        found = reckon_trial(own)
        note = recipe_note(own, found)
        time = f"{local_time(self._now.utc, self._now.offset_min):%H:%M}"
        return Reckoned(state, own, found, note, margin_of_findings(own, found), time)

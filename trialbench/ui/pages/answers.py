"""What came of each trial in a few words: reckoned off the desk, kept until its records change."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject, Signal, Slot

from trialbench.model.message import Message
from trialbench.model.records import Trial
from trialbench.notebook.views import has_finding, trials
from trialbench.ui.page import Desk

if TYPE_CHECKING:
    from trialbench.findings.several_finding import SeveralFinding
    from trialbench.planning.question_margin import OwnNoise


@dataclass(frozen=True, slots=True)
class Known:
    """What was reckoned for a trial whose records had the hash `state`.

    `gap` is how far its two methods came out apart in the outcome that decides.
    """

    state: int
    said: Message
    gap: float | None
    outcome: str


_SUBJECT = "answers of the contents"


class Answers(QObject):
    """One for a desk (`Answers.of(desk)`). `changed()` when an answer came."""

    changed = Signal()

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self._desk = desk
        self._known: dict[str, Known] = {}
        self._asked_at: Any = None

    @staticmethod
    def of(desk: Desk) -> Answers:
        """The answers of this desk, made when they are first wanted."""
        found = desk.findChild(Answers)
        return found if isinstance(found, Answers) else Answers(desk)

    def answer(self, trial_id: str) -> Message | None:
        """The finding in its short form as last reckoned, None while nothing is known."""
        known = self._known.get(trial_id)
        return known.said if known else None

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

    def own_noise(self, trial: Trial) -> OwnNoise | None:
        """What one recipe cooked twice showed: the latest such trial, invented beside invented."""
        from trialbench.planning.question_margin import OwnNoise

        for other in reversed(trials(self._desk.notebook)):
            known = self._known.get(other.id)
            twin = other.question == "same_recipe" and other.invented == trial.invented
            if twin and other.id != trial.id and known is not None and known.gap is not None:
                return OwnNoise(other.id, other.number, abs(known.gap), known.outcome)
        return None

    @Slot(object)
    def _take(self, known: dict[str, Known]) -> None:
        if known != self._known:
            self._known = known
            self.changed.emit()

    @Slot(object)
    def _fail(self, trouble: Exception) -> None:
        """A finding that cannot be reckoned says so on its own page; the contents stay without."""


def reckoned(records: Any, wanted: list[str], known: dict[str, Known]) -> dict[str, Known]:
    """The short form of each wanted trial; those whose records are as before are not reckoned."""
    from trialbench.findings.snapshot import records_of

    found: dict[str, Known] = {}
    for trial_id in wanted:
        own = records_of(records, trial_id)
        state = hash(own.records.as_set())
        before = known.get(trial_id)
        if before is None or before.state != state:
            before = _reckon(own, state)
        if before is not None:
            found[trial_id] = before
    return found


def _reckon(own: Any, state: int) -> Known | None:
    from trialbench.findings import wording_several
    from trialbench.findings.of_trial import reckon_trial
    from trialbench.findings.wording import short_form

    found = reckon_trial(own)
    several = found.several
    if several is not None:
        said = wording_several.short_form(several, found.names_of(several.outcome))
        return Known(state, said, _widest(several), several.outcome)
    decides = found.deciding
    if decides is None:
        return None
    said = short_form(decides, found.names_of(decides.outcome))
    return Known(state, said, decides.comparison.estimate, decides.outcome)


def _widest(several: SeveralFinding) -> float | None:
    """The widest gap between any two means, of one recipe cooked several times."""
    means = [each.mean for each in several.means]
    return max(means) - min(means) if len(means) > 1 else None

"""What came of each trial in a few words: reckoned off the desk, kept until its records change."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject, Signal, Slot

from trialbench.model.message import Message, msg, say
from trialbench.model.records import Outcome, Trial
from trialbench.notebook.views import deciding, has_finding, range_of, trials
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
        """What one recipe cooked twice showed, invented beside invented: the latest such trial
        with this trial's attribute, else with its scale, else any."""
        book = self._desk.notebook
        decides = deciding(book, trial.id)
        found = [
            (other, known, deciding(book, other.id))
            for other in trials(book)
            if other.question == "same_recipe" and other.invented == trial.invented
            if (known := self._known.get(other.id)) is not None and known.gap is not None
            if other.id != trial.id
        ]
        if not found:
            return None
        other, known, seen = max(
            found, key=lambda each: (*_likeness(each[2], decides), each[0].number)
        )
        return _noise(other, known, seen, decides)

    def ask_noise(self) -> None:
        """Have it reckoned where one recipe was cooked twice."""
        book = self._desk.notebook
        if any(t.question == "same_recipe" and has_finding(book, t.id) for t in trials(book)):
            self.ask()

    @Slot(object)
    def _take(self, known: dict[str, Known]) -> None:
        if known != self._known:
            self._known = known
            self.changed.emit()

    @Slot(object)
    def _fail(self, trouble: Exception) -> None:
        """A finding that cannot be reckoned says so on its own page; the contents stay without."""


def _measure(outcome: Outcome | None) -> object:
    return None if outcome is None else (outcome.source, outcome.unit, range_of(outcome))


def _likeness(seen: Outcome | None, decides: Outcome | None) -> tuple[bool, bool]:
    """Whether the scale is this trial's, and whether the attribute is."""
    same = seen is not None and decides is not None and _measure(seen) == _measure(decides)
    return same, same and seen is not None and decides is not None and seen.name == decides.name


def _noise(other: Trial, known: Known, seen: Outcome | None, decides: Outcome | None) -> OwnNoise:
    from trialbench.planning.question_margin import OwnNoise
    from trialbench.planning.spread import unit_words

    unit = unit_words(seen) if seen is not None else msg("points")
    limits, scale = (range_of(seen) if seen is not None else None), ""
    if decides is not None and _measure(seen) != _measure(decides):
        scale = f"{seen.source} in {seen.unit}" if seen is not None else ""
        if limits is not None and limits.low is not None and limits.high is not None:
            scale = say(msg("{low} to {high}", low=f"{limits.low:g}", high=f"{limits.high:g}"))
    return OwnNoise(other.id, other.number, abs(known.gap or 0.0), known.outcome, unit, scale)


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

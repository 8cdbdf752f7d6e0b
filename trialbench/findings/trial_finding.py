"""All that one trial supports, as plain values: what Findings, Recipe note and reports show."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from trialbench.findings.finding import Comparison, Family, Finding, OtherOutcome
from trialbench.findings.phrases import Names
from trialbench.findings.several_finding import SeveralFinding
from trialbench.model.message import Message


@dataclass(frozen=True, slots=True)
class MissingNumbers:
    """Numbers of one outcome and method that are not there; `reason` "" when none was written."""

    outcome: str
    method: str
    reason: str
    count: int


@dataclass(frozen=True, slots=True)
class OtherAnswer:
    """The deciding outcome reckoned the other way about what was set aside.

    "without": it was set aside with a key open, so the headline keeps it and this answer goes
    without it. "with": it was set aside before any key was open, so the headline goes without it.
    `subjects` pairs each piece or taster with the reason written.
    """

    way: Literal["without", "with"]
    subjects: tuple[tuple[str, str], ...]
    finding: Finding


@dataclass(frozen=True, slots=True)
class OtherSeveralAnswer:
    """As `OtherAnswer`, of a trial of three methods or more."""

    way: Literal["without", "with"]
    subjects: tuple[tuple[str, str], ...]
    finding: SeveralFinding


@dataclass(frozen=True, slots=True)
class TrialFinding:
    """Everything reckoned for one trial.

    A trial of two methods has a `family`, one of three or more has `several`; both are None while
    nothing can be reckoned, and `why_nothing` says why. `names` pairs each
    outcome with how it and the methods are called. `cook_dates` pairs each cook day with its date.
    `not_reckoned` pairs outcomes without an interval with the reason. `planned_cooks` is what was
    sealed (None: the plan was not sealed).
    """

    trial_id: str
    family: Family | None
    names: tuple[tuple[str, Names], ...]
    why_nothing: Message | None = None
    other_answers: tuple[OtherAnswer, ...] = ()
    missing: tuple[MissingNumbers, ...] = ()
    not_reckoned: tuple[tuple[str, str], ...] = ()
    cautions: tuple[Message, ...] = ()
    cook_dates: tuple[tuple[str, str], ...] = ()
    planned_cooks: int | None = None
    cooks_opened: int = 0
    several: SeveralFinding | None = None
    other_several: tuple[OtherSeveralAnswer, ...] = ()

    @property
    def deciding(self) -> Finding | None:
        """The finding of two methods in the outcome that decides."""
        return self.family.deciding if self.family else None

    @property
    def others(self) -> tuple[OtherOutcome, ...]:
        """What else we looked at."""
        return self.family.others if self.family else ()

    def names_of(self, outcome: str) -> Names:
        """How the outcome and the methods are called. Raises KeyError for an unknown outcome."""
        return dict(self.names)[outcome]

    @property
    def waiting(self) -> bool:
        """Whether sealed cook days are still to come, or more came than were planned: no case."""
        if self.several is not None:
            return self.several.waiting
        return self.deciding is not None and self.deciding.waiting

    @property
    def favours(self) -> str | None:
        """The method that came out ahead, where one did: the letter a note is written for."""
        if self.several is not None:
            return self.several.ahead
        return self.deciding.favours if self.deciding else None

    @property
    def spoken(self) -> bool:
        """Whether anything was reckoned."""
        return self.family is not None or self.several is not None

    def rows(self) -> tuple[tuple[str, Comparison], ...]:
        """Outcome and comparison for the table: the deciding one first."""
        if self.family is None:
            return ()
        first = (self.family.deciding.outcome, self.family.deciding.comparison)
        return (first, *((other.outcome, other.comparison) for other in self.family.others))

"""The records of one trial, unmoved by later steps: for the engine, reports and packages.

The file belongs to the main thread; a snapshot belongs to whoever has it. It answers the questions
of `trialbench.notebook.views` as the open notebook does.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from trialbench.model.errors import TrialbenchError
from trialbench.model.message import Message, msg
from trialbench.model.records import KINDS, Cover, Record, Trial
from trialbench.model.steps import added
from trialbench.notebook.records_read import R, Reads, Records
from trialbench.notebook.views.on_paper import OneTrial


class NoSuchTrial(TrialbenchError):
    """The notebook or package has no such trial; the message lists those it has."""


@dataclass(frozen=True)
class TrialRecords:
    """One trial, everything that belongs to it, and the notebook's cover.

    Tasters are those who sat at it.
    """

    trial: Trial
    records: Records

    def get(self, kind: type[R], identity: str) -> R:
        """The record. Raises KeyError when there is none."""
        return self.records.get(kind, identity)

    def find(self, kind: type[R], identity: str | None) -> R | None:
        """The record, or None."""
        return self.records.find(kind, identity)

    def all(self, kind: type[R], **equals: Any) -> tuple[R, ...]:
        """The records whose fields equal `equals`, in natural order."""
        return self.records.all(kind, **equals)

    def of(self, kind: type[R]) -> tuple[R, ...]:
        """The records of one kind in natural order."""
        return self.records.all(kind)


def trial_records(records: Iterable[Record], trial_id: str) -> TrialRecords:
    """A snapshot over records that all belong to one trial, with a plain cover where it has none.

    Raises KeyError without the trial.
    """
    found = Records(records)
    trial = found.get(Trial, trial_id)
    if not found.all(Cover):
        found.apply(added(Cover("cover", trial.food, trial.begun_utc)))
    return TrialRecords(trial, found)


def records_of(book: Reads, trial_id: str) -> TrialRecords:
    """Everything in a notebook or package that belongs to one trial. Raises NoSuchTrial."""
    if book.find(Trial, trial_id) is None:
        raise NoSuchTrial(_no_trial(book, trial_id))
    one = OneTrial(book, trial_id)
    own = [record for kind in KINDS if kind is not Cover for record in one.of(kind)]
    return trial_records([*book.all(Cover), *own], trial_id)


def trial_named(book: Reads, name: str | None) -> Trial:
    """The trial of this number or id; the only one where `name` is None. Raises NoSuchTrial."""
    trials = book.all(Trial)
    if name is None and len(trials) == 1:
        return trials[0]
    named = [t for t in trials if name is not None and name in (str(t.number), t.id)]
    if len(named) != 1:
        raise NoSuchTrial(_no_trial(book, name))
    return named[0]


def _no_trial(book: Reads, name: str | None) -> Message:
    known = ", ".join(f"{t.number} {t.food}" for t in book.all(Trial)) or "\u2013"
    if name is None:
        return msg("Name one of the trials here: {known}.", known=known)
    return msg("There is no trial {name} here. There are: {known}.", name=name, known=known)

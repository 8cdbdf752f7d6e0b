"""Writing down an invented trial: records with ids that are the same at every building."""

from __future__ import annotations

import uuid
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta, timezone
from typing import Any, TypeVar

from trialbench.findings.snapshot import TrialRecords, records_of
from trialbench.model.records import Cook, Piece, Record, Taster, Trial
from trialbench.model.steps import Change
from trialbench.notebook.clock import Moment
from trialbench.notebook.records_read import Records

R = TypeVar("R", bound=Record)
_NAMESPACE = uuid.uuid5(uuid.NAMESPACE_URL, "urn:trialbench:example-trials")
SUMMER_TIME = date(2026, 3, 29)


def fixed_id(*names: object) -> str:
    """An id made from names, so that building again gives the same file."""
    return uuid.uuid5(_NAMESPACE, "/".join(str(name) for name in names)).hex


def offset_min(day: date) -> int:
    """Minutes the kitchen's clock is ahead of UTC: one hour, two in summer."""
    return 120 if day >= SUMMER_TIME else 60


def utc(day: date, clock: str) -> str:
    """The UTC instant of a kitchen clock time "18:40" on a day."""
    hour, minute = (int(part) for part in clock.split(":"))
    zone = timezone(timedelta(minutes=offset_min(day)))
    local = datetime(day.year, day.month, day.day, hour, minute, tzinfo=zone)
    return local.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%S.000Z")


def moment(day: date, clock: str) -> Moment:
    """The same instant with the kitchen's offset."""
    return Moment(utc(day, clock), offset_min(day))


@dataclass(frozen=True)
class Weighing:
    """Mean masses at one checkpoint by method letter, and the spread of single pieces, in g."""

    checkpoint: str
    means: dict[str, float]
    sd: float


class Draft:
    """An example trial while it is written. `slug` is its folder and the root of its ids."""

    def __init__(self, slug: str) -> None:
        self.slug = slug
        self._records = Records()

    def id(self, *names: object) -> str:
        """A fixed id within this trial."""
        return fixed_id(self.slug, *names)

    def write(self, record: R) -> R:
        """Write a new record, or the same one anew in its place."""
        self._records.apply([Change(self._records.find(type(record), record.id), record)])
        return record

    def all(self, kind: type[R], **equals: Any) -> tuple[R, ...]:
        """All records of one kind so far."""
        return self._records.all(kind, **equals)

    def get(self, kind: type[R], identity: str) -> R:
        """One record."""
        return self._records.get(kind, identity)

    def find(self, kind: type[R], identity: str | None) -> R | None:
        """One record, or None."""
        return self._records.find(kind, identity)

    @property
    def trial(self) -> Trial:
        """The trial's own record."""
        return self.all(Trial)[0]

    def records(self) -> TrialRecords:
        """What was written so far, as a snapshot."""
        return records_of(self, self.trial.id)

    def cooks(self) -> list[Cook]:
        """The cook days in order."""
        return list(self.all(Cook))

    def pieces(self, cook: Cook) -> list[Piece]:
        """The pieces of one cook day in order."""
        return list(self.all(Piece, cook_id=cook.id))

    def taster(self, number: int) -> Taster:
        """Taster 1, 2, ...: the same person's alias in every example trial."""
        alias = f"Taster {number}"
        return self.write(Taster(fixed_id("taster", number), alias, number))

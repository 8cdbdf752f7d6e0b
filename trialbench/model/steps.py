"""All change is a step: a label, an origin, and a tuple of (before, after)."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from trialbench.model.message import Message
from trialbench.model.records import Record

Origin = Literal["desk", "phone", "import", "timer"]


@dataclass(frozen=True, slots=True)
class Change:
    """One record before and after: None before is new, None after is removed."""

    before: Record | None
    after: Record | None

    def __post_init__(self) -> None:
        if self.before is None and self.after is None:
            raise ValueError("a change needs a record before or after")
        if self.before is not None and self.after is not None:
            same = type(self.before) is type(self.after) and self.before.id == self.after.id
            if not same:
                raise ValueError("before and after must be one record")

    @property
    def record(self) -> Record:
        """The record after, or the one removed."""
        found = self.after if self.after is not None else self.before
        assert found is not None
        return found

    def reversed(self) -> Change:
        """The change that takes this one back."""
        return Change(self.after, self.before)


@dataclass(frozen=True, slots=True)
class Step:
    """What one act of the cook does: one transaction, one line of the diary.

    `barrier` steps (sealing, opening a key) cannot be taken back. Steps with the same non-empty
    `burst` may be taken back together (typing in one field).
    """

    label: Message
    changes: tuple[Change, ...]
    origin: Origin = "desk"
    barrier: bool = False
    burst: str = ""

    @property
    def kinds(self) -> frozenset[str]:
        """The record kinds that change."""
        return frozenset(change.record.kind for change in self.changes)

    def reversed(self, label: Message) -> Step:
        """The step that takes this one back."""
        back = tuple(change.reversed() for change in reversed(self.changes))
        return replace(self, label=label, changes=back, burst="")


def added(*records: Record) -> tuple[Change, ...]:
    """Changes that write new records."""
    return tuple(Change(None, record) for record in records)


def removed(*records: Record) -> tuple[Change, ...]:
    """Changes that remove records."""
    return tuple(Change(record, None) for record in records)

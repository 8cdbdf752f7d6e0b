"""What every record has: an id, a kind, and values by field."""

from __future__ import annotations

import uuid
from dataclasses import dataclass, fields
from typing import ClassVar


def new_id() -> str:
    """A globally unique id."""
    return uuid.uuid4().hex


@dataclass(frozen=True, slots=True)
class Record:
    """What every record has. `kind` names its table."""

    kind: ClassVar[str] = ""
    id: str

    def values(self) -> dict[str, str | int | float | bool | None]:
        """Field name to value, in the order of the table's columns."""
        return {f.name: getattr(self, f.name) for f in fields(self)}

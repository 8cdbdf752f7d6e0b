"""What an engine function gives back where the data carry no answer."""

from __future__ import annotations

from dataclasses import dataclass

from trialbench.model.message import Message


@dataclass(frozen=True, slots=True)
class NotApplicable:
    """No answer, and the reason in words. False in a condition."""

    reason: Message

    def __bool__(self) -> bool:
        return False

    def __str__(self) -> str:
        return str(self.reason)

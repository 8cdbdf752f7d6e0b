"""Where the method of a note comes from, and where the trial departed from it."""

from __future__ import annotations

from collections.abc import Iterator

from trialbench.model.message import Message, msg
from trialbench.model.records import Method


def origin_lines(method: Method) -> Iterator[Message]:
    """One line where something is written of it: a way that is somebody's stays somebody's."""
    note, departs = method.origin_note.rstrip("."), method.departs.rstrip(".")
    if method.origin == "learned":
        yield msg("Learned: {whom}.", whom=note) if note else msg("A way that was learned.")
    elif method.origin == "cited":
        yield msg("From: {whom}.", whom=note) if note else msg("A way that was read.")
    elif note:
        yield msg("Our own: {whom}.", whom=note)
    if departs:
        yield msg("Here it was not followed in this: {departs}.", departs=departs)

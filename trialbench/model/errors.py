"""The error tree, on one screen. Every error says what, where, what is allowed and what to do."""

from __future__ import annotations

from trialbench.model.message import Message, say


class TrialbenchError(Exception):
    """Anything the program tells a person instead of showing a traceback."""

    def __init__(self, message: Message | str) -> None:
        super().__init__(say(message))
        self.message = message


class Refused(TrialbenchError):
    """A typed value that cannot become a record. Nothing was written.

    `field` is "kind.field" of the record, `typed` the text as typed, `allowed` and `way_out` what
    can be written and what to do.
    """

    def __init__(
        self,
        message: Message | str,
        *,
        field: str = "",
        typed: str = "",
        allowed: Message | str = "",
        way_out: Message | str = "",
    ) -> None:
        super().__init__(message)
        self.field = field
        self.typed = typed
        self.allowed = allowed
        self.way_out = way_out


class TwoReadings(Refused):
    """A typed value that can be read in two ways: asked, never guessed.

    `readings` are (words, text) pairs: what to offer, and what to write when it is taken.
    """

    def __init__(
        self,
        message: Message | str,
        *,
        readings: tuple[tuple[Message | str, str], ...],
        field: str = "",
        typed: str = "",
        allowed: Message | str = "",
    ) -> None:
        super().__init__(message, field=field, typed=typed, allowed=allowed)
        self.readings = readings


class BadInput(TrialbenchError):
    """A file or table from outside that cannot be read: `where` and `allowed` name the way out."""

    def __init__(self, message: str, *, where: str = "", allowed: str = "") -> None:
        super().__init__(message)
        self.where = where
        self.allowed = allowed


class FileTrouble(TrialbenchError):
    """The notebook file cannot be opened, read or written; `cause` says why."""

    def __init__(self, message: Message | str, *, cause: str = "") -> None:
        super().__init__(message)
        self.cause = cause


class NewerFile(FileTrouble):
    """The file was written by a newer program: it is opened read only."""


class DamagedFile(FileTrouble):
    """The file is damaged: never written to; what can be read is offered for rescue."""


class HeldElsewhere(FileTrouble):
    """Another window holds the notebook: this one reads only."""


class Sealed(TrialbenchError):
    """The verb is not possible because the plan or the key is sealed or opened (a barrier)."""

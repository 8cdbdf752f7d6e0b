"""Notes in the margin: what the notebook answers beside the line it is about."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from trialbench.model.message import Message

Mark = Literal["differs", "missing", "shows", "passage", "refused", "watch"]


@dataclass(frozen=True, slots=True)
class NoteVerb:
    """One thing that can be done from a note: `name` is looked up by the page, with `args`."""

    label: Message
    name: str
    args: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class MarginNote:
    """One note. `line` is the page's own name of the line it stands beside.

    `dear` orders notes: the higher, the sooner it is shown open. Notes with the mark "watch"
    (food) are always open. `source` is set small below the sentences.
    """

    line: str
    mark: Mark
    label: Message
    sentences: tuple[Message, ...] = ()
    verbs: tuple[NoteVerb, ...] = ()
    source: Message | None = None
    dear: int = 0


@dataclass(frozen=True, slots=True)
class Margin:
    """All notes of a page, and the one sentence at the head: what this page comes to."""

    standing: Message
    notes: tuple[MarginNote, ...] = ()

"""A drawn figure with what it says in a sentence and in a table."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from trialbench.model.message import Message

if TYPE_CHECKING:
    from matplotlib.figure import Figure


@dataclass(frozen=True)
class PictureTable:
    """The numbers of a picture: column heads and rows of text."""

    columns: tuple[Message | str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class Picture:
    """A figure, one sentence that says what it shows, and the table behind "Show as table"."""

    figure: Figure
    sentence: Message
    table: PictureTable

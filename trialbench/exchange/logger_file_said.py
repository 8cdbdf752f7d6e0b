"""What is said of a logger file, what is asked about it, and what comes out of it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

from trialbench.model.errors import BadInput
from trialbench.model.message import Message, say

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from trialbench.exchange.logger_file_columns import Table

    Floats = NDArray[np.float64]

Unit = Literal["C", "F", "K"]


@dataclass(frozen=True, slots=True)
class Question:
    """What a file leaves open. `id` is the field of `Answers` that answers it.

    `options` are (value, words); none: free text as `Answers` describes it. Without `needed` the
    file can be read before it is answered. `likely` is only a hint, never an answer.
    """

    id: str
    asks: Message
    options: tuple[tuple[str, Message], ...] = ()
    needed: bool = True
    likely: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Answers:
    """The cook's answers; None is not answered.

    `date_order`: which comes first, "day", "month" or "year". `zone`: where the file's clock stood,
    "Europe/Madrid", "+02:00" or "UTC". `first_date`: day of the first line, ISO 8601. `start`: the
    instant of the first line of elapsed time, ISO 8601 with an offset. `clock`: "clock" or
    "elapsed" for times that could be both. `two_parts`: "h:mm" or "m:ss". `elapsed_unit`: "s",
    "min", "h" or "d". `interval_s`: seconds between lines without a time. `unit`: "C" or "F" where
    none is written; `units` the same by channel, which also overrules the file. `days_from`: "1900"
    or "1904", the calendar of spreadsheet days. `backward`: what stays where time runs backwards:
    "earlier" (what came first in the file), "later", or "sort" (all, in order of time).
    """

    date_order: str | None = None
    zone: str | None = None
    first_date: str | None = None
    start: str | None = None
    clock: str | None = None
    two_parts: str | None = None
    elapsed_unit: str | None = None
    interval_s: float | None = None
    unit: str | None = None
    units: Mapping[str, str] = field(default_factory=dict)
    days_from: str | None = None
    backward: str | None = None


class NotAnswered(BadInput):
    """The file cannot be read before its questions are answered; `questions` are those left."""

    def __init__(self, questions: Sequence[Question]) -> None:
        asked = " ".join(say(question.asks) for question in questions)
        super().__init__(
            f"Not read yet. {asked}",
            where=", ".join(question.id for question in questions),
            allowed="; ".join(
                " or ".join(value for value, _ in question.options) or "an answer"
                for question in questions
            ),
        )
        self.questions = tuple(questions)


@dataclass(frozen=True, slots=True)
class ChannelSeen:
    """A channel before it is read: numbers in the file's own unit, None where none is written."""

    name: str
    unit: Unit | None
    readings: int
    missing: int
    lowest: float | None
    highest: float | None


@dataclass(frozen=True, slots=True)
class FileReading:
    """What was recognised in a file, what is asked, and a preview. The bytes are left as they are.

    `delimiter` is "" for one number a line and " " for any blanks. `time_form`: "instant" (UTC is
    known), "local" (date and time without a zone), "clock" (time of day alone), "elapsed", "lines"
    (no time at all), or "clock_or_elapsed". `time_columns` are their headings. `left_aside` are
    columns that are no temperature. `preview` are the first and last lines, cut into cells.
    """

    sha256: str
    encoding: str
    delimiter: str
    layout: Literal["wide", "long"]
    time_form: str
    time_columns: tuple[str, ...]
    channels: tuple[ChannelSeen, ...]
    left_aside: tuple[str, ...]
    preamble: tuple[str, ...]
    trailer: tuple[str, ...]
    headings: tuple[str, ...]
    preview: tuple[tuple[str, ...], ...]
    lines: int
    said: tuple[Message, ...]
    questions: tuple[Question, ...]
    table: Table = field(repr=False, compare=False)

    def open_questions(self, answers: Answers) -> tuple[Question, ...]:
        """The needed questions that these answers leave open."""
        return tuple(
            question for question in self.questions
            if question.needed and not self.answered(question, answers)
        )  # fmt: skip

    def answered(self, question: Question, answers: Answers) -> bool:
        """Whether these answers answer the question."""
        if question.id == "unit" and answers.unit is None:
            bare = [channel.name for channel in self.channels if channel.unit is None]
            return all(name in answers.units for name in bare)
        return getattr(answers, question.id) is not None


@dataclass(frozen=True, slots=True)
class LeftOut:
    """Readings or lines that were not taken, why, how many, and the first line (from 1)."""

    kind: str
    why: Message
    count: int
    first_line: int


@dataclass(frozen=True, slots=True, eq=False)
class LoggedChannel:
    """Readings in order of time: `time_s` in UTC or elapsed seconds (see `Channels`), °C.

    `remarks` speak of readings that were kept and look odd.
    """

    name: str
    time_s: Floats
    temp_c: Floats
    left_out: tuple[LeftOut, ...]
    remarks: tuple[Message, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class Channels:
    """A file that was read. `clock` is "utc" (seconds since 1970) or "elapsed" (since its start).

    `left_out` are whole lines. `sha256` is that of the bytes as they came.
    """

    clock: Literal["utc", "elapsed"]
    channels: tuple[LoggedChannel, ...]
    left_out: tuple[LeftOut, ...]
    said: tuple[Message, ...]
    sha256: str

    def __getitem__(self, name: str) -> LoggedChannel:
        """The channel of this name. Raises KeyError."""
        for channel in self.channels:
            if channel.name == name:
                return channel
        raise KeyError(name)

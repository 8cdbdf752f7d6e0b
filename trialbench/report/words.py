"""The parts of a report that every form of it writes: sections, tables, signed numbers."""

from __future__ import annotations

import re
from dataclasses import dataclass

from trialbench.model.dates import said_day
from trialbench.model.message import Message, msg, say
from trialbench.model.numbers import figure
from trialbench.notebook.clock import local_time

Text = Message | str

_UNIT = re.compile(r"(\d) (g|kg|oz|h|min|s|d|mm|points?|pieces|cook|%|°C|°F)(?![\w])")


@dataclass(frozen=True, slots=True)
class ReportTable:
    """A table of text. `numbers` are the columns that stand at the right, from 0."""

    heads: tuple[Text, ...]
    rows: tuple[tuple[Text, ...], ...]
    numbers: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Section:
    """A label at the side and what stands beside it; `small` stands last, in pencil."""

    label: Text
    lines: tuple[Text, ...] = ()
    table: ReportTable | None = None
    small: Text | None = None

    @property
    def empty(self) -> bool:
        """Whether there is nothing to say."""
        return not self.lines and self.table is None


def tied(text: Text) -> str:
    """The text with every number held to its unit, so that no line breaks between them."""
    return _UNIT.sub("\\1\u00a0\\2", say(text))


def signed(value: float, decimals: int) -> str:
    """A difference with its sign: "+1.2"."""
    return figure(value, decimals, sign=True)


def interval(low: float | None, high: float | None, decimals: int) -> Text:
    """ "+0.2 to +2.2"; an en dash where there is none."""
    if low is None or high is None:
        return "\u2013"
    return msg("{low} to {high}", low=signed(low, decimals), high=signed(high, decimals))


def said_date(utc: str, offset_min: int) -> Text:
    """The kitchen's own day: "Wednesday 4 March 2026"."""
    return said_day(local_time(utc, offset_min).date().isoformat(), with_year=True)


def said_moment(utc: str, offset_min: int) -> Text:
    """The kitchen's own day and time: "Wednesday 4 March 2026, 19:30"."""
    time = local_time(utc, offset_min).strftime("%H:%M")
    return msg("{day}, {time}", day=said_date(utc, offset_min), time=time)

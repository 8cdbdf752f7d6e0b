"""A look at a logger file: its table, what is said of it and what is asked."""

from __future__ import annotations

import numpy as np

from trialbench.exchange.logger_file_cells import cells_of
from trialbench.exchange.logger_file_channels import ChannelColumn
from trialbench.exchange.logger_file_clock import seconds_of
from trialbench.exchange.logger_file_columns import Table, table_of
from trialbench.exchange.logger_file_numbers import Floats
from trialbench.exchange.logger_file_open import TimeForm, questions, time_form
from trialbench.exchange.logger_file_order import in_order, newest_first
from trialbench.exchange.logger_file_said import Answers, ChannelSeen, FileReading
from trialbench.exchange.logger_file_text import text_of
from trialbench.model.message import Message, msg, msg_n

_DELIMITERS = {
    "\t": msg("tabs"), ";": msg("semicolons"), ",": msg("commas"), "|": msg("bars"),
    " ": msg("blanks"), "": msg("nothing: one number a line"),
}  # fmt: skip
_FORMS = {
    "instant": msg("Each line has its instant in UTC."),
    "local": msg("Lines have date and time, and no time zone."),
    "clock": msg("Lines have a time of day and no date."),
    "elapsed": msg("Lines have the time since the start."),
    "lines": msg("Lines have no time."),
    "clock_or_elapsed": msg("Lines have a time of day, or the time since the start."),
}


def seen(data: bytes, sha256: str) -> FileReading:
    """What `look` gives back."""
    text = text_of(data)
    table = table_of(cells_of(text))
    form = time_form(table)
    written = [name or f"column {n + 1}" for n, name in enumerate(table.headings)]
    return FileReading(
        sha256=sha256,
        encoding=text.encoding,
        delimiter=table.delimiter,
        layout=table.layout,
        time_form=form.form,
        time_columns=tuple(written[n] for n in table.time.columns),
        channels=tuple(_channel(channel) for channel in table.channels),
        left_aside=table.left_aside,
        preamble=table.preamble,
        trailer=table.trailer,
        headings=tuple(written),
        preview=table.preview,
        lines=len(table.lines),
        said=tuple(_said(table, form, text.encoding)),
        questions=questions(table, form, _runs_backward(table, form)),
        table=table,
    )


def _channel(channel: ChannelColumn) -> ChannelSeen:
    values = channel.numbers.values
    there = values[np.isfinite(values)]
    unit = channel.unit
    if channel.numbers.units is not None:
        own = {each for each in channel.numbers.units if each}
        unit = own.pop() if len(own) == 1 else unit
    low, high = (float(there.min()), float(there.max())) if len(there) else (None, None)
    return ChannelSeen(channel.name, unit, len(there), len(values) - len(there), low, high)


def _said(table: Table, form: TimeForm, encoding: str) -> list[Message]:
    said = [
        msg(
            "{encoding}, with {delimiter} between cells.",
            encoding=encoding, delimiter=_DELIMITERS[table.delimiter],
        ),
        msg_n("{count} line of readings.", "{count} lines of readings.", len(table.lines)),
        _FORMS[form.form],
    ]  # fmt: skip
    if form.orders == ("day",):
        said.append(msg("Dates are day first."))
    if form.orders == ("month",):
        said.append(msg("Dates are month first."))
    if table.time.form == "serial":
        said.append(msg("The time is in spreadsheet days, counted from the end of 1899."))
    if _decimal_comma(table):
        said.append(msg("Numbers have a decimal comma."))
    if table.layout == "long":
        said.append(msg("One reading a line."))
    return said


def _decimal_comma(table: Table) -> bool:
    time = set(table.time.columns)
    row = table.preview[0]
    return any("," in cell and cell.replace(",", "").strip("-+ ").isdigit()
               for n, cell in enumerate(row) if n not in time)  # fmt: skip


def _runs_backward(table: Table, form: TimeForm) -> bool:
    """Whether some channel has readings that are earlier than one before and no repeats."""
    time_s = _trial_seconds(table, form)
    for channel in table.channels:
        times = time_s[channel.places]
        values = channel.numbers.values
        there = np.isfinite(times) & np.isfinite(values)
        times, values = times[there], values[there]
        if newest_first(times):
            times, values = times[::-1], values[::-1]
        if "backward" in in_order(times, values).others:
            return True
    return False


def _trial_seconds(table: Table, form: TimeForm) -> Floats:
    """Seconds with any one answer for what is open: good enough for the order of lines."""
    return seconds_of(table, form, Answers(
        date_order=form.orders[0] if form.orders else None, zone="UTC", first_date="2000-01-01",
        clock="clock", two_parts="h:mm", elapsed_unit="s", interval_s=1.0,
    ))[1]  # fmt: skip

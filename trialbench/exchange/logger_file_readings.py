"""The readings of a logger file, channel by channel, with what was left out and why."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from trialbench.exchange.logger_file_channels import ChannelColumn
from trialbench.exchange.logger_file_clock import seconds_of
from trialbench.exchange.logger_file_columns import Table
from trialbench.exchange.logger_file_faults import (
    celsius,
    power_up,
    power_up_left_out,
    remarks,
    without_faults,
)
from trialbench.exchange.logger_file_numbers import Floats
from trialbench.exchange.logger_file_open import TimeForm, needs_unit, time_form
from trialbench.exchange.logger_file_order import KEEP, in_order, left_out, newest_first
from trialbench.exchange.logger_file_said import (
    Answers,
    Channels,
    FileReading,
    LeftOut,
    LoggedChannel,
    NotAnswered,
    Question,
    Unit,
)
from trialbench.model.errors import BadInput
from trialbench.model.message import Message, msg

_FIELDS = {"date_order": ("day", "month", "year"), "clock": ("clock", "elapsed"),
           "two_parts": ("h:mm", "m:ss"), "elapsed_unit": ("s", "min", "h", "d"),
           "unit": ("C", "F"), "backward": KEEP}  # fmt: skip


def readings(reading: FileReading, answers: Answers) -> Channels:
    """What `read` gives back."""
    table = reading.table
    _check(answers, reading)
    form = time_form(table)
    open_ones = _open(reading, form, answers)
    if open_ones:
        raise NotAnswered(open_ones)
    is_utc, time_s = seconds_of(table, form, answers)
    keep = answers.backward or "earlier"
    turned = newest_first(time_s[np.isfinite(time_s)])
    channels = tuple(
        _channel(table, channel, time_s, _unit(channel, answers), (keep, turned))
        for channel in table.channels
    )
    if not any(len(channel.time_s) for channel in channels):
        raise BadInput(
            "No reading is left in this file. Nothing was read.", where="the file",
            allowed="one reading at least that has a time and is a temperature",
        )  # fmt: skip
    said: tuple[Message, ...] = reading.said
    if turned:
        said = (*said, msg("The newest line came first; the order was turned round."))
    return Channels(
        "utc" if is_utc else "elapsed", channels, tuple(_lines_left_out(table, time_s)), said,
        reading.sha256,
    )  # fmt: skip


def _open(reading: FileReading, form: TimeForm, answers: Answers) -> list[Question]:
    """The questions that stand in the way: a time of day needs its date and zone, and no more."""
    clock = form.form == "clock_or_elapsed" and answers.clock == "clock"
    needed = {question.id for question in reading.open_questions(answers)}
    if clock:
        needed = (needed - {"two_parts"}) | {"first_date", "zone"}
    return [q for q in reading.questions if q.id in needed and not reading.answered(q, answers)]


def _check(answers: Answers, reading: FileReading) -> None:
    for name, allowed in _FIELDS.items():
        value = getattr(answers, name)
        if value is not None and value not in allowed:
            raise BadInput(f"{value!r} is no answer here.", where=name, allowed=", ".join(allowed))
    for name, unit in answers.units.items():
        if name not in [channel.name for channel in reading.channels]:
            raise BadInput(
                f"No channel is called {name!r}.", where="units",
                allowed=", ".join(channel.name for channel in reading.channels),
            )  # fmt: skip
        if unit not in ("C", "F"):
            raise BadInput(f"{unit!r} is no unit here.", where="units", allowed="C, F")


def _unit(channel: ChannelColumn, answers: Answers) -> tuple[Unit | None, bool]:
    """The unit of numbers without one of their own, and whether it overrules those that have."""
    given = answers.units.get(channel.name)
    if given is not None:
        return ("F" if given == "F" else "C"), True
    if needs_unit(channel):
        return ("F" if answers.unit == "F" else "C"), False
    return channel.unit, False


def _channel(
    table: Table,
    channel: ChannelColumn,
    time_s: Floats,
    unit: tuple[Unit | None, bool],
    order: tuple[str, bool],
) -> LoggedChannel:
    lines = table.lines[channel.places]
    numbers = channel.numbers
    if unit[1]:
        numbers = type(numbers)(numbers.values, numbers.missing, None)
    temp_c = celsius(numbers, unit[0])
    good, out = without_faults(numbers, temp_c, lines, unit[0])
    good &= np.isfinite(time_s[channel.places])
    times, temps, lines = time_s[channel.places][good], temp_c[good], lines[good]
    if order[1]:
        times, temps, lines = times[::-1], temps[::-1], lines[::-1]
    ordered = in_order(times, temps, order[0])
    out += left_out(ordered, lines)
    times, temps, lines = times[ordered.kept], temps[ordered.kept], lines[ordered.kept]
    cold = power_up(times, temps)
    out += power_up_left_out(cold, lines)
    times, temps = _kept(times[~cold]), _kept(temps[~cold])
    return LoggedChannel(channel.name, times, temps, tuple(out), remarks(times, temps))


def _kept(values: Floats) -> Floats:
    own = values.copy()
    own.setflags(write=False)
    return own


def _lines_left_out(table: Table, time_s: Floats) -> list[LeftOut]:
    out = []
    other = np.setdiff1d(np.flatnonzero(~np.isfinite(time_s)), table.heading_rows)
    if len(table.heading_rows):
        out.append(
            _whole("heading", msg("the headings once more"), table.lines[table.heading_rows])
        )
    if len(other):
        out.append(_whole("time", msg("the time cannot be read"), table.lines[other]))
    if table.odd:
        out.append(_whole("cells", msg("too few or too many cells"), np.array(table.odd)))
    if table.cut_short:
        out.append(LeftOut("cut", msg("the last line breaks off"), 1, table.cut_short))
    if table.not_temperatures:
        why = msg("no temperature, or no channel")
        out.append(LeftOut("no_temperature", why, table.not_temperatures, int(table.lines[0])))
    return out


def _whole(kind: str, why: Message, lines: NDArray[np.intp]) -> LeftOut:
    return LeftOut(kind, why, len(lines), int(lines.min()))

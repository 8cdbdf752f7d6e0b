"""Readings that are none: markers, numbers that stand for a fault, power-up values, spikes."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from trialbench.exchange.logger_file_numbers import Floats, Numbers
from trialbench.exchange.logger_file_said import LeftOut, Unit
from trialbench.model.message import Message, msg, msg_n
from trialbench.thermal.curves import usual_longest_step_s

FAULTS = (
    -999.0, -999.9, -9999.0, -127.0, -327.68, -3276.8, -32768.0, 327.67, 3276.7, 32767.0, 655.35,
    6553.5, 65535.0, 999.0, 999.9, 9999.0, 9999.9, 1372.0,
)  # fmt: skip
"""Numbers that loggers write for a broken or missing probe, in any unit (from memory)."""
FAULTS_C = (850.0, 1820.0)
"""The same in °C: the upper ends of a Pt100 and of a thermocouple."""
LOWEST_C, HIGHEST_C = -100.0, 700.0
"""No kitchen is colder or hotter."""
POWER_UP_C, POWER_UP_RUN, POWER_UP_AWAY_C = 85.0, 3, 10.0
"""A digital probe says 85 °C before its first reading; three of them at most, then 10 K away."""
SPIKE_C = 30.0


def celsius(numbers: Numbers, unit: Unit | None) -> Floats:
    """The numbers in °C. `unit` is that of numbers without one of their own."""
    values = numbers.values
    if numbers.units is None:
        return _converted(values, unit)
    own = np.array([each or unit or "" for each in numbers.units])
    made = values.copy()
    units: tuple[Unit, ...] = ("C", "F", "K")
    for each in units:
        made[own == each] = _converted(values[own == each], each)
    return made


def _converted(values: Floats, unit: Unit | None) -> Floats:
    if unit == "F":
        return np.asarray((values - 32) * 5 / 9)
    return values - 273.15 if unit == "K" else values


def without_faults(
    numbers: Numbers, temp_c: Floats, lines: NDArray[np.intp], unit: Unit | None
) -> tuple[NDArray[np.bool_], list[LeftOut]]:
    """Which readings stay, and what was left out: texts, faults, what no kitchen has.

    `lines` are line numbers of the file.
    """
    out = [
        LeftOut("missing" if not text else "marker", _of_text(text), count, int(lines[first]))
        for text, (count, first) in numbers.missing.items()
    ]
    raw = numbers.values
    faults = FAULTS if unit == "F" else (*FAULTS, *FAULTS_C)
    there = np.isfinite(raw)
    broken = there & np.isin(raw, faults)
    outside = there & ~broken & ((temp_c < LOWEST_C) | (temp_c > HIGHEST_C))
    for fault in np.unique(raw[broken]).tolist():
        out.append(_left_out("fault", _of_fault(fault), raw == fault, lines))
    if outside.any():
        why = msg("outside {low} to {high} °C", low=f"{LOWEST_C:g}", high=f"{HIGHEST_C:g}")
        out.append(_left_out("outside", why, outside, lines))
    return there & ~broken & ~outside, out


def _of_text(text: str) -> Message:
    return msg("{text} in place of a number", text=text[:20]) if text else msg("empty")


def _of_fault(number: float) -> Message:
    return msg("{number} stands for a fault of the probe", number=f"{number:g}")


def _left_out(kind: str, why: Message, which: NDArray[np.bool_],
              lines: NDArray[np.intp]) -> LeftOut:  # fmt: skip
    return LeftOut(kind, why, int(which.sum()), int(lines[np.argmax(which)]))


def power_up(time_s: Floats, temp_c: Floats) -> NDArray[np.bool_]:
    """Which readings are what a digital probe says before its first one: 85 °C at the start of
    the log or after a gap, and then something else."""
    found = np.zeros(len(temp_c), dtype=bool)
    at = np.abs(temp_c - POWER_UP_C) < 0.05
    if not at.any():
        return found
    gaps = np.diff(time_s) > usual_longest_step_s(time_s)
    for start in (0, *(np.flatnonzero(gaps) + 1).tolist()):
        after = start
        while after < len(at) and at[after] and after - start <= POWER_UP_RUN:
            after += 1
        run = after - start
        if 0 < run <= POWER_UP_RUN and after < len(at) and (
            abs(temp_c[after] - POWER_UP_C) > POWER_UP_AWAY_C
        ):  # fmt: skip
            found[start:after] = True
    return found


def power_up_left_out(which: NDArray[np.bool_], lines: NDArray[np.intp]) -> list[LeftOut]:
    """What is said of them."""
    if not which.any():
        return []
    why = msg("85 °C is what this kind of probe says before its first reading")
    return [_left_out("power_up", why, which, lines)]


def spikes(temp_c: Floats) -> int:
    """How many single readings jump by more than 30 K and back."""
    if len(temp_c) < 3:
        return 0
    up, down = temp_c[1:-1] - temp_c[:-2], temp_c[1:-1] - temp_c[2:]
    return int(((np.abs(up) > SPIKE_C) & (np.abs(down) > SPIKE_C) & (up * down > 0)).sum())


def remarks(time_s: Floats, temp_c: Floats) -> tuple[Message, ...]:
    """What looks odd in readings that were kept."""
    made: list[Message] = []
    if not len(temp_c):
        return (msg("No reading is left in this channel."),)
    if count := spikes(temp_c):
        made.append(msg_n(
            "{count} reading jumps by more than 30 °C and back. It was kept.",
            "{count} readings jump by more than 30 °C and back. They were kept.", count,
        ))  # fmt: skip
    gaps = int((np.diff(time_s) > usual_longest_step_s(time_s)).sum())
    if gaps:
        made.append(msg_n("{count} gap in the readings.", "{count} gaps in the readings.", gaps))
    return tuple(made)

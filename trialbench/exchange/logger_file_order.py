"""Readings in order of time: repeats, other values for the same time, steps backwards."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trialbench.exchange.logger_file_numbers import Floats
from trialbench.exchange.logger_file_said import LeftOut
from trialbench.model.message import Message, msg

KEEP = ("earlier", "later", "sort")

_WHY: dict[str, Message] = {
    "repeat": msg("the same time and reading once more"),
    "other_value": msg("another reading for a time that has one"),
    "backward": msg("time runs backwards"),
}


@dataclass(frozen=True, slots=True, eq=False)
class Ordered:
    """Places of the readings that stay, in order of time, and the places of others by reason."""

    kept: NDArray[np.intp]
    others: dict[str, NDArray[np.intp]]


def newest_first(time_s: Floats) -> bool:
    """Whether a file goes from its last reading to its first."""
    steps = np.diff(time_s)
    return len(steps) > 0 and bool((steps <= 0).all()) and bool((steps < 0).any())


def in_order(time_s: Floats, temp_c: Floats, keep: str = "earlier") -> Ordered:
    """Put readings in order. `keep` as in `Answers.backward`."""
    places = np.arange(len(time_s))
    if keep == "sort":
        places = np.argsort(time_s, kind="stable")
    elif keep == "later":
        places, time_s = places[::-1], -time_s
    times = time_s[places]
    latest = np.maximum.accumulate(times) if len(times) else times
    stays = np.ones(len(times), dtype=bool)
    stays[1:] = times[1:] > latest[:-1]
    kept, late = places[stays], places[~stays]
    others = _by_reason(time_s, temp_c, kept, late)
    return Ordered(kept[::-1] if keep == "later" else kept, others)


def _by_reason(
    time_s: Floats, temp_c: Floats, kept: NDArray[np.intp], late: NDArray[np.intp]
) -> dict[str, NDArray[np.intp]]:
    place = np.minimum(np.searchsorted(time_s[kept], time_s[late]), max(len(kept) - 1, 0))
    same_time = time_s[kept][place] == time_s[late] if len(late) else np.zeros(0, dtype=bool)
    same = same_time & (temp_c[kept][place] == temp_c[late]) if len(late) else same_time
    found = {
        "repeat": late[same], "other_value": late[same_time & ~same], "backward": late[~same_time]
    }  # fmt: skip
    return {reason: places for reason, places in found.items() if len(places)}


def left_out(ordered: Ordered, lines: NDArray[np.intp]) -> list[LeftOut]:
    """What is said of readings that did not stay."""
    return [
        LeftOut(reason, _WHY[reason], len(places), int(lines[places].min()))
        for reason, places in ordered.others.items()
    ]

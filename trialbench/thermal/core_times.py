"""When will the core get there: always a band. From the kitchen's own cooks first, then physics."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product
from statistics import fmean, stdev
from typing import Literal

from scipy.stats import t as student

from trialbench.model.message import Message, msg, msg_n
from trialbench.model.quantities import show_duration
from trialbench.thermal.bad_figures import BadFigures
from trialbench.thermal.bodies import Body, Heating, time_to_s

NEAR_WEIGHT = 0.25
"""Past cooks of a weight within this share of the piece's count."""
FEWEST_COOKS = 3
SHARE_INSIDE = 0.8
"""How many of ten such cooks the band of past cooks is to hold: eight."""

ALPHA_M2_S = (1.1e-7, 1.5e-7)
"""Diffusivity of meat and fish, lowest and highest (tables, and Choi and Okos between bounds)."""
K_W_M_K = (0.40, 0.55)
H_W_M2_K = {
    "still oven": (5.0, 20.0),
    "fan oven": (20.0, 60.0),
    "stirred water bath": (100.0, 200.0),
    "boiling water": (800.0, 1400.0),
}
"""Surface coefficients, lowest and highest (lists and worked problems; 5 and 20-60 from memory)."""


@dataclass(frozen=True, slots=True)
class CoreTime:
    """A band in seconds and where it comes from; `cooks` counts the past cooks behind it."""

    low_s: float
    high_s: float
    source: Literal["past cooks", "physics"]
    cooks: int = 0

    @property
    def says(self) -> Message:
        """One sentence with the band."""
        low, high = (show_duration(60 * round(s / 60)) for s in (self.low_s, self.high_s))
        if self.source == "past cooks":
            return msg_n(
                "{low} to {high}, from {count} cook of about this weight.",
                "{low} to {high}, from {count} cooks of about this weight.",
                self.cooks, low=low, high=high,
            )  # fmt: skip
        return msg("{low} to {high}, from heat conduction alone: a rough band.", low=low, high=high)


def from_past_cooks(mass_g: float, past: Sequence[tuple[float, float]]) -> CoreTime | None:
    """A band from (mass in g, seconds to the same core) of earlier cooks; None with too few.

    Three or more within a quarter of the weight: the prediction interval of one more, eight in
    ten, on the logarithm of time (Student's t, n - 1 df, common practice). Raises BadFigures for a
    mass or time not above 0.
    """
    if not all(value > 0 and math.isfinite(value) for value in (mass_g, *sum(past, ()))):
        raise BadFigures("A weight or time is not above 0.", where="mass_g, past",
                       allowed="g and s above 0")  # fmt: skip
    logs = [math.log(s) for g, s in past if abs(g / mass_g - 1) <= NEAR_WEIGHT]
    count = len(logs)
    if count < FEWEST_COOKS:
        return None
    quantile = float(student.isf((1 - SHARE_INSIDE) / 2, count - 1))
    away = quantile * stdev(logs) * math.sqrt(1 + 1 / count)
    middle = fmean(logs)
    return CoreTime(math.exp(middle - away), math.exp(middle + away), "past cooks", count)


def from_physics(
    body: Body,
    *,
    start_c: float,
    around_c: float,
    core_c: float,
    h: tuple[float, float],
    k: tuple[float, float] = K_W_M_K,
    alpha: tuple[float, float] = ALPHA_M2_S,
) -> CoreTime:
    """A band from conduction with each property at its lowest and highest (see `bodies`).

    `h` from `H_W_M2_K` or the cook's own. Evaporation, shrinking and radiation are not in it.
    Raises BadFigures when the core cannot come to `core_c`.
    """
    times = [
        time_to_s(body, Heating(start_c, around_c, *each), core_c) for each in product(h, k, alpha)
    ]
    return CoreTime(min(times), max(times), "physics")


def core_time(
    mass_g: float, past: Sequence[tuple[float, float]], physics: CoreTime | None
) -> CoreTime | None:
    """The band of past cooks where there are enough of them, else that of physics."""
    return from_past_cooks(mass_g, past) or physics

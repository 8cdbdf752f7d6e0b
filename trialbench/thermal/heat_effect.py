"""Heat's effect added up: F values, log reductions, pasteurisation units, cook values.

F = integral of 10^((T - ref) / z) dt, here exact for straight lines between readings. A reference
temperature, z and D stand beside every value; the published tables decide (see `dwell`), and an
F value over a ramp is an estimate that no table speaks of.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from trialbench.model.message import Message, msg
from trialbench.model.numbers import figure
from trialbench.thermal.bad_figures import BadFigures
from trialbench.thermal.curves import Curve, Floats
from trialbench.thermal.spans import not_shown_s

MOST_LOGS = 7.0
"""Above this a number of log reductions has no physical meaning: "7 or more"."""

PASTEURISATION_REF_C, PASTEURISATION_BASE = 60.0, 1.393
PASTEURISATION_Z_C = 1 / math.log10(PASTEURISATION_BASE)
"""One unit is 1 min at 60 °C, t * 1.393^(T - 60) (Del Vecchio 1951, as printed at sizes.com)."""

COOK_REF_C, COOK_Z_C = 100.0, 33.0
"""Cook value: minutes at 100 °C with z 33 K (from memory: Mansfield 1962)."""


@dataclass(frozen=True, slots=True)
class Lethality:
    """Seconds at `ref_c` with the same effect, of the time the log shows; gaps add nothing."""

    equal_s: float
    ref_c: float
    z_c: float
    not_shown_s: float


def lethal_rate(temp_c: ArrayLike, ref_c: float, z_c: float) -> Floats:
    """10^((T - ref) / z), seconds at `ref_c` per second at T. Raises BadFigures unless z > 0."""
    _check_z(z_c)
    rate: Floats = np.power(10.0, (np.asarray(temp_c, dtype=float) - ref_c) / z_c)
    return rate


def lethality(t_s: ArrayLike, temp_c: ArrayLike, ref_c: float, z_c: float) -> float:
    """Seconds at `ref_c` equal to a history, exact on the straight pieces between its points.

    One piece from T1 to T2 in dt adds dt (L2 - L1) / ln(L2 / L1), L = 10^((T - ref) / z). `t_s`
    rising and `temp_c` of the same length, without missing values (for a log with gaps see
    `lethality_of`). Raises BadFigures.
    """
    _check_z(z_c)
    times, temps = np.asarray(t_s, dtype=float), np.asarray(temp_c, dtype=float)
    if times.shape != temps.shape or times.ndim != 1:
        raise BadFigures("Times and temperatures do not go together.", where="t_s, temp_c",
                       allowed="two rows of the same length")  # fmt: skip
    if not (np.isfinite(times).all() and np.isfinite(temps).all()):
        raise BadFigures("A time or temperature is missing.", where="t_s, temp_c",
                       allowed="finite numbers; a curve where there are gaps")  # fmt: skip
    if (np.diff(times) < 0).any():
        raise BadFigures("Time runs backwards.", where="t_s", allowed="times that rise")
    return _exact(times, temps, ref_c, z_c)


def lethality_of(
    curve: Curve, ref_c: float, z_c: float, start_s: float | None = None, end_s: float | None = None
) -> Lethality:
    """The same for a curve, with the seconds of the window that are not shown."""
    _check_z(z_c)
    start = curve.start_s if start_s is None else start_s
    end = curve.end_s if end_s is None else end_s
    part = curve.between(start, end)
    parts = list(part.stretches()) if part else []
    equal = sum(_exact(times, temps, ref_c, z_c) for times, temps in parts)
    return Lethality(equal, ref_c, z_c, not_shown_s(part, start, end))


def _exact(times: Floats, temps: Floats, ref_c: float, z_c: float) -> float:
    rise = np.diff(temps) * (math.log(10) / z_c)
    level = np.abs(rise) < 1e-12
    mean = np.where(level, 1.0, np.expm1(rise) / np.where(level, 1.0, rise))
    first = np.power(10.0, (temps[:-1] - ref_c) / z_c)
    return float(np.sum(np.diff(times) * first * mean))


def equal_time_s(time_s: float, at_c: float, other_c: float, z_c: float) -> float:
    """The time at `other_c` that equals `time_s` at `at_c`."""
    return time_s * float(lethal_rate(at_c, other_c, z_c))


def log_reduction(equal_s: float, d_s: float) -> float:
    """F / D: log10 reductions, both at the same reference temperature. Raises BadFigures: D > 0."""
    if not d_s > 0:
        raise BadFigures(f"D is {d_s:g} s.", where="d_s", allowed="above 0 s")
    return equal_s / d_s


def said_logs(logs: float) -> Message:
    """ "3.2", and above seven "7 or more"."""
    if logs >= MOST_LOGS:
        return msg("{most} or more", most=figure(MOST_LOGS, 0))
    return msg("{logs}", logs=figure(logs, 1))


def pasteurisation_units(t_s: ArrayLike, temp_c: ArrayLike) -> float:
    """Pasteurisation units: minutes at 60 °C, base 1.393 (z 6.95 K)."""
    return lethality(t_s, temp_c, PASTEURISATION_REF_C, PASTEURISATION_Z_C) / 60


def cook_value_min(
    t_s: ArrayLike, temp_c: ArrayLike, *, ref_c: float = COOK_REF_C, z_c: float = COOK_Z_C
) -> float:
    """Cook value: minutes at `ref_c`. State both figures beside it."""
    return lethality(t_s, temp_c, ref_c, z_c) / 60


def z_from(temp_c: Sequence[float], d: Sequence[float]) -> float:
    """z in K from D values at several temperatures: least squares of log10 D on T.

    `d` in any one unit of time. Raises BadFigures for fewer than two, D not above 0, or D that does
    not fall with temperature.
    """
    temps, values = np.asarray(temp_c, dtype=float), np.asarray(d, dtype=float)
    if len(temps) != len(values) or len(np.unique(temps)) < 2 or not (values > 0).all():
        raise BadFigures("These D values give no z.", where="temp_c, d",
                       allowed="two temperatures or more, each with a D above 0")  # fmt: skip
    away = temps - temps.mean()
    slope = float(np.sum(away * np.log10(values)) / np.sum(away**2))
    if not slope < 0:
        raise BadFigures("D does not fall as the temperature rises.", where="d",
                       allowed="D values of one organism in one food")  # fmt: skip
    return -1 / slope


def _check_z(z_c: float) -> None:
    if not (z_c > 0 and math.isfinite(z_c)):
        raise BadFigures(f"z is {z_c:g} K.", where="z_c", allowed="above 0 K")

"""Conduction into a slab, cylinder or sphere while the surroundings change: a numerical solver.

Finite volumes with cells of equal width along the half-thickness or radius, Crank-Nicolson in time
after a few implicit steps that damp the first jump (Rannacher 1984, from memory). The surface has
its resistance of half a cell and of the film, 1 / h.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy.linalg import solve_banded

from trialbench.thermal.bad_figures import BadFigures
from trialbench.thermal.conduction import SHAPES, Shape
from trialbench.thermal.curves import Floats

CELLS = 80
_IMPLICIT_STEPS = 4
_POWER = {"slab": 0, "cylinder": 1, "sphere": 2}


@dataclass(frozen=True, slots=True, eq=False)
class Warmed:
    """Core, volume mean and surface in °C at each of `time_s`."""

    time_s: Floats
    core_c: Floats
    mean_c: Floats
    surface_c: Floats


def warmed(
    shape: Shape,
    size_m: float,
    time_s: ArrayLike,
    around_c: ArrayLike,
    *,
    start_c: float,
    h: float,
    k: float,
    alpha: float,
    steps: int = 2000,
) -> Warmed:
    """A piece in surroundings that follow straight lines between (`time_s`, `around_c`).

    `size_m` is the half-thickness or radius; `time_s` rises and has two values at least; `steps`
    even time steps from the first to the last time are reckoned and returned. Raises BadFigures.
    """
    times, around = np.asarray(time_s, dtype=float), np.asarray(around_c, dtype=float)
    _check(shape, times, around, min(size_m, h, k, alpha, steps))
    grid = np.linspace(times[0], times[-1], steps + 1)
    bath = np.interp(grid, times, around)
    scheme = _Scheme.of(shape, size_m, h / k, alpha)
    now = np.full(CELLS, float(start_c))
    rows = [scheme.seen(now, float(start_c))]
    dt = float(grid[1] - grid[0])
    for step in range(steps):
        weight = 1.0 if step < _IMPLICIT_STEPS else 0.5
        now = scheme.stepped(now, dt, weight, bath[step], bath[step + 1])
        rows.append(scheme.seen(now, bath[step + 1]))
    core, mean, surface = np.array(rows).T
    return Warmed(grid, core, mean, surface)


@dataclass(frozen=True, slots=True, eq=False)
class _Scheme:
    """dT/dt of each cell = inward * (T[i-1] - T[i]) + outward * (T[i+1] - T[i])."""

    inward: Floats
    outward: Floats
    share: Floats  # of the volume
    film: float  # share of the surface's drop to the surroundings that lies in the last half cell

    @classmethod
    def of(cls, shape: Shape, size_m: float, h_over_k: float, alpha: float) -> _Scheme:
        power = _POWER[shape]
        edges = np.linspace(0.0, size_m, CELLS + 1)
        width = size_m / CELLS
        areas = edges**power
        volumes = np.diff(edges ** (power + 1)) / (power + 1)
        conductance = alpha * areas / width
        film = h_over_k * width / 2
        conductance[-1] = alpha * areas[-1] * h_over_k / (1 + film)
        conductance[0] = 0.0
        return cls(conductance[:-1] / volumes, conductance[1:] / volumes,
                   volumes / volumes.sum(), film)  # fmt: skip

    def stepped(
        self, now: Floats, dt: float, weight: float, around_c: float, next_c: float
    ) -> Floats:
        total = self.inward + self.outward
        change = -total * now
        change[1:] += self.inward[1:] * now[:-1]
        change[:-1] += self.outward[:-1] * now[1:]
        change[-1] += self.outward[-1] * around_c
        right = now + (1 - weight) * dt * change
        right[-1] += weight * dt * self.outward[-1] * next_c
        banded = np.zeros((3, len(now)))
        banded[0, 1:] = -weight * dt * self.outward[:-1]
        banded[1] = 1 + weight * dt * total
        banded[2, :-1] = -weight * dt * self.inward[1:]
        return np.asarray(solve_banded((1, 1), banded, right), dtype=float)

    def seen(self, now: Floats, around_c: float) -> tuple[float, float, float]:
        core = (9 * now[0] - now[1]) / 8  # a parabola through the middle
        surface = (now[-1] + self.film * around_c) / (1 + self.film)
        return float(core), float(np.sum(self.share * now)), float(surface)


def _check(shape: str, times: Floats, around: Floats, least: float) -> None:
    if shape not in SHAPES:
        raise BadFigures(f"No shape is called {shape!r}.", where="shape", allowed=", ".join(SHAPES))
    if times.shape != around.shape or times.ndim != 1 or len(times) < 2:
        raise BadFigures("Times and surroundings do not go together.", where="time_s, around_c",
                       allowed="two rows of the same length, two values or more")  # fmt: skip
    if not (np.isfinite(around).all() and (np.diff(times) > 0).all()):
        raise BadFigures("The surroundings have a missing value, or time does not rise.",
                       where="time_s, around_c", allowed="finite numbers in order")  # fmt: skip
    if not least > 0:
        raise BadFigures("A size or property is not above 0.", where="size_m, h, k, alpha, steps",
                       allowed="numbers above 0")  # fmt: skip

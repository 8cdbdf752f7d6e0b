"""Pieces with sizes: slab, cylinder, sphere, brick, short cylinder; their core and the time to it.

A brick is the product of three slabs, a short cylinder that of a slab and a cylinder: the same
surroundings and coefficient on all faces, one temperature at the start (texts citing Bergman and
others 2011, chapter 5).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from scipy.optimize import brentq

from trialbench.thermal.bad_figures import BadFigures
from trialbench.thermal.conduction import Shape, mean_theta, theta


@dataclass(frozen=True, slots=True)
class Body:
    """A piece as a product of simple shapes, each with its half-thickness or radius in m."""

    parts: tuple[tuple[Shape, float], ...]

    def __post_init__(self) -> None:
        if not self.parts or not all(size > 0 and math.isfinite(size) for _, size in self.parts):
            raise BadFigures("A size is not above 0 m.", where="size", allowed="metres above 0")


@dataclass(frozen=True, slots=True)
class Heating:
    """From `start_c` into surroundings at `around_c`.

    `h` in W/(m2 K), `k` in W/(m K), `alpha` in m2/s. Raises BadFigures unless all are above 0.
    """

    start_c: float
    around_c: float
    h: float
    k: float
    alpha: float

    def __post_init__(self) -> None:
        for name, value in (("h", self.h), ("k", self.k), ("alpha", self.alpha)):
            if not (value > 0 and math.isfinite(value)):
                raise BadFigures(f"{name} is {value:g}.", where=name, allowed="above 0")


def slab(thickness_m: float) -> Body:
    """A slab heated from both faces."""
    return Body((("slab", thickness_m / 2),))


def cylinder(diameter_m: float) -> Body:
    """A long cylinder."""
    return Body((("cylinder", diameter_m / 2),))


def sphere(diameter_m: float) -> Body:
    """A sphere."""
    return Body((("sphere", diameter_m / 2),))


def brick(length_m: float, width_m: float, height_m: float) -> Body:
    """A brick heated from all faces."""
    return Body(tuple(("slab", size / 2) for size in (length_m, width_m, height_m)))


def short_cylinder(diameter_m: float, length_m: float) -> Body:
    """A cylinder that is also heated from its ends."""
    return Body((("cylinder", diameter_m / 2), ("slab", length_m / 2)))


def temperature_c(
    body: Body, heating: Heating, time_s: float, at: Sequence[float] | None = None
) -> float:
    """The temperature after `time_s` at a place: one x / L for each part, without it the core."""
    places = [0.0] * len(body.parts) if at is None else list(at)
    if len(places) != len(body.parts):
        raise BadFigures(f"{len(places)} places for {len(body.parts)} parts.", where="at",
                       allowed="one for each part of the body")  # fmt: skip
    left = 1.0
    for (shape, size), place in zip(body.parts, places, strict=True):
        left *= theta(shape, *_numbers(heating, size, time_s), place)
    return _from_theta(heating, left)


def mean_temperature_c(body: Body, heating: Heating, time_s: float) -> float:
    """The temperature averaged over the volume after `time_s`."""
    left = 1.0
    for shape, size in body.parts:
        left *= mean_theta(shape, *_numbers(heating, size, time_s))
    return _from_theta(heating, left)


def time_to_s(body: Body, heating: Heating, core_c: float) -> float:
    """Seconds until the core has `core_c`; 0 if it starts there, BadFigures if it never does."""
    whole, wanted = heating.around_c - heating.start_c, core_c - heating.start_c
    if wanted == 0:
        return 0.0
    if whole == 0 or not 0 < wanted / whole < 1:
        raise BadFigures(
            f"The core never comes to {core_c:g} °C between {heating.start_c:g} and"
            f" {heating.around_c:g} °C.",
            where="core_c", allowed="a temperature between the start and the surroundings",
        )  # fmt: skip

    def away(log_time: float) -> float:
        now = temperature_c(body, heating, math.exp(log_time))
        return (now - heating.start_c) / whole - wanted / whole

    smallest = min(size for _, size in body.parts)
    low, high = math.log(1e-4 * smallest**2 / heating.alpha), 0.0
    high = low + 1
    while away(high) < 0:
        high += 1
    return math.exp(brentq(away, low, high, xtol=1e-12))


def biot(body: Body, heating: Heating) -> tuple[float, ...]:
    """Bi = h L / k of each part."""
    return tuple(heating.h * size / heating.k for _, size in body.parts)


def _numbers(heating: Heating, size_m: float, time_s: float) -> tuple[float, float]:
    return heating.h * size_m / heating.k, heating.alpha * time_s / size_m**2


def _from_theta(heating: Heating, left: float) -> float:
    return heating.around_c + (heating.start_c - heating.around_c) * left

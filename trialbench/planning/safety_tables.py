"""The tables behind the cautions on food: usual limits, each with the text it was read in."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache

from trialbench import paths
from trialbench.model.message import Message, msg
from trialbench.model.quantities import f_from_c, show_duration


@dataclass(frozen=True, slots=True)
class Limit:
    """One row: a temperature (as printed in °C and °F), a time, or both, and its source."""

    name: str
    temp_c: float | None
    temp_f: float | None
    time_s: float | None
    authority: str
    section: str
    read_in: str

    @property
    def temperature(self) -> str:
        """Both printed figures: "57 °C (135 °F)"."""
        return f"{self.temp_c:g} °C ({self.temp_f:g} °F)"

    @property
    def time(self) -> str:
        """The time as a cook says it."""
        return show_duration(self.time_s or 0)

    @property
    def cited(self) -> Message:
        """Authority, section, and where it was read."""
        return msg(
            "{authority}, {section}, as printed in {read_in}.",
            authority=self.authority,
            section=self.section,
            read_in=self.read_in,
        )

    def reached_by(self, temp_c: float) -> bool:
        """Whether a temperature is at or above the row, in either printed unit."""
        assert self.temp_c is not None and self.temp_f is not None
        return temp_c >= self.temp_c or f_from_c(temp_c) >= self.temp_f


@dataclass(frozen=True, slots=True)
class MinimumCore:
    """What the inside of a food usually has to reach. `words` are names of such food."""

    food: str
    words: frozenset[str]
    limit: Limit


@dataclass(frozen=True, slots=True)
class RoastRow:
    """A core temperature of a whole roast and the time that it is usually kept."""

    temp_c: float
    temp_f: float
    time_s: float


ROAST_CITED = msg(
    "{authority}, {section}, as printed in {read_in}.",
    authority="US FDA Food Code",
    section="3-401.11(B)",
    read_in="Maine, 10-144 ch. 200",
)


def _rows(name: str) -> list[dict[str, str]]:
    text = paths.resource("safety", name).read_text("utf-8")
    lines = [line for line in text.splitlines() if line and not line.startswith("#")]
    return list(csv.DictReader(lines))


def _number(text: str) -> float | None:
    return float(text) if text else None


def _limit(row: dict[str, str]) -> Limit:
    return Limit(
        name=row["id"],
        temp_c=_number(row["temp_c"]),
        temp_f=_number(row["temp_f"]),
        time_s=_number(row["time_s"]),
        authority=row["authority"],
        section=row["section"],
        read_in=row["read_in"],
    )


@cache
def limits() -> dict[str, Limit]:
    """The usual limits by name."""
    return {row["id"]: _limit(row) for row in _rows("rules.csv")}


@cache
def minimum_cores() -> tuple[MinimumCore, ...]:
    """Usual minimum cores, in the order in which they are looked for."""
    return tuple(
        MinimumCore(row["id"], frozenset(row["words"].split(";")), _limit(row))
        for row in _rows("minimum_cores.csv")
    )


@cache
def whole_roasts() -> tuple[RoastRow, ...]:
    """Core temperatures of whole roasts with their times, coolest first."""
    return tuple(
        RoastRow(float(row["temp_c"]), float(row["temp_f"]), float(row["time_s"]))
        for row in _rows("whole_roasts.csv")
    )


def roast_row(core_c: float) -> RoastRow | None:
    """The hottest row that a core reaches, in either printed unit; None below the table."""
    reached = [r for r in whole_roasts() if core_c >= r.temp_c or f_from_c(core_c) >= r.temp_f]
    return reached[-1] if reached else None

"""The published tables and rules that a log is laid beside, each with where it was read.

A table is compared in the unit in which it is printed: 135 °F is 57.22 °C, whatever the figure in
brackets. Nothing here is a clearance: see `dwell`, `holding`, `cooling`, `warming`.
"""

from __future__ import annotations

import csv
import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Literal, TypeVar

from trialbench import paths
from trialbench.model.message import Message, msg
from trialbench.model.quantities import c_from_f, f_from_c, show_duration
from trialbench.thermal.bad_figures import BadFigures

Unit = Literal["C", "F"]
_Rule = TypeVar("_Rule")

Standing = Literal["shown", "not_shown", "below", "over"]
"""shown: the log shows it. not_shown: it cannot be said from this log (a gap, a log that is too
short, or a reading closer to the limit than the instrument). below: under every row or limit.
over: it took longer than the rule's time."""


@dataclass(frozen=True, slots=True)
class Limit:
    """A temperature as printed: `printed` in `unit`, `temp_c` the same exactly in °C."""

    printed: float
    unit: Unit

    @property
    def temp_c(self) -> float:
        """Exact °C, unrounded."""
        return c_from_f(self.printed) if self.unit == "F" else self.printed

    def __str__(self) -> str:
        if self.unit == "C":
            return f"{self.printed:g} °C"
        return f"{self.printed:g} °F ({self.temp_c:.1f} °C)"


@dataclass(frozen=True, slots=True)
class HoldingRule:
    """How warm food is usually kept when held hot."""

    id: str
    limit: Limit
    cited: Message


@dataclass(frozen=True, slots=True)
class Window:
    """From one temperature to another within a time."""

    start: Limit
    end: Limit
    time_s: float


@dataclass(frozen=True, slots=True)
class CoolingRule:
    """Windows that all hold when food is cooled as usual."""

    id: str
    windows: tuple[Window, ...]
    cited: Message


@dataclass(frozen=True, slots=True)
class DwellRow:
    """A temperature inside and the time that is kept at or above it."""

    limit: Limit
    time_s: float


@dataclass(frozen=True, slots=True)
class DwellTable:
    """Rows of one published table, coolest first."""

    id: str
    rows: tuple[DwellRow, ...]
    cited: Message

    def row_at(self, temp_c: float) -> DwellRow | None:
        """The hottest row at or below a temperature; None below the table."""
        reached = [row for row in self.rows if temp_c >= row.limit.temp_c - 1e-9]
        return reached[-1] if reached else None

    def time_between_rows_s(self, temp_c: float) -> float | None:
        """An estimate between two rows: log10 of the time on a straight line; None outside.

        The table itself has its rows only. Where a neighbouring row prints 0 s the row below
        counts.
        """
        below = self.row_at(temp_c)
        if below is None:
            return None
        above = next((row for row in self.rows if row.limit.temp_c > below.limit.temp_c), None)
        if above is None or above.time_s <= 0 or below.time_s <= 0:
            return below.time_s
        at = f_from_c(temp_c) if below.limit.unit == "F" else temp_c
        share = (at - below.limit.printed) / (above.limit.printed - below.limit.printed)
        return math.exp((1 - share) * math.log(below.time_s) + share * math.log(above.time_s))


def holding_rule(name: str) -> HoldingRule:
    """us_food_code, us_roasts, uk or australia. Raises BadFigures for another name."""
    return _named(holding_rules(), name)


def cooling_rule(name: str) -> CoolingRule:
    """us_food_code, fsis_option_1, fsis_option_2, canada_nunavut. Raises BadFigures else."""
    return _named(cooling_rules(), name)


def _named(rules: Mapping[str, _Rule], name: str) -> _Rule:
    if name not in rules:
        raise BadFigures(
            f"No rule is called {name!r}.", where="rule", allowed=", ".join(sorted(rules))
        )
    return rules[name]


@cache
def holding_rules() -> dict[str, HoldingRule]:
    """All rules for hot holding by name."""
    return {
        row["id"]: HoldingRule(row["id"], Limit(float(row["temp"]), _unit(row)), _cited(row))
        for row in rows_of("holding.csv")
    }


@cache
def cooling_rules() -> dict[str, CoolingRule]:
    """All rules for cooling by name."""
    every = rows_of("cooling.csv")
    return {
        name: CoolingRule(
            name,
            tuple(_window(row) for row in every if row["id"] == name),
            _cited(next(row for row in every if row["id"] == name)),
        )
        for name in dict.fromkeys(row["id"] for row in every)
    }


def said_time(time_s: float, beside_s: float = 0.0) -> str:
    """A time as a cook says it: whole minutes from ten minutes on, unless it is within a minute of
    the time that it stands beside."""
    near = abs(time_s - beside_s) < 60
    return show_duration(time_s if near or time_s < 600 else 60 * round(time_s / 60))


def rows_of(name: str) -> list[dict[str, str]]:
    """The rows of a table in resources/safety."""
    text = paths.resource("safety", name).read_text("utf-8")
    lines = [line for line in text.splitlines() if line and not line.startswith("#")]
    return list(csv.DictReader(lines))


def _unit(row: dict[str, str]) -> Unit:
    return "F" if row["unit"] == "F" else "C"


def _window(row: dict[str, str]) -> Window:
    start, end = (Limit(float(row[name]), _unit(row)) for name in ("from_temp", "to_temp"))
    return Window(start, end, float(row["time_s"]))


def _cited(row: dict[str, str]) -> Message:
    return msg(
        "{authority}, {section}, as printed in {read_in}.",
        authority=row["authority"], section=row["section"], read_in=row["read_in"],
    )  # fmt: skip

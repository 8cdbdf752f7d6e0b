"""Curves and the physics behind a cook: °C, seconds, kilograms in, frozen results out.

    >>> from trialbench.thermal import curve, time_below
    >>> time_below(curve([0, 60, 120], [58, 56, 58]), 57.0).there_s
    60.0

Knows nothing of trials. A check of food never clears it: its standing is shown, not_shown (a gap,
or closer than the instrument can tell), below (under every row or limit) or over (took longer).
Names are loaded when first used, so that importing this package costs nothing.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from trialbench.thermal.bad_figures import BadFigures
    from trialbench.thermal.bodies import (
        Heating,
        brick,
        cylinder,
        short_cylinder,
        slab,
        sphere,
        temperature_c,
        time_to_s,
    )
    from trialbench.thermal.changing import warmed
    from trialbench.thermal.cooling import check_cooling
    from trialbench.thermal.core_times import core_time, from_past_cooks, from_physics
    from trialbench.thermal.costs import served_cost
    from trialbench.thermal.curves import Curve, corrected, curve, shifted
    from trialbench.thermal.dwell import check_dwell
    from trialbench.thermal.dwell_tables import dwell_table
    from trialbench.thermal.end_point import cooking_carry_over, lowest_of
    from trialbench.thermal.food_properties import properties
    from trialbench.thermal.heat_effect import lethality, lethality_of, log_reduction, said_logs
    from trialbench.thermal.holding import check_hold
    from trialbench.thermal.instruments import tolerance_k
    from trialbench.thermal.mass import loss, mass_balance, yield_
    from trialbench.thermal.planned import PlannedStage, beside_the_plan
    from trialbench.thermal.safety_rules import cooling_rule, holding_rule
    from trialbench.thermal.softening import compare, equivalent_hours
    from trialbench.thermal.spans import (
        runs_above,
        runs_below,
        time_above,
        time_below,
        time_between,
    )
    from trialbench.thermal.stall import levels, stalls
    from trialbench.thermal.thinning import thinned
    from trialbench.thermal.warming import check_come_up, check_reheat

_HOME = {
    "BadFigures": "bad_figures",
    "Curve": "curves",
    "Heating": "bodies",
    "PlannedStage": "planned",
    "beside_the_plan": "planned",
    "brick": "bodies",
    "check_come_up": "warming",
    "check_cooling": "cooling",
    "check_dwell": "dwell",
    "check_hold": "holding",
    "check_reheat": "warming",
    "compare": "softening",
    "cooking_carry_over": "end_point",
    "cooling_rule": "safety_rules",
    "core_time": "core_times",
    "corrected": "curves",
    "curve": "curves",
    "cylinder": "bodies",
    "dwell_table": "dwell_tables",
    "equivalent_hours": "softening",
    "from_past_cooks": "core_times",
    "from_physics": "core_times",
    "holding_rule": "safety_rules",
    "lethality": "heat_effect",
    "lethality_of": "heat_effect",
    "levels": "stall",
    "log_reduction": "heat_effect",
    "loss": "mass",
    "lowest_of": "end_point",
    "mass_balance": "mass",
    "properties": "food_properties",
    "runs_above": "spans",
    "runs_below": "spans",
    "said_logs": "heat_effect",
    "served_cost": "costs",
    "shifted": "curves",
    "short_cylinder": "bodies",
    "slab": "bodies",
    "sphere": "bodies",
    "stalls": "stall",
    "temperature_c": "bodies",
    "thinned": "thinning",
    "time_above": "spans",
    "time_below": "spans",
    "time_between": "spans",
    "time_to_s": "bodies",
    "tolerance_k": "instruments",
    "warmed": "changing",
    "yield_": "mass",
}
__all__ = [
    "BadFigures",
    "Curve",
    "Heating",
    "PlannedStage",
    "beside_the_plan",
    "brick",
    "check_come_up",
    "check_cooling",
    "check_dwell",
    "check_hold",
    "check_reheat",
    "compare",
    "cooking_carry_over",
    "cooling_rule",
    "core_time",
    "corrected",
    "curve",
    "cylinder",
    "dwell_table",
    "equivalent_hours",
    "from_past_cooks",
    "from_physics",
    "holding_rule",
    "lethality",
    "lethality_of",
    "levels",
    "log_reduction",
    "loss",
    "lowest_of",
    "mass_balance",
    "properties",
    "runs_above",
    "runs_below",
    "said_logs",
    "served_cost",
    "shifted",
    "short_cylinder",
    "slab",
    "sphere",
    "stalls",
    "temperature_c",
    "thinned",
    "time_above",
    "time_below",
    "time_between",
    "time_to_s",
    "tolerance_k",
    "warmed",
    "yield_",
]


def __getattr__(name: str) -> object:
    if name not in _HOME:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"{__name__}.{_HOME[name]}"), name)

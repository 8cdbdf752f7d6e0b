"""Our number for each thermal check value (printed by `tests.thermal.digits`)."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import numpy as np

from tests.thermal.conduction_cases import CONDUCTION, by_name
from trialbench.model.quantities import c_from_f, f_from_c
from trialbench.thermal import (
    cooling_rule,
    curve,
    dwell_table,
    instruments,
    mass,
    moist_air,
    served_cost,
)
from trialbench.thermal import heat_effect as heat
from trialbench.thermal.cooling import check_cooling
from trialbench.thermal.food_properties import properties

HERE = Path(__file__).resolve().parent.parent / "reference" / "thermal"
Z_F = 5 / 9 * 10  # 10 °F as a difference


def rows(name: str) -> list[dict]:
    """The rows of a file of check values."""
    return json.loads((HERE / name).read_text(encoding="utf-8"))


def _amif(case: dict) -> float:
    minutes, temps = case["inputs"]["t_min"], [c_from_f(t) for t in case["inputs"]["T_F"]]
    # the worksheet adds trapezoids of the rate; ours is exact on straight temperatures
    return float(np.trapezoid(heat.lethal_rate(temps, c_from_f(150), Z_F), minutes))


def _z_fit(case: dict) -> float:
    table = [row for row in dwell_table("fsis_meat_7").rows if row.time_s > 0]
    return heat.z_from([row.limit.printed for row in table], [row.time_s for row in table])


def _from_anchor(case: dict) -> float:
    table = [row for row in dwell_table("fsis_meat_7").rows if row.time_s > 0]
    first = table[0]
    away = [
        abs(heat.equal_time_s(first.time_s, 130, row.limit.printed, 10) / row.time_s - 1)
        for row in table
    ]
    return max(away)


def _ramp_trapezoid(case: dict) -> float:
    """From 20 to 66 °C in 3 h, reference 60 °C, z 5.56 K: a trapezoid is a third too high."""
    minutes = np.arange(0, 181, case["inputs"]["step_min"])
    return float(np.trapezoid(heat.lethal_rate(20 + minutes * 46 / 180, 60, 5.56), minutes))


def _chill(tau_h: float, to: str) -> float:
    """Hours from the rule's upper temperature, on a log of an exponential chill every 10 s."""
    t_s = np.arange(0, 9 * 3600, 10.0)
    log = curve(t_s, 2 + 70 * np.exp(-t_s / 3600 / tau_h))
    rule = cooling_rule("fsis_option_1" if to == "80" else "us_food_code")
    windows = check_cooling(log, rule).windows
    return windows[0 if to in ("70", "80") else 1].took_s / 3600


def _mixture(case: dict) -> float:
    inputs = case["inputs"]
    found = properties(inputs["mass_fractions"], inputs["T_C"])
    quantity = case["id"].split(f"_{inputs['T_C']}_")[1]
    if quantity.startswith("alpha"):
        return 1e7 * found.alpha_parallel
    return getattr(found, quantity)


def _hold_balance(case: dict) -> float:
    return mass.mass_balance(3870, 3240, came_out_g={"bag juice": 560}).unaccounted_g


def _smoker(case: dict) -> float:
    return moist_air.wet_bulb_c(107.2, case["inputs"]["W"])


def _boils_at(case: dict) -> float:
    return moist_air.boiling_point_c(moist_air.pressure_at_pa(case["inputs"]["Z_m"]))


def _full_wet_bulb(case: dict) -> float:
    t, rh = case["inputs"]["T"], case["inputs"]["RH"] / 100
    return moist_air.wet_bulb_c(t, moist_air.humidity_ratio(t, rh))


def _example_1() -> float:
    """ASHRAE Fundamentals, example 1: 40 °C dry, 20 °C wet bulb, 101325 Pa."""
    return moist_air.ratio_from_wet_bulb(40, 20)


def _tolerance(case: dict) -> float:
    sensor, temp = case["id"].removeprefix("tol_").rsplit("_", 1)
    return instruments.tolerance_k({"T1": "T 1"}.get(sensor, sensor), float(temp))


def _pt100(case: dict) -> float:
    """Ohms at which `pt100_c` says the temperature: the inverse, found by bisection."""
    low, high = 100.0, 390.0
    while high - low > 1e-10:
        middle = (low + high) / 2
        low, high = (middle, high) if instruments.pt100_c(middle) < case["inputs"]["t"] else (
            low, middle)  # fmt: skip
    return round((low + high) / 2, 9)


Reckon = Callable[[dict], float]

OURS: dict[str, Reckon] = {
    **CONDUCTION,
    "fsis_t2_zfit_7": _z_fit,
    "fsis_t2_anchor_7": _from_anchor,
    "fsis_rule_66C": lambda case: heat.equal_time_s(6720, 130, f_from_c(66), 10),
    "fsis_158_gap": lambda case: heat.equal_time_s(6720, 130, 158, 10),
    "fao_heating": lambda case: 1.730 * 5,
    "amif_logs": lambda case: heat.log_reduction(0.862812, 0.172),
    "lethal_rate_110": lambda case: float(heat.lethal_rate(110, 121.11, 10)),
    "12D_101.1": lambda case: heat.equal_time_s(2.4, 121.1, 101.1, 10),
    "pu_62": lambda case: heat.pasteurisation_units([0, 60], [62, 62]),
    "moisture_change": lambda case: mass.constituent_change_percent(100, 72, 68, 58),
    "fat_change": lambda case: mass.constituent_change_percent(100, 72, 15, 19),
    "retention": lambda case: mass.retention_percent(100, 72, 15, 19),
    "phenol_rf": lambda case: mass.retention_percent(1, 0.95, 1, 0.42) / 100,
    "scale_u": lambda case: mass.yield_uncertainty_percent(4500, 3240, 1),
    "mass_trim_loss_pct": lambda case: mass.loss(5000, 4500, "as purchased").percent,
    "mass_stage1_loss_pct": lambda case: mass.loss(4500, 3870, "trimmed").percent,
    "mass_stage2_loss_pct": lambda case: mass.loss(3870, 3240, "smoked").percent,
    "mass_stage2_unaccounted_g": _hold_balance,
    "mass_chill_loss_pct": lambda case: mass.loss(3240, 3180, "held").percent,
    "mass_cook_yield_pct": lambda case: mass.yield_(4500, 3240, "trimmed").percent,
    "mass_cooking_loss_pct": lambda case: mass.loss(4500, 3240, "trimmed").percent,
    "mass_chained_yield": lambda case: mass.chained_yield(
        [mass.yield_(4500, 3870, "").percent, mass.yield_(3870, 3240, "").percent], "trimmed"
    ).percent / 100,
    "mass_edible_g": lambda case: mass.mass_balance(
        3180, 0, came_out_g={"bone and fat": 180}
    ).unaccounted_g,
    "mass_edible_yield_AP_pct": lambda case: mass.yield_(5000, 3000, "as purchased").percent,
    "mass_cost_per_kg_edible": lambda case: served_cost(5000, 11.5, 3000, 150).per_kg_edible,
    "mass_cost_per_150g": lambda case: served_cost(5000, 11.5, 3000, 150).per_portion,
    "mass_portions": lambda case: served_cost(5000, 11.5, 3000, 150).portions,
    "ramp_trap_20min": _ramp_trapezoid,
    "cool_135_70": lambda case: _chill(1.5, "70"),
    "cool_135_41": lambda case: _chill(1.5, "41"),
    "appB1_a": lambda case: _chill(1.5, "80"),
    "cool_tau2.0_135_70": lambda case: _chill(2.0, "70"),
    "cool_tau2.0_135_41": lambda case: _chill(2.0, "41"),
    "u_57C_vs_135F": lambda case: cooling_rule("us_food_code").windows[0].start.temp_c,
    # the rows give water alone; the rest of the composition is lean beef's
    "co_beef_alpha_series": lambda case: 1e7 * properties(
        {"water": 0.71, "protein": 0.215, "fat": 0.065, "ash": 0.01}, 52
    ).alpha_series,
    "co_cp_lean745": lambda case: properties(
        {"water": 0.745, "protein": 0.22, "fat": 0.025, "ash": 0.01}, 5
    ).cp,
    "co_water_k60": lambda case: properties({"water": 1.0}, 60).k_parallel,
    "co_water_rho60": lambda case: properties({"water": 1.0}, 60).rho,
    "boil_90k": lambda case: moist_air.boiling_point_c(90e3),
    "psat_50": lambda case: moist_air.saturation_pa(50),
    "psat_5": lambda case: moist_air.saturation_pa(5),
    "Ws_25": lambda case: moist_air.saturated_ratio(25),
    "Ws_85": lambda case: moist_air.saturated_ratio(85),
    "ashrae_ex1_tdp": lambda case: moist_air.dew_point_c(_example_1()),
    "ashrae_ex1_rh": lambda case: moist_air.relative_humidity(40, _example_1()),
    "ashrae_ex1_h": lambda case: moist_air.enthalpy_kj_per_kg(40, _example_1()),
    "ashrae_ex1_v": lambda case: moist_air.volume_m3_per_kg(40, _example_1()),
    "W_30_25": lambda case: moist_air.ratio_from_wet_bulb(30, 25, 95461),
    "twb_7_61": lambda case: moist_air.wet_bulb_c(7, moist_air.humidity_ratio(7, 0.61, 1e5), 1e5),
    "patm_-500": lambda case: moist_air.pressure_at_pa(-500),
    "smoker_W_from_room": lambda case: moist_air.humidity_ratio(20, 0.5),
    "W_needed_65": lambda case: moist_air.ratio_from_wet_bulb(107.2, 65),
    "ucum_diff": lambda case: c_from_f(42) - c_from_f(32),
}  # fmt: skip

FAMILIES: tuple[tuple[str, Reckon], ...] = (
    ("amif_F_", _amif),
    ("acmsf_", lambda case: heat.equal_time_s(2, 70, case["inputs"]["T_C"], 6)),
    ("eq70_z7.5_", lambda case: heat.equal_time_s(2, 70, case["inputs"]["T_C"], 7.5)),
    ("cook_rate_", lambda case: heat.cook_value_min([0, 60], [case["inputs"]["T_C"]] * 2)),
    ("z_", lambda case: heat.z_from(case["inputs"]["T_C"], case["inputs"]["D_min"])),
    ("co_lean_beef_", _mixture),
    ("co_fatty_beef_", _mixture),
    ("co_chicken_breast_", _mixture),
    ("smoker_twb_", _smoker),
    ("boil_alt_", _boils_at),
    ("full_twb_", _full_wet_bulb),
    ("tol_", _tolerance),
    ("F_err_", lambda case: instruments.factor_on_lethality(case["inputs"]["dT"], 5.56)),
    ("pt100_", _pt100),
)

NOT_RECKONED = {"fao_area", "roast_t", "short_cyl_fv", "stull_20_50", "stull_30_50", "ucum_66"}
"""See the README beside the files."""


def is_reckoned(case: dict) -> bool:
    """Whether the program has a number for this row."""
    return case["id"] not in NOT_RECKONED and not case["id"].startswith("dur_")


def reckoned(case: dict) -> float:
    """Our number for a row."""
    named = [found for start, found in FAMILIES if case["id"].startswith(start)]
    return (OURS.get(case["id"]) or (named[0] if named else by_name))(case)

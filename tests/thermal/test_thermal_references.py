"""Every published value that is reckoned agrees to its last written place."""

from __future__ import annotations

import csv

import pytest

from tests.thermal.digits import agreement, cases, last_place, one_term_agreements
from tests.thermal.reference_cases import HERE
from trialbench.thermal import tolerance_k
from trialbench.thermal.food_properties import properties

OWN_TOLERANCE = {
    "fv1_slab": "two numerical solvers; the properties are not in the row",
    "fv1_mean_slab": "the same",
    "fv1_cyl": "the same",
    "fv1_mean_cyl": "the same",
    "patm_-500": "printed and computed are both rounded to whole Pa in six figures",
}


@pytest.mark.parametrize("case", cases(), ids=lambda case: case["id"])
def test_our_number_is_the_right_answer(case):
    each = agreement(case)
    slack = 0.51 * last_place(each.theirs)
    if each.case in OWN_TOLERANCE:
        slack = max(slack, case["tolerance"]["atol"] + case["tolerance"]["rtol"] * abs(each.theirs))
    assert each.ours == pytest.approx(each.theirs, abs=slack, rel=0)
    if case.get("agrees"):  # where the print is wrong, or rounded too far, the row's note says so
        own = case["tolerance"]
        assert each.ours == pytest.approx(case["printed"], abs=own["atol"], rel=own["rtol"])


def test_the_one_term_table():
    for each in one_term_agreements():
        assert each.ours == pytest.approx(each.theirs, abs=0.51e-6, rel=0), each.case


def _table(name):
    with (HERE / name).open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def test_tolerances_of_the_published_table():
    names = {"RTD": "RTD {}", "TC K/N": "K {}", "TC T": "T {}", "TC J": "J {}"}
    for row in _table("rtd_thermocouple_tolerance.csv"):
        if row["sensor"] not in names:
            continue
        sensor = names[row["sensor"]].format(row["class"])
        const, slope = float(row["const_C"]), float(row["per_t"])
        for temp in (0.0, 66.0, 300.0):
            own = const + slope * temp if row["sensor"] == "RTD" else max(const, slope * temp)
            assert tolerance_k(sensor, temp) == pytest.approx(own)


def test_measured_diffusivity_of_beef_lies_between_the_bounds():
    """Beef round, 71 % water, 40 to 65 °C: 1.33e-7 m2/s (Engineering ToolBox, 2020)."""
    row = next(r for r in _table("thermal_diffusivity_foods.csv") if r["food"] == "beef, round")
    found = properties({"water": 0.71, "protein": 0.215, "fat": 0.065, "ash": 0.01}, 52.5)
    measured = 1e-7 * float(row["alpha_1e-7_m2_s"])
    assert found.alpha_series < measured < found.alpha_parallel


def test_measured_heat_capacity_of_lean_meat():
    """James and James, Meat Refrigeration, Table 13.2; the rest of the composition is taken."""
    for row in _table("specific_heat_meat.csv"):
        if row["meat"] not in ("beef, lean (74.5 % water)", "pork, lean (73.3 % water)"):
            continue
        water = float(row["meat"].split("(")[1].split(" ")[0]) / 100
        found = properties({"water": water, "protein": 0.22, "ash": 0.01, "fat": 0.77 - water}, 5)
        assert found.cp == pytest.approx(float(row["cp_kJ_kgK"]), rel=0.03)

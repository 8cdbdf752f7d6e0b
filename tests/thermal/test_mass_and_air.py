"""Mass balance, yields with their base, cost of a portion; moist air and instruments."""

from __future__ import annotations

import pytest

from trialbench.model.message import say
from trialbench.thermal import (
    BadFigures,
    instruments,
    loss,
    mass,
    mass_balance,
    moist_air,
    served_cost,
    tolerance_k,
    yield_,
)


def test_a_balance_names_its_parts_and_what_is_unaccounted():
    found = mass_balance(3870, 3240, came_out_g={"bag juice": 560})
    assert found.loss_g == 630
    assert found.parts_g == (("bag juice", 560), ("unaccounted", 70))


def test_what_goes_in_is_counted():
    found = mass_balance(1000, 1010, went_in_g={"salt": 15, "butter": 60}, came_out_g={"drip": 80})
    assert found.loss_g == 65 and found.unaccounted_g == -15


def test_a_percentage_names_its_base():
    assert say(loss(4500, 3240, "trimmed").says) == "28.0 % of trimmed"
    assert yield_(5000, 3000, "as purchased").percent == 60
    # gain: dry beans
    assert yield_(400, 872, "dry").percent == pytest.approx(218)


def test_cost_of_a_portion_has_labour_and_fuel():
    found = served_cost(5000, 11.5, 3000, 150, labour=30, fuel=6.5, other=1)
    assert found.total == pytest.approx(95)
    assert found.per_portion == pytest.approx(95 / 20) and found.whole_portions == 20
    assert served_cost(1000, 10, 899, 150).whole_portions == 5


@pytest.mark.parametrize(
    "asked",
    [
        lambda: mass_balance(0, 0),
        lambda: mass_balance(10, -1),
        lambda: mass_balance(10, 5, came_out_g={"drip": float("nan")}),
        lambda: yield_(0, 5, "raw"),
        lambda: served_cost(0, 1, 1, 1),
        lambda: served_cost(1, -1, 1, 1),
        lambda: mass.retention_percent(1, 1, 0, 1),
        lambda: moist_air.saturation_pa(-1),
        lambda: moist_air.humidity_ratio(20, 1.2),
        lambda: moist_air.humidity_ratio(100.5, 1.0),
        lambda: moist_air.dew_point_c(1e-4),
        lambda: tolerance_k("K 9", 60),
        lambda: instruments.factor_on_lethality(1, 0),
        lambda: instruments.pt100_c(50),
    ],
)
def test_what_cannot_be_is_refused(asked):
    with pytest.raises(BadFigures) as refused:
        asked()
    assert refused.value.where and refused.value.allowed


def test_evaporation_that_the_air_can_pay_for():
    """h 18, 0.20 m2, 225 °F (107.2 °C) and 65 °C: 233 g an hour (computed, Lv from memory)."""
    found = moist_air.evaporation_kg_per_h(18, 0.20, 107.2, 65)
    assert found == pytest.approx(0.233, abs=0.0006)


def test_water_boils_at_100_c_at_sea_level_by_this_equation():
    assert moist_air.boiling_point_c(101325) == pytest.approx(99.97, abs=0.01)
    assert moist_air.boiling_point_c(83.3e3) == pytest.approx(94.6, abs=0.06)  # Antoine


def test_a_pt100_is_read_back():
    assert instruments.pt100_c(138.5055) == pytest.approx(100, abs=1e-3)

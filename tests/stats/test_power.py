"""What a number of cooks can show."""

from __future__ import annotations

import numpy as np
import pytest

from trialbench.stats import BadNumbers, power


def test_smallest_differences_by_cooks():
    """The plan of the pictures: spread 0.64, power 0.8."""
    found = [round(power.smallest_difference(c, 0.64), 2) for c in range(3, 11)]
    assert found == [2.09, 1.36, 1.08, 0.92, 0.81, 0.74, 0.68, 0.64]


def test_fewest_cooks():
    assert power.fewest_cooks(0.8, 0.64) == 8
    assert power.fewest_cooks_for_width(0.4, 0.64) == 13
    assert power.fewest_cooks(0.1, 0.64) is None
    assert power.fewest_cooks(1.0, 0.0) == 2
    assert power.power(7, 0.8, 0.64) < 0.8 <= power.power(8, 0.8, 0.64)


def test_equality_multipliers_of_the_policy():
    found = [round(power.equality_multiplier(c), 2) for c in (2, 3, 4, 5, 6, 8)]
    assert found == [4.46, 1.69, 1.18, 0.95, 0.82, 0.67]
    assert power.fewest_cooks_for_equality(0.8, 0.64) == 4
    assert power.fewest_cooks_for_equality(0.05, 0.64) is None


def test_power_counts_the_far_tail_and_is_alpha_at_no_difference():
    assert power.power(4, 0.0, 1.0) == pytest.approx(0.05, abs=1e-9)
    assert power.power(4, 0.8, 1.0) == power.power(4, -0.8, 1.0)


def test_power_by_simulation():
    rng = np.random.default_rng(11)
    days = rng.normal(0.9, 0.64, (40_000, 5))
    t = days.mean(1) / days.std(1, ddof=1) * np.sqrt(5)
    share = np.mean(np.abs(t) > 2.7764451)
    assert power.power(5, 0.9, 0.64) == pytest.approx(share, abs=0.01)
    alike = rng.normal(0.0, 0.64, (40_000, 5))
    low = alike.mean(1) - 2.1318468 * alike.std(1, ddof=1) / np.sqrt(5)
    assert power.power_at_least_as_good(5, 0.8, 0.64) == pytest.approx(
        np.mean(low > -0.8), abs=0.01
    )


def test_fewest_cooks_for_at_least_as_good():
    fewest = power.fewest_cooks_at_least_as_good(0.8, 0.64)
    assert fewest is not None
    assert power.power_at_least_as_good(fewest - 1, 0.8, 0.64) < 0.8


@pytest.mark.parametrize(("cooks", "sd"), [(1, 1.0), (3, -1.0), (3, float("nan"))])
def test_what_cannot_be_planned_is_refused(cooks, sd):
    with pytest.raises(BadNumbers):
        power.power(cooks, 1.0, sd)


def test_a_small_spread_beside_the_difference_still_has_a_power():
    """Rises with the difference to 1, also where the far tail is below what scipy reaches."""
    sizes = np.geomspace(0.01, 1e6, 400)
    for cooks in (2, 3, 4, 5, 6, 8, 20, 40):
        for alpha in (0.01, 0.05, 0.1):
            found = np.array([power.power(cooks, d, 1.0, alpha) for d in sizes])
            assert np.all(np.diff(found) >= -1e-6)
            assert found[-1] == pytest.approx(1.0, abs=2e-6)


def test_fewest_cooks_where_the_spread_is_small():
    """Power 0.370 and 0.833 at 3 and 4 cooks."""
    assert power.fewest_cooks(3000.0, 771.0059712373095, 0.01) == 4
    assert power.power(3, 3000.0, 771.0059712373095, 0.01) == pytest.approx(0.36996539576839, 1e-8)
    assert power.power(4, 3000.0, 771.0059712373095, 0.01) == pytest.approx(0.83268769552751, 1e-8)

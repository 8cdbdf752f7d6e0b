"""A small version of the calibration of choices, looks and pools."""

from __future__ import annotations

import pytest

from tests.calibration import choices

LOT_NUMBER = 77


def _none_over(claims) -> None:
    found = [claim for claim in claims if claim.over]
    assert found == []


def test_choices_of_one_day_are_exact():
    claims = list(choices.one_day((6, 15)))
    _none_over(claims)
    told = {(c.claim, c.setting): c.rate for c in claims}
    assert told["can tell, nobody can", "triangle, 15 tasters"] == pytest.approx(0.0308, abs=1e-4)


def test_choices_over_days_hold_their_level_where_t_does_not():
    cells = choices.day_cells((3, 6, 8), (6,), (0.0, 1.5, 20.0), (0.7,), (0.0, 0.5))
    claims = list(choices.over_days(LOT_NUMBER, 4000, cells))
    _none_over(claims)
    worst = {c.claim: max(o.rate for o in claims if o.claim == c.claim) for c in claims}
    assert worst["(t over shares, for comparison)"] > 0.1
    assert worst["winner over days, methods alike"] > 0.01


def test_the_vectorised_rule_is_that_of_the_engine():
    import numpy as np

    from trialbench.stats import choice

    lot = np.random.default_rng(3)
    counts = lot.integers(0, 7, (40, 6))
    days = 2 * counts / 6 - 1
    found = [choice.over_cook_days(own.tolist(), [6] * 6) for own in counts]
    assert choices.flips_p(days) == pytest.approx([each.p for each in found])
    missed = choices.outside_limits(days, 0.25)
    assert missed.tolist() == [not each.low <= 0.25 <= each.high for each in found]


def test_looking_never_costs_more_than_alpha():
    claims = list(choices.ever_wrong(LOT_NUMBER, 5000, (4, 6), 12))
    _none_over(claims)
    assert max(c.rate for c in claims if c.claim.startswith("(")) > 0.15


def test_pools():
    _none_over(choices.pooled_days(LOT_NUMBER, 4000))
    _none_over(choices.pooled_effects(LOT_NUMBER, 60))


def test_the_vectorised_pool_is_that_of_the_engine():
    import numpy as np

    from trialbench.stats.pooled_days import pool_differences

    lot = np.random.default_rng(4)
    days = {"one": lot.normal(size=3), "two": lot.normal(size=5)}
    found = pool_differences(days)
    means = np.array([[own.mean() for own in days.values()]])
    within = np.array([sum(own.var(ddof=1) * (len(own) - 1) for own in days.values())])
    estimate, wide, others = choices.pooled_at_once(means, within, np.array([3, 5]))
    assert found.estimate == pytest.approx(estimate[0])
    assert found.high == pytest.approx(estimate[0] + wide[0])
    assert found.others_high == pytest.approx(estimate[0] + others[0])


def test_a_rate_over_its_nominal_is_found():
    assert choices.Claim("c", "s", 0.08, 10_000, 0.05).over
    assert not choices.Claim("c", "s", 0.052, 1000, 0.05).over
    assert not choices.Claim("c", "s", 0.9, 1000, None).over
    assert choices.Claim("c", "s", 0.051, None, 0.05).over

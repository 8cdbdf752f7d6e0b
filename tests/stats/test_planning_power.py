"""What a design can show: closed forms against R and simulation, designs at prices, pictures."""

from __future__ import annotations

import json

import numpy as np
import pandas as pd
import pytest

from tests.stats.reference_models import HERE, stored_models
from trialbench.stats.design_precision import (
    Prices,
    case_chances,
    cheapest_designs,
    power_picture,
    precision,
)
from trialbench.stats.lots import redraw
from trialbench.stats.many_trials import many_trials, redraw_speaks, redraws_below
from trialbench.stats.mixed import fit_mixed
from trialbench.stats.not_applicable import NotApplicable
from trialbench.stats.numbers import BadNumbers
from trialbench.stats.over import over_cooks
from trialbench.stats.power import power
from trialbench.stats.scatter import Scatter, TrialDesign, sd_of_cook_difference
from trialbench.stats.sign_flip import flip_p
from trialbench.stats.trial_simulation import Kitchen, Rounding, simulate_trials

SCATTER = Scatter(cook=0.4, cook_method=0.25, unit=0.35, taster=0.6, taster_method=0.3, score=0.9)


def test_power_is_that_of_the_paired_t():
    table = json.loads((HERE / "expected" / "power.json").read_text())["paired_t_power"]
    for row in table:
        lines = power_picture(1.0, [row["dz"]], [row["n_pairs"]], row["alpha"])
        assert lines[row["n_pairs"]][0] == pytest.approx(row["two_sided_strict"], rel=1e-9)


def test_chances_of_the_cases_add_up_and_agree_with_power():
    for difference in (0.0, 0.3, 1.0, -2.0):
        found = case_chances(difference, 5, 0.8, matters=0.75)
        total = (found.better_enough + found.better_size_open + found.better_too_little
                 + found.no_difference_that_matters + found.not_settled)  # fmt: skip
        assert total == pytest.approx(1, abs=1e-12)
        assert found.winner == pytest.approx(power(5, difference, 0.8), abs=1e-10)


@pytest.mark.parametrize(("cooks", "difference"), [(3, 0.0), (4, 0.5), (8, 0.75)])
def test_chances_of_the_cases_by_simulation(cooks, difference):
    scatter = Scatter(score=0.5 / np.sqrt(2))
    kitchen = Kitchen(design=TrialDesign(cooks=cooks), scatter=scatter)
    drawn = simulate_trials(kitchen, difference, 0.75, lot_number=11, trials=200_000, redraw=False)
    exact = case_chances(difference, cooks, 0.5, 0.75)
    equal = exact.no_difference_that_matters + exact.better_too_little
    for (share, error), wanted in (
        (drawn.winner, exact.winner),
        (drawn.enough, exact.better_enough),
        (drawn.equal, equal),
    ):
        assert abs(share - wanted) < 4 * error + 1e-4


def test_equality_is_impossible_at_two_cooks_unless_the_spread_is_tiny():
    never = case_chances(0.0, 2, 1.0, 0.5)
    assert never.no_difference_that_matters < 0.05
    found = precision(TrialDesign(cooks=2, tasters=6), SCATTER, 0.75)
    assert not found.equality_possible


def test_spread_of_a_cook_difference_is_what_such_trials_show():
    design = TrialDesign(cooks=6, units=2, tasters=5, servings=2)
    kitchen = Kitchen(design=design, scatter=SCATTER)
    drawn = kitchen.draw(np.random.default_rng(3), 20_000, 1.0)
    spread = drawn.differences.mean(axis=2).var(axis=1, ddof=1).mean() ** 0.5
    assert spread == pytest.approx(sd_of_cook_difference(SCATTER, design), rel=0.01)


def test_precision_of_a_design():
    found = precision(TrialDesign(cooks=6, tasters=6), SCATTER, 0.75)
    drawn = simulate_trials(
        Kitchen(design=found.design, scatter=SCATTER), 0.75, 0.75, lot_number=4, trials=100_000
    )
    assert found.half_width == pytest.approx(drawn.half_width, rel=0.01)
    assert found.chance_of_winner == pytest.approx(drawn.winner[0], abs=5 * drawn.winner[1])
    assert found.panel_half_width > found.half_width
    assert power(6, found.smallest_difference, found.sd) == pytest.approx(0.8, abs=1e-9)
    assert drawn.winner_others[0] < drawn.winner[0]
    assert precision(TrialDesign(cooks=6), SCATTER, 0.75).panel_half_width is None


def test_trials_with_one_cook_or_no_scatter_have_nothing_to_plan():
    assert isinstance(precision(TrialDesign(cooks=1), SCATTER, 1), NotApplicable)
    assert isinstance(precision(TrialDesign(cooks=3), Scatter(), 1), NotApplicable)
    one = Kitchen(design=TrialDesign(cooks=1), scatter=SCATTER)
    assert isinstance(simulate_trials(one, 0, 1, lot_number=1), NotApplicable)


def test_many_trials_are_the_comparison_over_cooks_one_by_one():
    lot = np.random.default_rng(17)
    differences = lot.normal(size=(5, 4, 5)).round(1)
    there = lot.random((4, 5)) < 0.8
    for step in (0.0, 2.0):
        for pattern in (None, there):
            found = many_trials(differences, pattern, step)
            others = found.others(0.05)
            for trial in range(5):
                rows = [
                    (f"C{k}", f"T{t}", method, differences[trial, k, t] if method == "A" else 0.0)
                    for k in range(4)
                    for t in range(5)
                    for method in "AB"
                    if pattern is None or pattern[k, t]
                ]
                frame = pd.DataFrame(rows, columns=["cook", "taster", "method", "score"])
                direct = over_cooks(
                    frame, "score", "method", "cook", taster="taster", step=step or None
                )
                assert found.estimate[trial] == pytest.approx(direct.estimate, rel=1e-12)
                assert found.these(0.05)[trial] == pytest.approx(
                    direct.high - direct.estimate, rel=1e-10
                )
                assert others[trial] == pytest.approx(
                    direct.others.high - direct.others.estimate, rel=1e-9
                )


def test_sign_flips_of_many_trials_are_the_exact_ones():
    days = np.random.default_rng(2).normal(0.6, 1, size=(30, 7)).round(2)
    wanted = [flip_p(row.tolist(), None) <= 0.05 for row in days]
    halves = np.stack([days, 0 * days], axis=2)[..., None]
    assert redraws_below(halves, 0.05, np.random.default_rng(1)).tolist() == wanted
    assert any(wanted)
    assert not all(wanted)


def test_redraws_of_two_units_a_day_are_those_of_the_redraw_test():
    lot = np.random.default_rng(12)
    means = lot.normal(size=(12, 3, 2, 2)).round(1)
    means[:, :, 0] += 1.2
    found = redraws_below(means, 0.05, lot)
    for trial, below in zip(means, found, strict=True):
        values = trial.reshape(3, 4).ravel().tolist()
        p = redraw(values, list("AABB") * 3, [k for k in "xyz" for _ in range(4)], seed=1).p
        assert below == (p <= 0.05)
    assert 0 < found.sum() < 12
    assert redraw_speaks(7, 1, 0.05)
    assert not redraw_speaks(6, 1, 0.05)
    assert redraw_speaks(3, 2, 0.05)


@pytest.mark.parametrize(("cooks", "units"), [(7, 1), (3, 2)])
def test_the_redraw_test_only_takes_winners_away(cooks, units):
    kitchen = Kitchen(design=TrialDesign(cooks=cooks, units=units, tasters=6), scatter=SCATTER)
    plain = simulate_trials(kitchen, 0.8, 0.75, lot_number=5, trials=8_000, redraw=False)
    heard = simulate_trials(kitchen, 0.8, 0.75, lot_number=5, trials=8_000)
    assert heard.redraw
    assert not plain.redraw
    assert heard.winner[0] < plain.winner[0] + 3 * plain.winner[1]
    assert heard.winner[0] > 0.5 * plain.winner[0]


def test_many_assignments_are_drawn():
    lot = np.random.default_rng(2)
    means = lot.normal(size=(40, 6, 2, 2))
    means[20:, :, 0] += 3
    found = redraws_below(means, 0.05, lot)
    assert found[20:].all()
    assert found[:20].mean() < 0.3


def test_simulation_is_repeatable_and_counts_rounding_gaps_and_skew():
    design = TrialDesign(cooks=4, units=2, tasters=4)
    scale = Rounding(low=1, high=9, step=1, middle=8)
    kitchen = Kitchen(design=design, scatter=SCATTER, scale=scale, missing=0.2, skewed=True)
    one = simulate_trials(kitchen, 0.5, 0.75, lot_number=9, trials=8_000)
    assert one == simulate_trials(kitchen, 0.5, 0.75, lot_number=9, trials=8_000)
    assert one != simulate_trials(kitchen, 0.5, 0.75, lot_number=10, trials=8_000)
    assert 0 < one.winner[0] < 1
    assert one.lot_number == 9


def test_cheapest_designs_reach_their_chance_and_one_cook_day_less_does_not():
    found = cheapest_designs(SCATTER, Prices(cook_day=40, piece=15, taster=5), 0.75)
    prices = [each.price for each in found]
    assert prices == sorted(prices)
    for each in found:
        design = each.design
        assert each.chance >= 0.8
        sd = sd_of_cook_difference(SCATTER, design)
        assert design.cooks == 2 or power(design.cooks - 1, 0.75, sd) < 0.8
        assert each.price == design.cooks * (40 + 2 * design.units * 15 + design.tasters * 5)
    dear = cheapest_designs(SCATTER, Prices(cook_day=40, piece=200, taster=5), 0.75)[0]
    assert dear.design.units == 1
    for each in cheapest_designs(SCATTER, Prices(40, 15, 5), 0.75, equality=True):
        sd = sd_of_cook_difference(SCATTER, each.design)
        fewer = case_chances(0.0, each.design.cooks - 1, sd, 0.75)
        assert each.chance >= 0.8 > fewer.no_difference_that_matters + fewer.better_too_little
    none = cheapest_designs(SCATTER, Prices(40, 15, 5), 0.05, most_cooks=5)
    assert isinstance(none, NotApplicable)


def test_scatter_of_a_fitted_model():
    known = stored_models()["sim_crossed"]
    fit = fit_mixed(known.frame, known.fixed, known.random)
    found = Scatter.of_fit(fit, method="method", taster="taster", cook="cook", unit="piece")
    assert found.unit**2 == pytest.approx(fit.variances["piece"])
    assert found.taster_method**2 == pytest.approx(fit.variances["taster:method"])
    assert found.score**2 == pytest.approx(fit.variances["residual"])
    assert found.cook_method == 0


@pytest.mark.parametrize(
    "call",
    [
        lambda: Scatter(unit=-1),
        lambda: TrialDesign(cooks=0),
        lambda: TrialDesign(cooks=2, tasters=-1),
        lambda: precision(TrialDesign(cooks=3), SCATTER, 0),
        lambda: precision(TrialDesign(cooks=3), SCATTER, 1, wanted=1.2),
        lambda: case_chances(0, 1, 1, 1),
        lambda: case_chances(0, 3, 0, 1),
        lambda: Rounding(low=9, high=1, step=1, middle=5),
        lambda: Kitchen(design=TrialDesign(cooks=2), scatter=SCATTER, missing=1),
        lambda: cheapest_designs(SCATTER, Prices(1, 1), -1),
        lambda: simulate_trials(
            Kitchen(design=TrialDesign(cooks=2), scatter=SCATTER), 0, 1, lot_number=1, trials=0
        ),
    ],
)
def test_bad_plans_are_refused(call):
    with pytest.raises(BadNumbers) as caught:
        call()
    assert caught.value.allowed

"""Heat effects, cooking carry-over, stalls, planned against logged, softening, core times."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from trialbench.model.message import say
from trialbench.thermal import (
    BadFigures,
    Heating,
    PlannedStage,
    beside_the_plan,
    brick,
    compare,
    cooking_carry_over,
    core_time,
    curve,
    cylinder,
    equivalent_hours,
    from_past_cooks,
    from_physics,
    lethality,
    lethality_of,
    levels,
    log_reduction,
    lowest_of,
    said_logs,
    short_cylinder,
    slab,
    sphere,
    stalls,
    temperature_c,
    time_to_s,
    warmed,
)
from trialbench.thermal.bodies import biot, mean_temperature_c
from trialbench.thermal.conduction import eigenvalues, one_term_theta, theta
from trialbench.thermal.core_times import H_W_M2_K


def steps(*points):
    """A log with a reading a minute through (hours, °C)."""
    hours, temps = zip(*points, strict=True)
    t = np.arange(0, hours[-1] * 3600 + 1, 60.0)
    return curve(t, np.interp(t / 3600, hours, temps))


def test_a_straight_ramp_is_exact_however_few_the_readings():
    """20 to 66 °C in 3 h at 60 °C, z 5.56 K: z / (ln 10 x slope) x (L2 - L1), 113.37 min."""
    exact = 5.56 / math.log(10) / (46 / 180) * (10 ** (6 / 5.56) - 10 ** (-40 / 5.56))
    assert exact == pytest.approx(113.37, abs=0.01)
    for n in (2, 10, 10_801):
        t = np.linspace(0, 180, n)
        assert lethality(t * 60, 20 + t * 46 / 180, 60, 5.56) / 60 == pytest.approx(exact, rel=1e-9)


@given(st.lists(st.floats(-20, 120), min_size=2, max_size=8), st.floats(20, 80), st.floats(3, 40))
def test_a_history_cut_in_two_adds_up_and_a_level_one_is_time_times_rate(temps, ref, z):
    t = np.arange(len(temps)) * 60.0
    whole = lethality(t, temps, ref, z)
    cut = len(temps) // 2
    parts = lethality(t[: cut + 1], temps[: cut + 1], ref, z) + lethality(t[cut:], temps[cut:],
                                                                          ref, z)  # fmt: skip
    assert whole == pytest.approx(parts, rel=1e-9)
    level = lethality([0, 60], [temps[0], temps[0]], ref, z)
    assert level == pytest.approx(60 * 10 ** ((temps[0] - ref) / z), rel=1e-9)


def test_a_gap_adds_nothing_and_is_counted():
    log = curve([0, 60, 120, 3000, 3060], [66.0] * 5)
    found = lethality_of(log, 66, 5.56)
    assert (found.equal_s, found.not_shown_s) == (180, 2880)
    assert lethality_of(log, 66, 5.56, 30, 90).equal_s == pytest.approx(60)
    assert lethality_of(log, 66, 5.56, 200, 300).not_shown_s == 100


@pytest.mark.parametrize(
    ("t", "c", "z"),
    [([0, 1], [1], 5), ([0, 1], [1, np.nan], 5), ([1, 0], [1, 1], 5), ([0, 1], [1, 1], 0)],
)
def test_lethality_refuses_what_is_no_history(t, c, z):
    with pytest.raises(BadFigures):
        lethality(t, c, 66, z)


def test_logs_above_seven_are_not_counted():
    assert say(said_logs(log_reduction(860.0, 60.0))) == "7 or more"
    assert say(said_logs(log_reduction(150.0, 60.0))) == "2.5"
    with pytest.raises(BadFigures):
        log_reduction(1, 0)


def test_the_finish_counts_for_more_than_six_hours_of_hold():
    """Common practice, no source: smoke to about 74 °C, finish 3 h to about 95 °C, hold 14 h at
    66 °C renders more collagen than smoke to 74 °C and 20 h at 66 °C without the finish."""
    finished = steps((0, 5), (6, 74), (8, 90), (9, 95), (10, 66), (24, 66))
    held = steps((0, 5), (6, 74), (7, 66), (27, 66))
    found = compare(finished, held)
    assert found.more == "a" and compare(held, finished).more == "b"
    assert all(x > y for x, y in zip(found.a.hours, found.b.hours, strict=True))


def test_an_order_that_flips_with_z_cannot_be_said():
    short_hot, long_low = steps((0, 90), (1, 90)), steps((0, 66), (11, 66))
    assert compare(short_hot, long_low).more == "cannot_say"
    assert compare(long_low, long_low).more == "cannot_say"
    broken = curve([0, 60, 9000, 9060], [95.0] * 4)
    assert compare(broken, steps((0, 60), (0.1, 60))).more == "cannot_say"
    assert equivalent_hours(steps((0, 66), (2, 66))).hours == pytest.approx((2, 2, 2))
    with pytest.raises(BadFigures):
        compare(curve([0], [60]), long_low)


def test_the_lowest_of_several_pokes_is_the_core():
    found = lowest_of([93.5, 91.0, 95.2])
    assert (found.lowest_c, found.highest_c, found.count) == (91.0, 95.2, 3)
    assert found.spread_c == pytest.approx(4.2)
    for bad in ([], [90.0, float("nan")]):
        with pytest.raises(BadFigures):
            lowest_of(bad)


def test_cooking_carry_over_from_pull_to_peak():
    log = steps((0, 20), (1, 60), (1.2, 66), (2, 55))
    found = cooking_carry_over(log, 3600)
    assert (found.pull_c, found.peak_c) == pytest.approx((60, 66))
    assert found.rise_c == pytest.approx(6) and found.after_s == pytest.approx(720)
    assert not found.still_rising and found.not_shown_s == 0
    early = cooking_carry_over(log, 3600, until_s=3600 + 300)
    assert early.still_rising and early.peak_c < 66
    assert cooking_carry_over(log, -5) is None
    gap = curve([0, 60, 4000, 4060], [60.0, 61, 64, 63])
    assert cooking_carry_over(gap, 0).not_shown_s == 3940


def test_a_stall_is_found_where_the_core_stands_still():
    log = steps((0, 5), (4, 68), (7, 70), (9, 92), (9.5, 92.5))
    (found,) = stalls(log, slope_c_per_h=2.0, for_s=3600)
    assert found.start_s == pytest.approx(4 * 3600, abs=600)
    assert found.end_s == pytest.approx(7 * 3600, abs=600)
    assert found.rose_again and found.length_s > 2.5 * 3600
    assert (found.start_c, found.end_c) == pytest.approx((68, 70), abs=2)
    held = steps((0, 5), (2, 66), (6, 66))
    assert [s.rose_again for s in stalls(held)] == [False]
    assert stalls(steps((0, 5), (6, 95))) == ()
    with pytest.raises(BadFigures):
        stalls(log, for_s=0)


def test_noise_is_no_slope():
    log = steps((0, 5), (4, 68), (7, 70), (9, 92))
    noisy = curve(log.time_s, log.temp_c + 0.1 * np.sign(np.sin(np.arange(len(log)))))
    (found,) = stalls(noisy, slope_c_per_h=2.5)
    assert found.length_s > 2.5 * 3600


def test_levels_are_the_stages_that_stand_in_an_air_log():
    air = steps((0, 20), (0.5, 120), (8, 121), (8.2, 65), (16, 65.5), (16.2, 20))
    found = levels(air)
    assert [round(level.mean_c) for level in found] == [120, 65]
    assert found[1].length_s == pytest.approx(7.8 * 3600, rel=0.05)
    with pytest.raises(BadFigures):
        levels(air, within_c=0)


def test_planned_against_logged_adds_up_to_the_stage():
    air = steps((0, 20), (1, 120), (4, 120), (4.5, 140), (5, 120), (6, 120))
    found = beside_the_plan(air, PlannedStage(120, 0, 7 * 3600, under_c=5, over_c=10))
    assert found.under_s == pytest.approx(3600 * 95 / 100)
    assert found.over_s == pytest.approx(1800)
    assert found.not_shown_s == pytest.approx(3600)
    assert found.within_s + found.outside_s + found.not_shown_s == pytest.approx(7 * 3600)
    assert (found.lowest_c, found.highest_c) == (20, 140)
    assert found.reached_after_s == pytest.approx(3600 * 95 / 100)
    from_above = beside_the_plan(air, PlannedStage(66, 4.4 * 3600, 5 * 3600, over_c=60))
    assert from_above.reached_after_s == pytest.approx(1800 * (14 / 20) + 360, abs=60)
    nowhere = beside_the_plan(air, PlannedStage(120, 8 * 3600, 9 * 3600))
    assert nowhere.not_shown_s == 3600 and nowhere.mean_c is None
    for bad in ({"end_s": 0}, {"under_c": 0, "over_c": 0}, {"under_c": -1}):
        with pytest.raises(BadFigures):
            PlannedStage(**{"set_c": 120, "start_s": 0, "end_s": 9, **bad})


def test_full_series_and_one_term_meet_where_one_term_does():
    for shape in ("slab", "cylinder", "sphere"):
        assert one_term_theta(shape, 3.0, 0.6) == pytest.approx(theta(shape, 3.0, 0.6), rel=2e-4)
        assert theta(shape, 3.0, 0.0) == 1.0
        assert theta(shape, 3.0, 1e-3) == pytest.approx(1.0, abs=1e-9)
    with pytest.raises(BadFigures, match="one term"):
        one_term_theta("slab", 3.0, 0.1)
    with pytest.raises(BadFigures):
        eigenvalues("cube", 1.0, 1)
    for bad in ((-1.0, 0.0), (0.1, 1.5)):
        with pytest.raises(BadFigures):
            theta("slab", 1.0, *bad)


def test_an_endless_coefficient_is_a_fixed_surface():
    assert eigenvalues("slab", math.inf, 2) == pytest.approx([math.pi / 2, 3 * math.pi / 2])
    assert eigenvalues("cylinder", math.inf, 1) == pytest.approx([2.404826], abs=1e-6)
    assert eigenvalues("sphere", math.inf, 1) == pytest.approx([math.pi], abs=1e-6)


H = Heating(5, 60, 100, 0.48, 1.3e-7)


def test_core_times_of_thirty_millimetres():
    """To within 1 % of the step, full minutes begun: slab 96, cylinder 44, sphere 28 min."""
    found = [time_to_s(body(0.03), H, 5 + 0.99 * 55) / 60 for body in (slab, cylinder, sphere)]
    assert [math.ceil(minutes) for minutes in found] == [96, 44, 28]


def test_time_and_temperature_are_inverse_and_products_go_to_their_limits():
    for body in (slab(0.05), brick(0.2, 0.1, 0.05), short_cylinder(0.08, 0.1), sphere(0.06)):
        t = time_to_s(body, H, 50)
        assert temperature_c(body, H, t) == pytest.approx(50, abs=1e-6)
        assert mean_temperature_c(body, H, t) > 50
    long = temperature_c(short_cylinder(0.06, 5.0), H, 2400)
    assert long == pytest.approx(temperature_c(cylinder(0.06), H, 2400), abs=1e-9)
    assert temperature_c(brick(0.06, 3, 3), H, 2400, [1, 0, 0]) == pytest.approx(
        temperature_c(slab(0.06), H, 2400, [1.0]), abs=1e-9
    )
    assert biot(slab(0.06), H) == pytest.approx((6.25,))


def test_a_core_that_never_comes_is_said():
    with pytest.raises(BadFigures, match="never comes"):
        time_to_s(slab(0.03), H, 61)
    assert time_to_s(slab(0.03), H, 5) == 0
    for bad in ((0, 0.5, 1e-7), (10, -1, 1e-7), (10, 0.5, math.inf)):
        with pytest.raises(BadFigures):
            Heating(5, 60, *bad)
    with pytest.raises(BadFigures):
        slab(0)
    with pytest.raises(BadFigures):
        temperature_c(brick(1, 1, 1), H, 5, [0.0])


@pytest.mark.parametrize("shape", ["slab", "cylinder", "sphere"])
def test_the_solver_meets_the_series_in_constant_surroundings(shape):
    body = {"slab": slab, "cylinder": cylinder, "sphere": sphere}[shape](0.06)
    found = warmed(shape, 0.03, [0, 3600], [60, 60], start_c=5, h=100, k=0.48, alpha=1.3e-7)
    for place in (400, 1000, 2000):
        t = float(found.time_s[place])
        assert found.core_c[place] == pytest.approx(temperature_c(body, H, t), abs=0.005)
        assert found.mean_c[place] == pytest.approx(mean_temperature_c(body, H, t), abs=0.005)
        assert found.surface_c[place] == pytest.approx(temperature_c(body, H, t, [1.0]), abs=0.01)


def test_the_solver_meets_superposed_series_in_changing_surroundings():
    """Two steps of the bath, an hour apart: the answers of the series add (it is linear)."""
    t = [0, 3600, 3600.0001, 7200]
    found = warmed("slab", 0.03, t, [60, 60, 80, 80], start_c=5, h=100, k=0.48, alpha=1.3e-7,
                   steps=7200)  # fmt: skip
    first = temperature_c(slab(0.06), H, 7200)
    second = temperature_c(slab(0.06), Heating(0, 20, 100, 0.48, 1.3e-7), 3600)
    assert found.core_c[-1] == pytest.approx(first + second, abs=0.02)
    for bad in (
        {"shape": "egg"}, {"time_s": [0]}, {"around_c": [1, math.nan]}, {"size_m": 0},
        {"time_s": [1, 0]},
    ):  # fmt: skip
        given = {"shape": "slab", "size_m": 0.03, "time_s": [0, 1], "around_c": [1, 2], **bad}
        with pytest.raises(BadFigures):
            warmed(**given, start_c=5, h=1, k=1, alpha=1e-7)


def test_core_time_comes_from_past_cooks_first_and_is_a_band():
    past = [(2400, 36000), (2500, 39600), (2300, 37200), (5000, 70000)]
    found = from_past_cooks(2400, past)
    assert found.cooks == 3 and found.low_s < 36000 < 39600 < found.high_s
    # t(0.9, 2) = 1.885618: a band of eight in ten for one more, on logarithms
    logs = np.log([36000, 39600, 37200])
    wide = 1.8856181 * logs.std(ddof=1) * math.sqrt(4 / 3)
    assert math.log(found.high_s / found.low_s) == pytest.approx(2 * wide, rel=1e-6)
    assert from_past_cooks(2400, past[2:]) is None
    physics = from_physics(slab(0.06), start_c=4, around_c=66, core_c=60,
                           h=H_W_M2_K["stirred water bath"])  # fmt: skip
    assert physics.low_s < time_to_s(slab(0.06), Heating(4, 66, 150, 0.48, 1.3e-7), 60)
    assert physics.high_s > time_to_s(slab(0.06), Heating(4, 66, 150, 0.48, 1.3e-7), 60)
    assert core_time(2400, past, physics) == found
    assert core_time(9000, past, physics) is physics
    assert "from 3 cooks of about this weight" in say(found.says)
    assert "rough band" in say(physics.says)
    with pytest.raises(BadFigures):
        from_past_cooks(0, past)

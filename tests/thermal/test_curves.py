"""Curves, gaps, adjustments, time on either side of a limit, thinning: exact answers."""

from __future__ import annotations

import numpy as np
import pytest

from trialbench.thermal import (
    BadFigures,
    Curve,
    check_hold,
    corrected,
    curve,
    holding_rule,
    lethality_of,
    runs_above,
    runs_below,
    shifted,
    thinned,
    time_above,
    time_below,
    time_between,
)
from trialbench.thermal.curves import Gap, usual_longest_step_s


def day() -> Curve:
    """An invented log of 24 h, a reading a minute, with exact answers.

    5 to 65 °C in 4 h, 65 °C for 14 h with a dip to 55 and back (10 min each way) from 10 h, no
    reading for 1 h from 12 h, then down to 5 °C in 6 h.
    """
    t = np.arange(0, 24 * 60 + 1) * 60.0
    c = np.interp(t / 3600, [0, 4, 10, 10 + 1 / 6, 10 + 2 / 6, 18, 24], [5, 65, 65, 55, 65, 65, 5])
    c[(t > 12 * 3600) & (t < 13 * 3600)] = np.nan
    return curve(t, c)


def test_times_of_the_day_are_exact():
    log = day()
    spent = time_below(log, 60.0)
    # up 55/60 of 4 h, down 5/60.. of the way: 5.5 h, the dip 5 min either side
    assert spent.there_s == pytest.approx(3600 * (4 * 55 / 60 + 6 * 55 / 60) + 600, abs=1e-6)
    assert spent.not_shown_s == pytest.approx(3600)
    assert spent.whole_s == pytest.approx(24 * 3600)
    above = time_above(log, 60.0)
    assert above.there_s == pytest.approx(spent.elsewhere_s)
    between = time_between(log, 20.0, 50.0, 0, 4 * 3600)
    assert between.there_s == pytest.approx(2 * 3600)


def test_the_dip_is_one_run_and_the_gap_another_kind_of_thing():
    log = day()
    dip = next(run for run in runs_below(log, 60.0) if not run.from_edge and not run.to_edge)
    assert (dip.start_s, dip.end_s) == pytest.approx((36000 + 300, 36000 + 900))
    assert log.gaps == (Gap(43200.0, 46800.0),)
    runs = runs_above(log, 65.0)
    assert [(run.from_edge, run.to_edge) for run in runs] == [(False, False), (False, True),
                                                              (True, False)]  # fmt: skip


def test_a_reading_at_the_limit_is_not_below_it():
    log = curve([0, 60], [57.0, 57.0])
    assert time_below(log, 57.0).there_s == 0
    assert runs_below(log, 57.0) == ()
    assert len(runs_above(log, 57.0)) == 1


def test_a_window_outside_the_log_is_not_shown():
    log = curve([0, 60, 120], [60, 60, 60])
    spent = time_above(log, 50, -60, 240)
    assert (spent.there_s, spent.not_shown_s) == (120, 180)
    assert time_above(log, 50, 500, 600).not_shown_s == 100


def test_nothing_is_read_across_a_gap():
    log = day()
    assert log.at(12.5 * 3600) is None
    assert log.at(-1) is None
    assert log.at(90) == pytest.approx(5 + 60 * 90 / 14400)
    part = log.between(12.5 * 3600, 14 * 3600)
    assert part is not None and part.start_s == 13 * 3600
    assert log.between(12.2 * 3600, 12.8 * 3600) is None
    cut = log.between(30, 90)
    assert cut is not None and list(cut.time_s) == [30, 60, 90]


def test_the_usual_step_decides_what_a_gap_is():
    assert usual_longest_step_s([0, 10, 20, 30]) == 60
    assert usual_longest_step_s([0, 90, 180]) == 270
    assert usual_longest_step_s([0, 7200, 14400]) == 1800
    assert curve([0, 10, 200], [1, 1, 1], longest_step_s=300).gaps == ()
    assert curve([0, 300, 600], [1, 1, 1], longest_step_s=299).gaps[0].length_s == 300


def test_adjustments_are_seen_and_taken_back():
    log = curve([0, 60], [57.3, 58.3])
    moved = corrected(shifted(log, 3600, "summer time"), -0.6, "ice water 0.6, 3 May")
    assert list(moved.time_s) == [3600, 3660]
    assert moved.temp_c[0] == pytest.approx(56.7)
    assert [(a.kind, a.by, a.why) for a in moved.adjustments] == [
        ("clock", 3600, "summer time"), ("probe", -0.6, "ice water 0.6, 3 May")]  # fmt: skip
    back = moved.as_logged()
    assert back.temp_c == pytest.approx(log.temp_c)
    assert list(back.time_s) == [0, 60] and back.adjustments == ()


def test_nobody_writes_to_a_curve():
    log = curve([0, 60], [1, 2])
    with pytest.raises(ValueError, match="read-only"):
        log.temp_c[0] = 5


@pytest.mark.parametrize(
    ("time_s", "temp_c", "where"),
    [
        ([0, 1], [1], "time_s, temp_c"),
        ([0, 0], [1, 2], "time_s[1]"),
        ([1, 0], [1, 2], "time_s[1]"),
        ([0, np.nan], [1, 2], "time_s"),
        ([0, 1], [np.nan, np.nan], "temp_c"),
        ([0, 1], [1, -300], "temp_c"),
        ([0, 1], [1, np.inf], "temp_c"),
        (["a"], [1], "time_s"),
        ([[0]], [[1]], "time_s"),
    ],
)
def test_bad_figures_are_refused_by_name(time_s, temp_c, where):
    with pytest.raises(BadFigures) as refused:
        curve(time_s, temp_c)
    assert refused.value.where == where and refused.value.allowed


def test_a_window_or_step_without_sense_is_refused():
    with pytest.raises(BadFigures):
        day().between(10, 5)
    with pytest.raises(BadFigures):
        curve([0, 1], [1, 2], longest_step_s=0)
    with pytest.raises(BadFigures):
        thinned(day(), 3)


def test_thinning_keeps_every_peak_dip_and_gap():
    rng = np.random.default_rng(7)
    t = np.arange(200_000) * 1.0
    c = 60 + np.sin(t / 4000) + rng.normal(0, 0.05, len(t))
    c[123_456], c[77_777] = 250.0, -20.0
    t[150_000:] += 7200
    log = curve(t, c)
    few = thinned(log, 2000)
    assert len(few) <= 2004
    assert few.temp_c.max() == 250.0 and few.temp_c.min() == -20.0
    assert few.time_s[few.temp_c == 250.0][0] == 123_456.0
    assert few.gaps == log.gaps
    assert (few.start_s, few.end_s) == (log.start_s, log.end_s)
    assert thinned(few, 5000) is few


def test_instants_of_utc_leave_no_rest_that_is_not_shown():
    t = 1_743_292_320.123 + np.arange(0, 40_000) * 0.7
    log = curve(t, 60 + np.sin(t))
    for spent in (time_below(log, 60.2), time_above(log, 60.2, t[5] + 0.1, t[-9] - 0.2)):
        assert spent.not_shown_s == 0
    assert check_hold(log, holding_rule("us_food_code")).standing == "shown"
    assert lethality_of(log, 60, 7).not_shown_s == 0

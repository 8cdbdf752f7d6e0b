"""Logs laid beside the published tables: shown, not shown, below, over, and never more."""

from __future__ import annotations

import csv

import numpy as np
import pytest

from trialbench import paths
from trialbench.model.message import say
from trialbench.model.quantities import c_from_f
from trialbench.thermal import (
    BadFigures,
    check_come_up,
    check_cooling,
    check_dwell,
    check_hold,
    check_reheat,
    cooling_rule,
    curve,
    dwell_table,
    holding_rule,
)
from trialbench.thermal.dwell_tables import TABLES
from trialbench.thermal.safety_rules import cooling_rules, holding_rules

MEAT = dwell_table("fsis_meat_6.5")


def flat(temp_c, minutes, step_s=10.0):
    t = np.arange(0, minutes * 60 + step_s / 2, step_s)
    return curve(t, np.full(len(t), temp_c))


def test_tables_are_those_that_were_read():
    """Rows picked from FSIS-GD-2021-14 (Tables 2, 3, 4, 6), Food Code 3-401.11(B), UK lists."""
    picked = {
        ("fsis_meat_6.5", 145): 240, ("fsis_meat_7", 130): 7260, ("fsis_meat_5", 150): 52,
        ("food_code_roasts", 140): 720, ("uk_general", 65): 600, ("uk_burgers", 65): 816,
    }  # fmt: skip
    for (name, temp), seconds in picked.items():
        row = next(r for r in dwell_table(name).rows if r.limit.printed == temp)
        assert row.time_s == seconds
    chicken = {r.limit.printed: r.time_s for r in dwell_table("fsis_chicken_7", fat_pct=3).rows}
    assert (chicken[145], chicken[161], chicken[162]) == (522, 11.2, 0)
    turkey = {r.limit.printed: r.time_s for r in dwell_table("fsis_turkey_7").rows}
    assert (turkey[136], turkey[165]) == (4248, 0)


@pytest.mark.parametrize("name", TABLES)
def test_every_table_falls_with_temperature_and_is_cited(name):
    table = dwell_table(name)
    times = [row.time_s for row in table.rows]
    temps = [row.limit.temp_c for row in table.rows]
    assert times == sorted(times, reverse=True) and temps == sorted(temps)
    assert len(say(table.cited)) > 30


def test_fat_takes_the_next_column_up_and_unknown_fat_the_last():
    at = {fat: dwell_table("fsis_chicken_7", fat_pct=fat).rows[0].time_s
          for fat in (0, 2.1, 3, 12, 30, None)}  # fmt: skip
    assert (at[0], at[2.1], at[3], at[12], at[30], at[None]) == (
        3798, 3942, 3942, 4884, 4884, 4884)  # fmt: skip
    with pytest.raises(BadFigures):
        dwell_table("fsis_turkey_7", fat_pct=-1)
    with pytest.raises(BadFigures, match="No table"):
        dwell_table("nothing")


def test_rows_and_the_line_between_them():
    assert MEAT.row_at(c_from_f(150.8)).time_s == 67
    # THERMAL check: 66 °C lies between the rows 67 s and 54 s
    assert MEAT.time_between_rows_s(66.0) == pytest.approx(67**0.2 * 54**0.8)
    assert MEAT.time_between_rows_s(c_from_f(157.5)) == 14
    assert MEAT.row_at(50.0) is None and MEAT.time_between_rows_s(50.0) is None


def test_a_row_is_shown_by_its_longest_unbroken_run_in_fahrenheit():
    at_145 = flat(c_from_f(145), 4.0)
    found = check_dwell(at_145, MEAT)
    assert found.standing == "shown" and found.nearest.row.limit.printed == 145
    assert say(found.says) == (
        "The log shows 145 °F (62.8 °C) or more for 4 min; the table's row asks for 4 min."
    )
    # 62.75 °C rounds to the printed 62.8, and is below 145 °F
    assert check_dwell(flat(62.75, 4.5), MEAT).standing == "below"
    assert "Table 2, page 35" in say(found.cited)


def test_two_halves_do_not_make_a_run():
    t = np.arange(0, 361, 10.0)
    c = np.where((t > 150) & (t < 210), 60.0, c_from_f(145) + 0.2)
    found = check_dwell(curve(t, c), MEAT)
    assert found.standing == "below"
    assert "Below the table's row" in say(found.says)


def test_the_instrument_is_taken_off_first():
    log = flat(c_from_f(146), 5)
    assert check_dwell(log, MEAT).standing == "shown"
    assert check_dwell(log, MEAT, tolerance_c=1.5).standing == "below"


def test_a_gap_near_the_row_cannot_be_said_and_far_from_it_does_not_matter():
    t = np.array([*np.arange(0, 150, 10.0), *np.arange(270, 400, 10.0)])
    near = curve(t, np.full(len(t), c_from_f(145)))
    assert check_dwell(near, MEAT).standing == "not_shown"
    assert "not shown" in say(check_dwell(near, MEAT).says)
    cold = curve(t, np.full(len(t), 20.0))
    assert check_dwell(cold, MEAT).standing == "below"
    assert "was not reached" in say(check_dwell(cold, MEAT).says)
    assert check_dwell(cold, MEAT, start_s=160, end_s=200).standing == "not_shown"


def test_an_instant_row_needs_only_to_be_reached():
    log = curve([0, 60, 120], [60, c_from_f(158), 60])
    assert check_dwell(log, MEAT).standing == "shown"
    # the step of the table: just under 158 °F it asks for 14 s at 157 °F
    assert check_dwell(curve([0, 60, 120], [60, 69.9, 60]), MEAT).standing == "below"


def test_holding_dips_are_counted_with_their_length_and_depth():
    t = np.arange(0, 8 * 3600 + 1, 60.0)
    c = np.full(len(t), 65.0)
    c[(t >= 3600) & (t <= 3600 + 35 * 60)] = 50.0
    found = check_hold(curve(t, c), holding_rule("us_food_code"))
    share = (65 - c_from_f(135)) / 15 * 60
    assert found.standing == "below" and len(found.dips) == 1
    assert found.below_s == pytest.approx(35 * 60 + 2 * (60 - share))
    assert found.lowest_c == 50.0 and found.dips[0].lowest_c == 50.0
    assert say(found.says).startswith("Under 135 °F (57.2 °C) for 36 min")


def test_one_unit_for_each_rule():
    """57.1 °C meets the 57 °C that the Food Code prints, and not its 135 °F: rules.json."""
    log = flat(57.1, 30)
    assert check_hold(log, holding_rule("us_food_code")).standing == "below"
    assert check_hold(log, holding_rule("us_roasts")).standing == "shown"
    assert check_hold(flat(62, 30), holding_rule("uk")).standing == "below"
    assert check_hold(flat(62, 30), holding_rule("australia")).standing == "shown"


def test_a_hold_with_a_gap_a_late_start_or_a_close_reading_is_not_shown():
    rule = holding_rule("us_food_code")
    gap = curve([0, 60, 120, 4000, 4060], [65.0] * 5)
    assert check_hold(gap, rule).standing == "not_shown"
    assert "is not shown" in say(check_hold(gap, rule).says)
    assert check_hold(flat(65, 30), rule, start_s=-600).standing == "not_shown"
    close = check_hold(flat(58, 30), rule, tolerance_c=2.5)
    assert close.standing == "not_shown" and close.within_tolerance
    assert "closer to" in say(close.says)
    assert say(check_hold(flat(65, 30), rule, tolerance_c=2.5).says).startswith("The log shows")
    assert check_hold(flat(65, 30), rule, start_s=9000, end_s=9100).standing == "not_shown"


def chill(tau_h, hours=9.0, step_s=60.0):
    t = np.arange(0, hours * 3600, step_s)
    return curve(t, 2 + 70 * np.exp(-t / 3600 / tau_h))


def test_cooling_windows_as_in_the_rule():
    """tau 1.5 h meets both windows, tau 2.0 h is too slow to 70 °F only (rules.json)."""
    rule = cooling_rule("us_food_code")
    quick, slow = check_cooling(chill(1.5), rule), check_cooling(chill(2.0), rule)
    assert quick.standing == "shown"
    assert [w.standing for w in slow.windows] == ["over", "shown"] and slow.standing == "over"
    assert slow.windows[0].took_s / 3600 == pytest.approx(2.122, abs=1e-3)
    assert say(slow.windows[0].says) == (
        "From 135 °F (57.2 °C) to 70 °F (21.1 °C) in 2 h 7 min; usual is 2 h at most."
    )


def test_cooling_that_the_log_does_not_show():
    rule = cooling_rule("us_food_code")
    assert check_cooling(chill(1.5, hours=1.0), rule).standing == "not_shown"
    begun_cold = chill(1.5).between(3600 * 2, None)
    assert check_cooling(begun_cold, rule).standing == "not_shown"
    log = chill(1.5)
    keep = (log.time_s < 3000) | (log.time_s > 4800)
    gap = check_cooling(curve(log.time_s[keep], log.temp_c[keep]), rule)
    assert gap.standing == "not_shown" and gap.windows[0].gap_inside
    assert "gap" in say(gap.windows[0].says)
    near = chill(1.875)  # 1 h 59 min 22 s to 70 °F
    assert check_cooling(near, rule).windows[0].standing == "shown"
    assert check_cooling(near, rule, tolerance_c=1.0).windows[0].standing == "not_shown"


def test_cooling_that_never_comes_down_is_over():
    t = np.arange(0, 8 * 3600, 60.0)
    found = check_cooling(curve(t, np.interp(t, [0, 3600], [70, 40])), cooling_rule("us_food_code"))
    assert found.standing == "over"
    assert "was not reached" in say(found.windows[0].says)


def test_a_dip_in_the_hold_does_not_start_the_clock_of_cooling():
    t = np.arange(0, 16 * 3600, 60.0)
    c = np.interp(t / 3600, [0, 2, 2.1, 2.2, 8, 9.5, 12, 16], [65, 65, 55, 65, 65, 20, 4, 4])
    found = check_cooling(curve(t, c), cooling_rule("us_food_code"))
    assert found.standing == "shown" and found.windows[0].start_s > 8 * 3600


def test_come_up_counts_the_hours_between_50_and_130_f():
    t = np.arange(0, 12 * 3600 + 1, 60.0)
    ramp = np.interp(t / 3600, [0, 10, 12], [0, 100, 100])  # 10 K an hour
    found = check_come_up(curve(t, ramp))
    assert found.there_s == pytest.approx(360 * (c_from_f(130) - c_from_f(50)))
    assert found.standing == "shown"
    assert check_come_up(curve(t, np.interp(t / 3600, [0, 12], [0, 80]))).standing == "over"
    late = curve(t, ramp).between(2 * 3600, None)
    assert check_come_up(late).standing == "not_shown"
    assert "not shown" in say(check_come_up(late).says)
    assert "at most" in say(found.says)
    limit = curve(t, np.interp(t / 3600, [0, 1.35, 1.35 + 7.25], [0, 10, 63.2]))
    assert check_come_up(limit, tolerance_c=2.5).standing in ("not_shown", "over")


def test_reheating_reaches_165_f_in_time_and_stays():
    t = np.arange(0, 3 * 3600 + 1, 10.0)
    good = np.interp(t / 3600, [0, 1.5, 3], [4, 75, 75])
    assert check_reheat(curve(t, good)).standing == "shown"
    slow = np.interp(t / 3600, [0, 2.5, 3], [4, 75, 75])
    assert check_reheat(curve(t, slow)).standing == "over"
    low = curve(t, np.interp(t / 3600, [0, 1, 3], [4, 73, 73]))
    assert check_reheat(low, end_s=3600).standing == "below"
    assert "was not reached" in say(check_reheat(low, end_s=3600).says)


def test_rules_are_cited_and_agree_with_those_beside_a_plan():
    with paths.resource("safety", "rules.csv").open(encoding="utf-8") as lines:
        rows = {r["id"]: r for r in csv.DictReader(x for x in lines if not x.startswith("#"))}
    first, whole = cooling_rule("us_food_code").windows
    assert first.end.printed == float(rows["cool_first"]["temp_f"])
    assert whole.end.printed == float(rows["cool_all"]["temp_f"])
    assert first.time_s == float(rows["cool_first"]["time_s"])
    assert whole.time_s == float(rows["cool_all"]["time_s"])
    assert holding_rule("us_food_code").limit.printed == float(rows["hot_hold"]["temp_f"])
    for rule in (*cooling_rules().values(), *holding_rules().values()):
        assert "as printed in" in say(rule.cited)
    with pytest.raises(BadFigures, match="No rule"):
        holding_rule("moon")

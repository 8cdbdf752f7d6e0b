"""Cautions stand beside stages that come near a usual limit, with its source, and clear nothing.

Limits: US FDA Food Code sections as read in the state adoptions that resources/safety names, and
USDA-FSIS Appendix A, December 2021.
"""

from __future__ import annotations

import pytest

from tests.planning.kitchen import kitchen, shoulder
from trialbench.model.message import say
from trialbench.model.records import Cover, Part, Stage, Trial
from trialbench.planning.safety import caution_notes, cautions_of
from trialbench.planning.safety_tables import limits, minimum_cores, roast_row, whole_roasts

HOUR = 3600.0


def told(*stages, food="pork shoulder", unit="C"):
    plan = kitchen().with_records(*stages).changed(Trial, "t", food=food, chapter="")
    plan = plan.changed(Cover, "cover", temperature_unit=unit)
    return [say(c.sentence) for c in cautions_of(plan.book, "t")]


def test_the_tables_are_whole_and_printed_in_both_units():
    assert len(whole_roasts()) == 17
    for limit in (*limits().values(), *(m.limit for m in minimum_cores())):
        if limit.temp_c is not None:
            assert abs(limit.temp_f - (limit.temp_c * 9 / 5 + 32)) < 1.1
        assert limit.read_in and limit.section
    times = [row.time_s for row in whole_roasts()]
    assert times == sorted(times, reverse=True)


@pytest.mark.parametrize(("temp_c", "reached"), [(57.0, True), (56.9, False), (57.3, True)])
def test_hot_holding_is_reached_in_either_printed_unit(temp_c, reached):
    assert limits()["hot_hold"].reached_by(temp_c) is reached


def test_a_hold_below_57_is_said_and_a_hold_above_asks_for_the_food():
    low = told(Stage("h", "t", 1, "hold", set_temp_c=55, duration_s=HOUR))
    assert low == ["Held at 55 °C. Hot food is usually held at 57 °C (135 °F) or above."]
    high = told(Stage("h", "t", 1, "hold", set_temp_c=65, duration_s=8 * HOUR))
    assert high[0].startswith("Take the temperature of the food, not of the air.")
    bare = told(Stage("h", "t", 1, "hold", duration_s=HOUR))
    assert bare[0].startswith("No temperature is written.")
    assert told(Stage("h", "t", 1, "hold", set_temp_c=4, duration_s=HOUR)) == []


def test_hours_between_cold_and_hot_are_said():
    # Time alone, 3-501.19: 4 h.
    assert told(Stage("s", "t", 1, "soak", set_temp_c=20, duration_s=16 * HOUR), food="beans") == [
        "16 h at 20 °C. Food usually stays no longer than 4 h between 5 °C (41 °F) and "
        "57 °C (135 °F)."
    ]
    assert told(Stage("s", "t", 1, "soak", set_temp_c=4, duration_s=16 * HOUR), food="beans") == []
    assert told(Stage("s", "t", 1, "soak", set_temp_c=20, duration_s=4 * HOUR), food="beans") == []


def test_cooling_and_long_rests_after_the_heat_are_said():
    roast = Stage("r", "t", 1, "roast", set_temp_c=180, duration_s=HOUR, end_core_c=92)
    chilled = told(roast, Stage("c", "t", 2, "chill", set_temp_c=2))
    # 3-501.14(A): 57 to 21 °C within 2 h, to 5 °C within 6 h in all.
    assert len(chilled) == 1
    assert "21 °C (70 °F) within 2 h, and to 5 °C (41 °F) within 6 h in all" in chilled[0]
    assert told(Stage("c", "t", 2, "chill", set_temp_c=2)) == []
    assert told(roast, Stage("x", "t", 2, "rest", duration_s=2 * HOUR)) == []
    assert len(told(roast, Stage("x", "t", 2, "rest", duration_s=3 * HOUR))) == 1


def test_reheating_has_a_core_and_a_time():
    cool = told(Stage("r", "t", 1, "reheat", end_core_c=65, duration_s=3 * HOUR))
    assert any("74 °C (165 °F)" in s for s in cool)
    assert "3 h to reheat. It usually takes 2 h at most." in cool
    assert told(Stage("r", "t", 1, "reheat", end_core_c=74, duration_s=HOUR)) == []


@pytest.mark.parametrize(
    ("food", "core", "expected"),
    [
        ("turkey breast", 74, []),
        ("turkey breast", 70, ["A core of 70 °C. The usual minimum inside is 74 °C (165 °F)."]),
        ("minced beef", 63, ["A core of 63 °C. The usual minimum inside is 68 °C (155 °F)."]),
        ("salmon", 63, []),
        ("white beans", None, []),
        (
            "pork shoulder",
            None,
            ["No core temperature is written. The usual minimum inside is 63 °C (145 °F)."],
        ),
    ],
)
def test_the_usual_minimum_inside_follows_the_food(food, core, expected):
    roast = Stage("r", "t", 1, "roast", set_temp_c=180, duration_s=HOUR, end_core_c=core)
    assert told(roast, food=food) == expected


def test_a_whole_roast_below_63_names_its_row():
    # 3-401.11(B): 131 °F (55 °C) for 89 min.
    says = told(Stage("r", "t", 1, "roast", set_temp_c=130, duration_s=HOUR, end_core_c=55))
    assert says[-1] == "For a whole roast the table has 55 °C (131 °F) for 1 h 29 min."
    assert roast_row(54.0) is None
    assert roast_row(71).time_s == 0
    assert roast_row(60.5).temp_c == 60.0


def test_a_slow_start_names_the_six_hours():
    says = told(
        Stage("s", "t", 1, "smoke", set_temp_c=110, duration_s=10 * HOUR, end_core_c=92), unit="F"
    )
    assert says == [
        "A slow start at 230 °F. The inside usually passes from 10 °C (50 °F) to 54 °C (130 °F) "
        "within 6 h: write it as it comes up."
    ]


def test_the_local_code_stands_once_and_nothing_is_called_in_order():
    notes = caution_notes(shoulder().book, "t")
    assert [n.line for n in notes] == ["stage:roast", "stage:hold"]
    assert all(n.mark == "watch" for n in notes)
    sources = [say(n.source) for n in notes]
    assert [s.count("Follow your local food code") for s in sources] == [0, 1]
    assert "3-501.16(A), as printed in Wisconsin, ATCP 3-501.16" in sources[1]


def test_a_caution_of_one_method_names_its_letter():
    plan = kitchen().with_records(
        Stage("h", "t", 1, "hold", duration_s=HOUR),
        Part("pa", "h", "mA", "set_temp_c", number=65),
        Part("pb", "h", "mB", "set_temp_c", number=50),
    )
    says = [say(s) for s in caution_notes(plan.book, "t")[0].sentences]
    assert says[0].startswith("A: Take the temperature")
    assert says[1].startswith("B: Held at 50 °C.")

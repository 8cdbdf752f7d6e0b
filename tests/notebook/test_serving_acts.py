"""The serving moment as it is typed, expected times, the time zone, and late pieces."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from trialbench.model.errors import Refused, TwoReadings
from trialbench.model.kitchen_clock import KitchenClock, instant_of, is_zone
from trialbench.model.message import say
from trialbench.model.records import Cook, Expected, Replan, Stage, Trial
from trialbench.notebook import acts, views
from trialbench.notebook.acts import plan, question, replanning, serving, stages
from trialbench.notebook.acts.serving_typed import read_serving, said_moment

LONDON = KitchenClock("Europe/London")
MONDAY = datetime(2026, 3, 2, 12, tzinfo=UTC)
SATURDAY = "2026-03-07T18:30:00.000Z"


@pytest.mark.parametrize(
    "typed",
    [
        "Saturday 7 March, 18:30",
        "sat 7 mar 6.30pm",
        "2026-03-07 18:30",
        "2026-03-07T18:30",
        "7.3. 18:30",
        "7.3.2026 18.30",
        "March 7th at 18h30",
        "Sat, Mar 7, 2026 at 6:30 PM",
        "Saturday 18:30",
        "18:30 on 7 March 2026",
    ],
)
def test_one_moment_is_read_however_it_is_written(typed):
    found = read_serving(typed, LONDON, MONDAY)
    assert (found.utc, found.offset_min) == (SATURDAY, 0)
    assert say(found.said) == "Saturday 7 March 2026, 18:30"
    assert read_serving(say(found.said), LONDON, MONDAY).utc == SATURDAY


@pytest.mark.parametrize(
    ("typed", "readings"),
    [
        ("7/3 18:30", ["Saturday 7 March 2026, 18:30", "Friday 3 July 2026, 18:30"]),
        ("6:30 sat", ["Saturday 7 March 2026, 06:30", "Saturday 7 March 2026, 18:30"]),
        ("18:30", ["Monday 2 March 2026, 18:30", "Tuesday 3 March 2026, 18:30"]),
        ("7 March midnight", ["Saturday 7 March 2026, 00:00", "Sunday 8 March 2026, 00:00"]),
        (
            "Sunday 7 March 18:30",
            ["Saturday 7 March 2026, 18:30", "Sunday 8 March 2026, 18:30"],
        ),
        (
            "29 March 01:30",
            ["Sunday 29 March 2026, 00:30", "Sunday 29 March 2026, 02:30"],
        ),
        (
            "25 October 01:30",
            [
                "Sunday 25 October 2026, 01:30, before the clock goes back",
                "Sunday 25 October 2026, 01:30, after the clock goes back",
            ],
        ),
    ],
)
def test_what_can_be_read_in_two_ways_is_asked(typed, readings):
    with pytest.raises(TwoReadings) as asked:
        read_serving(typed, LONDON, MONDAY)
    assert [say(words) for words, _ in asked.value.readings] == readings


def test_the_two_readings_of_a_doubled_hour_are_an_hour_apart():
    with pytest.raises(TwoReadings) as asked:
        read_serving("25 October 01:30", LONDON, MONDAY)
    read = [read_serving(typed, LONDON, MONDAY) for _, typed in asked.value.readings]
    assert (instant_of(read[1].utc) - instant_of(read[0].utc)).total_seconds() == 3600
    assert [each.offset_min for each in read] == [60, 0]


@pytest.mark.parametrize(
    "typed", ["", "soon", "Saturday", "31 Feb 18:30", "25:00 today", "18:75 today", "7 March"]
)
def test_what_is_no_moment_is_refused_with_a_way_out(typed):
    with pytest.raises(Refused) as refused:
        read_serving(typed, LONDON, MONDAY)
    assert not isinstance(refused.value, TwoReadings)
    assert say(refused.value.way_out)


def test_a_day_without_a_year_is_the_next_one_and_the_cook_days_own_date_counts():
    assert read_serving("1 January 12:00", LONDON, MONDAY).utc.startswith("2027-01-01")
    assert read_serving("1 March 12:00", LONDON, MONDAY).utc.startswith("2026-03-01")
    assert read_serving("18:30", LONDON, MONDAY, "2026-03-21").utc.startswith("2026-03-21")


def test_a_zone_is_a_name_of_the_data_base():
    assert is_zone("Europe/London") and is_zone("UTC")
    assert not any(map(is_zone, ("", "London", "../etc", "Europe", "Nowhere/At_all")))
    assert KitchenClock("Nowhere", 90).shown(MONDAY).strftime("%H:%M") == "13:30"
    assert say(said_moment(LONDON.shown(MONDAY))) == "Monday 2 March 2026, 12:00"


@pytest.fixture
def cook_id(nb):
    step = question.begin_trial(nb, "pork", "dry", "wet")
    nb.apply(step)
    trial = acts.new_record(step, Trial)
    nb.apply(plan.set_plan(nb, trial.id, "planned_cooks", "2"))
    return views.cooks(nb, trial.id)[0].id


NEXT_YEAR = "2027-03-07 18:30"


def test_the_first_moment_takes_the_machines_zone_and_a_later_one_keeps_it(nb, cook_id):
    typed = NEXT_YEAR
    nb.apply(serving.set_serving(nb, cook_id, typed, zone="Europe/Berlin"))
    cook = nb.get(Cook, cook_id)
    assert cook.serve_utc[11:16] == "17:30" and cook.offset_min == 60
    assert views.cover(nb).zone == "Europe/Berlin"
    nb.apply(serving.set_serving(nb, cook_id, typed, zone="America/New_York"))
    assert nb.get(Cook, cook_id) == cook
    nb.apply(serving.set_serving(nb, cook_id, " "))
    assert nb.get(Cook, cook_id).serve_utc == ""


def test_another_zone_keeps_the_instant_and_a_wrong_one_is_refused(nb, cook_id):
    nb.apply(serving.set_serving(nb, cook_id, NEXT_YEAR, zone="Europe/London"))
    before = nb.get(Cook, cook_id).serve_utc
    nb.apply(serving.set_zone(nb, "Europe/Berlin"))
    assert nb.get(Cook, cook_id).serve_utc == before
    with pytest.raises(Refused):
        serving.set_zone(nb, "Berlin")


def test_an_expected_time_is_written_for_all_or_for_one_and_taken_away(nb, cook_id):
    trial_id = nb.get(Cook, cook_id).trial_id
    nb.apply(stages.add_stage(nb, trial_id, "roast"))
    (stage,) = views.stages(nb, trial_id)
    first = views.methods(nb, trial_id)[0]
    nb.apply(serving.set_expected(nb, stage.id, "9 h"))
    nb.apply(serving.set_expected(nb, stage.id, "8:30", first.id))
    nb.apply(serving.set_expected(nb, stage.id, "9 h 15 min"))
    found = {e.method_id: e.duration_s for e in nb.all(Expected)}
    assert found == {None: 33_300.0, first.id: 30_600.0}
    for typed in ("9", "0 min", "40 d", "long"):
        with pytest.raises(Refused):
            serving.set_expected(nb, stage.id, typed)
    nb.apply(serving.set_expected(nb, stage.id, "", first.id))
    assert len(nb.all(Expected)) == 1
    nb.apply(stages.remove_stage(nb, stage.id))
    assert nb.all(Expected) == ()


def test_a_late_piece_is_written_with_its_stage_and_taken_back(nb, cook_id):
    trial_id = nb.get(Cook, cook_id).trial_id
    nb.apply(stages.add_stage(nb, trial_id, "roast"))
    (stage,) = nb.all(Stage)
    a, b = views.methods(nb, trial_id)
    step = replanning.replan(nb, cook_id, "serve_late", "25 min", (b.id, stage.id), "a stall")
    nb.apply(step)
    made = acts.new_record(step, Replan)
    assert (made.late_s, made.method_id, made.stage_id, made.reason) == (
        1500.0, b.id, stage.id, "a stall",
    )  # fmt: skip
    for typed in ("25", "0 min", "2 d", ""):
        with pytest.raises(Refused):
            replanning.replan(nb, cook_id, "drop", typed, (b.id, stage.id))
    nb.apply(stages.add_stage(nb, trial_id, "rest", method_id=a.id))
    own = views.stages(nb, trial_id)[-1]
    with pytest.raises(Refused):
        replanning.replan(nb, cook_id, "drop", "5 min", (b.id, own.id))
    nb.apply(replanning.take_back(nb, made.id))
    assert nb.all(Replan) == ()

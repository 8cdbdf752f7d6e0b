"""The timetable: back from the table, over midnight and clock changes, one place, late pieces."""

from __future__ import annotations

from datetime import timedelta

import pytest

from tests.planning.kitchen import Kitchen, kitchen, shoulder
from trialbench.model.message import say
from trialbench.model.records import (
    Cook,
    Cover,
    Expected,
    Load,
    Measurement,
    Part,
    Piece,
    Replan,
    Stage,
)
from trialbench.planning.past_times import past_times
from trialbench.planning.timetable import timetable_of
from trialbench.planning.timetable_acts import acts_of, next_act, second_run, spoken, times_of
from trialbench.planning.timetable_margin import margin_of_timetable

HOUR = 3600.0


def served(there: Kitchen, utc: str = "2026-03-07T12:00:00.000Z", **values) -> Kitchen:
    zoned = there.changed(Cover, "cover", zone=values.pop("zone", "Europe/London"))
    return zoned.changed(Cook, "c1", serve_utc=utc, **values)


def wall_list(there: Kitchen) -> list[str]:
    table = timetable_of(there.book, "c1")
    acts = acts_of(there.book, table)
    times = times_of(table, acts)
    said = (f"{say(t)} {say(a.says)}".strip() for t, a in zip(times, acts, strict=True))
    return [line.replace("\u00a0", " ") for line in said]


def notes(there: Kitchen) -> dict[str, str]:
    table = timetable_of(there.book, "c1")
    margin = margin_of_timetable(there.book, table, acts_of(there.book, table))
    return {say(n.label): " ".join(say(s) for s in n.sentences) for n in margin.notes}


def test_everything_is_reckoned_back_from_the_table_with_the_day_at_its_change():
    # Hand check: 12:00 - 12 min - 8 h = 03:48; A rests 45 min: 03:03, B 20 min: 03:28; 9 h of
    # roasting before; the salt stands at least 24 h, begun for both at one time.
    assert wall_list(served(shoulder())) == [
        "Thu 18:03 Salt A and B, 15 g/kg salt, 4 °C, 24 h.",
        "Fri 18:03 Roast A, 120 °C, about 9 h.",
        "18:28 Roast B, 120 °C, about 9 h.",
        "Sat 03:03 A out at 92 °C inside. Rest A, 21 °C, loosely covered, 45 min.",
        "03:28 B out at 92 °C inside. Rest B, 21 °C, loosely covered, 20 min.",
        "03:48 Hold A, 65 °C, 8 h.",
        "03:48 Hold B, 65 °C, lid on, 8 h.",
        "11:48 Sear A and B, 230 °C, 12 min.",
        "12:00 To the table.",
    ]


def test_the_method_that_lots_let_start_first_stands_first_at_the_same_minute():
    said = wall_list(served(shoulder(), starts_id="mB"))
    assert [line for line in said if line.startswith("03:48")] == [
        "03:48 Hold B, 65 °C, lid on, 8 h.",
        "03:48 Hold A, 65 °C, 8 h.",
    ]


def test_over_the_hour_that_is_missing_each_stage_keeps_its_length():
    there = served(shoulder(), "2026-03-29T11:00:00.000Z")
    table = timetable_of(there.book, "c1")
    roast = table.span("mA", "roast")
    assert roast.end - roast.start == timedelta(hours=9)
    # 18:03 in winter time, and nine hours later 04:03 in summer time.
    assert [f"{table.clock.shown(t):%H:%M}" for t in (roast.start, roast.end)] == ["17:03", "03:03"]
    assert [c.forward for c in table.changes] == [True]
    assert "At 01:00 it becomes 02:00" in notes(there)["The clock goes forward"]


def test_in_the_hour_that_comes_twice_the_list_says_which_one():
    there = served(shoulder(), "2026-10-25T09:00:00.000Z")
    table = timetable_of(there.book, "c1")
    acts = acts_of(there.book, table)
    roast = next(a for a in acts if a.spans and a.spans[0].key == ("mA", "rest"))
    assert f"{table.clock.shown(roast.at):%H:%M}" == "01:03"
    assert say(second_run(table, roast)) == "before the clock goes back"
    assert second_run(table, acts[0]) is None
    assert [c.forward for c in table.changes] == [False]
    assert "that hour comes twice" in notes(there)["The clock goes back"]


def test_without_a_zone_the_stored_offset_holds_all_the_time():
    there = served(shoulder(), "2026-03-29T10:00:00.000Z", zone="", offset_min=120)
    table = timetable_of(there.book, "c1")
    assert table.changes == ()
    assert wall_list(there)[-1] == "12:00 To the table."
    assert wall_list(there)[1] == "Sat 18:03 Roast A, 120 °C, about 9 h."


def test_a_stage_without_a_time_is_asked_for_and_what_comes_before_has_no_clock_time():
    there = served(shoulder()).changed(Stage, "roast", duration_s=None)
    said = wall_list(there)
    assert said[:2] == [
        "Salt A and B, 15 g/kg salt, 4 °C, 24 h.",
        "Roast A and B, 120 °C.",
    ]
    assert said[2].startswith("Sat 03:03 A out at 92 °C")
    table = timetable_of(there.book, "c1")
    assert [s.key for s in table.asked] == [("mA", "roast"), ("mB", "roast")]
    assert "Roast of A and B: how long?" in notes(there)
    known = there.with_records(Expected("e", "t", "roast", 9 * HOUR, None, "9 h"))
    assert wall_list(known)[1] == "Fri 18:03 Roast A, 120 °C."
    assert acts_of(known.book, timetable_of(known.book, "c1"))[1].asks.expected.id == "e"
    own = known.with_records(Expected("eB", "t", "roast", 8 * HOUR, "mB", "8 h"))
    assert "19:28 Roast B, 120 °C." in wall_list(own)


def test_with_no_time_at_all_there_is_still_the_order_and_the_table():
    there = served(kitchen()).with_records(
        Stage("r", "t", 1, "roast"), Stage("x", "t", 2, "slice"), Stage("v", "t", 3, "serve")
    )
    assert wall_list(there) == [
        "Roast A and B.",
        "Sat 12:00 Slice A and B.",
        "12:00 Plate A and B.",
        "12:00 To the table.",
    ]
    assert wall_list(served(kitchen())) == []
    unserved = there.changed(Cook, "c1", serve_utc="")
    assert wall_list(unserved)[-1] == "To the table."


def test_minutes_from_knife_to_mouth_are_the_time_of_the_last_cut():
    there = served(kitchen()).with_records(
        Stage("x", "t", 2, "slice", slice_mm=8, knife_to_mouth_min=4)
    )
    assert wall_list(there) == ["Sat 11:56 Slice A and B, 8 mm.", "12:00 To the table."]


def test_three_methods_with_own_stages_run_in_their_own_time():
    there = served(kitchen(methods="ABC", pairs=0)).with_records(
        Stage("salt", "t", 1, "salt", duration_s=12 * HOUR),
        Stage("a", "t", 2, "roast", "mA", duration_s=HOUR, set_temp_c=200, place="oven"),
        Stage("b", "t", 3, "roast", "mB", duration_s=3 * HOUR, set_temp_c=120, place="smoker"),
        Stage("c", "t", 4, "confit", "mC", duration_s=5 * HOUR, set_temp_c=90, place="Oven"),
    )
    assert wall_list(there) == [
        "Fri 19:00 Salt A, B and C, 12 h.",
        "Sat 07:00 Confit C in the Oven, 90 °C, 5 h.",
        "09:00 Roast B in the smoker, 120 °C, 3 h.",
        "11:00 Roast A in the oven, 200 °C, 1 h.",
        "12:00 To the table.",
    ]
    (clash,) = timetable_of(there.book, "c1").clashes
    assert (clash.place, clash.first.method.letter, clash.second.method.letter) == (
        "Oven",
        "A",
        "C",
    )
    said = notes(there)["11:00: two things want one place"]
    assert said.startswith("Oven: 200 °C for A and 90 °C for C, 1 h at once.")


def one_oven(**values) -> Kitchen:
    """Both in one oven at the end, A at 230 for 12 minutes and B at 200 for 20."""
    return served(kitchen(), **values).with_records(
        Stage("hold", "t", 1, "hold", set_temp_c=65, duration_s=8 * HOUR),
        Stage("sear", "t", 2, "sear", place="hot oven", set_temp_c=230, duration_s=720),
        Part("ta", "sear", "mA", "set_temp_c", number=230),
        Part("tb", "sear", "mB", "set_temp_c", number=200),
    )


def test_one_oven_at_two_temperatures_is_marked_and_at_one_temperature_it_is_not():
    assert len(timetable_of(one_oven().book, "c1").clashes) == 1
    same = one_oven().changed(Part, "tb", number=230)
    assert timetable_of(same.book, "c1").clashes == ()
    unknown = one_oven().changed(Part, "tb", number=None)
    assert len(timetable_of(unknown.book, "c1").clashes) == 1


def test_places_that_only_follow_from_the_kind_of_stage_are_asked_for_and_never_marked():
    there = one_oven().changed(Stage, "sear", place="")
    assert timetable_of(there.book, "c1").clashes == ()
    assert "Which cooker, bath or box for the hold, the sear?" in " ".join(notes(there).values())


@pytest.mark.parametrize(("starts", "first"), [("mA", "A"), ("mB", "B"), (None, "A")])
def test_in_turns_the_one_that_lots_let_start_goes_first_and_waits(starts, first):
    there = one_oven(starts_id=starts, turns=True)
    table = timetable_of(there.book, "c1")
    assert table.clashes == ()
    ahead = next(s for s in table.spans if s.stage.id == "sear" and s.method.letter == first)
    after = next(s for s in table.spans if s.stage.id == "sear" and s.method.letter != first)
    assert ahead.end == after.start and after.end == table.serve
    assert ahead.waits == timedelta(minutes=12)
    assert any(label.endswith(f"{first} waits") for label in notes(there))


def test_pieces_and_their_loads_stand_in_the_sentence():
    there = served(shoulder())
    there = there.changed(Piece, "c1x0", method_id="mA").changed(Piece, "c1x1", method_id="mB")
    there = there.changed(Piece, "c1x2", method_id="mB").changed(Piece, "c1x3", method_id="mA")
    said = wall_list(there)
    assert said[0].startswith("Thu 18:03 Salt A and B (P01 to P04), ")
    assert said[1].startswith("Fri 18:03 Roast A (P01, P04), ")
    pan = Load("l1", "c1", "pan 1", stage_id="hold")
    there = there.with_records(pan).changed(Piece, "c1x0", load_id="l1")
    there = there.changed(Piece, "c1x3", load_id="l1")
    assert "03:48 Hold A (pan 1: P01, P04), 65 °C, 8 h." in wall_list(there)
    assert wall_list(there)[1].startswith("Fri 18:03 Roast A (P01, P04), ")


def test_what_the_kitchen_took_before_is_said_and_what_was_written_afterwards_is_not():
    there = served(shoulder()).with_records(*_weighed("c2x0", "02:00", "11:00"))
    there = there.with_records(*_weighed("c2x1", "02:20", "11:00"))
    there = there.with_records(*_weighed("c2x2", "10:59", "11:00"))
    for piece in ("c2x0", "c2x1", "c2x2"):
        there = there.changed(Piece, piece, method_id="mA")
    roast = there.book.get(Stage, "roast")
    took = past_times(there.book, there.trial, roast)
    assert sorted(took) == [timedelta(hours=8, minutes=40), timedelta(hours=9)]
    asked = there.changed(Stage, "roast", duration_s=None)
    assert "8 h 40 min to 9 h" in notes(asked)["Roast of A and B: how long?"]


def _weighed(piece_id, first, last):
    from trialbench.model.records import Checkpoint

    for n, (point, stage, time) in enumerate((("salted", "salt", first), ("out", "roast", last))):
        yield Checkpoint(point, "t", n + 1, point, stage_id=stage)
        made = f"2026-02-01T{time}:00.000Z"
        yield Measurement(f"{piece_id}{point}", piece_id, point, made, 0, mass_g=1000.0)


def test_room_to_spare_is_the_hold_and_why_apart_is_said():
    said = notes(served(shoulder()))
    assert "A can come up to 8 h later" in said["03:48: room to spare"] or "B can" in str(said)
    assert said["18:03 and 18:28: why apart"] == "A takes 25 min longer from here to the table."


def test_food_cautions_stand_beside_the_act_and_the_code_once():
    there = served(shoulder()).changed(Stage, "hold", set_temp_c=50)
    table = timetable_of(there.book, "c1")
    margin = margin_of_timetable(there.book, table, acts_of(there.book, table))
    watch = [n for n in margin.notes if n.mark == "watch"]
    assert any(say(n.label) == "03:48 Hold: watch" for n in watch)
    assert sum("local food code" in say(n.source or "") for n in watch) == 1


def test_the_next_act_and_how_a_line_is_spoken():
    there = served(shoulder())
    table = timetable_of(there.book, "c1")
    acts = acts_of(there.book, table)
    ahead = next_act(acts, table.serve - timedelta(hours=3))
    assert ahead is not None
    assert say(spoken(table, ahead, "11:48")).replace("\u00a0", " ") == (
        "11:48, Sear A and B, 230 °C, 12 min., strand A and B"
    )
    assert next_act(acts, table.serve + timedelta(minutes=1)) is None


def test_a_replan_of_another_day_changes_nothing_here():
    there = served(shoulder()).with_records(
        Replan(
            "r", "c2", "2026-03-07T03:30:00.000Z", 0, "serve_late", 1500.0, "mB", None, "", "roast"
        )
    )
    assert wall_list(there) == wall_list(served(shoulder()))

"""A piece runs late: what each of the three ways does to the clock and to the finding."""

from __future__ import annotations

from datetime import timedelta

import pytest

from tests.planning.kitchen import Kitchen, shoulder
from tests.planning.test_timetable import HOUR, served, wall_list
from trialbench.model.message import say
from trialbench.model.records import Cook, Piece, Replan, Stage
from trialbench.planning.replanning import rider_messages, ways
from trialbench.planning.timetable import timetable_of

LATE = timedelta(minutes=25)


def replanned(choice: str, there: Kitchen | None = None, **values) -> Kitchen:
    late = Replan(
        "r", "c1", "2026-03-07T03:30:00.000Z", 0, choice, LATE.total_seconds(), "mB", None,
        "it stalled", "roast",
    )  # fmt: skip
    there = (there or served(shoulder())).with_records(late)
    return there.changed(Replan, "r", **values) if values else there


def three(there: Kitchen, late=LATE, stage="roast", what="B"):
    table = timetable_of(there.book, "c1")
    span = table.span("mB", stage)
    assert span is not None
    return {way.choice: way for way in ways(table, span, late, what, there.trial)}


def riders(there: Kitchen) -> list[str]:
    return [say(message) for message in rider_messages(there.book, "t")]


def test_served_late_the_late_one_keeps_its_stages_and_the_other_is_held_longer():
    before, after = wall_list(served(shoulder())), wall_list(replanned("serve_late"))
    # What is past stays; B comes out 25 min later and is held its 8 h; A is held 25 min longer.
    assert after[:2] == before[:2]
    assert after[2:] == [
        "18:28 Roast B, 120 °C, about 9 h 25 min.",
        "Sat 03:03 A out at 92 °C inside. Rest A, 21 °C, loosely covered, 45 min.",
        "03:48 Hold A, 65 °C, 8 h 25 min.",
        "03:53 B out at 92 °C inside. Rest B, 21 °C, loosely covered, 20 min.",
        "04:13 Hold B, 65 °C, lid on, 8 h.",
        "12:13 Sear A and B, 230 °C, 12 min.",
        "12:25 To the table.",
    ]
    assert riders(replanned("serve_late")) == [
        "Cook day 1: B ran 25 min late in the roast (it stalled), and all was served later: the "
        "hold of A 25 min longer. If one comes out juicier, the hold could be why."
    ]


def test_served_in_time_the_hold_of_the_late_one_gives():
    after = wall_list(replanned("hold_longer"))
    assert "04:13 Hold B, 65 °C, lid on, 7 h 35 min." in after
    assert "03:48 Hold A, 65 °C, 8 h." in after
    assert after[-1] == "12:00 To the table."
    assert riders(replanned("hold_longer")) == [
        "Cook day 1: B ran 25 min late in the roast (it stalled), and was served on time: the hold "
        "of B 25 min shorter, so that of A was longer by it. If one comes out juicier, the hold "
        "could be why."
    ]


def test_dropped_its_strand_ends_and_the_other_goes_on():
    after = wall_list(replanned("drop"))
    assert not any("Rest B" in line or "Hold B" in line for line in after)
    assert "Sear A, 230 °C, 12 min." in after[-2]
    assert riders(replanned("drop")) == [
        "Cook day 1: B ran 25 min late in the roast (it stalled). It was dropped."
    ]


def test_one_dropped_piece_leaves_the_others_of_its_method():
    there = served(shoulder()).changed(Piece, "c1x1", method_id="mB")
    there = there.changed(Piece, "c1x2", method_id="mB")
    after = wall_list(replanned("drop", there, piece_id="c1x2"))
    assert any("Rest B (P02)" in line for line in after)
    assert "P03 ran 25 min late" in riders(replanned("drop", there, piece_id="c1x2"))[0]


def test_each_way_says_what_it_does_before_it_is_taken():
    said = three(served(shoulder()))
    assert say(said["serve_late"].clock) == "On the table at 12:25 instead of 12:00."
    assert say(said["serve_late"].finding) == (
        "A rider: the hold of A 25 min longer. If one comes out juicier, the hold could be why."
    )
    assert say(said["hold_longer"].clock) == "On the table at 12:00 as planned."
    assert "the hold of A is 25 min longer than that of B" in say(said["hold_longer"].finding)
    assert "no longer compares B" in say(said["drop"].finding)
    assert "P03 is missing, and never filled in" in say(
        three(served(shoulder()), what="P03")["drop"].finding
    )


def test_a_hold_cannot_give_more_than_it_has_and_without_one_nothing_can():
    far = three(served(shoulder()), timedelta(hours=9))["hold_longer"]
    assert say(far.why_not) == "The hold of B has 8 h to give, and this takes 9 h."
    last = three(served(shoulder()), stage="sear")["hold_longer"]
    assert say(last.why_not) == "B has no hold after this that could give time."


def test_where_the_other_was_not_begun_all_of_it_moves_and_nothing_new_differs():
    there = served(shoulder()).with_records(
        Stage("own", "t", 1, "roast", "mB", duration_s=40 * HOUR),
        Stage("own2", "t", 1, "chill", "mB", duration_s=4 * HOUR),
    )
    there = there.without("salt")
    table = timetable_of(there.book, "c1")
    span = table.span("mB", "own")
    found = {w.choice: w for w in ways(table, span, LATE, "B", there.trial)}
    assert say(found["serve_late"].finding).startswith("Nothing new differs")


def test_two_delays_add_up():
    there = replanned("serve_late").with_records(
        Replan(
            "r2", "c1", "2026-03-07T12:00:00.000Z", 0, "serve_late", 600.0, "mA", None, "", "sear"
        )
    )
    assert wall_list(there)[-1] == "12:35 To the table."
    assert len(riders(there)) == 2


@pytest.mark.parametrize("choice", ["serve_late", "hold_longer", "drop"])
def test_turns_and_replans_are_no_rider_of_other_days(choice):
    there = replanned(choice, cook_id="c2", stage_id="gone")
    assert riders(there.changed(Cook, "c2", serve_utc="")) == [
        m for m in riders(there) if "Cook day 2" in m
    ]

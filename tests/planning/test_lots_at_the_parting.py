"""Lots at the parting, a cook day at a time: what they wait for, match, and keep even."""

from __future__ import annotations

from collections import Counter

import pytest

from tests.planning.kitchen import LATER, NOON, kitchen, shoulder
from trialbench.model.errors import Refused, Sealed
from trialbench.model.message import say
from trialbench.model.records import (
    Checkpoint,
    Cook,
    Lot,
    Measurement,
    Method,
    Pair,
    Piece,
    Seal,
    Trial,
)
from trialbench.notebook.clock import Moment
from trialbench.planning.assignments import Assignments, allowed_assignments, units_of
from trialbench.planning.draw import days_due, draw_day, draw_lots, why_no_day, why_no_draw
from trialbench.planning.draw_rule import draws_of, lot_number_for, off_the_rule
from trialbench.planning.lots import Lots
from trialbench.planning.parting_weights import is_parting_in, parting_checkpoint
from trialbench.planning.seal import seal_plan
from trialbench.planning.starts import starts

RACKS = ("upper rack", "lower rack")


def waiting(**layout):
    """A plan whose lots wait for the parting: weighed raw, roasted and held in two ways."""
    staged = [r for r in shoulder().book.as_set() if r.kind in ("stage", "part")]
    points = [
        Checkpoint("raw", "t", 1, "raw", "raw"),
        Checkpoint("roasted", "t", 2, "roasted", "stage", "roast"),
        Checkpoint("held", "t", 3, "held", "stage", "hold"),
        Checkpoint("served", "t", 4, "served", "served"),
    ]
    plan = kitchen(**layout).changed(Trial, "t", draw_early_reason="")
    return plan.with_records(*staged, *points)


def weighed(plan, day, at="roasted", when=NOON, **grams):
    """A cook day weighed; heavier the later the piece, unless grams by piece id are given."""
    pieces = [p for p in plan.of(Piece) if p.cook_id == f"c{day}"]
    return plan.with_records(
        *(
            Measurement(f"{p.id}{at}", p.id, at, when.utc, 60, grams.get(p.id, 1000.0 + n))
            for n, p in enumerate(pieces)
        )
    )


def day_drawn(plan, day, lot=628, when=LATER, **more):
    return plan.after(draw_day(plan, f"c{day}", lot_number=lot, when=when, **more))


def test_the_parting_is_the_last_weighing_that_all_methods_share():
    assert parting_checkpoint(waiting()).name == "roasted"
    # The rest is the first stage that differs; whatever is weighed after it is no longer shared.
    rested = Checkpoint("rested", "t", 3, "rested", "rested", "rest")
    assert parting_checkpoint(waiting().with_records(rested)).name == "roasted"
    alike = waiting().without("rest_a", "rest_b", "in_a", "in_b", "lid_a", "lid_b")
    assert parting_checkpoint(alike).name == "raw"
    assert parting_checkpoint(kitchen()) is None


def test_the_draw_refuses_before_the_weights_of_the_parting_unless_it_is_told():
    plan = waiting(cooks=2)
    raw = weighed(plan, 1, "raw")
    for there in (plan, raw):
        with pytest.raises(Refused, match="Lots of day 1 are drawn on the weights at roasted"):
            draw_lots(there, lot_number=1, when=NOON)
        with pytest.raises(Refused, match="4 are out"):
            day_drawn(there, 1)
    assert "drawn on the weights" in say(why_no_draw(plan))
    told = plan.after(draw_lots(plan, lot_number=1, when=NOON, early="no scale at the smoker"))
    assert told.trial.draw_early_reason == "no scale at the smoker"
    assert all(piece.method_id for piece in told.of(Piece))


def test_a_weight_that_is_missing_for_a_reason_is_not_waited_for():
    plan = weighed(waiting(cooks=1), 1)
    gone = plan.changed(Measurement, "c1x0roasted", mass_g=None, missing_reason="scale broke")
    assert is_parting_in(gone, "c1")
    assert all(p.method_id for p in day_drawn(gone, 1).of(Piece))
    one_out = plan.without("c1x0roasted")
    with pytest.raises(Refused, match="1 is out, P01"):
        day_drawn(one_out, 1)


def test_each_day_is_drawn_by_itself_and_the_others_wait():
    plan = day_drawn(weighed(waiting(cooks=3), 1), 1)
    assert [p.cook_id for p in plan.of(Piece) if p.method_id] == ["c1"] * 4
    assert days_due(plan) == ()
    second = weighed(plan, 2, when=LATER)
    assert [cook.number for cook in days_due(second)] == [2]
    both = day_drawn(second, 2, lot_number_for(second))
    assert [d.number for d in draws_of(both)] == [1, 2]
    kept = {p.id: p.method_id for p in plan.of(Piece) if p.method_id}
    assert kept.items() <= {p.id: p.method_id for p in both.of(Piece)}.items()


def test_a_day_is_drawn_again_only_with_a_reason_and_before_its_next_weight():
    plan = day_drawn(weighed(waiting(cooks=2), 1), 1)
    with pytest.raises(Refused, match="Draw 2 needs a reason"):
        day_drawn(plan, 1, 629)
    assert draws_of(day_drawn(plan, 1, 629, reason="the wrong pan"))[-1].reason == "the wrong pan"
    hours_later = Moment("2025-03-08T20:00:00.000Z", 60)
    held = weighed(plan, 1, "held", when=hours_later)
    with pytest.raises(Refused, match="weighed after draw 1"):
        day_drawn(held, 1, 629, reason="the wrong pan")
    # The weights of day 1 stop no draw of day 2.
    assert why_no_day(weighed(held, 2), held.book.get(Cook, "c2")) is None


def test_pieces_without_pairs_are_matched_on_the_weights_just_taken():
    grams = {"c1x0": 900.0, "c1x1": 1300.0, "c1x2": 1290.0, "c1x3": 910.0}
    plan = day_drawn(weighed(waiting(cooks=2, pairs=0, each=2), 1, **grams), 1)
    pieces = {p.id: p for p in plan.of(Piece) if p.cook_id == "c1"}
    assert pieces["c1x1"].pair_id == pieces["c1x2"].pair_id
    assert pieces["c1x0"].pair_id == pieces["c1x3"].pair_id
    assert [p.number for p in plan.of(Pair)] == [1, 2]
    for one, other in (("c1x1", "c1x2"), ("c1x0", "c1x3")):
        assert {pieces[one].method_id, pieces[other].method_id} == {"mA", "mB"}
    assert draws_of(plan)[0].within == "pair"
    # The redraw test may exchange within those pairs and nowhere else.
    day = [u for u in allowed_assignments(plan).units if u.cook_id == "c1"]
    assert Assignments(tuple(day), ("mA", "mB")).count == 4


def test_before_the_draw_the_ways_are_counted_as_they_will_be_drawn():
    plan = waiting(cooks=2, pairs=0, each=2)
    assert allowed_assignments(plan).count == 2**4
    one = day_drawn(weighed(plan, 1), 1)
    assert allowed_assignments(one).count == 2**4
    # Told to draw early, with no weights: within the cook days, six ways each.
    early = plan.changed(Trial, "t", draw_early_reason="no scale")
    assert allowed_assignments(early).count == 6**2


def test_a_second_draw_matches_anew_on_the_weights_then():
    grams = {"c1x0": 900.0, "c1x1": 1300.0, "c1x2": 1290.0, "c1x3": 910.0}
    plan = day_drawn(weighed(waiting(cooks=2, pairs=0, each=2), 1, **grams), 1)
    swapped = plan.changed(Measurement, "c1x0roasted", mass_g=1310.0)
    again = day_drawn(swapped, 1, 629, reason="P01 was weighed with its pan")
    pieces = {p.id: p.pair_id for p in again.of(Piece)}
    assert pieces["c1x0"] == pieces["c1x1"] and pieces["c1x2"] == pieces["c1x3"]
    assert len(again.of(Pair)) == 2


def test_one_cook_day_alone_is_not_matched_because_pairs_would_cost_degrees_of_freedom():
    plan = day_drawn(weighed(waiting(cooks=1, pairs=0, each=2), 1), 1)
    assert plan.of(Pair) == () and draws_of(plan)[0].within == "cook"


def test_places_stay_even_over_days_that_are_drawn_one_after_the_other():
    for lot in range(40):
        plan = waiting(cooks=4, pairs=1)
        for day in range(1, 5):
            plan = weighed(plan, day)
            plan = day_drawn(plan, day, lot, places=RACKS if day == 1 else ())
        where = Counter((p.method_id, p.place) for p in plan.of(Piece))
        assert set(where.values()) == {2}


def test_days_drawn_one_by_one_leave_every_even_way_equally_likely():
    seen: Counter[tuple[str, ...]] = Counter()
    plan = waiting(cooks=4, pairs=1)
    for day in range(1, 5):
        plan = weighed(plan, day)
    for lot in range(1200):
        drawn = plan
        for day in range(1, 5):
            drawn = day_drawn(drawn, day, 1000 + lot, places=RACKS)
        seen[allowed_assignments(drawn).labels] += 1
    # 6 ways: A on the upper rack on two of four days; chi-square, 5 df: 20.5 (table value).
    assert len(seen) == 6
    assert sum((n - 200) ** 2 / 200 for n in seen.values()) < 20.5


@pytest.mark.parametrize("letters", ["ABC", "ABCD", "ABCDE", "ABCDEF"])
def test_every_method_has_every_place_equally_often_whatever_their_number(letters):
    places = tuple(f"place {n}" for n in range(len(letters)))
    plan = kitchen(cooks=len(letters), pairs=1, methods=letters)
    drawn = plan.after(draw_lots(plan, lot_number=11, when=NOON, places=places))
    where = Counter((p.method_id, p.place) for p in drawn.of(Piece))
    assert set(where.values()) == {1} and len(where) == len(letters) ** 2


def test_what_is_fixed_stays_and_the_nearest_way_is_found_where_none_is_even():
    plan = waiting(cooks=2, pairs=1)
    fixed = {u.key: m for u, m in zip(units_of(plan)[:2], ("mA", "mB"), strict=True)}
    uneven = plan.changed(Piece, "c1x0", place="left").changed(Piece, "c1x1", place="left")
    ways = Assignments(units_of(uneven), ("mA", "mB"))
    assert ways.drawn(Lots(3, "draw"), fixed)[:2] == ("mA", "mB")


def test_who_starts_first_is_drawn_and_even_over_the_days():
    plan = day_drawn(weighed(waiting(cooks=4), 1), 1)
    assert plan.book.get(Cook, "c1").starts_id in ("mA", "mB")
    assert plan.book.get(Cook, "c2").starts_id is None
    whole = kitchen(cooks=6, methods="ABC")
    whole = whole.after(draw_lots(whole, lot_number=7, when=NOON))
    first = [c.starts_id for c in sorted(whole.of(Cook), key=lambda c: c.number)]
    assert sorted(first[:3]) == sorted(first[3:]) == ["mA", "mB", "mC"]
    often = Counter(starts(("mA", "mB"), 1, lot) for lot in range(400))
    assert abs(often["mA"] - 200) < 66  # 3.3 sd of a fair coin: 1 lot number in 1,000


def test_a_plan_is_sealed_before_days_to_come_are_drawn_and_they_follow_it():
    plan = weighed(waiting(cooks=3), 1)
    plan = day_drawn(plan, 1, 4711, places=RACKS)
    sealed = plan.after(seal_plan(plan, LATER))
    assert lot_number_for(sealed) == 4711
    with pytest.raises(Sealed):
        day_drawn(sealed, 1, 629, reason="again")
    second = day_drawn(weighed(sealed, 2), 2, lot_number_for(sealed))
    assert off_the_rule(second) == ()
    assert [c.number for c in off_the_rule(day_drawn(weighed(sealed, 2), 2, 5))] == [2]


def test_a_plan_with_no_lots_at_all_is_sealed_with_a_lot_number_for_its_days():
    plan = waiting(cooks=2)
    sealed = plan.after(seal_plan(plan, LATER))
    number = lot_number_for(sealed)
    assert number == lot_number_for(sealed) and 100_000 <= number < 1_000_000
    one, other = (day_drawn(weighed(sealed, 1), 1, number) for _ in range(2))
    lots = [{p.id: p.method_id for p in plan.of(Piece)} for plan in (one, other)]
    assert lots[0] == lots[1]


def test_spares_and_rejected_pieces_get_no_lot():
    plan = waiting(cooks=1).with_records(
        Piece("spare", "c1", 9, "S01", spare=True),
        Piece("bad", "c1", 10, "P09", rejected_reason="a broken bone"),
    )
    drawn = day_drawn(weighed(plan, 1), 1)
    assert {lot.piece_id for lot in drawn.of(Lot)} == {f"c1x{n}" for n in range(4)}


def test_one_method_alone_is_not_drawn():
    plan = weighed(waiting(cooks=1), 1).without("mB")
    assert len(plan.of(Method)) == 1
    with pytest.raises(Refused, match="two methods"):
        day_drawn(plan, 1)


def test_seals_from_before_there_was_a_rule_are_read():
    plan = waiting(cooks=2).with_records(Seal("seal", "t", NOON.utc, 60, "{}", "00"))
    assert off_the_rule(plan) == ()

"""Lots fall within their blocks, repeat with their number, and are as random as they say."""

from __future__ import annotations

from collections import Counter
from hashlib import sha256
from math import comb

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.planning.kitchen import LATER, NOON, kitchen
from trialbench.model.errors import Refused, Sealed
from trialbench.model.message import say
from trialbench.model.records import Draw, Lot, Measurement, Piece, Seal
from trialbench.planning.assignments import allowed_assignments, ways
from trialbench.planning.draw import draw_lots, why_no_draw
from trialbench.planning.draw_rule import draws_of
from trialbench.planning.lots import Lots, fresh_key_lot_number, fresh_lot_number


def drawn(plan, lot_number=628, when=NOON, **more):
    return plan.after(draw_lots(plan, lot_number=lot_number, when=when, **more))


def methods_by_block(plan):
    found: dict[str, list[str]] = {}
    for piece in plan.of(Piece):
        found.setdefault(piece.pair_id or piece.cook_id, []).append(piece.method_id)
    return found


def test_a_lot_is_the_hash_that_the_documentation_says():
    number = int.from_bytes(sha256(b"628:draw:0").digest(), "big")
    assert Lots(628, "draw").below(1000) == number % 1000


def test_every_order_of_three_comes_equally_often():
    lots = Lots(1, "test")
    seen = Counter(tuple(lots.shuffled("abc")) for _ in range(6000))
    # Chi-square over 6 orders, 5 df: 20.5 is passed once in a thousand lot numbers (table value).
    assert len(seen) == 6
    assert sum((n - 1000) ** 2 / 1000 for n in seen.values()) < 20.5


def test_no_way_and_too_few_items_are_errors():
    with pytest.raises(ValueError, match="at least one"):
        Lots(1, "x").below(0)
    with pytest.raises(ValueError, match="more lots"):
        Lots(1, "x").taken([1], 2)


def test_fresh_numbers_stay_in_their_range():
    assert 100_000 <= fresh_lot_number() < 1_000_000
    assert 0 <= fresh_key_lot_number() < 2**53


@given(
    lot=st.integers(0, 2**53),
    cooks=st.integers(1, 6),
    pairs=st.integers(1, 4),
    methods=st.sampled_from(["AB", "ABC"]),
)
@settings(max_examples=60, deadline=None)
def test_each_pair_gets_every_method_once(lot, cooks, pairs, methods):
    plan = drawn(kitchen(cooks=cooks, pairs=pairs, methods=methods), lot)
    expected = [f"m{letter}" for letter in methods]
    assert all(sorted(block) == expected for block in methods_by_block(plan).values())
    assert draws_of(plan)[-1].within == "pair"
    again = drawn(kitchen(cooks=cooks, pairs=pairs, methods=methods), lot)
    assert methods_by_block(plan) == methods_by_block(again)


@given(lot=st.integers(0, 2**53), each=st.integers(1, 4))
@settings(max_examples=40, deadline=None)
def test_without_pairs_each_cook_day_gets_equally_many(lot, each):
    plan = drawn(kitchen(pairs=0, each=each), lot)
    counts = [Counter(block) for block in methods_by_block(plan).values()]
    assert all(count == {"mA": each, "mB": each} for count in counts)
    assert draws_of(plan)[-1].within == "cook"


def test_a_piece_over_goes_to_either_method_equally_often():
    plan = kitchen(cooks=1, pairs=0, each=2).without("c1x3")
    counts = Counter(
        Counter(p.method_id for p in drawn(plan, lot).of(Piece))["mA"] for lot in range(400)
    )
    assert set(counts) == {1, 2}
    assert abs(counts[1] - 200) < 66  # 3.3 sd of a fair coin: 1 lot number in 1,000


def test_the_pieces_of_one_load_get_one_method():
    plan = drawn(kitchen(pairs=0, each=4, loads=True))
    by_load: dict[str, set[str]] = {}
    for piece in plan.of(Piece):
        by_load.setdefault(piece.load_id, set()).add(piece.method_id)
    assert all(len(found) == 1 for found in by_load.values())
    ways_now = allowed_assignments(plan)
    assert len(ways_now.units) == 16
    assert ways_now.count == comb(4, 2) ** 4


def test_lots_are_stored_with_the_draw():
    plan = drawn(kitchen())
    draw = draws_of(plan)[0]
    assert (draw.lot_number, draw.made_utc, draw.number) == (628, NOON.utc, 1)
    stored = {lot.piece_id: lot.method_id for lot in plan.of(Lot) if lot.draw_id == draw.id}
    assert stored == {p.id: p.method_id for p in plan.of(Piece)}


def test_a_repeated_draw_needs_a_reason_and_is_counted():
    plan = drawn(kitchen())
    with pytest.raises(Refused, match="Draw 2 needs a reason"):
        drawn(plan, 629, LATER)
    twice = drawn(plan, 629, LATER, reason=" P03 was still frozen ")
    assert [(d.number, d.reason) for d in draws_of(twice)] == [
        (1, ""),
        (2, "P03 was still frozen"),
    ]
    assert len(twice.of(Lot)) == 32


def test_no_draw_after_the_first_weight_that_follows_one():
    raw = Measurement("w0", "c1x0", "raw", "2025-03-08T11:00:00.000Z", 60, 2287)
    plan = drawn(kitchen().with_records(raw))
    assert why_no_draw(plan) is None
    later = Measurement("w1", "c1x1", "raw", "2025-03-08T12:30:00.000Z", 60, 2312)
    weighed = plan.with_records(later)
    with pytest.raises(Refused, match="weighed after draw 1"):
        drawn(weighed, 629, LATER, reason="another animal")
    assert "weighed after draw 1" in say(why_no_draw(weighed))


def test_no_draw_after_the_seal():
    plan = drawn(kitchen()).with_records(Seal("seal", "t", NOON.utc, 60, "{}", "00"))
    with pytest.raises(Sealed, match="sealed"):
        drawn(plan, 629, LATER, reason="another animal")


def test_a_plan_that_cannot_be_drawn_says_where_and_what_to_do():
    with pytest.raises(Refused, match=r"Pair 2 has 1 piece") as found:
        drawn(kitchen().without("c1x3"))
    assert "Add pieces" in say(found.value.way_out)
    plan = kitchen(pairs=2)
    with pytest.raises(Refused, match="P01 is in no pair"):
        drawn(plan.changed(Piece, "c1x0", pair_id=None).changed(Piece, "c1x1", pair_id=None))
    with pytest.raises(Refused, match="two methods"):
        drawn(kitchen().without("mB"))


def test_places_are_given_in_turn_and_kept_even():
    racks = ("upper rack", "lower rack")
    for lot in range(30):
        plan = drawn(kitchen(), lot, places=racks)
        where = Counter((p.method_id, p.place) for p in plan.of(Piece))
        assert set(where.values()) == {4}


def test_the_ways_of_the_pork_shoulder_trial_are_70_and_252():
    # Four of eight pairs have A on the upper rack: 70 ways; five cook days: 252.
    racks = ("upper rack", "lower rack")
    four = allowed_assignments(drawn(kitchen(), places=racks))
    assert four.count == 70
    assert four.labels in set(four.all())
    assert len(set(four.all())) == 70
    assert allowed_assignments(drawn(kitchen(cooks=5), places=racks)).count == 252


def test_even_draws_over_places_are_all_equally_likely():
    racks = ("upper rack", "lower rack")
    plan = kitchen(cooks=2)
    seen = Counter(
        allowed_assignments(drawn(plan, lot, places=racks)).labels for lot in range(1200)
    )
    # 6 ways: A on the upper rack in two of four pairs; chi-square, 5 df, as above.
    assert len(seen) == 6
    assert sum((n - 200) ** 2 / 200 for n in seen.values()) < 20.5


def test_places_written_after_the_draw_leave_every_way_open():
    plan = drawn(kitchen(cooks=2))
    for piece in plan.of(Piece):
        plan = plan.changed(Piece, piece.id, place="left" if piece.method_id == "mA" else "right")
    assert allowed_assignments(plan).count == 2**4


def test_uneven_places_are_counted_as_they_are_listed():
    plan = kitchen(cooks=2, pairs=0, each=1, methods="ABC")
    spots = ["near", "near", "far", "far", "far", "near"]
    for piece, spot in zip(plan.of(Piece), spots, strict=True):
        plan = plan.changed(Piece, piece.id, place=spot)
    ways_now = allowed_assignments(plan)
    assert 0 < ways_now.count == len(set(ways_now.all())) < 36


def test_places_that_no_draw_can_share_out_are_refused():
    # Both pieces of the first two pairs stand in the middle, whatever is drawn; the third pair
    # alone has the two ends: each end then has one method and not the other, which is even enough.
    plan = kitchen(cooks=1, pairs=3)
    spots = ["middle", "middle", "middle", "middle", "left", "right"]
    for piece, spot in zip(plan.of(Piece), spots, strict=True):
        plan = plan.changed(Piece, piece.id, place=spot)
    assert allowed_assignments(plan).count == 8


@given(st.integers(0, 8), st.integers(2, 4))
@settings(max_examples=30, deadline=None)
def test_ways_are_counted_as_they_are_listed(units, methods):
    plan = kitchen(cooks=1, pairs=0, each=1).without("c1x0", "c1x1")
    pieces = [Piece(f"x{n}", "c1", n, f"P{n}") for n in range(units)]
    from trialbench.planning.assignments import Assignments, units_of

    found = Assignments(units_of(plan.with_records(*pieces)), tuple("ABCD"[:methods]))
    if units:
        listed = list(found.all())
        assert len(set(listed)) == len(listed) == found.count == ways(units, methods)


def test_the_draw_belongs_to_the_trial():
    assert drawn(kitchen()).of(Draw)[0].trial_id == "t"

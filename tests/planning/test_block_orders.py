"""Orders and blocks against published designs (tests/reference/expected/designs.json, DES-*)."""

from __future__ import annotations

import json
from collections import Counter
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.planning.kitchen import NOON, kitchen
from trialbench.model.errors import Refused
from trialbench.model.message import say
from trialbench.model.records import Piece, Sample, Sitting, Stage, Taster, Trial
from trialbench.planning.at_the_table import notes_at_the_table, warmth_matters
from trialbench.planning.block_designs import block_design, times_counts, together_counts
from trialbench.planning.draw import draw_lots
from trialbench.planning.key import portions_of, read_key
from trialbench.planning.lots import Lots
from trialbench.planning.orders import (
    TRIANGLE_ORDERS,
    deal_triangles,
    evenness,
    follow_counts,
    williams_rows,
)
from trialbench.planning.sitting import Served, seal_sitting
from trialbench.planning.some_orders import deal_some, samples_each, some_evenness

DESIGNS = json.loads(
    (Path(__file__).parents[1] / "reference" / "expected" / "designs.json").read_text("utf-8")
)
CHECKS = {check["id"]: check for check in DESIGNS["checks"]}


def test_des_01_the_squares_of_three_and_ten_are_the_printed_ones():
    """crossdes::williams, after Williams 1949: the square of 3 whole, six rows of that of 10."""
    expected = CHECKS["DES-01"]["expected"]
    ours = {tuple(row) for row in williams_rows(3)}
    assert ours == {tuple(x - 1 for x in row) for row in expected["w3"]}
    printed = [tuple(x - 1 for x in row) for row in expected["w10_rows_1_to_6"]]
    ours = {tuple(row) for row in williams_rows(10)}
    assert all(row in ours for row in printed)


def test_des_02_the_published_square_of_four_is_even_by_our_count():
    rows = [["ABCD".index(x) for x in row] for row in CHECKS["DES-02"]["inputs"]["rows"]]
    assert evenness(rows, 4).even == CHECKS["DES-02"]["expected"]["balanced"]
    slip = [[0, 1, 2, 3], [1, 3, 0, 2], [2, 0, 1, 3], [3, 2, 1, 0]]  # the row before its correction
    assert not evenness(slip, 4).even


@pytest.mark.parametrize("name", CHECKS["DES-04"]["expected"])
def test_des_04_blocks_are_as_few_and_as_balanced_as_the_published_ones(name):
    """b, r and lambda; b k = r v and lambda (v - 1) = r (k - 1)."""
    samples, each = int(name[1]), int(name[3])
    numbers = {w[0]: int(w[1:]) for w in CHECKS["DES-04"]["expected"][name].split()}
    found = block_design(samples, each)
    assert found.balanced and len(found.blocks) == numbers["b"]
    assert set(times_counts(found.blocks).values()) == {numbers["r"]}
    assert set(together_counts(found.blocks).values()) == {numbers["l"]}
    listed = [tuple(x - 1 for x in b) for b in DESIGNS["blocks"][f"{samples}_{each}"]["blocks"]]
    assert set(times_counts(listed).values()) == {numbers["r"]}
    assert set(together_counts(listed).values()) == {numbers["l"]}
    assert numbers["b"] * each == numbers["r"] * samples
    assert numbers["l"] * (samples - 1) == numbers["r"] * (each - 1)


def test_des_05_the_six_triangle_orders_are_dealt_in_blocks_of_six():
    expected = CHECKS["DES-05"]
    assert set(TRIANGLE_ORDERS) == set(expected["inputs"]["orders"])
    for place in range(3):
        assert sum(order[place] == "A" for order in TRIANGLE_ORDERS) == 3
        odd = sum(Counter(order)[order[place]] == 1 for order in TRIANGLE_ORDERS)
        assert odd == expected["expected"]["odd_in_each_position"]
    dealt = deal_triangles(14, Lots(9, "triangles"))
    for block in (dealt[:6], dealt[6:12]):
        assert sorted(block) == sorted(TRIANGLE_ORDERS)
    assert len(set(dealt[12:])) == 2
    assert dealt == deal_triangles(14, Lots(9, "triangles"))
    assert {deal_triangles(1, Lots(lot, "x"))[0] for lot in range(200)} == set(TRIANGLE_ORDERS)


@pytest.mark.parametrize("samples", range(3, 13))
def test_every_design_serves_each_sample_equally_often_and_pairs_to_within_one(samples):
    for each in range(2, min(samples, 6)):
        found = block_design(samples, each)
        assert found.times_gap == 0 and found.together_gap <= 1
        assert all(len(set(block)) == each for block in found.blocks)
    with pytest.raises(ValueError, match="one sample or more"):
        block_design(samples, 0)


@given(lot=st.integers(0, 2**53), whole=st.integers(1, 2))
@settings(max_examples=40, deadline=None)
def test_whole_designs_come_out_even_whatever_the_lot(lot, whole):
    orders = deal_some("ABCD", 2, 12 * whole, Lots(lot, "orders"))
    found = some_evenness(orders, 4, "ABCD")
    assert (found.times_gap, found.together_gap, found.place_gap) == (0, 0, 0)
    assert found.follow_gap <= 1
    assert orders == deal_some("ABCD", 2, 12 * whole, Lots(lot, "orders"))


def test_tasters_get_equally_many_of_every_method_where_they_can():
    groups = "AAABBB"
    for order in deal_some(groups, 5, 8, Lots(3, "orders")):
        assert Counter(groups[label] for label in order) == {"A": 2, "B": 2}
        assert len(set(order)) == 4
    assert [samples_each(groups, most) for most in (2, 3, 4, 5, 6, 9)] == [2, 2, 4, 4, 6, 6]
    assert samples_each("ABCDE", 3) == 3
    with pytest.raises(ValueError, match="two samples"):
        samples_each(groups, 1)


def test_labels_are_put_on_the_blocks_by_lot():
    first = Counter(
        frozenset(deal_some("ABCD", 2, 1, Lots(lot, "orders"))[0]) for lot in range(1200)
    )
    # Six pairs, 200 each; chi-square with 5 df passes 20.5 once in a thousand.
    assert len(first) == 6
    assert sum((n - 200) ** 2 / 200 for n in first.values()) < 20.5


def test_what_some_orders_leave_over_is_said():
    orders = deal_some("ABCDE", 3, 7, Lots(5, "orders"))
    said = " ".join(map(say, some_evenness(orders, 5, "ABCDE").sentences))
    assert "Every taster gets 3 of the samples." in said
    assert "10 orders would come out even; here there are 7." in said


# --- at the sitting ----------------------------------------------------------------------------


@pytest.fixture(scope="module")
def plan():
    bare = kitchen(cooks=4, pairs=2)
    return bare.after(draw_lots(bare, lot_number=628, when=NOON))


def _sealed(plan, day=1, lot=77, earlier=(), **more):
    pieces = tuple(p for p in plan.of(Piece) if p.cook_id == f"c{day}")
    served = Served(pieces, plan.book.all(Taster), **more)
    sitting = plan.book.get(Sitting, f"s{day}")
    return seal_sitting(plan.book, sitting, served, NOON, lot_number=lot, earlier_keys=earlier)


def _orders(plan, made, day=1):
    after = plan.after(made.step)
    piece_of = read_key(made.key_bytes).piece_of
    found = {}
    for sample in sorted(after.book.all(Sample, sitting_id=f"s{day}"), key=lambda s: s.position):
        found.setdefault(sample.taster_id, []).append((sample, piece_of[sample.id]))
    return found


def test_in_rounds_everybody_gets_the_same_product_under_codes_of_their_own(plan):
    made = _sealed(plan, rounds=True)
    orders = _orders(plan, made)
    assert len({tuple(piece for _, piece in own) for own in orders.values()}) == 1
    samples = [sample for own in orders.values() for sample, _ in own]
    assert len({s.code for s in samples}) == len(samples)
    assert all(s.round_number == max(s.position, 1) for s in samples)
    assert all(s.piece_id is None for s in samples)
    assert made.evenness.rounds and not made.evenness.even
    assert "cannot be told apart" in say(made.evenness.sentences[0])


def test_the_order_of_rounds_is_turned_from_sitting_to_sitting():
    """Two cook days of one piece each: what comes first on day 1 comes last on day 2."""
    bare = kitchen(cooks=2, pairs=1)
    plan = bare.after(draw_lots(bare, lot_number=628, when=NOON))
    method = {p.id: p.method_id for p in plan.of(Piece)}
    firsts = Counter()
    for lot in range(40):
        one = _sealed(plan, 1, lot, rounds=True)
        two = _sealed(plan.after(one.step), 2, lot + 1000, (one.key_bytes,), rounds=True)
        first = [method[p] for _, p in next(iter(_orders(plan, one, 1).values()))][1:]
        second = [method[p] for _, p in next(iter(_orders(plan.after(one.step), two, 2).values()))][
            1:
        ]
        assert second == first[::-1]
        firsts[first[0]] += 1
    assert min(firsts.values()) > 8  # 20 of 40 by lot; below 9 once in about 5,000


def test_a_taster_gets_at_most_so_many_after_the_warm_up(plan):
    made = _sealed(plan, most=2)
    method = {p.id: p.method_id for p in plan.of(Piece)}
    for own in _orders(plan, made).values():
        assert [s.position for s, _ in own] == [0, 1, 2]
        assert {method[piece] for _, piece in own[1:]} == {"mA", "mB"}
    assert made.evenness.each == 2 and made.evenness.times_gap == 0
    key = read_key(made.key_bytes)
    again = {p.code: p.piece_id for p in portions_of(key.serving, key.lot_number)}
    assert again == {s.code: piece for own in _orders(plan, made).values() for s, piece in own}
    with pytest.raises(Refused, match="nothing to compare"):
        _sealed(plan, most=2, servings=2)


def test_a_key_of_form_1_still_opens():
    value = {
        "form": 1, "sitting_id": "s1", "lot_number": 5, "nonce": "00", "samples": [["x", "p"]],
        "serving": {"piece_ids": ["p", "q"], "method_ids": ["mA", "mB"], "taster_ids": ["t"],
                    "servings": 1, "warm_up": True, "avoid": [], "earlier": []},
    }  # fmt: skip
    key = read_key(json.dumps(value).encode())
    assert (key.serving.most, key.serving.rounds, key.serving.each_time) == (0, False, 2)
    assert len(portions_of(key.serving, 5)) == 3


def test_rounds_are_offered_for_hot_food_with_their_honest_note():
    cold = kitchen()
    hot = cold.with_records(Stage("roast", "t", 1, "roast", set_temp_c=120.0))
    chilled = hot.with_records(Stage("chill", "t", 2, "chill", set_temp_c=4.0))
    assert [warmth_matters(each) for each in (cold, hot, chilled)] == [False, True, False]
    rounds = hot.changed(Trial, "t", serving="rounds")
    (note,) = notes_at_the_table(rounds)
    said = " ".join(map(say, note.sentences))
    assert "cannot be told apart" in said and "turned round" in said
    once = kitchen(cooks=1).changed(Trial, "t", serving="rounds")
    assert "may be the order" in " ".join(map(say, next(notes_at_the_table(once)).sentences))


def test_a_long_table_is_said_and_shortened():
    many = kitchen(pairs=0, each=4)
    (note,) = notes_at_the_table(many)
    assert say(note.label) == "8 samples each: a long table"
    assert note.verbs[0].args == ("t", "most_samples", "6")
    fewer = many.changed(Trial, "t", most_samples=6)
    (note,) = notes_at_the_table(fewer)
    assert say(note.label) == "Every taster gets 6 of 8"
    assert follow_counts([]) == Counter()

"""Orders have the property that was published for them, and what is left over is counted."""

from __future__ import annotations

from collections import Counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trialbench.model.message import say
from trialbench.planning.lots import Lots
from trialbench.planning.orders import (
    deal_orders,
    evenness,
    follow_counts,
    place_counts,
    williams_rows,
)


@pytest.mark.parametrize("samples", range(2, 13))
def test_williams_1949_places_and_successions_are_balanced(samples):
    """Williams 1949: k rows for even k, 2 k for odd k; each label once a place per square, each
    ordered pair once (even) or twice (odd)."""
    rows = williams_rows(samples)
    squares = 1 if samples % 2 == 0 else 2
    assert len(rows) == squares * samples
    assert all(sorted(row) == list(range(samples)) for row in rows)
    assert set(place_counts(rows).values()) == {squares}
    follows = follow_counts(rows)
    assert len(follows) == samples * (samples - 1)
    assert set(follows.values()) == {squares}


def test_the_square_of_four_is_the_published_one():
    # The 4 x 4 square printed with 1, 2, 4, 3 in its first row (Williams 1949, table as commonly
    # reprinted; from memory), here with labels from 0.
    assert williams_rows(4)[0] == (0, 1, 3, 2)


def test_one_sample_is_one_row_and_none_is_an_error():
    assert williams_rows(1) == ((0,),)
    with pytest.raises(ValueError, match="at least one"):
        williams_rows(0)


@given(lot=st.integers(0, 2**53), samples=st.integers(1, 8), squares=st.integers(1, 2))
@settings(max_examples=60, deadline=None)
def test_whole_squares_are_even_whatever_the_lot(lot, samples, squares):
    rows = squares * len(williams_rows(samples))
    orders = deal_orders(samples, rows, Lots(lot, "orders"))
    assert evenness(orders, samples).even
    assert orders == deal_orders(samples, rows, Lots(lot, "orders"))


@given(lot=st.integers(0, 2**53), samples=st.integers(2, 8), rows=st.integers(1, 30))
@settings(max_examples=80, deadline=None)
def test_what_is_left_over_is_at_most_a_part_of_one_design(lot, samples, rows):
    found = evenness(deal_orders(samples, rows, Lots(lot, "orders")), samples)
    design = len(williams_rows(samples))
    most = 1 if samples % 2 == 0 else 2
    assert found.place_gap <= most and found.follow_gap <= most
    assert found.even == (rows % design == 0) or found.even
    assert found.even_at % design == 0 and rows <= found.even_at < rows + design


def test_an_imbalance_is_said():
    found = evenness(deal_orders(4, 7, Lots(3, "orders")), 4)
    assert say(found.label) == "one small gap"
    assert [say(s) for s in found.sentences] == [
        "Counts by place differ by 1, counts of what follows what by 1.",
        "8 orders would come out even; here there are 7.",
    ]
    even = evenness(deal_orders(4, 8, Lots(3, "orders")), 4)
    assert say(even.label) == "even" and len(even.sentences) == 1


def test_every_piece_comes_first_equally_often_over_lots():
    seen = Counter(deal_orders(4, 1, Lots(lot, "orders"))[0][0] for lot in range(2000))
    # Chi-square, 3 df: 16.3 is passed once in a thousand.
    assert sum((seen[label] - 500) ** 2 / 500 for label in range(4)) < 16.3


def test_later_sittings_even_out_what_was_left_over():
    """Five tasters and two pieces: 3 to 2 at one sitting, never 6 to 4 over two of them."""
    groups = ("A", "B")
    for lot in range(50):
        first = deal_orders(2, 5, Lots(lot, "orders"), groups=groups)
        earlier = [tuple(groups[label] for label in order) for order in first]
        second = deal_orders(2, 5, Lots(lot + 1000, "orders"), groups=groups, earlier=earlier)
        both = earlier + [tuple(groups[label] for label in order) for order in second]
        assert Counter(order[0] for order in both) == {"A": 5, "B": 5}


def test_evening_out_keeps_both_orders_possible():
    starts = Counter(
        deal_orders(2, 5, Lots(lot, "orders"), groups=("A", "B"))[0][0] for lot in range(400)
    )
    assert abs(starts[0] - 200) < 66  # 3.3 sd of a fair coin

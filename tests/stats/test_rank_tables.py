"""Friedman, Page, incomplete blocks and boxes against going through all orders; odd tables."""

from __future__ import annotations

import itertools

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trialbench.stats import BadNumbers, NotApplicable, boxes, ranks
from trialbench.stats.block_sums import all_sums, order_count, orders, tail_of_squares

TABLES = st.integers(2, 4).flatmap(
    lambda k: st.lists(st.lists(st.integers(1, 5), min_size=k, max_size=k), min_size=2, max_size=4)
)


def _row_ranks(row):
    return [sum(other < own for other in row) + (row.count(own) + 1) / 2 for own in row]


def _all(rows):
    """Column sums of every combination of orders."""
    ranked = [_row_ranks(list(row)) for row in rows]
    total = [np.zeros(len(ranked[0]))]
    for row in ranked:
        moves = [np.array(order) for order in itertools.permutations(row)]
        total = [have + move for have in total for move in moves]
    return np.array(total), np.sum(ranked, axis=0)


@settings(max_examples=40, deadline=None)
@given(TABLES)
def test_exact_p_goes_through_all_orders(rows):
    found, trend = ranks.friedman(rows), ranks.page(rows)
    if all(len(set(row)) == 1 for row in rows):
        assert isinstance(found, NotApplicable) and isinstance(trend, NotApplicable)
        return
    sums, seen = _all(rows)
    squares = (sums**2).sum(axis=1)
    assert found.p_exact == pytest.approx((squares >= (seen**2).sum() - 1e-9).mean(), rel=1e-12)
    weights = np.arange(1, len(seen) + 1)
    trends = sums @ weights
    assert trend.p == pytest.approx((trends >= seen @ weights - 1e-9).mean(), rel=1e-12)
    assert trend.p_falling == pytest.approx((trends <= seen @ weights + 1e-9).mean(), rel=1e-12)


@settings(max_examples=40, deadline=None)
@given(TABLES, st.randoms(use_true_random=False))
def test_order_of_rows_and_columns_and_a_constant_change_nothing(rows, rng):
    found = ranks.friedman(rows)
    moved = [[value + 100 for value in row][::-1] for row in rows]
    rng.shuffle(moved)
    again = ranks.friedman(moved)
    if isinstance(found, NotApplicable):
        assert isinstance(again, NotApplicable)
        return
    for name in ("chi2", "p_exact", "kendall_w", "F"):
        one, two = getattr(found, name), getattr(again, name)
        assert one == two or one == pytest.approx(two, rel=1e-12)
    assert found.rank_sums == again.rank_sums[::-1]


@settings(max_examples=30, deadline=None)
@given(st.lists(st.lists(st.integers(0, 1), min_size=3, max_size=3), min_size=2, max_size=5))
def test_ticked_boxes_in_all_orders(rows):
    found = boxes.cochran_q(rows)
    if all(sum(row) in (0, 3) for row in rows):
        assert isinstance(found, NotApplicable)
        return
    total = [np.zeros(3)]
    for row in rows:
        total = [t + np.array(o) for t in total for o in itertools.permutations(row)]
    squares = (np.array(total) ** 2).sum(axis=1)
    seen = (np.sum(rows, axis=0) ** 2).sum()
    assert found.p == pytest.approx((squares >= seen).mean(), rel=1e-12)


def test_complete_blocks_give_the_same_as_incomplete_ones():
    rows = [[7, 5, 3], [6, 6, 4], [8, 5, 5], [5, 6, 2], [9, 7, 6]]
    long = pd.DataFrame(
        [(t, m, v) for t, row in enumerate(rows) for m, v in zip("abc", row, strict=True)],
        columns=["taster", "method", "score"],
    )
    whole, part = ranks.friedman(rows), ranks.durbin(long)
    for name in ("chi2", "p_chi2", "F", "p_f", "p_exact"):
        assert getattr(whole, name) == pytest.approx(getattr(part, name), rel=1e-10)
    shuffled = long.sample(frac=1, random_state=3)
    assert ranks.durbin(shuffled).p_exact == pytest.approx(part.p_exact, rel=1e-12)


def test_two_methods_are_the_sign_test():
    rows = [[5, 3], [6, 2], [4, 4], [7, 5], [3, 4], [8, 1]]
    assert ranks.friedman(rows).p == pytest.approx(ranks.sign_p([2, 4, 0, 2, -1, 7]))
    ticked = [[1, 0]] * 7 + [[0, 1]] * 2 + [[1, 1]] * 3
    assert boxes.cochran_q(ticked).p == pytest.approx(boxes.mcnemar(7, 2).p)


def test_equal_decimals_tie_as_they_are_written():
    found = ranks.friedman([[0.1 + 0.2, 0.3, 1.0], [0.5, 0.4, 0.6]])
    assert found.rank_sums == (3.5, 2.5, 6.0)


def test_large_tables_say_so_and_stay_quick():
    lot = np.random.default_rng(2)
    big = ranks.friedman(lot.normal(size=(30, 7)))
    assert big.p_exact is None and big.p == big.p_f and "Too many orders" in str(big.notes[-1])
    many = ranks.friedman(lot.integers(1, 10, (60, 3)))
    assert many.p_exact is not None
    assert ranks.page(lot.normal(size=(5, 13))).exact is False
    ten = ranks.page(lot.normal(size=(8, 10)))
    assert ten.exact and ten.p == pytest.approx(ten.p_large, abs=0.02)


def test_orders_of_tied_numbers():
    assert len(orders((1, 1, 2, 2))) == order_count((1, 1, 2, 2)) == 6
    assert tail_of_squares([(3, 3, 3)], 0) == 1.0
    states, chances = all_sums([((0, 2), (1, 2))], 3)
    assert chances.sum() == pytest.approx(1.0) and states.shape == (3, 2)


def test_odd_tables():
    one = ranks.friedman([[3, 1, 2]])
    assert one.p_exact == 1.0 and one.F is None and one.p_f == 1.0
    agree = ranks.friedman([[3, 2, 1]] * 4)
    assert agree.kendall_w == 1.0 and agree.p_f == 0.0 and agree.F is None
    gap = ranks.friedman({"a": [1, None, 3], "b": [2, 2, 1], "c": [3, 1, 2]})
    assert gap.tasters == 2 and "1 row" in str(gap.notes[0])
    assert isinstance(ranks.friedman([[None, 1], [2, None]]), NotApplicable)
    assert isinstance(
        ranks.durbin({"taster": ["x"], "method": ["a"], "score": [1.0]}), NotApplicable
    )


def test_named_columns_and_an_order():
    frame = pd.DataFrame({"cool": [5, 4, 6], "hot": [2, 1, 3], "warm": [3, 2, 4]})
    rising = ranks.page(frame, ["hot", "warm", "cool"])
    assert rising.p == pytest.approx(1 / 216) and rising.L == 42
    pairs = ranks.friedman(frame).pairs
    assert [(p.a, p.b, p.a_higher) for p in pairs] == [
        ("cool", "hot", 3), ("cool", "warm", 3), ("hot", "warm", 0),
    ]  # fmt: skip


def test_unlinked_methods_are_not_compared():
    rows = [("t1", "a", 3), ("t1", "b", 1), ("t2", "c", 2), ("t2", "d", 5), ("t3", "a", 4),
            ("t3", "b", 2), ("t4", "c", 1), ("t4", "d", 3)]  # fmt: skip
    found = ranks.durbin(pd.DataFrame(rows, columns=["taster", "method", "score"]))
    assert found.df == 2 and not found.balanced and "linked" in str(found.notes[-1])


@pytest.mark.parametrize(
    "call",
    [
        lambda: ranks.friedman([[1, 2], [1, 2, 3]]), lambda: ranks.friedman([]),
        lambda: ranks.friedman([[1], [2]]), lambda: ranks.friedman([["x", 1]]),
        lambda: ranks.friedman(5), lambda: ranks.friedman({"a": [1], "b": [1, 2]}),
        lambda: ranks.page([[1, 2]], ["1", "3"]), lambda: ranks.page([[1, 2]], ["1", "1"]),
        lambda: boxes.cochran_q([[1, 2]]), lambda: boxes.mcnemar(-1, 2),
        lambda: boxes.mcnemar(3, 2, 4), lambda: boxes.penalty([1], [1, 2]),
        lambda: boxes.penalty(["a"], [1]),
        lambda: ranks.durbin({"taster": ["x", "x"], "method": ["a", "a"], "score": [1, 2]}),
        lambda: ranks.durbin({"taster": [None], "method": ["a"], "score": [1]}),
        lambda: ranks.durbin({"taster": ["x"], "method": ["a"]}),
    ],
)  # fmt: skip
def test_what_is_no_table_is_refused(call):
    with pytest.raises(BadNumbers) as told:
        call()
    assert told.value.where and told.value.allowed


def test_mcnemar_at_its_ends():
    nothing = boxes.mcnemar(0, 0, 8)
    assert nothing.p == 1.0 and nothing.difference == 0.0 and nothing.notes
    all_one = boxes.mcnemar(6, 0)
    assert all_one.p == 0.03125 and all_one.odds_ratio is None and all_one.odds_high is None
    assert boxes.mcnemar(4, 4).p_mid == 1.0


def test_penalties_where_somebody_is_missing():
    nobody = boxes.penalty([1, 1, 2], [4, 5, 6])
    assert nobody.mean_just_right is None and nobody.group("too little").mean_drop is None
    assert not nobody.group("too much").enough
    right = boxes.penalty([3, 3, 3, 5], [7, 7, 7, 4])
    assert right.group("too much").mean_drop == 3.0 and right.group("too much").p is None
    assert isinstance(boxes.penalty([None], [None]), NotApplicable)
    assert boxes.penalty([3, 2, None], [7, 5, 6]).n == 2

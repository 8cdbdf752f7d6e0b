"""Paired numbers: exact tests against going through everything, odd data, and swaps."""

from __future__ import annotations

import itertools
import math
from dataclasses import fields

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from trialbench.stats import BadNumbers, paired
from trialbench.stats.ranks import doubled_ranks, sign_p
from trialbench.stats.sign_flip import flip_p

GRID = st.integers(10, 90).map(lambda n: n / 10)
PAIRS = st.lists(st.tuples(GRID, GRID), min_size=1, max_size=9)


def _columns(pairs):
    return [a for a, _ in pairs], [b for _, b in pairs]


def _through_all(sizes: list[float]) -> float:
    seen = abs(sum(sizes))
    patterns = list(itertools.product((-1, 1), repeat=len(sizes)))
    sums = [abs(sum(s * abs(x) for s, x in zip(p, sizes, strict=True))) for p in patterns]
    return sum(each >= seen for each in sums) / len(patterns)


@given(PAIRS)
def test_exact_tests_equal_going_through_all_signs(pairs):
    steps = [round(10 * a) - round(10 * b) for a, b in pairs]
    result = paired(*_columns(pairs))
    assert result.sign_flip_p == _through_all(steps)
    kept = [step for step in steps if step]
    if kept:
        ranks = doubled_ranks([abs(step) for step in kept])
        signed = [math.copysign(r, s) for r, s in zip(ranks, kept, strict=True)]
        assert result.signed_rank_p == _through_all(signed)
        assert result.sign_p == pytest.approx(_through_all([math.copysign(1, s) for s in kept]))
    else:
        assert result.signed_rank_p is None and result.sign_p is None


@given(PAIRS)
def test_swapping_flips_signs_only(pairs):
    a, b = _columns(pairs)
    one, two = paired(a, b, matters=1), paired(b, a, matters=1)
    flips = {"estimate", "t", "dz", "hedges_g", "hodges_lehmann"}
    ends = {"low": "high", "inner_low": "inner_high", "hodges_lehmann_low": "hodges_lehmann_high"}
    ends |= {high: low for low, high in ends.items()}
    for field in fields(one):
        x, y = getattr(one, field.name), getattr(two, ends.get(field.name, field.name))
        if field.name in flips | set(ends) and x is not None:
            assert x == pytest.approx(-y, abs=1e-12)
        else:
            assert x == y, field.name


@given(PAIRS, st.sampled_from([0.1, 3.0, 100.7]), st.randoms(use_true_random=False))
def test_a_constant_and_another_order_change_nothing(pairs, constant, rng):
    moved = [(a + constant, b + constant) for a, b in pairs]
    rng.shuffle(moved)
    one, two = paired(*_columns(pairs)), paired(*_columns(moved))
    for field in fields(one):
        x, y = getattr(one, field.name), getattr(two, field.name)
        if isinstance(x, float) and field.name not in ("t", "dz", "hedges_g"):
            assert x == pytest.approx(y, rel=1e-6, abs=1e-9), field.name


@given(st.lists(st.floats(-5, 5, allow_subnormal=False), min_size=2, max_size=12))
def test_halves_and_convolution_agree(values):
    steps = [round(1000 * value) for value in values]
    assert flip_p([float(step) for step in steps], None) == pytest.approx(flip_p([], steps) or
        flip_p([float(s) for s in steps], steps))  # fmt: skip


def test_numbers_off_every_grid_are_matched_by_halves():
    rng = np.random.default_rng(4)
    values = rng.normal(0.4, 1, 12)
    result = paired(values, np.zeros(12))
    assert result.sign_flip_p == pytest.approx(_through_all(list(values)), rel=1e-12)


def test_45_pairs_are_exact():
    rng = np.random.default_rng(1)
    for numbers in (rng.normal(0.3, 1, 45), np.round(rng.normal(0.3, 1, 45), 2)):
        result = paired(numbers, np.zeros(45))
        assert result.sign_flip_p is not None
        assert abs(result.sign_flip_p - result.p) < 0.02
    assert paired(np.arange(46.0), np.zeros(46)).sign_flip_p is None


def test_odd_data_give_none_with_the_reason():
    one = paired([5], [4])
    assert (one.estimate, one.df, one.se, one.p, one.low) == (1.0, None, None, None, None)
    assert one.sign_flip_p == 1.0 and one.smallest_possible_p == 1.0
    equal = paired([5, 6, 7], [4, 5, 6], matters=2)
    assert (equal.estimate, equal.se, equal.t, equal.low) == (1.0, 0.0, None, None)
    assert "equal" in str(equal.notes[0])
    nothing = paired([3, 3], [3, 3])
    assert nothing.sign_flip_p == 1.0 and nothing.signed_rank_p is None and nothing.sign_p is None
    none = paired([None], [2.0])
    assert (none.n, none.estimate) == (0, None) and len(none.notes) == 2
    two = paired([5, 7], [4, 5])
    assert two.hedges_g is None and two.low is not None


def test_missing_pairs_are_left_out_and_counted():
    result = paired([1.0, float("nan"), 3.0, None], [0.5, 2.0, 2.0, 1.0])
    assert result.n == 2
    assert str(result.notes[0]) == "2 pairs have a missing number and are left out."


@pytest.mark.parametrize(
    ("a", "b", "more"),
    [
        ([1, 2], [1], {}),
        (["x"], [1], {}),
        ([float("inf")], [1], {}),
        ([1, 2], [2, 1], {"matters": 0}),
        ([1, 2], [2, 1], {"alpha": 0}),
    ],
)
def test_what_cannot_be_paired_is_refused(a, b, more):
    with pytest.raises(BadNumbers) as told:
        paired(a, b, **more)
    assert isinstance(told.value, ValueError) and told.value.allowed


def test_sign_test_of_many_pairs_does_not_overflow():
    assert sign_p([1.0] * 2000) == pytest.approx(0.0, abs=1e-300)
    assert sign_p([1.0, -1.0] * 1000) == 1.0


def test_single_precision_is_read_as_it_is_written():
    numbers = np.array([7.2, 6.1, 5.8], dtype=np.float32)
    assert paired(numbers, [6.0, 6.0, 6.0]).estimate == pytest.approx(paired(
        [7.2, 6.1, 5.8], [6.0] * 3).estimate, abs=1e-15)  # fmt: skip


def test_it_says_its_null_hypothesis():
    assert "mean of a - b is 0" in str(paired([1, 2, 3], [1, 1, 1]).null_hypothesis)

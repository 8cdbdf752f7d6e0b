"""The redraw test: what is permuted, its floor, sampling, and the plan's own rules."""

from __future__ import annotations

import itertools
import random
from statistics import mean

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.stats.loops import redraw_loop
from trialbench.stats import BadNumbers, redraw

SCORES = st.integers(1, 90).map(lambda n: n / 10)
UNITS = st.lists(
    st.tuples(st.sampled_from("klm"), st.sampled_from("AB"), SCORES), min_size=2, max_size=9
)


def _columns(units):
    return [u[2] for u in units], [u[1] for u in units], [u[0] for u in units]


def _cooks(units):
    there = {k: {m for cook, m, _ in units if cook == k} for k, _, _ in units}
    return [k for k, methods in there.items() if methods == {"A", "B"}]


@given(UNITS)
def test_equals_going_through_all_draws(units):
    kept = [unit for unit in units if unit[0] in _cooks(units)]
    if not kept:
        return
    means = {(k, m, i): value for i, (k, m, value) in enumerate(kept)}
    p, total = redraw_loop(means)
    result = redraw(*_columns(units))
    assert (result.p, result.assignments) == (pytest.approx(p), total)


@given(UNITS, st.randoms(use_true_random=False), st.sampled_from([2_000_000, 1]))
@settings(max_examples=60)
def test_swap_order_spelling_and_constants_change_nothing(units, rng, most):
    if not _cooks(units):
        return
    moved = [(f"x{'mlk'.index(k)}", {"A": "z", "B": "c"}[m], v + 11) for k, m, v in units]
    rng.shuffle(moved)
    one = redraw(*_columns(units), seed=3, max_enumerated=most, draws=500)
    two = redraw(*_columns(moved), seed=3, max_enumerated=most, draws=500)
    assert (one.p, one.hits, one.assignments) == (two.p, two.hits, two.assignments)


@given(st.integers(0, 500))
@settings(max_examples=40)
def test_tasters_who_missed_a_piece_are_settled_draw_by_draw(lot):
    rng = random.Random(lot)
    units = [(k, m, u) for k in "kl" for m in "AB" for u in range(2)]
    rows = [[rng.choice([None, 3, 5, 6, 8]) for _ in range(3)] for _ in units]
    for row in rows:
        row[rng.randrange(3)] = 7
    cooks, labels = [k for k, _, _ in units], [m for _, m, _ in units]

    def gap(first: list[bool]) -> float | None:
        days = []
        for k in "kl":
            own = [i for i, cook in enumerate(cooks) if cook == k]
            gaps = []
            for t in range(3):
                sides = [
                    [rows[i][t] for i in own if first[i] == side and rows[i][t] is not None]
                    for side in (True, False)
                ]
                if all(sides):
                    gaps.append(mean(sides[0]) - mean(sides[1]))
            days += [mean(gaps)] if gaps else []
        return mean(days) if days else None

    made = [m == "A" for m in labels]
    result = redraw(rows, labels, cooks)
    if result.p is None:
        assert gap(made) is None
        return
    if result.assignments < 36:  # a cook without any difference has dropped out
        return
    ways = [
        [i in (*one, *two) for i in range(8)]
        for one in itertools.combinations(range(4), 2)
        for two in itertools.combinations(range(4, 8), 2)
    ]
    seen = abs(gap(made))
    assert result.statistic == pytest.approx(seen)
    hits = sum(abs(gap(way) or 0.0) >= seen - 1e-9 for way in ways)
    assert (result.hits, result.assignments) == (hits, 36)


def test_pairs_inside_cooks_shape_the_draw_and_cooks_the_statistic():
    value = [5.0, 4.0, 7.0, 5.0, 6.0, 6.5]
    label = list("ABABAB")
    pair, cook = ["1", "1", "2", "2", "3", "3"], ["k", "k", "k", "k", "l", "l"]
    within = redraw(value, label, pair, cook=cook)
    assert within.assignments == 8
    assert within.statistic == pytest.approx(((1 + 2) / 2 - 0.5) / 2)
    free = redraw(value, label, cook, cook=cook)
    assert free.assignments == 6 * 2


def test_floor_is_two_in_n_only_where_every_block_has_equal_counts():
    even = redraw([1, 2, 3, 4], list("ABAB"), [1, 1, 2, 2])
    assert (even.smallest_possible_p, even.assignments) == (0.5, 4)
    uneven = redraw([1, 2, 3, 4, 5], list("ABABB"), [1, 1, 2, 2, 2])
    assert (uneven.smallest_possible_p, uneven.assignments) == (1 / 6, 6)


def test_sampled_draws_count_the_one_that_was_made_and_repeat_with_their_lot_number():
    numbers = [float(n % 7) for n in range(24)]
    labels, blocks = list("AB") * 12, [n // 4 for n in range(24)]
    exact = redraw(numbers, labels, blocks)
    one = redraw(numbers, labels, blocks, seed=5, max_enumerated=100, draws=4000)
    again = redraw(numbers, labels, blocks, seed=5, max_enumerated=100, draws=4000)
    assert one == again
    assert one.p == (one.hits + 1) / 4001
    assert (one.seed, exact.seed) == (5, None)
    assert one.p == pytest.approx(exact.p, abs=0.03)
    assert one.smallest_possible_p >= 1 / 4001


def test_only_draws_that_the_rules_allowed():
    """Two pairs a cook day on two racks, four days: A above in four of the eight pairs."""
    value = [6.5, 4.4, 6.6, 4.3, 6.2, 4.9, 6.1, 5.6, 6.2, 5.3, 6.0, 5.2, 6.3, 5.1, 5.2, 4.8]
    label = list("BA" * 8)
    pair = [n // 2 for n in range(16)]
    cook = [n // 4 for n in range(16)]
    ways = []
    for above in itertools.combinations(range(8), 4):
        ways.append([m for n in range(8) for m in ("BA" if n in above else "AB")])
    made = ["B" if (n % 2 == 0) else "A" for n in range(16)]
    assert made not in ways
    with pytest.raises(BadNumbers, match="not among"):
        redraw(value, label, pair, ways, cook=cook)
    # Turn four pairs round, so that the draw that was made keeps the rule.
    for n in (1, 3, 5, 7):
        label[2 * n], label[2 * n + 1] = label[2 * n + 1], label[2 * n]
        value[2 * n], value[2 * n + 1] = value[2 * n + 1], value[2 * n]
    listed = redraw(value, label, pair, ways, cook=cook)
    assert (listed.assignments, listed.hits) == (70, 2)
    assert listed.p == listed.smallest_possible_p == pytest.approx(2 / 70)
    assert listed.cooks_needed(0.05) == 5

    def rule(names: tuple[str, ...]) -> bool:
        return sum(names[2 * n] == "B" for n in range(8)) == 4

    by_rule = redraw(value, label, pair, rule, cook=cook)
    assert (by_rule.assignments, by_rule.hits, by_rule.p) == (70, 2, listed.p)
    sampled = redraw(value, label, pair, rule, cook=cook, max_enumerated=10, draws=300)
    assert sampled.seed == 1 and sampled.p < 0.1


def test_cooks_needed_for_one_pair_each():
    five = redraw([1, 2] * 5, list("AB") * 5, [n // 2 for n in range(10)])
    assert (five.smallest_possible_p, five.cooks_needed(0.05)) == (0.0625, 7)
    one = redraw([1, 2], list("AB"))
    assert one.cooks_needed(0.05) == 7


def test_nothing_to_redraw():
    result = redraw([1, 2], list("AB"), ["k", "l"])
    assert result.p is None and result.notes
    assert redraw([3, 3, 3, 3], list("AABB")).p == 1.0


@pytest.mark.parametrize(
    ("value", "label", "more"),
    [
        ([1, None], list("AB"), {}),
        ([1, 2], list("AA"), {}),
        ([1, 2, 3], list("AB"), {}),
        ([1, 2], list("AB"), {"assignments": []}),
        ([1, 2], list("AB"), {"assignments": [["A", "C"]]}),
    ],
)
def test_bad_units_are_refused(value, label, more):
    with pytest.raises(BadNumbers):
        redraw(value, label, **more)

"""Pooling: effects with their errors, and all cook days of trials that asked the same."""

from __future__ import annotations

import math

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from trialbench.stats import BadNumbers, NotApplicable, over_cooks, pool, pool_cook_days
from trialbench.stats.between_trials import BETWEEN, generalised_q
from trialbench.stats.pooled_days import pool_differences

EFFECTS = st.lists(
    st.tuples(st.integers(-90, 90).map(lambda n: n / 10), st.integers(3, 40).map(lambda n: n / 10)),
    min_size=2,
    max_size=8,
)


def _columns(pairs):
    return [y for y, _ in pairs], [s for _, s in pairs]


@given(EFFECTS, st.sampled_from(BETWEEN))
def test_never_narrower_than_the_common_effect(pairs, between):
    found = pool(*_columns(pairs), between)
    assert found.se >= found.common_se * (1 - 1e-12)
    assert found.high - found.low >= (found.common_high - found.common_low) * (1 - 1e-12)
    assert sum(found.weights) == pytest.approx(1.0)
    if found.held_at_common:
        assert found.se == found.common_se and "Held" in str(found.notes[0])
    if found.prediction_low is not None:
        assert found.prediction_low <= found.low + 1e-12


@given(EFFECTS, st.sampled_from(BETWEEN), st.booleans(), st.randoms(use_true_random=False))
def test_signs_a_constant_and_order(pairs, between, small, rng):
    found = pool(*_columns(pairs), between, small)
    turned = pool([-y for y, _ in pairs], [s for _, s in pairs], between, small)
    assert found.estimate == pytest.approx(-turned.estimate, abs=1e-9)
    assert found.p == pytest.approx(turned.p, rel=1e-6)
    shuffled = list(pairs)
    rng.shuffle(shuffled)
    again = pool(*_columns(shuffled), between, small)
    assert again.estimate == pytest.approx(found.estimate, abs=1e-8)
    moved = pool([y + 7 for y, _ in pairs], [s for _, s in pairs], between, small)
    assert moved.estimate == pytest.approx(found.estimate + 7, abs=1e-7)
    assert moved.between_variance == pytest.approx(found.between_variance, rel=1e-5, abs=1e-7)


@given(EFFECTS)
def test_estimates_of_the_variance_solve_their_equations(pairs):
    y, s = (np.array(column) for column in _columns(pairs))
    v, k = s**2, len(pairs)
    paule = pool(y, s, "generalised-q").between_variance
    if paule > 0:
        assert generalised_q(y, v, paule) == pytest.approx(k - 1, rel=1e-9)
    else:
        assert generalised_q(y, v, 0.0) <= k - 1

    def restricted(t):
        w = 1 / (v + t)
        return 0.5 * (np.log(w).sum() - math.log(w.sum()) - generalised_q(y, v, t))

    best = pool(y, s).between_variance
    top = restricted(best)
    assert all(restricted(t) <= top + 1e-9 for t in np.linspace(0, 4 * best + 30, 400))


def test_leave_one_out_and_limits():
    found = pool([4.2, 7.9, -1.3, 5.6, 2.1, 9.4], [2.1, 3, 2.6, 1.7, 3.4, 4.1])
    without = pool([4.2, 7.9, 5.6, 2.1, 9.4], [2.1, 3, 1.7, 3.4, 4.1])
    assert found.leave_one_out[2].estimate == without.estimate
    assert found.leave_one_out[2].between_variance == without.between_variance
    assert found.between_low == 0.0 < found.between_variance < found.between_high
    assert 0 < found.I2 < 1 and "0" in str(found.null_hypothesis)


def test_odd_trials():
    assert isinstance(pool([1.0], [0.5]), NotApplicable)
    assert isinstance(pool([1.0, None], [0.5, 0.4]), NotApplicable)
    same = pool([2.0, 2.0, 2.0], [0.5, 0.5, 0.5])
    assert same.held_at_common and same.between_variance == 0.0 and same.se == same.common_se
    lost = pool([1, 2, None], [1, 1, 1])
    gap = pool([1, None, 2, 5], [1, 1, 1, 1])
    assert [each.left_out for each in gap.leave_one_out] == [0, 2, 3]
    far = pool([5, 5.0000001, 5], [1e-5, 1e5, 1])
    assert 0 <= far.I2 <= 1
    assert lost.trials == 2 and "1 trial" in str(lost.notes[-1]) and lost.leave_one_out == ()
    for call in (lambda: pool([1, 2], [1, 0]), lambda: pool([1, 2], [1]),
                 lambda: pool([1, 2], [1, 1], "x"), lambda: pool([1, "a"], [1, 1]),
                 lambda: pool([1, 2], [1, 1], alpha=0.7)):  # fmt: skip
        with pytest.raises(BadNumbers) as told:
            call()
        assert told.value.where and told.value.allowed


def _trials(lot_number: int, trials=3, cooks=4) -> pd.DataFrame:
    lot = np.random.default_rng(lot_number)
    rows = [
        (f"trial{t}", f"day{c}", taster, m, round(float(lot.normal(5 + (m == "A"), 1)), 1))
        for t in range(trials)
        for c in range(cooks)
        for taster in ("x", "y", "z")
        for m in "AB"
    ]
    return pd.DataFrame(rows, columns=["trial", "cook", "taster", "method", "score"])


def test_all_cook_days_from_the_scores():
    frame = _trials(4)
    found = pool_cook_days(frame, "score", "method", "trial", "cook", taster="taster")
    days = {
        t: [d.difference for d in over_cooks(own, "score", "method", "cook", taster="taster")
            .cook_differences]
        for t, own in frame.groupby("trial")
    }  # fmt: skip
    everything = [x for own in days.values() for x in own]
    within = sum(np.var(own, ddof=1) * 3 for own in days.values()) / 9
    assert found.cooks == 12 and found.df == 9
    assert found.estimate == pytest.approx(np.mean(everything))
    assert found.se == pytest.approx(math.sqrt(within / 12))
    means = [np.mean(own) for own in days.values()]
    assert found.others_high - found.others_low >= found.high - found.low - 1e-12
    by_trials = 4.302652729749464 * np.std(means, ddof=1) / math.sqrt(3)
    assert (found.others_high - found.others_low) / 2 == pytest.approx(
        max(by_trials, (found.high - found.low) / 2)
    )
    assert [each.trial for each in found.leave_one_out] == ["trial0", "trial1", "trial2"]
    shuffled = frame.sample(frac=1, random_state=1)
    again = pool_cook_days(shuffled, "score", "method", "trial", "cook", taster="taster")
    assert (again.estimate, again.p) == (found.estimate, found.p)


def test_batch_scope_stays_out_of_the_pool():
    frame = _trials(5)
    frame = frame[(frame.trial != "trial2") | (frame.cook == "day0")]
    found = pool_cook_days(frame, "score", "method", "trial", "cook", taster="taster")
    assert found.left_out == ("trial2",) and "1 trial" in str(found.notes[0])
    assert found.cooks == 8
    one = frame[frame.trial == "trial0"]
    assert isinstance(
        pool_cook_days(one, "score", "method", "trial", "cook", taster="taster"), NotApplicable
    )


def test_trials_that_disagree_widen_the_interval_for_others():
    found = pool_differences({"one": [2.0, 2.2, 1.9], "two": [-1.9, -2.2, -2.0]})
    assert found.others_p > 0.5 and found.between_sd > 2.5
    alike = pool_differences({"one": [1.0, 3.0], "two": [1.1, 2.9]})
    assert alike.others_high == alike.high and "held" in str(alike.notes[-1])
    equal = pool_differences({"one": [1.0, 1.0], "two": [2.0, 2.0]})
    assert equal.p is None and equal.estimate == 1.5 and equal.notes
    floored = pool_differences({"one": [1.0, 1.0], "two": [2.0, 2.0]}, least_variance=0.1)
    assert floored.p is not None
    assert pool_differences({"one": [1, 2], "two": [2, 3], "three": [5]}).left_out == ("three",)


def test_a_trial_without_a_name_is_refused():
    frame = _trials(6)
    frame.loc[3, "trial"] = None
    with pytest.raises(BadNumbers):
        pool_cook_days(frame, "score", "method", "trial", "cook")

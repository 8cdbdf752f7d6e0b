"""Blinding indices, and the tasters themselves."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from trialbench.stats import BadNumbers, NotApplicable, blinding, over_cooks, tasters


def test_index_by_method_at_its_ends():
    assert blinding.by_method(5, 0).index == 1.0
    assert blinding.by_method(0, 5).index == -1.0
    even = blinding.by_method(4, 4, 2)
    assert even.index == 0.0 and even.low == pytest.approx(-even.high)
    assert "alike" in str(blinding.by_method(5, 0).notes[0])
    assert isinstance(blinding.by_method(0, 0, 0), NotApplicable)


def test_standard_errors_against_drawn_panels():
    lot = np.random.default_rng(2)
    drawn = lot.multinomial(60, [0.4, 0.3, 0.3], 20_000)
    indices = (drawn[:, 0] - drawn[:, 1]) / 60
    assert blinding.by_method(24, 18, 18).se == pytest.approx(indices.std(), rel=0.02)
    table = np.array([[20, 10], [8, 14], [12, 16]])
    many = lot.multinomial(80, table.ravel() / 80, 4000).reshape(-1, 3, 2)
    spread = np.std([blinding.overall(each).index for each in many])
    assert blinding.overall(table).se == pytest.approx(spread, rel=0.06)


def test_overall_index_at_its_ends():
    assert blinding.overall([[0, 0], [0, 0], [5, 5]]).index == 1.0
    assert blinding.overall([[5, 0], [0, 5], [0, 0]]).index == 0.0
    guessing = blinding.overall([[10, 10], [10, 10], [0, 0]])
    assert guessing.index == pytest.approx(0.5)
    assert blinding.overall([[3, 1, 1], [1, 3, 1], [1, 1, 3], [2, 2, 2]]).index > 0.3
    swapped = blinding.overall([[29, 25], [27, 82], [83, 170]])
    assert swapped.index == pytest.approx(blinding.overall([[82, 27], [25, 29], [170, 83]]).index)
    assert isinstance(blinding.overall([[5, 0], [0, 0], [0, 0]]), NotApplicable)
    assert isinstance(blinding.overall([[0, 0], [0, 0], [0, 0]]), NotApplicable)


@pytest.mark.parametrize(
    "call",
    [
        lambda: blinding.by_method(-1, 2), lambda: blinding.by_method(1.5, 2),
        lambda: blinding.overall([[1, 2], [3, 4]]), lambda: blinding.overall([[1, 2], [3], [4, 5]]),
        lambda: blinding.overall([[1, 2], [3, "a"], [4, 5]]),
        lambda: blinding.by_method(1, 2, alpha=2),
    ],
)  # fmt: skip
def test_counts_that_do_not_fit_are_refused(call):
    with pytest.raises(BadNumbers) as told:
        call()
    assert told.value.where and told.value.allowed


def _panel() -> pd.DataFrame:
    rows = []
    for sample, true in enumerate([3, 5, 6, 8]):
        for again in (0, 1):
            wobble = 0.5 if again else -0.5
            rows += [
                ("steady", f"s{sample}", float(true)),
                ("high", f"s{sample}", true + 1.0),
                ("narrow", f"s{sample}", 5.5 + (true - 5.5) / 2 + wobble),
                ("backward", f"s{sample}", 11.0 - true),
            ]
    return pd.DataFrame(rows, columns=["taster", "sample", "score"])


def test_use_of_the_scale():
    found = tasters.use(_panel(), "score", "taster", "sample")
    steady, narrow, backward = (found.of(n) for n in ("steady", "narrow", "backward"))
    assert steady.repeat_sd == 0.0 and steady.repeat_df == 4
    assert narrow.repeat_sd == pytest.approx(np.sqrt(0.5))
    assert found.repeat_df == 16 and found.repeat_sd == pytest.approx(np.sqrt(0.5 / 4))
    assert steady.agreement == pytest.approx(1.0) and backward.agreement == pytest.approx(-1.0)
    assert narrow.stretch < steady.stretch and backward.stretch < 0
    assert found.of("high").level > 0.5 and (steady.lowest, steady.highest) == (3.0, 8.0)
    with pytest.raises(BadNumbers):
        found.of("nobody")


def test_one_taster_and_equal_scores():
    alone = tasters.use({"t": ["a", "a"], "s": ["x", "y"], "v": [5, 5]}, "v", "t", "s")
    only = alone.of("a")
    assert (only.agreement, only.level, only.repeat_sd, only.sd) == (None, None, None, 0.0)
    assert "twice" in str(alone.notes[0])
    equal = _panel().assign(score=5.0)
    assert tasters.use(equal, "score", "taster", "sample").of("high").agreement is None
    assert isinstance(tasters.intraclass(equal, "score", "taster", "sample"), NotApplicable)
    assert isinstance(tasters.use({"t": [], "s": [], "v": []}, "v", "t", "s"), NotApplicable)
    with pytest.raises(BadNumbers):
        tasters.use({"t": [None], "s": ["x"], "v": [5]}, "v", "t", "s")


def test_intraclass_limits_hold_what_they_say():
    """Level of the limits: true ICC(2,1) 0.5, true ICC(3,1) 2/3; 8 samples, 4 tasters."""
    lot = np.random.default_rng(8)
    misses = np.zeros(2)
    for _ in range(600):
        table = lot.normal(0, 1, (8, 1)) + lot.normal(0, 0.7071, 4) + lot.normal(0, 0.7071, (8, 4))
        frame = pd.DataFrame(
            [(i, j, table[i, j]) for i in range(8) for j in range(4)], columns=["s", "t", "v"]
        )
        found = tasters.intraclass(frame, "v", "t", "s")
        misses += [
            not found.agreement_low <= 0.5 <= found.agreement_high,
            not found.consistency_low <= 2 / 3 <= found.consistency_high,
        ]
    assert misses[1] / 600 == pytest.approx(0.05, abs=0.03)
    assert misses[0] / 600 < 0.09


def test_samples_that_not_everybody_scored_stay_out():
    frame = _panel().drop(index=[0, 4])
    found = tasters.intraclass(frame, "score", "taster", "sample")
    assert found.samples == 3 and "Samples not scored by everybody: 1" in str(found.notes[0])


def test_influence_of_each_taster():
    lot = np.random.default_rng(3)
    rows = [
        (c, t, m, float(lot.normal(5 + (m == "A") * (4 if t == "loud" else 0.2), 0.4)))
        for c in range(4) for t in ("one", "two", "loud") for m in "AB"
    ]  # fmt: skip
    frame = pd.DataFrame(rows, columns=["cook", "taster", "method", "score"])
    found = tasters.influence(frame, "score", "method", "cook")
    assert [each.taster for each in found] == ["loud", "one", "two"]
    rest = over_cooks(frame[frame.taster != "loud"], "score", "method", "cook", taster="taster")
    assert found[0].estimate == rest.estimate and found[0].shift < -1
    assert found[0].p == rest.p
    single = frame[(frame.taster != "two") & ((frame.taster == "loud") | (frame.method == "A"))]
    lonely = tasters.influence(single, "score", "method", "cook")
    assert lonely[0].estimate is None and lonely[0].shift is None

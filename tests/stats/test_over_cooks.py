"""Two methods over cooks: against plain loops, and what must not change the answer."""

from __future__ import annotations

import math
import random

import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.stats.loops import over_cooks_loop
from trialbench.stats import BadNumbers, over_cooks


def made(lot: int, cooks: int, tasters: int, units: int, missing: float, decimals: int = 0) -> dict:
    """Scores (cook, method, unit, taster) -> score with scatter of every kind and gaps."""
    rng = random.Random(lot)
    scores = {}
    for k in range(cooks):
        gap = rng.gauss(0.5, 0.8)
        for m in "AB":
            for u in range(units):
                unit = rng.gauss(0, 0.5)
                for t in range(tasters):
                    if rng.random() >= missing:
                        value = 5 + gap * (m == "A") + unit + rng.gauss(0, 1) + 0.3 * t
                        scores[f"k{k}", m, f"u{u}", f"t{t}"] = round(value, decimals)
    return scores


def frame(scores: dict) -> dict[str, list]:
    """The scores as columns."""
    keys = list(scores)
    columns = {name: [key[i] for key in keys] for i, name in enumerate(("k", "m", "u", "t"))}
    return columns | {"v": list(scores.values())}


def answer(scores: dict, **more):
    return over_cooks(frame(scores), "v", "m", "k", "u", "t", **more)


@pytest.mark.parametrize("step", [None, 1.0])
@pytest.mark.parametrize("missing", [0.0, 0.15, 0.4])
@pytest.mark.parametrize(
    ("cooks", "tasters", "units"), [(2, 4, 2), (3, 6, 2), (5, 8, 2), (8, 4, 3)]
)
def test_equals_the_plain_loops(cooks, tasters, units, missing, step):
    scores = made(cooks * 100 + tasters, cooks, tasters, units, missing)
    ours, loop = answer(scores, step=step), over_cooks_loop(scores, step)
    assert ours.estimate == pytest.approx(loop["estimate"], rel=1e-12, abs=1e-12)
    assert ours.high - ours.estimate == pytest.approx(loop["h_C"], rel=1e-10)
    assert ours.p == pytest.approx(loop["p"], rel=1e-10)
    others = ours.others
    assert others.tasters.half_width(0.05) == pytest.approx(loop["h_T"], rel=1e-10)
    assert others.overlap_df == loop["df_E"]
    if others.overlap:
        assert others.overlap.half_width(0.05) == pytest.approx(loop["h_E"], rel=1e-8, abs=1e-12)
    assert others.half_width(0.05) == pytest.approx(loop["half"], rel=1e-8)
    assert others.p == pytest.approx(loop["p_others"], rel=1e-7)


@given(st.integers(0, 10_000))
def test_p_of_the_second_interval_is_the_level_that_touches_none(lot):
    ours = answer(made(lot, 4, 5, 1, 0.1, 1))
    if ours.others is None or not 1e-9 < ours.others.p < 1:
        return
    at, above = ours.others.p, min(1.0, ours.others.p * (1 + 1e-6))
    assert ours.others.half_width(at) == pytest.approx(abs(ours.estimate), rel=1e-6)
    assert ours.others.half_width(above) <= abs(ours.estimate) * (1 + 1e-9)


LOTS = st.tuples(
    st.integers(0, 10_000), st.integers(2, 6), st.integers(1, 5), st.integers(1, 2),
    st.sampled_from([0.0, 0.2, 0.6]),
)  # fmt: skip


def _numbers(result) -> list[float]:
    names = ("estimate", "se", "t", "p", "low", "high")
    found = [getattr(result, name) for name in names]
    others = result.others
    return found + ([others.low, others.high, others.p] if others else [None] * 3)


def _close(one, two, **more):
    for x, y in zip(one, two, strict=True):
        assert (x is None) == (y is None)
        assert x is None or x == pytest.approx(y, rel=1e-9, abs=1e-9, **more)


def _both(scores: dict) -> bool:
    return {key[1] for key in scores} == {"A", "B"}


@given(LOTS)
def test_swapping_methods_flips_signs_only(lot):
    scores = made(*lot)
    if not _both(scores):
        return
    swapped = {(k, "BA"["AB".index(m)], u, t): v for (k, m, u, t), v in scores.items()}
    one, two = answer(scores, step=1.0), answer(swapped, step=1.0)
    if one.estimate is None:
        assert two.estimate is None
        return
    assert one.estimate == -two.estimate
    assert one.p == two.p and one.se == two.se
    if one.low is not None:
        assert one.low == -two.high


@given(LOTS, st.randoms(use_true_random=False))
def test_order_of_rows_and_spelling_of_labels_do_not_matter(lot, rng):
    scores = made(*lot)
    if not _both(scores):
        return
    items = list(scores.items())
    rng.shuffle(items)
    spelt = {
        (f"z{9 - int(k[1])}", {"A": "aardig", "B": "beter"}[m], u, f"{t} x"): v
        for (k, m, u, t), v in items
    }
    assert _numbers(answer(scores)) == _numbers(answer(dict(items)))
    _close(_numbers(answer(scores)), _numbers(answer(spelt)))


@given(LOTS, st.sampled_from([-3.0, 0.25, 100.0]))
def test_adding_a_constant_moves_levels_only(lot, constant):
    scores = made(*lot)
    if not _both(scores):
        return
    moved = {key: value + constant for key, value in scores.items()}
    one, two = answer(scores), answer(moved)
    _close(_numbers(one), _numbers(two))
    for day, other in zip(one.cook_differences, two.cook_differences, strict=True):
        assert other.mean_a - day.mean_a == pytest.approx(constant)


@given(LOTS, st.sampled_from([0.1, 7.0]))
def test_another_unit_of_measurement_scales_and_changes_no_p(lot, factor):
    scores = made(*lot)
    if not _both(scores):
        return
    scaled = {key: value * factor for key, value in scores.items()}
    one, two = answer(scores, step=1.0), answer(scaled, step=factor)
    if one.estimate is not None:
        assert two.estimate == pytest.approx(one.estimate * factor, abs=1e-9)
    if one.p is not None:
        assert two.p == pytest.approx(one.p, rel=1e-6)


def test_a_taster_who_scored_one_method_only_is_not_counted():
    scores = made(3, 4, 4, 1, 0.0)
    whole = answer(scores)
    gone = {key: v for key, v in scores.items() if key[:2] + key[3:] != ("k0", "A", "t1")}
    part = answer(gone)
    assert [day.tasters for day in part.cook_differences] == [3, 4, 4, 4]
    assert part.cook_differences[1:] == whole.cook_differences[1:]
    assert any("only one of the two" in str(note) for note in part.notes)


def test_a_cook_without_one_method_drops_out_and_is_counted():
    scores = {key: v for key, v in made(5, 4, 4, 1, 0.0).items() if key[:2] != ("k2", "B")}
    part = answer(scores)
    assert (part.df, part.counts.cooks, part.counts.cooks_without) == (2, 3, 1)
    assert "k2" in str(part.notes[0])


def test_repeats_are_averaged_before_units_and_units_before_tasters():
    rows = [
        ("k1", "A", "u1", "t1", 4.0), ("k1", "A", "u1", "t1", 6.0), ("k1", "A", "u2", "t1", 8.0),
        ("k1", "B", "u1", "t1", 1.0), ("k2", "A", "u1", "t1", 3.0), ("k2", "B", "u1", "t1", 1.0),
    ]  # fmt: skip
    columns = dict(zip("kmutv", map(list, zip(*rows, strict=True)), strict=True))
    found = over_cooks(columns, "v", "m", "k", "u", "t")
    assert [day.difference for day in found.cook_differences] == [5.5, 2.0]


def test_measurements_have_no_tasters_and_a_floor_of_one_rounded_difference():
    columns = {"k": [1, 1, 2, 2], "m": list("ABAB"), "v": [5.0, 4.0, 6.0, 5.0]}
    found = over_cooks(pd.DataFrame(columns), "v", "m", "k", step=1)
    assert found.others is None and found.counts.tasters == 0
    assert found.no_spread
    assert found.se == pytest.approx(math.sqrt(1 / 6 / 2))
    assert found.low < 1.0 < found.high


def test_all_equal_without_a_step_gives_no_interval_and_says_so():
    columns = {"k": [1, 1, 2, 2], "m": list("ABAB"), "v": [5.0] * 4}
    found = over_cooks(columns, "v", "m", "k")
    assert (found.estimate, found.se, found.low, found.p) == (0.0, 0.0, None, None)
    assert any("no scatter" in str(note) for note in found.notes)


def test_one_cook_gives_an_estimate_and_no_interval():
    columns = {"k": [1, 1], "m": list("AB"), "v": [5.0, 4.0]}
    found = over_cooks(columns, "v", "m", "k")
    assert (found.estimate, found.df, found.low, found.others) == (1.0, None, None, None)


@pytest.mark.parametrize(
    ("change", "where"),
    [
        ({"v": ["x", 2, 3, 4]}, "column v, row 1"),
        ({"m": ["A"] * 4}, "method"),
        ({"m": ["A", "B", "C", "A"]}, "method"),
        ({"k": [None, 1, 2, 2]}, "column k, row 1"),
    ],
)
def test_bad_frames_are_refused_with_their_place(change, where):
    columns = {"k": [1, 1, 2, 2], "m": list("ABAB"), "v": [5.0, 4.0, 3.0, 1.0]} | change
    with pytest.raises(BadNumbers) as told:
        over_cooks(columns, "v", "m", "k")
    assert told.value.where == where


def test_columns_step_and_alpha_are_checked():
    columns = {"k": [1, 1, 2, 2], "m": list("ABAB"), "v": [5.0, 4.0, 3.0, 1.0]}
    with pytest.raises(ValueError, match="no column 'nowhere'"):
        over_cooks(columns, "v", "m", "nowhere")
    for wrong in ({"step": 0}, {"alpha": 0.5}):
        with pytest.raises(BadNumbers):
            over_cooks(columns, "v", "m", "k", **wrong)

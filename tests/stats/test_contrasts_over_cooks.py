"""Several methods, factorial trials and ordered settings: one value per cook, against base R."""

from __future__ import annotations

import json

import numpy as np
import pandas as pd
import pytest
from scipy import stats

from tests.stats.reference_models import HERE, data
from trialbench.stats.cook_contrasts import Question, read_cells
from trialbench.stats.factorial_trials import factorial
from trialbench.stats.not_applicable import NotApplicable
from trialbench.stats.numbers import BadNumbers
from trialbench.stats.ordered_settings import compare_trends, trend
from trialbench.stats.over import over_cooks
from trialbench.stats.several_methods import compare_methods

KEYS = ("estimate", "se", "df", "t", "p", "low", "high")


@pytest.fixture(scope="module")
def expected():
    return json.loads((HERE / "expected" / "cook_contrasts.json").read_text())


@pytest.fixture(scope="module")
def cake():
    return data("cake").astype({"replicate": str})


@pytest.fixture(scope="module")
def bowl(cake):
    away = (cake["temperature_f"] - 204) ** 2 / 40
    return cake.assign(angle=cake["angle"] - away)


def same(found, wanted, digits=1e-10):
    for key in KEYS:
        assert getattr(found, key) == pytest.approx(wanted[key], rel=digits, abs=1e-12), key


def test_each_pair_of_methods_has_its_own_cook_differences(cake, expected):
    found = compare_methods(cake, "angle", "recipe", "replicate")
    assert [(pair.a, pair.b) for pair in found.pairs] == [("A", "B"), ("A", "C"), ("B", "C")]
    for pair, holm_p in zip(found.pairs, expected["holm"], strict=True):
        same(pair.alone, expected["pairs"][f"{pair.a},{pair.b}"])
        assert pair.holm_p == pytest.approx(holm_p, rel=1e-10)
        assert pair.low < pair.alone.low < pair.alone.high < pair.high


def test_two_methods_are_the_comparison_over_cooks_itself():
    frame = data("sim_cook_days")
    alone = compare_methods(frame, "score", "method", "cook", "piece", "taster", step=1.0)
    direct = over_cooks(frame, "score", "method", "cook", "piece", "taster", step=1.0)
    (pair,) = alone.pairs
    assert pair.alone == direct
    assert (pair.low, pair.high, pair.holm_p) == (direct.low, direct.high, direct.p)


def test_against_the_usual_method_only(cake):
    found = compare_methods(cake, "angle", "recipe", "replicate", usual="B", matters=5)
    assert [(pair.a, pair.b) for pair in found.pairs] == [("A", "B"), ("B", "C")]
    assert all(pair.equivalence_p < 0.05 for pair in found.pairs)
    assert all(-5 < pair.inner_low < pair.inner_high < 5 for pair in found.pairs)
    with pytest.raises(BadNumbers, match="no method 'D'"):
        compare_methods(cake, "angle", "recipe", "replicate", usual="D")


def test_incomplete_blocks_use_the_cooks_that_carry_a_pair(cake):
    turns = {"A": 0, "B": 1, "C": 2}
    gone = cake["recipe"].map(turns) == cake["replicate"].astype(int) % 3
    found = compare_methods(cake[~gone], "angle", "recipe", "replicate")
    assert [pair.alone.counts.cooks for pair in found.pairs] == [5, 5, 5]
    apart = compare_methods(cake[(cake["replicate"] == "1") | (cake["recipe"] == "A")],
                            "angle", "recipe", "replicate")  # fmt: skip
    assert "share fewer than two cooks" in " ".join(map(str, apart.notes))


def test_one_method_has_nothing_to_compare(cake):
    found = compare_methods(cake[cake["recipe"] == "A"], "angle", "recipe", "replicate")
    assert isinstance(found, NotApplicable)


def test_factorial_effects(cake, expected):
    two = cake[cake["recipe"].isin(["A", "B"]) & cake["temperature_f"].isin([175, 225])]
    found = factorial(two, "angle", ["recipe", "temperature_f"], "replicate")
    wanted = expected["factorial"]
    same(found.main[0], wanted["recipe"])
    same(found.main[1], wanted["temperature"])
    same(found.interactions[0], wanted["interaction"])
    by_name = {str(each.name): each for each in found.simple}
    same(by_name["recipe: A less B, at temperature_f 175"], wanted["recipe_at_175"])
    same(by_name["temperature_f: 175 less 225, at recipe B"], wanted["temperature_at_B"])
    assert len(found.simple) == 4
    assert found.differ == (found.interactions[0].p <= 0.05)
    assert found.joint == {}


def test_joint_tests_over_cooks(cake, expected):
    found = factorial(cake, "angle", ["recipe", "temperature_f"], "replicate")
    f, df1, df2, p = found.joint["recipe"]
    wanted = expected["joint_recipe"]
    assert (f, df1, df2) == pytest.approx((wanted["F"], wanted["df1"], wanted["df2"]), rel=1e-9)
    assert p == pytest.approx(wanted["p"], rel=1e-9)
    few = factorial(cake[cake["replicate"].isin(["1", "2"])], "angle",
                    ["recipe", "temperature_f"], "replicate")  # fmt: skip
    assert isinstance(few.joint["recipe"], NotApplicable)


def test_effects_of_two_levels_and_tasters_agree_with_two_methods():
    frame = data("sim_cook_days")
    levels = frame.assign(pan="deep")
    levels = pd.concat([levels, levels.assign(pan="wide", score=levels["score"] + 1)])
    found = factorial(levels, "score", ["method", "pan"], "cook", "piece", "taster", matters=0.5)
    direct = over_cooks(frame, "score", "method", "cook", "piece", "taster")
    same(found.main[0], {key: getattr(direct, key) for key in KEYS}, 1e-9)
    assert found.main[0].others.low == pytest.approx(direct.others.low, rel=1e-9)
    assert found.main[1].estimate == pytest.approx(-1)
    assert found.main[1].se == 0.0
    assert found.main[1].p is None


def test_rounding_floor_of_a_contrast():
    rows = [(c, m, p, 5) for c in "12345" for m in "AB" for p in "xy"]
    frame = pd.DataFrame(rows, columns=["cook", "method", "pan", "score"])
    found = factorial(frame, "score", ["method", "pan"], "cook", step=1.0)
    # Each cell is one rounded number: variance 1/12; four with weight one half, or one.
    assert found.main[0].se == pytest.approx(np.sqrt(4 * 0.25 / 12 / 5))
    assert found.interactions[0].se == pytest.approx(np.sqrt(4 / 12 / 5))


def test_trend_and_bend(cake, expected):
    found = trend(cake, "angle", "temperature_f", "replicate")
    same(found.slope, expected["slope"])
    same(found.bend, expected["bend"], 1e-8)
    at = next(point for point in found.curve if point.setting == pytest.approx(200))
    for key in ("estimate", "low", "high"):
        assert getattr(at, key) == pytest.approx(expected["curve_200"][key], rel=1e-9)
    assert found.best.at_edge
    assert found.best.estimate == 225
    assert "edge of what was tried" in str(found.best.notes[0])


def test_best_setting_with_its_interval(bowl, expected):
    found = trend(bowl, "angle", "temperature_f", "replicate")
    for key in ("estimate", "low", "high"):
        assert getattr(found.best, key) == pytest.approx(expected["best"][key], rel=1e-8)
    assert not found.best.at_edge
    down = trend(bowl.assign(angle=-bowl["angle"]), "angle", "temperature_f", "replicate",
                 better="lower")  # fmt: skip
    assert (down.best.low, down.best.high) == pytest.approx((found.best.low, found.best.high))
    assert down.best.value == pytest.approx(-found.best.value)


def test_trends_of_two_methods_differ_by_one_slope_per_cook(cake):
    pairs = compare_trends(cake, "angle", "recipe", "temperature_f", "replicate")
    assert [(pair.a, pair.b) for pair in pairs] == [("A", "B"), ("A", "C"), ("B", "C")]
    slopes = cake.groupby(["replicate", "recipe"]).apply(
        lambda own: np.polyfit(own["temperature_f"], own["angle"], 1)[0], include_groups=False
    ).unstack()  # fmt: skip
    found = stats.ttest_rel(slopes["A"], slopes["B"])
    assert pairs[0].slope.p == pytest.approx(found.pvalue, rel=1e-9)
    assert pairs[0].slope.estimate == pytest.approx((slopes["A"] - slopes["B"]).mean())
    assert pairs[0].bend.df == 14
    alone = cake[(cake["recipe"] == "A") | (cake["temperature_f"] == 175)]
    assert isinstance(
        compare_trends(alone[alone["recipe"] != "C"], "angle", "recipe", "temperature_f",
                       "replicate"), NotApplicable)  # fmt: skip


def test_two_settings_show_a_slope_and_no_best(cake):
    found = trend(
        cake[cake["temperature_f"].isin([175, 225])], "angle", "temperature_f", "replicate"
    )
    assert found.slope.p < 0.05
    assert isinstance(found.bend, NotApplicable)
    assert isinstance(found.best, NotApplicable)
    assert isinstance(
        trend(cake[cake["temperature_f"] == 175], "angle", "temperature_f", "replicate"),
        NotApplicable,
    )
    assert isinstance(
        trend(cake[cake["replicate"] == "1"], "angle", "temperature_f", "replicate"), NotApplicable
    )


def test_a_cook_without_a_cell_drops_out_and_is_named(cake):
    short = cake[(cake["replicate"] != "3") | (cake["temperature_f"] != 185)]
    found = trend(short, "angle", "temperature_f", "replicate")
    assert found.slope.df == 13
    assert str(found.notes[0]) == "1 cook lacks a cell of this and drops out: 3."


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda d: compare_methods(d, "angle", "recipe", "day"), "no column 'day'"),
        (lambda d: factorial(d, "angle", ["recipe"], "replicate"), "One factor"),
        (lambda d: factorial(d[d["recipe"] == "A"], "angle", ["recipe", "temperature_f"],
                             "replicate"), "one level only"),
        (lambda d: trend(d, "angle", "recipe", "replicate"), "not a number"),
        (lambda d: trend(d, "angle", "temperature_f", "replicate", better="warm"), "better"),
        (lambda d: read_cells(d.assign(recipe=""), "angle", ["recipe"], "replicate"), "no recipe"),
        (lambda d: Question(step=0), "step"),
    ],
)  # fmt: skip
def test_bad_input_says_what_is_wrong(cake, call, says):
    with pytest.raises(BadNumbers, match=says):
        call(cake)

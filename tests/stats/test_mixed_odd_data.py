"""Small and odd data never raise; bad input says what is wrong; swapping changes signs only."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

import numpy as np
import pandas as pd
import pytest

from tests.stats.reference_models import data
from trialbench.stats.mixed import fit_mixed
from trialbench.stats.mixed_reml import maximise
from trialbench.stats.not_applicable import NotApplicable
from trialbench.stats.numbers import BadNumbers

TERMS = ["taster", "cook", "cook:method"]


@pytest.fixture
def trial():
    rows = itertools.product(["mon", "tue", "wed"], ["Ann", "Bo", "Cy", "Di"], "AB")
    frame = pd.DataFrame(rows, columns=["cook", "taster", "method"])
    return frame.assign(score=5 + np.arange(len(frame)) * 7 % 5 / 2 + (frame["method"] == "B"))


def answers(fit):
    tables = [fit.terms(m) for m in ("kenward-roger", "satterthwaite")]
    tables += [fit.differences("method", family=f, matters=0.5) for f in ("none", "tukey", "holm")]
    return tables


@pytest.mark.parametrize(
    ("keep", "left_out"),
    [
        ("taster == 'Ann'", {"taster", "cook:method"}),
        ("cook == 'mon'", {"cook", "cook:method"}),
        ("method == 'A'", {"cook:method"}),
        ("cook == 'mon' and taster == 'Ann'", {"taster", "cook", "cook:method"}),
        ("index < 1", {"taster", "cook", "cook:method"}),
        ("not (taster == 'Bo' and method == 'A')", set()),
    ],
)
def test_a_term_the_data_cannot_show_is_left_out_with_its_reason(trial, keep, left_out):
    fit = fit_mixed(trial.query(keep), "score ~ method", TERMS)
    assert set(fit.left_out) == left_out
    assert all(term in str(reason) for term, reason in fit.left_out.items())
    assert set(fit.variances) == {*TERMS, "residual"} - left_out
    answers(fit)


def test_one_row_per_method_has_an_estimate_and_no_interval(trial):
    fit = fit_mixed(trial.iloc[:2], "score ~ method", TERMS)
    row = fit.differences("method").iloc[0]
    assert row["estimate"] == pytest.approx(trial["score"][0] - trial["score"][1])
    assert row[["se", "df", "t", "p", "low", "high"]].isna().all()
    assert "nothing is left" in str(fit.notes[0])
    assert isinstance(fit.joint_test("method"), NotApplicable)


def test_all_scores_equal(trial):
    fit = fit_mixed(trial.assign(score=7.1), "score ~ method", TERMS)
    assert set(fit.variances.values()) == {0.0}
    assert fit.loglik_reml is None
    assert all(table["p"].isna().all() for table in answers(fit))
    assert "no scatter" in str(fit.notes[0])


def test_scores_that_tasters_and_methods_explain_wholly(trial):
    exact = trial["taster"].map({"Ann": 0, "Bo": 1, "Cy": 3, "Di": 4}) + (trial["method"] == "B")
    fit = fit_mixed(trial.assign(score=exact), "score ~ method", TERMS)
    row = fit.differences("method").iloc[0]
    assert row["estimate"] == pytest.approx(-1)
    assert math.isnan(row["p"])
    assert isinstance(fit.joint_test("method"), NotApplicable)
    assert "residual" in str(fit.notes[0])


def test_two_names_for_one_partition_keep_the_first(trial):
    fit = fit_mixed(trial, "score ~ method", ["taster:method", "method:taster"])
    assert list(fit.left_out) == ["method:taster"]


def test_a_combination_never_tried_has_no_difference(trial):
    frame = trial.assign(pan=np.where(trial["cook"] == "mon", "wide", "deep"))
    frame = frame[(frame["method"] == "A") | (frame["pan"] == "deep")]
    fit = fit_mixed(frame, "score ~ method * pan", ["taster"])
    assert fit.differences("method").isna()["se"].all()
    assert isinstance(fit.joint_test("method"), NotApplicable)
    assert "left out" in str(fit.notes[0])


def test_a_column_of_numbers_as_a_factor_answers_to_both_its_names():
    fit = fit_mixed(data("ham"), "liking ~ C(product) * C(information)", ["consumer"])
    one, other = fit.differences("product"), fit.differences("C(product)")
    assert one.equals(other)
    assert list(one["a"]) == ["1", "1", "1", "2", "2", "3"]
    assert fit.joint_test("information:product") == replace(
        fit.joint_test("C(product):C(information)"), term="information:product",
        null_hypothesis=fit.joint_test("information:product").null_hypothesis,
    )  # fmt: skip


def test_missing_values_are_left_out_and_counted(trial):
    gaps = trial.assign(score=trial["score"].where(trial.index > 2))
    gaps.loc[5, "taster"] = " "
    fit = fit_mixed(gaps, "score ~ method", TERMS)
    assert fit.n == len(trial) - 4
    assert str(fit.notes[0]) == "4 rows have a missing value and are left out."


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"fixed": "score ~ way"}, "no column 'way'"),
        ({"random": ["panel"]}, "no column 'panel'"),
        ({"random": ["taster:"]}, "cannot be read"),
        ({"fixed": "score ~ method +* taster"}, "cannot be read"),
        ({"fixed": "~ method"}, "outcome"),
        ({"fixed": "taster ~ method"}, "'Ann' is not a number"),
    ],
)
def test_bad_input_says_what_and_where(trial, change, says):
    with pytest.raises(BadNumbers, match=says) as caught:
        fit_mixed(**{"frame": trial, "fixed": "score ~ method", "random": TERMS, **change})
    assert caught.value.where


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda fit: fit.terms("bootstrap"), "small-sample"),
        (lambda fit: fit.terms(alpha=2), "alpha"),
        (lambda fit: fit.differences("cook"), "not a factor"),
        (lambda fit: fit.differences("method", family="best"), "family"),
        (lambda fit: fit.differences("method", family="dunnett"), "usual"),
        (lambda fit: fit.differences("method", family="dunnett", usual="C"), "no level 'C'"),
        (lambda fit: fit.differences("method", matters=0), "matters"),
        (lambda fit: fit.joint_test("cook"), "not a term"),
    ],
)
def test_a_question_that_cannot_be_asked(trial, call, says):
    with pytest.raises(BadNumbers, match=says):
        call(fit_mixed(trial, "score ~ method", TERMS))


def test_the_order_of_rows_and_the_spelling_of_labels_do_not_matter():
    frame = data("sim_crossed")
    terms = ["taster", "cook", "piece", "taster:method"]
    plain = fit_mixed(frame, "score ~ method", terms).differences("method")
    spelt = frame.assign(taster="x" + frame["taster"], method="m " + frame["method"])
    mixed = fit_mixed(spelt.sample(frac=1, random_state=7), "score ~ method", terms)
    columns = ["estimate", "se", "df", "p", "low", "high"]
    np.testing.assert_allclose(
        mixed.differences("method")[columns], plain[columns], rtol=1e-9, atol=0
    )


def test_swapping_the_methods_flips_signs_only():
    frame = data("sim_crossed")
    terms = ["taster", "cook", "piece", "taster:method"]
    one = fit_mixed(frame, "score ~ method", terms).differences("method").iloc[0]
    swapped = frame.assign(method=frame["method"].map({"A": "B", "B": "A"}))
    other = fit_mixed(swapped, "score ~ method", terms).differences("method").iloc[0]
    assert other["estimate"] == pytest.approx(-one["estimate"], rel=1e-9)
    assert (other["low"], other["high"]) == pytest.approx((-one["high"], -one["low"]), rel=1e-9)
    assert (other["se"], other["df"], other["p"]) == pytest.approx(
        (one["se"], one["df"], one["p"]), rel=1e-9
    )


def test_a_constant_moves_the_intercept_and_a_factor_scales_all():
    frame = data("sim_crossed")
    terms = ["taster", "cook", "piece", "taster:method"]
    plain = fit_mixed(frame, "score ~ method", terms).terms()
    moved = fit_mixed(frame.assign(score=frame["score"] + 1e4), "score ~ method", terms).terms()
    scaled = fit_mixed(frame.assign(score=frame["score"] * 1e-3), "score ~ method", terms).terms()
    np.testing.assert_allclose(moved["se"], plain["se"], rtol=1e-8)
    np.testing.assert_allclose(moved["estimate"] - plain["estimate"], [1e4, 0], atol=1e-7)
    np.testing.assert_allclose(
        scaled[["estimate", "se"]] * 1e3, plain[["estimate", "se"]], rtol=1e-8
    )
    np.testing.assert_allclose(scaled["df"], plain["df"], rtol=1e-8)


@pytest.mark.parametrize("lot", range(40))
def test_no_small_trial_raises_or_warns_or_stops_short_of_the_top(lot):
    rng = np.random.default_rng(lot)
    n = int(rng.integers(1, 25))
    frame = pd.DataFrame({
        "cook": rng.integers(0, rng.integers(1, 5), n),
        "taster": rng.integers(0, rng.integers(1, 6), n),
        "method": rng.choice(list("ABCD")[: rng.integers(1, 5)], n),
        "pan": rng.choice(["deep", "wide"], n),
        "score": rng.choice([rng.integers(1, 10, n).astype(float), rng.normal(5, 1, n)]),
    })  # fmt: skip
    fixed = rng.choice(["score ~ method", "score ~ method * pan", "score ~ method + C(cook)"])
    random = [term for term in (*TERMS, "taster:method") if rng.random() < 0.6]
    fit = fit_mixed(frame, str(fixed), random)
    answers(fit)
    for method in ("kenward-roger", "satterthwaite"):
        fit.joint_test("method", method)
    core = fit._core
    if core.at is None or fit.notes:
        return
    for start in (0.01, 10.0):
        other = maximise(core.data, np.full(len(core.terms), start))
        assert other is None or other.deviance > core.at.deviance - 1e-7

"""The mixed model against R: stored models of real data, and small designs made for this."""

from __future__ import annotations

import pytest

from tests.stats.reference_models import R_KEYS, small_models, stored_models
from trialbench.stats.mixed import fit_mixed

METHODS = list(R_KEYS)
STORED = sorted(stored_models())
SMALL = sorted(small_models())


def near(found, wanted, digits):
    assert found == pytest.approx(wanted, rel=digits, abs=1e-12)


def check_row(row, wanted, low="ci95_low", high="ci95_high"):
    near(row.se, wanted["se"], 1e-6)
    near(row.df, wanted["df"], 1e-5)
    assert row.estimate == pytest.approx(wanted["estimate"], rel=1e-6, abs=1e-7 * row.se)
    assert row.low == pytest.approx(wanted[low], rel=1e-6, abs=1e-6 * row.se)
    assert row.high == pytest.approx(wanted[high], rel=1e-6, abs=1e-6 * row.se)


@pytest.mark.parametrize("name", STORED)
def test_likelihood_and_variances_of_stored_models(name):
    known = stored_models()[name]
    fit = fit_mixed(known.frame, known.fixed, known.random)
    assert fit.loglik_reml == pytest.approx(known.answers["reml"]["log_lik"], abs=1e-7)
    for component in known.answers["variance_components"]:
        term = "residual" if component["group"] == "Residual" else component["group"]
        near(fit.variances[term], component["variance"], 1e-6)
        assert (term in fit.at_zero) == (component["variance"] == 0)
    assert not fit.left_out
    assert not fit.notes


@pytest.mark.parametrize("method", METHODS)
@pytest.mark.parametrize("name", STORED)
def test_coefficients_and_joint_tests_of_stored_models(name, method):
    known = stored_models()[name]
    fit = fit_mixed(known.frame, known.fixed, known.random)
    wanted = known.answers[f"fixed_{R_KEYS[method]}"]
    for row, r in zip(fit.terms(method).itertuples(), wanted, strict=True):
        check_row(row, r)
        near(row.t, r["t"], 1e-6)
        near(row.p, r["p"], 1e-5)
    for r in known.answers["anova_type3"][R_KEYS[method]]:
        f, df1, df2, p = fit.joint_test(r["term"], method)
        assert df1 == r["num_df"]
        near(f, r["F"], 1e-6)
        near(df2, r["den_df"], 1e-5)
        near(p, r["p"], 1e-5)


@pytest.mark.parametrize("method", METHODS)
@pytest.mark.parametrize("name", STORED)
def test_means_and_differences_of_stored_models(name, method):
    known = stored_models()[name]
    fit = fit_mixed(known.frame, known.fixed, known.random)
    for spec, answers in known.answers["emmeans"].items():
        factor, r = spec.removeprefix("~ "), answers[R_KEYS[method]]
        for row, mean in zip(fit.means(factor, method).itertuples(), r["means"], strict=True):
            assert row.level == str(mean[factor])
            check_row(row, {**mean, "estimate": mean["emmean"]})
        for family in ("none", "tukey", "holm"):
            table = fit.differences(factor, method, family)
            for row, pair in zip(table.itertuples(), r["pairwise"], strict=True):
                check_difference(row, pair, family, factor)


def check_difference(row, pair, family, factor):
    assert pair["contrast"].replace(factor, "") == f"{row.a} - {row.b}"
    name = {"none": "unadjusted"}.get(family, family)
    assert row.p == pytest.approx(pair[f"p_{name}"], rel=1e-5, abs=0 if family != "tukey" else 2e-5)
    if family != "holm":
        check_row(row, pair, f"ci95_low_{name}", f"ci95_high_{name}")


@pytest.mark.parametrize("name", SMALL)
def test_small_designs(name):
    known = small_models()[name]
    fit = fit_mixed(known.frame, known.fixed, known.random)
    total = sum(known.answers["variances"].values())
    assert fit.loglik_reml == pytest.approx(known.answers["loglik"], abs=1e-7)
    for term, variance in known.answers["variances"].items():
        assert fit.variances[term] == pytest.approx(variance, rel=1e-6, abs=1e-7 * total)
    for method in METHODS:
        check_small(fit, known.answers[method], method)


def check_small(fit, wanted, method):
    for row, r in zip(fit.terms(method).itertuples(), wanted["terms"], strict=True):
        near(row.se, r["se"], 1e-6)
        near(row.df, r["df"], 1e-5)
        near(row.p, r["p"], 1e-5)
        assert row.estimate == pytest.approx(r["estimate"], abs=1e-6 * row.se)
    for r in wanted["joint"]:
        test = fit.joint_test(r["term"], method)
        if r["p"] is None:  # R prints a negative F with negative df
            assert not test
            continue
        near(test.df2, r["df2"], 1e-5)
        assert pytest.approx(r["F"], rel=1e-6, abs=1e-6) == test.F
        near(test.p, r["p"], 1e-5)
    for row, r in zip(fit.differences("method", method, "tukey").itertuples(), wanted["pairs"],
                      strict=True):  # fmt: skip
        assert r["pair"] == f"{row.a} - {row.b}"
        near(row.se, r["se"], 1e-6)
        if r["p"] is not None:  # R's own function gives up at 1 df
            assert row.p == pytest.approx(r["p"], abs=2e-5)

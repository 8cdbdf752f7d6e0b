"""Several differences at once against scipy's studentised range and multivariate t."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from tests.stats.reference_models import data
from trialbench.stats.mixed import fit_mixed
from trialbench.stats.simultaneous import (
    dunnett_p,
    dunnett_quantile,
    loadings_of,
    tukey_p,
    tukey_quantile,
)
from trialbench.stats.student import two_sided_p


@pytest.mark.parametrize(("groups", "df"), [(3, 1.0), (3, 2.5), (4, 7.3), (6, 40.0), (12, 1000.0)])
def test_all_pairs_against_the_studentised_range(groups, df):
    for t in (0.5, 2.0, 4.0, 12.0):
        wanted = stats.studentized_range.sf(t * np.sqrt(2), groups, df)
        assert tukey_p(t, groups, df) == pytest.approx(wanted, abs=1e-11)
    assert tukey_p(tukey_quantile(0.05, groups, df), groups, df) == pytest.approx(0.05, abs=1e-9)


def test_two_levels_are_an_ordinary_t():
    assert tukey_p(2.1, 2, 3.5) == two_sided_p(2.1, 3.5)
    assert dunnett_p(2.1, np.array([0.7]), 3.5) == two_sided_p(2.1, 3.5)


# Dunnett (1964) Biometrics 20, 482, two-sided 5 %: treatments, df, limit (from memory).
@pytest.mark.parametrize(("treatments", "df", "limit"), [(2, 5, 3.03), (3, 10, 2.76)])
def test_against_the_usual_one_by_the_published_table(treatments, df, limit):
    loadings = loadings_of(np.full((treatments, treatments), 0.5) + 0.5 * np.eye(treatments))
    assert loadings == pytest.approx(np.sqrt(0.5), abs=1e-7)
    assert dunnett_quantile(0.05, loadings, df) == pytest.approx(limit, abs=0.006)


def test_against_the_usual_one_by_the_multivariate_t():
    loadings = np.array([0.4, 0.6, 0.75])
    correlation = np.outer(loadings, loadings)
    np.fill_diagonal(correlation, 1.0)
    law = stats.multivariate_t(shape=correlation, df=6, seed=1)
    inside = law.cdf([2.4] * 3, lower_limit=[-2.4] * 3, maxpts=2_000_000)
    assert dunnett_p(2.4, loadings, 6) == pytest.approx(1 - inside, abs=2e-4)


def test_each_product_against_the_usual_one():
    fit = fit_mixed(
        data("appletaste", dtype={"product": str}), "aftertaste ~ product", ["panelist"]
    )
    table = fit.differences("product", family="dunnett", usual="493")
    alone = fit.differences("product")
    assert [(row.a, row.b) for row in table.itertuples()] == [
        ("298", "493"), ("493", "649"), ("493", "937"),
    ]  # fmt: skip
    tukey = fit.differences("product", family="tukey")
    for row in table.itertuples():
        same = (alone["a"] == row.a) & (alone["b"] == row.b)
        assert alone[same]["p"].item() < row.p < tukey[same]["p"].item()
        assert tukey[same]["low"].item() < row.low < alone[same]["low"].item()
        assert (row.p < 0.05) == (row.low > 0 or row.high < 0)

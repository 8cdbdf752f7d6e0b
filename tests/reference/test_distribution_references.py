"""Tails and quantiles against R (pt, qt, ptukey, qtukey, p.adjust).

R's ptukey loses figures at few degrees of freedom: with two groups the studentised range is an
ordinary t, and at q = 5, df = 2.7 it gives 0.045445 where t gives 0.045450 (ours is t there).
From five degrees of freedom on both agree to 1e-8. Ours takes more than a million degrees of
freedom for a million, which moves no p by more than 2e-6.
"""

import math

import pytest

from tests.reference.digits import Agreement, expected
from trialbench.stats import holm
from trialbench.stats.simultaneous import tukey_p, tukey_quantile
from trialbench.stats.student import quantile, two_sided_p

R = expected("distributions.json")
ROOT2 = math.sqrt(2)


def _digits(ours, theirs):
    return Agreement("R", "", "", ours, theirs).digits


@pytest.mark.parametrize("case", R["pt_two_sided"], ids=str)
def test_tails_of_t(case):
    assert _digits(two_sided_p(case["t"], float(case["df"])), case["p"]) > 13


@pytest.mark.parametrize("case", R["qt_975"], ids=str)
def test_quantiles_of_t(case):
    assert _digits(quantile(0.025, float(case["df"])), case["t"]) > 13


@pytest.mark.parametrize("case", R["ptukey_upper"], ids=str)
def test_tails_of_the_range(case):
    t, df = case["q"] / ROOT2, float(case["df"])
    ours = tukey_p(t, case["k"], df)
    assert abs(ours - case["p"]) < {"2.7": 1e-5, "Inf": 2e-6}.get(str(case["df"]), 5e-8)
    if case["k"] == 2:
        assert ours == two_sided_p(t, df)


@pytest.mark.parametrize("case", R["qtukey_95"], ids=str)
def test_quantiles_of_the_range(case):
    ours = tukey_quantile(0.05, case["k"], float(case["df"])) * ROOT2
    assert _digits(ours, case["q"]) > 4.2


def test_several_p_as_one_family():
    case = R["p_adjust"]
    assert holm(case["p"]) == pytest.approx(case["adjusted"]["holm"], rel=1e-14)

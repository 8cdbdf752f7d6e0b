"""Choices, ranks, boxes, ordered answers, blinding and pooling against the references."""

from __future__ import annotations

import csv

import numpy as np
import pandas as pd
import pytest

from tests.reference.digits import HERE, Agreement, expected, table
from tests.reference.digits_choices import all_choices, one_ordinal
from trialbench.stats import boxes, choice, ordinal, pool, ranks
from trialbench.stats.between_trials import generalised_q
from trialbench.stats.choice_forms import FORMS

LEAST = {
    # Found by optim at its own tolerance; the log-likelihoods agree to 14 digits.
    "replicated share": 6.5, "replicated spread": 6.5, "replicated share se": 5.5,
    "replicated spread se": 5.5, "replicated share low": 9.0, "preference d_prime": 7.0,
    "preference band": 7.0, "preference d_prime se": 6.5,
    # ptukey's own precision; metafor's and clmm's tolerances (CHOICES.md).
    "least difference of all": 9.0, "pool between_high": 9.5,
    "ordinal with taster": 5.0, "ordinal se with taster": 5.0, "ordinal sd": 5.0,
}  # fmt: skip
PRINTED = 2.0
"""Published examples: to the figures printed."""


def _least(found: Agreement) -> float:
    if found.source == "print":
        return PRINTED
    if "default tolerance" in found.quantity:
        return 4.9
    return LEAST.get(found.quantity, 10.0)


def _name(found: Agreement) -> str:
    return f"{found.source} {found.case} {found.quantity}"


@pytest.mark.parametrize("found", all_choices(), ids=_name)
def test_digits_of_choices(found: Agreement):
    assert found.digits >= _least(found), (found.ours, found.theirs)


def _csv(name: str) -> list[dict[str, str]]:
    with (HERE / "data" / name).open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


def test_printed_counts_of_the_triangle():
    rows = _csv("fao_triangle_min_correct.csv")
    assert len(rows) == 176
    for row in rows:
        exact = choice.fewest_right(int(row["n"]), "triangle", float(row["alpha"]))
        assert exact == (int(row["printed_min_correct"]) if row["printed_min_correct"] else None)


def test_numbers_of_assessors():
    for row in _csv("min_assessors_computed.csv"):
        form = "triangle" if row["guess"] == "1/3" else "duo-trio"
        found = choice.tasters_for(
            form, float(row["pd"]), float(row["alpha"]), 1 - float(row["beta"])
        )
        assert (found.first, found.needed_first) == (int(row["min_n"]), int(row["min_correct"]))
        assert found.from_then_on >= found.first


def test_the_number_from_which_power_stays():
    for case in expected("discrimination.json")["sample_size"]:
        found = choice.tasters_for(
            "triangle", case["share_of_discriminators"], case["alpha"], case["target"]
        )
        assert found.first == case["first_n_reaching"]
        assert found.from_then_on == case["n_after_which_never_below"]


def test_shares_right_and_variance_factors_of_all_forms():
    for row in _csv("thurstonian.csv"):
        share, slope = FORMS[row["method"].lower()].of_d_prime(float(row["d_prime"]))
        assert share == pytest.approx(float(row["p_correct"]), abs=6e-7)
        factor = row["B_for_variance_of_dprime(var=B/n)"]
        if factor:
            assert share * (1 - share) / slope**2 == pytest.approx(float(factor), rel=2e-5)


@pytest.mark.parametrize(
    ("form", "d_prime", "share"),
    [
        ("triangle", 1.0, 0.4180466747146392), ("triangle", 1.5, 0.5064560972591899),
        ("duo-trio", 1.0, 0.582475444228876), ("tetrad", 1.0, 0.4938084274862258),
        ("2-afc", 1.0, 0.7602499389065233), ("3-afc", 1.0, 0.6337020457780799),
    ],
)  # fmt: skip
def test_closed_checks_of_d_prime(form, d_prime, share):
    assert FORMS[form].share_right(d_prime) == pytest.approx(share, rel=1e-12)
    assert FORMS[form].d_prime(share) == pytest.approx(d_prime, rel=1e-11)


def test_paired_comparison_of_the_standard():
    """ISO 5495:2005/Amd.1:2016, B.5.2, example 1: 21 of 30."""
    found = choice.judge(21, 30, "2-afc")
    assert found.p == pytest.approx(0.021386972628533847, rel=1e-12)
    assert (found.needed, found.share) == (20, pytest.approx(0.4))


def test_bitterness_of_two_solutions():
    """Byer and Abrams 1953, 25 of 50 triangles right."""
    found = choice.judge(25, 50)
    assert found.p == pytest.approx(0.010826684448816, rel=1e-11)
    assert found.needed == 23
    assert found.d_prime == pytest.approx(1.46626, abs=1e-5)
    assert found.se**2 == pytest.approx(0.13755, abs=1e-5)


GRASS = [
    [4, 3, 2, 1], [4, 2, 3, 1], [3, 1.5, 1.5, 4], [3, 1, 2, 4], [4, 2, 1, 3], [2, 2, 2, 4],
    [1, 3, 2, 4], [2, 4, 1, 3], [3.5, 1, 2, 3.5], [4, 1, 3, 2], [4, 2, 3, 1], [3.5, 1, 2, 3.5],
]  # fmt: skip


def test_ties_change_the_decision_on_grass():
    """Conover 1999: without the correction for ties chi-squared is 7.625, p 0.054."""
    found = ranks.friedman(GRASS)
    assert found.rank_sums == (38, 23.5, 24.5, 34)
    assert found.chi2 == pytest.approx(8.097345132743364, rel=1e-12)
    assert pytest.approx(3.1921979067554718, rel=1e-12) == found.F
    assert found.p_f == pytest.approx(0.036215474643259686, rel=1e-12)
    assert found.kendall_w == pytest.approx(0.22492625368731567, rel=1e-12)


def test_page_example():
    rows = [[3, 4, 3], [2, 2, 4], [3, 3, 5], [1, 3, 2], [2, 3, 2], [2, 4, 5], [1, 2, 4], [3, 4, 4],
            [2, 4, 5], [1, 3, 4]]  # fmt: skip
    found = ranks.page(rows)
    # The printed p takes orders without ties; going through the tied orders gives less.
    assert (found.L, found.p_tables) == (133.5, pytest.approx(0.0018191161948127822, rel=1e-11))
    assert found.p == pytest.approx(0.00038421480465376204, rel=1e-11)


def test_cochran_example():
    rows = [[1, 1, 1], [1, 1, 1], [0, 1, 0], [1, 1, 0], [0, 0, 0], [1, 1, 1], [1, 1, 1], [1, 1, 0],
            [0, 0, 1], [0, 1, 0], [1, 1, 1], [1, 1, 1]]  # fmt: skip
    found = boxes.cochran_q(rows)
    assert (found.Q, found.p_chi2) == (2.8, pytest.approx(0.246596963941606, rel=1e-12))


def test_incomplete_blocks_of_apples():
    found = ranks.durbin(table("appletaste.csv"), "aftertaste", "product", "panelist")
    # Durbin's own formula for a balanced design: t 4, k 3, r 15, b 20.
    scatter = sum((rank - 15 * 2) ** 2 for rank in found.rank_sums)
    within = pd.DataFrame(table("appletaste.csv")).groupby("panelist")["aftertaste"].rank()
    ties = (within**2).sum() - 20 * 3 * 16 / 4
    assert found.balanced
    assert found.chi2 == pytest.approx(3 * scatter / ties, rel=1e-12)
    assert found.p_exact < found.p_chi2


def test_penalties():
    rows = table("jar_constructed.csv")
    welch = boxes.penalty(rows["jar"], rows["liking"])
    pooled = boxes.penalty(rows["jar"], rows["liking"], pooled=True)
    little, much = welch.group("too little"), welch.group("too much")
    assert (welch.mean_just_right, welch.mean_all) == (7.0, 5.65)
    assert (little.n, little.mean_drop, much.n, much.mean_drop) == (6, 2.0, 5, 3.0)
    assert welch.group("either").mean_drop == pytest.approx(2.4545454545, abs=1e-9)
    assert (little.weighted, much.weighted) == (pytest.approx(0.6), pytest.approx(0.75))
    assert little.enough and much.enough
    for group, t, df in ((little, 5.720776, 11.719), (much, 7.606388, 8.385)):
        assert (group.t, group.df) == (pytest.approx(t, abs=1e-6), pytest.approx(df, abs=1e-3))
    for side, t, df in (("too little", 5.585696, 13), ("too much", 7.606388, 12)):
        group = pooled.group(side)
        assert (group.t, group.df) == (pytest.approx(t, abs=1e-6), df)


def test_generalised_q_is_met_exactly():
    case = next(c for c in expected("meta_analysis.json")["cases"] if c["id"] == "six_PM_z")
    y, v = np.array(case["yi"]), np.array(case["sei"]) ** 2
    ours = pool(case["yi"], case["sei"], "generalised-q").between_variance
    assert abs(generalised_q(y, v, ours) - 5) < 1e-12
    assert abs(generalised_q(y, v, case["tau2"]) - 5) > 1e-6


@pytest.mark.parametrize("name", ["soup_logit", "soup_respondent_logit"])
def test_ordered_answers_of_many_respondents(name):
    case = next(c for c in expected("ordinal.json")["cases"] if c["id"] == name)
    for found in one_ordinal(case):
        # One threshold is near 0: clmm is 6e-6 off there.
        assert found.digits >= (4.3 if case["random"] else 9.0), found


def test_ours_is_the_higher_top():
    for case in expected("ordinal.json")["cases"]:
        if case["random"] and case["data_file"] == "wine.csv":
            frame = pd.read_csv(HERE / "data" / case["data_file"])
            found = ordinal.fit(frame, case["formula"], case["random"], case["link"])
            assert found.log_likelihood >= case["log_lik"] - 1e-10
            assert found.highest_slope < 1e-9

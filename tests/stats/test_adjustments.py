"""Serving order, carry-over and covariates: planted effects come back, beside the methods."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from trialbench.stats.adjustments import adjust, order_effects
from trialbench.stats.mixed import fit_mixed
from trialbench.stats.not_applicable import NotApplicable
from trialbench.stats.numbers import BadNumbers

# Williams square of four, each row the order of one taster.
SQUARE = ["ABDC", "BCAD", "CDBA", "DACB"]


@pytest.fixture
def tasting():
    """Eight tasters, two cook days: B 1 up, the third place 0.5 up, a sample after C 0.8 down."""
    noise = np.random.default_rng(5)
    rows = []
    for cook in ("mon", "tue"):
        for taster in range(8):
            order = SQUARE[(taster + (cook == "tue")) % 4]
            for place, method in enumerate(order):
                after = -0.8 if place and order[place - 1] == "C" else 0.0
                score = 5 + (method == "B") + 0.5 * (place == 2) + after + 0.05 * noise.normal()
                rows.append((cook, f"T{taster}", place + 1, method, score))
    return pd.DataFrame(rows, columns=["cook", "taster", "place", "method", "score"])


def test_planted_order_effects_are_found_and_taken_off(tasting):
    found = order_effects(tasting, "score", "method", "taster", "place", "cook", random=["taster"])
    assert found.tests["position"].p < 1e-6
    assert found.tests["carry-over"].p < 1e-6
    assert found.tests["position"].df1 == 3
    assert found.tests["carry-over"].df1 == 3
    ab = found.adjusted.query("a == 'A' and b == 'B'").iloc[0]
    assert ab["estimate"] == pytest.approx(-1, abs=0.06)
    assert ab["low"] < -1 < ab["high"]
    # The square balances neighbours, so what follows C falls on the other three alike.
    plain = found.plain.query("a == 'A' and b == 'B'").iloc[0]
    assert plain["se"] > 2 * ab["se"]


def test_position_is_the_joint_test_of_the_model_itself(tasting):
    found = order_effects(tasting, "score", "method", "taster", "place", "cook", carry_over=False)
    fit = fit_mixed(tasting, "score ~ method + C(place)", ["taster", "cook", "cook:method"])
    assert found.tests["position"].p == pytest.approx(fit.joint_test("place").p, rel=1e-9)
    assert "carry-over" not in found.tests


def test_one_order_for_everybody_cannot_be_told_from_the_methods(tasting):
    same = tasting[tasting["taster"].isin(["T0", "T4"]) & (tasting["cook"] == "mon")]
    found = order_effects(same, "score", "method", "taster", "place", "cook")
    assert isinstance(found.tests["position"], NotApplicable)


def test_two_samples_at_one_place_are_refused(tasting):
    tasting.loc[1, "place"] = 1
    with pytest.raises(BadNumbers, match="Taster T0 has two samples at position 1") as caught:
        order_effects(tasting, "score", "method", "taster", "place", "cook")
    assert caught.value.where.startswith("column place, row")


@pytest.fixture
def weighed():
    noise = np.random.default_rng(8)
    rows = []
    for cook in range(6):
        for method, extra in (("A", 0.0), ("B", 25.0)):
            for _ in range(3):
                raw = 900 + extra + 20 * noise.normal()
                loss = 30 - 0.05 * (raw - 900) + (method == "B") + 0.3 * noise.normal()
                rows.append((f"day {cook}", method, raw, loss))
    return pd.DataFrame(rows, columns=["cook", "method", "raw weight", "loss"])


def test_the_difference_at_equal_raw_weight(weighed):
    found = adjust(weighed, "loss", "method", ["raw weight"], ["cook"])
    assert found.plain["estimate"].item() == pytest.approx(0.25, abs=0.5)
    assert found.adjusted["estimate"].item() == pytest.approx(-1, abs=0.35)
    assert found.slopes.loc["raw weight", "estimate"] == pytest.approx(-0.05, abs=0.01)
    assert found.tests["raw weight"].p < 1e-6
    assert not found.notes


def test_methods_that_do_not_overlap_in_weight_are_said_so(weighed):
    heavier = weighed["raw weight"] + 500 * (weighed["method"] == "B")
    found = adjust(
        weighed.assign(**{"raw weight": heavier}), "loss", "method", ["raw weight"], ["cook"]
    )
    assert "does not overlap" in str(found.notes[0])


def test_a_covariate_that_never_changes_has_no_slope(weighed):
    found = adjust(weighed.assign(cut=3), "loss", "method", ["cut"], ["cook"])
    assert found.slopes.empty
    assert isinstance(found.tests["cut"], NotApplicable)
    with pytest.raises(BadNumbers, match="no column 'age'"):
        adjust(weighed, "loss", "method", ["age"], ["cook"])

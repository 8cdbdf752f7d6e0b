"""Which random terms a trial's design supports, by counts."""

from __future__ import annotations

import itertools

import numpy as np
import pandas as pd
import pytest

from tests.stats.reference_models import data
from trialbench.stats.model_by_counts import kitchen_model
from trialbench.stats.numbers import BadNumbers


def trial(cooks=4, units=1, tasters=5, repeats=1):
    rows = itertools.product(range(cooks), "AB", range(units), range(tasters), range(repeats))
    frame = pd.DataFrame(rows, columns=["day", "way", "pan", "who", "again"])
    return frame.assign(juicy=np.random.default_rng(3).normal(5, 1, len(frame)))


def fitted(frame, **more):
    return kitchen_model(frame, "juicy", "way", "day", "pan", "who", **more)


@pytest.mark.parametrize(
    ("shape", "terms"),
    [
        ({}, {"taster", "cook", "cook:method", "taster:method", "taster:cook"}),
        ({"units": 2}, {"taster", "cook", "cook:method", "taster:method", "taster:cook",
                        "cook:method:unit"}),
        ({"cooks": 1, "units": 2}, {"taster", "taster:method", "cook:method:unit"}),
        ({"tasters": 1, "units": 2}, {"cook", "cook:method"}),
        ({"tasters": 1, "units": 2, "repeats": 2}, {"cook", "cook:method", "cook:method:unit"}),
    ],
)  # fmt: skip
def test_terms_enter_by_counts(shape, terms):
    assert set(fitted(trial(**shape)).random) == terms


def test_without_tasters_it_is_a_model_of_units():
    fit = kitchen_model(trial(units=2, tasters=1), "juicy", "way", "day", "pan")
    assert set(fit.random) == {"cook", "cook:method"}
    assert set(fit.variances) == {"cook", "cook:method", "residual"}


def test_one_number_per_cook_and_method_is_the_paired_t_over_cooks():
    frame = trial(cooks=6, tasters=1)
    fit = kitchen_model(frame, "juicy", "way", "day")
    row = fit.differences("method").iloc[0]
    means = frame.pivot(index="day", columns="way", values="juicy")
    differences = means["A"] - means["B"]
    assert fit.random == ("cook",)
    assert row["estimate"] == pytest.approx(differences.mean())
    assert row["df"] == pytest.approx(5)
    if fit.variances["cook"] > 0:
        assert row["se"] == pytest.approx(differences.std() / np.sqrt(6))


def test_real_columns_and_covariates():
    frame = data("sim_crossed").assign(raw=np.arange(142) % 7)
    fit = kitchen_model(frame, "score", "method", "cook", "piece", "taster", covariates=["raw"])
    assert list(fit.terms().index) == ["Intercept", "method[T.B]", "raw"]
    with pytest.raises(BadNumbers, match="covariate"):
        kitchen_model(frame, "score", "method", "cook", covariates=["taster:x"])
    with pytest.raises(BadNumbers, match="no column 'oven'"):
        kitchen_model(frame, "score", "oven", "cook")

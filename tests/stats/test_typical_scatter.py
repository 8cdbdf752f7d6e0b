"""The table of typical scatter is what the open data give."""

from __future__ import annotations

import math

import pytest

from tests.stats.reference_models import data
from trialbench.stats.design_precision import precision
from trialbench.stats.mixed import fit_mixed
from trialbench.stats.scatter import TrialDesign
from trialbench.stats.typical_scatter import TYPICAL


@pytest.mark.parametrize("row", TYPICAL, ids=lambda row: row.name)
def test_each_row_is_reckoned_again_from_its_data(row):
    fit = fit_mixed(data(row.data), row.model[0], row.model[1])
    assert row.score == round(math.sqrt(fit.variances["residual"]), 3)
    for component, term in row.columns.items():
        assert getattr(row, component) == round(math.sqrt(fit.variances[term]), 3)
    known = {name for name in ("cook", "cook_method", "unit", "taster", "taster_method",
                               "taster_cook") if getattr(row, name) is not None}  # fmt: skip
    assert known == set(row.columns)
    assert row.origin


@pytest.mark.parametrize("row", TYPICAL, ids=lambda row: row.name)
def test_each_row_can_plan_a_trial(row):
    found = precision(TrialDesign(cooks=5, units=2, tasters=6), row.scatter(), matters=row.score)
    assert 0 < found.half_width < math.inf

"""Looking after every cook: the interval that holds, its price, and when it can first decide."""

from __future__ import annotations

import math

import numpy as np
import pytest

from trialbench.stats import BadNumbers, looking
from trialbench.stats.student import quantile


def test_the_likelihood_ratio_is_an_average_over_effect_sizes():
    """Noncentral t densities over a normal effect size, against the central one."""
    from scipy import stats

    n, g, t = 6, 1.7, 2.4
    sizes = np.linspace(-14, 14, 20_001)
    weights = np.exp(-(sizes**2) / (2 * g)) / math.sqrt(2 * math.pi * g) * (sizes[1] - sizes[0])
    kept = weights > 1e-14
    density = stats.nct.pdf(t, n - 1, sizes[kept] * math.sqrt(n))
    ratio = float((weights[kept] * density).sum()) / stats.t.pdf(t, n - 1)
    assert looking.likelihood_ratio(t, n, g) == pytest.approx(ratio, rel=1e-8)


@pytest.mark.parametrize("n", [3, 5, 9, 30])
def test_the_interval_ends_where_the_ratio_reaches_its_bound(n):
    g = looking.effect_variance(5)
    reach = looking.multiplier(n, g, 0.05)
    if reach is None:
        assert n < looking.first_possible(5)
    else:
        assert looking.likelihood_ratio(reach, n, g) == pytest.approx(20.0, rel=1e-9)
        assert reach > quantile(0.025, n - 1)


@pytest.mark.parametrize("planned", [2, 3, 4, 5, 6, 8, 12])
def test_it_is_narrowest_at_the_plan(planned):
    g = looking.effect_variance(planned)
    best = looking.multiplier(planned, g, 0.05)
    for other in (0.5 * g, 0.9 * g, 1.1 * g, 2 * g):
        worse = looking.multiplier(planned, other, 0.05)
        assert worse is None or worse >= best
    assert looking.first_possible(planned) <= planned


def test_every_look():
    days = [1.2, 0.7, 1.4, 0.9, 1.3, 0.8]
    found = looking.look(days, planned=5)
    assert [each.cooks for each in found.looks] == [1, 2, 3, 4, 5, 6]
    assert found.looks[0].low is None and found.looks[1].low is None
    assert found.first_possible == 4 and found.looks[3].low is not None
    assert found.first_possible_inner <= found.first_possible
    last = found.last
    assert last.price > 1 and last.low < last.inner_low < last.estimate
    assert last.high - last.low > last.fixed_high - last.fixed_low
    assert last.p <= found.looks[3].p <= 1 and (last.p <= 0.05) == (last.low > 0)
    turned = looking.look([-d for d in days], planned=5).last
    assert turned.low == pytest.approx(-last.high) and turned.p == last.p
    scaled = looking.look([10 * d for d in days], planned=5).last
    assert scaled.low == pytest.approx(10 * last.low) and scaled.price == pytest.approx(last.price)


def test_equal_differences_and_a_floor():
    equal = looking.look([1.0, 1.0, 1.0, 1.0], planned=3)
    assert equal.last.low is None and equal.last.p == 1.0
    floored = looking.look([1.0, 1.0, 1.0, 1.0], planned=3, least_variance=0.25)
    wide = looking.multiplier(4, floored.effect_variance, 0.05) * 0.25
    assert floored.last.high == pytest.approx(1 + wide)
    assert looking.look([1.0, None, 2.0]).last.cooks == 2


@pytest.mark.parametrize(
    "call",
    [lambda: looking.look([]), lambda: looking.look(["x"]), lambda: looking.look([1], planned=1),
     lambda: looking.look([1], alpha=0.6), lambda: looking.look([1], least_variance=-1.0)],
)  # fmt: skip
def test_what_cannot_be_looked_at_is_refused(call):
    with pytest.raises(BadNumbers) as told:
        call()
    assert told.value.where and told.value.allowed

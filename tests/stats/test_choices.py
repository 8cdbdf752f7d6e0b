"""Choices: against going through everything, at the ends, and what is refused."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from trialbench.stats import BadNumbers, NotApplicable, choice
from trialbench.stats.binomial import at_least, at_most, exact_limits, likelihood_limits
from trialbench.stats.bounded_mean import mean_limits, share_mean_at_most
from trialbench.stats.choice_forms import FORMS
from trialbench.stats.choice_replicated import log_chances
from trialbench.stats.preferences import net_limits

COUNTS = st.integers(1, 60).flatmap(lambda of: st.tuples(st.integers(0, of), st.just(of)))
NAMES = st.sampled_from(sorted(FORMS))


def _tail(right: int, of: int, share: float) -> float:
    return math.fsum(
        math.comb(of, k) * share**k * (1 - share) ** (of - k) for k in range(right, of + 1)
    )


@given(COUNTS, NAMES)
def test_p_and_needed_are_the_binomial(counts, form):
    right, of = counts
    found = choice.judge(right, of, form, alike_below=0.4)
    guess = FORMS[form].guess
    assert found.p == pytest.approx(_tail(right, of, guess), rel=1e-12)
    assert found.alike_p == pytest.approx(
        1 - _tail(right + 1, of, guess + 0.4 * (1 - guess)), abs=1e-12
    )
    enough = [x for x in range(of + 1) if _tail(x, of, guess) <= 0.05]
    assert found.needed == (enough[0] if enough else None)
    assert (found.p <= 0.05) == (found.needed is not None and right >= found.needed)


@given(COUNTS, NAMES)
def test_limits_hold_their_estimate_and_nest(counts, form):
    found = choice.judge(*counts, form)
    assert 0 <= found.share_low <= found.share_inner_low <= found.share + 1e-12
    assert found.share <= found.share_inner_high + 1e-12 <= found.share_high + 2e-12 <= 1 + 3e-12
    if found.d_prime is None:
        assert found.d_prime_low >= 0 and found.d_prime_high is None
    elif found.d_prime == 0:
        assert found.d_prime_high >= 0 and found.se is None
    else:
        assert found.d_prime_low <= found.d_prime <= found.d_prime_high


@given(COUNTS)
def test_two_sided_agrees_with_the_exact_limits(counts):
    right, of = counts
    found = choice.judge(right, of, "2-afc", one_sided=False)
    low, high = exact_limits(right, of, 0.05)
    assert (found.p <= 0.05) == (low >= 0.5 or high <= 0.5)
    mirrored = choice.judge(of - right, of, "2-afc", one_sided=False)
    assert found.p == pytest.approx(mirrored.p, rel=1e-12)


@given(st.integers(1, 40), NAMES, st.sampled_from([0.2, 0.3, 0.5]))
def test_most_right_if_alike(of, form, below):
    share = FORMS[form].right_if(below)
    few = [x for x in range(of + 1) if at_most(x, of, share) <= 0.05]
    assert choice.most_right_if_alike(of, form, below, 0.05) == (few[-1] if few else None)


@pytest.mark.parametrize("form", sorted(FORMS))
def test_forms_rise_from_guessing_and_turn_back(form):
    kind = FORMS[form]
    shares = [kind.share_right(d) for d in np.arange(0, 8, 0.25)]
    assert shares[0] == pytest.approx(kind.guess, abs=1e-13)
    assert all(b > a for a, b in itertools.pairwise(shares))
    for d in (0.3, 1.0, 2.5, 4.0):
        assert kind.d_prime(kind.share_right(d)) == pytest.approx(d, rel=1e-9)
        numeric = (kind.share_right(d + 1e-5) - kind.share_right(d - 1e-5)) / 2e-5
        assert kind.slope(d) == pytest.approx(numeric, rel=1e-7)
    assert kind.d_prime(0.2) == 0.0 and math.isinf(kind.d_prime(1.0))


def test_forms_against_drawn_samples():
    lot = np.random.default_rng(5)
    strong, weak = lot.normal(1.2, 1, (200_000, 2)), lot.normal(0, 1, (200_000, 2))
    odd = strong[:, 0]
    a, b = weak.T
    together = np.abs(a - b)
    right = (together < np.abs(odd - a)) & (together < np.abs(odd - b))
    assert FORMS["triangle"].share_right(1.2) == pytest.approx(right.mean(), abs=0.004)
    low, high = np.sort(weak, axis=1), np.sort(strong, axis=1)
    tetrad = (low[:, 1] < high[:, 0]) | (low[:, 0] > high[:, 1])
    assert FORMS["tetrad"].share_right(1.2) == pytest.approx(tetrad.mean(), abs=0.004)
    reference = weak[:, 0]
    duo = np.abs(weak[:, 1] - reference) < np.abs(odd - reference)
    same = np.abs(strong[:, 1] - odd) < np.abs(weak[:, 1] - odd)
    trio = (duo.mean() + same.mean()) / 2
    assert FORMS["duo-trio"].share_right(1.2) == pytest.approx(trio, abs=0.004)


def test_likelihood_limits_are_where_the_likelihood_has_dropped():
    low, high = likelihood_limits(9, 15, 0.05)
    for end in (low, high):
        drop = 9 * math.log(0.6 / end) + 6 * math.log(0.4 / (1 - end))
        assert 2 * drop == pytest.approx(3.841458820694124, rel=1e-10)


@pytest.mark.parametrize("one_sided", [True, False])
def test_power_stays_above_from_the_number_given(one_sided):
    found = choice.tasters_for("duo-trio", 0.35, 0.05, 0.8, one_sided=one_sided)
    reached = [
        choice.power(n, "duo-trio", 0.35, 0.05, one_sided=one_sided)
        for n in range(1, found.from_then_on + 60)
    ]
    assert next(n for n, p in enumerate(reached, 1) if p >= 0.8) == found.first
    assert reached[found.from_then_on - 2] < 0.8
    assert min(reached[found.from_then_on - 1 :]) >= 0.8
    assert found.power_from_then_on == pytest.approx(reached[found.from_then_on - 1])
    assert isinstance(choice.tasters_for("triangle", 0.005), NotApplicable)
    assert choice.tasters_for("triangle", 1.0).first == 3


def test_power_is_the_chance_of_enough_right():
    needed = choice.fewest_right(30, "triangle", 0.05)
    assert choice.power(30, "triangle", 0.3) == pytest.approx(_tail(needed, 30, 1 / 3 + 0.2))


def test_one_tasters_count_is_an_integral_over_the_beta():
    """E over a beta(2, 3) of the binomial, by fine sums."""
    u = (np.arange(400_000) + 0.5) / 400_000
    weight = u * (1 - u) ** 2
    weight /= weight.sum()
    p = 1 / 3 + 2 / 3 * u
    by_sum = (weight * math.comb(6, 4) * p**4 * (1 - p) ** 2).sum()
    assert math.exp(log_chances([(4, 6)], 1 / 3)(2 / 5, 1 / 6)[0]) == pytest.approx(
        by_sum, rel=1e-9
    )
    plain = math.comb(6, 4) * (0.6**4) * (0.4**2)
    assert math.exp(log_chances([(4, 6)], 1 / 3)(0.4, 0.0)[0]) == pytest.approx(plain, rel=1e-12)


def test_tasters_alike_have_spread_0_and_the_plain_share():
    found = choice.replicated([6, 6, 6, 6], 9)
    assert (found.spread, found.alike_p, found.spread_se) == (0.0, 1.0, None)
    assert found.share == pytest.approx((24 / 36 - 1 / 3) * 1.5, abs=1e-6)
    assert found.p == pytest.approx(_tail(24, 36, 1 / 3))
    nobody = choice.replicated([3, 2, 3, 4], 9)
    assert (nobody.share, nobody.d_prime, nobody.share_low) == (0.0, 0.0, 0.0)
    mixed = choice.replicated([9, 9, 3, 3, 9, 3], 9)
    assert mixed.spread > 0.5 and mixed.alike_p < 0.001


def test_lines_give_the_chances_they_say():
    lines = choice.sequential_lines("triangle", 0.5, 0.05, 0.1)
    lot = np.random.default_rng(3)
    for share, chance in ((1 / 3, lines.chance_if_guessing), (2 / 3, lines.chance_if_share)):
        told = 0
        for _ in range(4000):
            right = of = 0
            while (verdict := "go on" if of == 0 else lines.decide(right, of)) == "go on":
                right += lot.random() < share
                of += 1
            told += verdict == "can tell"
        assert told / 4000 == pytest.approx(chance, abs=0.015)
    assert lines.chance_if_guessing <= 0.05 / 0.9
    assert lines.needed(1) is None and lines.allowed(1) is None


def test_preference_and_its_mirror():
    one, two = choice.preference(12, 5, 4), choice.preference(5, 12, 4)
    assert one.p == two.p and one.needed == 13
    assert one.net == -two.net and one.net_low == pytest.approx(-two.net_high)
    assert one.d_prime == pytest.approx(-two.d_prime)
    assert one.d_prime_low == pytest.approx(-two.d_prime_high, rel=1e-6)
    even = choice.preference(6, 6, 3)
    assert (even.p, even.net, even.d_prime) == (1.0, 0.0, pytest.approx(0.0))
    assert choice.preference(12, 5).band == 0.0
    for odd in (choice.preference(7, 0), choice.preference(0, 0, 5), choice.preference(0, 0)):
        assert odd.d_prime is None and odd.notes
    assert choice.preference(0, 0, 5).p is None


def test_net_limits_are_score_limits():
    """Tango 1998: at each limit the score is z."""
    low, high = net_limits(12, 5, 30, 0.05)
    for limit in (low, high):
        shares = np.linspace(1e-9, (1 - abs(limit)) / 2 - 1e-9, 400_001)
        b = shares if limit >= 0 else shares - limit
        a = b + limit
        likelihood = 12 * np.log(a + 1e-300) + 5 * np.log(b + 1e-300) + 13 * np.log1p(-a - b)
        best = b[np.argmax(likelihood)]
        spread = math.sqrt(30 * (2 * best + limit - limit**2))
        assert abs(12 - 5 - 30 * limit) / spread == pytest.approx(1.959964, abs=2e-4)


def test_random_shares_of_known_points():
    # A Beta(1, n) and a Beta(k, n - k + 1) in disguise.
    assert share_mean_at_most([0, 1], 0.3) == pytest.approx(0.3)
    assert share_mean_at_most([0, 0, 1], 0.3) == pytest.approx(1 - 0.7**2)
    lot = np.random.default_rng(1)
    points = np.array([-1, -0.3, 0.2, 0.2, 0.9])
    drawn = lot.dirichlet(np.ones(5), 300_000) @ points
    assert share_mean_at_most(list(points), 0.1) == pytest.approx((drawn <= 0.1).mean(), abs=0.004)


@given(st.lists(st.sampled_from([-1.0, 1.0]), min_size=2, max_size=12))
def test_limits_of_days_that_fall_one_way_are_the_exact_binomial_ones(days):
    low, high = mean_limits(days, (-1, 1), 0.05)
    exact = exact_limits(days.count(1.0), len(days), 0.05)
    assert (low, high) == pytest.approx([2 * end - 1 for end in exact], abs=1e-9)


def test_choices_over_cook_days():
    five = choice.over_cook_days([6] * 5, [6] * 5)
    assert five.p == 0.0625 and five.low < 0 < five.high == 1.0
    assert "Too few cook days" in str(five.notes[0])
    six = choice.over_cook_days([6] * 6, [6] * 6)
    assert (six.p, six.smallest_possible_p) == (0.03125, 0.03125) and six.low > 0
    mixed = choice.over_cook_days([3, 5, 4, 6, 5, 2, 6], [6] * 7, neither=[1, 0, 1, 0, 0, 2, 0])
    swapped = choice.over_cook_days([2, 1, 1, 0, 1, 2, 0], [6] * 7, neither=[1, 0, 1, 0, 0, 2, 0])
    assert mixed.p == swapped.p and mixed.low == pytest.approx(-swapped.high)
    assert mixed.by_day[0] == pytest.approx(1 / 6)
    assert choice.over_cook_days([6, 0, 6], [6, 0, 6]).days == 2
    assert isinstance(choice.over_cook_days([6], [6]), NotApplicable)
    right = choice.over_cook_days([6, 5, 6, 4], [6] * 4, "triangle")
    assert right.p <= 0.05 and right.p_these_pieces < 1e-5
    assert "not yet a difference of methods" in str(right.notes[-1])


def test_pieces_of_one_day_do_not_speak_for_days():
    """Twelve tasters a day who follow the day: the pooled test is sure, the days are not."""
    found = choice.over_cook_days([12, 12, 0, 12, 12, 0, 12, 12], [12] * 8)
    assert found.p_these_pieces < 1e-6 and found.p > 0.2


@pytest.mark.parametrize(
    "call",
    [
        lambda: choice.judge(5, 4), lambda: choice.judge(-1, 4), lambda: choice.judge(1.5, 4),
        lambda: choice.judge("a", 4), lambda: choice.judge(1, 0), lambda: choice.judge(1, 4, "x"),
        lambda: choice.judge(1, 4, alike_below=1.2), lambda: choice.judge(1, 4, alpha=0),
        lambda: choice.fewest_right(4, "triangle", 0), lambda: choice.tasters_for("triangle", 0),
        lambda: choice.tasters_for("triangle", 0.3, 0.05, 1), lambda: choice.replicated([1], 1),
        lambda: choice.replicated([], 3), lambda: choice.replicated([1, 2], [3]),
        lambda: choice.sequential_lines("triangle", 0.3, 0.6, 0.6),
        lambda: choice.preference(-1, 2), lambda: choice.over_cook_days([1, 2], [3]),
        lambda: choice.over_cook_days([3, 3], [3, 3], neither=[1, 0]),
        lambda: choice.over_cook_days([1, 1], [3, 3], "triangle", [1, 1]),
        lambda: choice.most_right_if_alike(10, "triangle", 0.0),
    ],
)  # fmt: skip
def test_what_is_no_choice_is_refused(call):
    with pytest.raises(BadNumbers) as told:
        call()
    assert told.value.where and told.value.allowed


def test_it_says_its_null_hypothesis_and_doubts():
    assert "1/3" in str(choice.judge(9, 15).null_hypothesis)
    assert "1/2" in str(choice.judge(9, 15, "2-afc", one_sided=False).null_hypothesis)
    few = choice.judge(2, 2)
    assert few.needed is None and "Too few answers" in str(few.notes[-1])
    assert at_least(0, 5, 0.3) == 1.0 and at_least(6, 5, 0.3) == 0.0

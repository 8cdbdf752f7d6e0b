"""Three methods or more: numbers beside the engine and beside a plain reckoning with numpy."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
from scipy import stats as plain

from tests.findings.several_made_up import (
    ASKED,
    CROSSED,
    MEASURED,
    ORDERED,
    SETTINGS,
    pairs,
    table,
)
from trialbench import stats
from trialbench.findings.finding import CASES_WITH_A_WINNER
from trialbench.findings.judging_several import judge_several
from trialbench.model.message import say

GAPS = {"A": 5.2, "B": 7.6, "C": 6.4, "D": 6.9}
CURVED = {"A": 4.0, "B": 6.0, "C": 7.0, "D": 6.6, "E": 4.4}


def cook_means(rows):
    """Mean of each method on each cook day: (cooks, methods by letter), complete tables only."""
    letters, cooks = sorted(set(rows["method"])), sorted(set(rows["cook"]))
    found = np.zeros((len(cooks), len(letters)))
    for k, cook in enumerate(cooks):
        for m, letter in enumerate(letters):
            here = [v for v, c, x in zip(rows["value"], rows["cook"], rows["method"], strict=True)
                    if (c, x) == (cook, letter)]  # fmt: skip
            found[k, m] = np.mean(here)
    return found


def reckoned(values, share, floor):
    """Mean, two-sided p, limits at 1 - share and at 1 - 2 share of a t over cooks."""
    n, mean = len(values), values.mean()
    se = np.sqrt(max(values.var(ddof=1), floor) / n)
    halves = [plain.t.isf(level / 2, n - 1) * se for level in (share, 2 * share)]
    p = 2 * plain.t.sf(abs(mean / se), n - 1)
    return mean, p, (mean - halves[0], mean + halves[0]), (mean - halves[1], mean + halves[1])


def by_holm(p_values):
    """Holm's p by hand."""
    order, found, highest = sorted(range(len(p_values)), key=p_values.__getitem__), {}, 0.0
    for rank, place in enumerate(order):
        highest = max(highest, min(1.0, p_values[place] * (len(order) - rank)))
        found[place] = highest
    return [found[n] for n in range(len(p_values))]


def agrees(claims, values, share, tasters=6):
    """Every claim has the numbers of its cook values; whole points of `tasters` set the floor."""
    squares = [sum(w**2 for _, w in claim.contrast.weights) for claim in claims]
    by_hand = [
        reckoned(each, share, square / 2 / (6 * tasters))
        for each, square in zip(values, squares, strict=True)
    ]
    adjusted = by_holm([each[1] for each in by_hand])
    for claim, own, holm_p in zip(claims, by_hand, adjusted, strict=True):
        comparison = claim.finding.comparison
        mean, p, outer, inner = own
        assert comparison.estimate == pytest.approx(mean, abs=1e-12)
        assert comparison.p == pytest.approx(p, rel=1e-9)
        assert (comparison.low, comparison.high) == pytest.approx(outer, rel=1e-9)
        assert (comparison.inner_low, comparison.inner_high) == pytest.approx(inner, rel=1e-9)
        assert claim.holm_p == pytest.approx(holm_p, rel=1e-9)


# --- several methods ---------------------------------------------------------------------------


@pytest.mark.parametrize("lot", [1, 2, 3])
@pytest.mark.parametrize(("letters", "usual"), [("ABC", None), ("ABCD", None), ("ABCD", "B")])
def test_each_pair_has_its_own_cook_differences_and_holm(lot, letters, usual):
    rows = table({letter: GAPS[letter] for letter in letters}, lot, units=2)
    found = judge_several((rows, ASKED), pairs(letters, usual))
    means = cook_means(rows)
    chosen = [(a, b) for a, b in combinations(range(len(letters)), 2)
              if usual is None or usual in (letters[a], letters[b])]  # fmt: skip
    values = [means[:, a] - means[:, b] for a, b in chosen]
    agrees(found.claims, values, 0.05 / len(chosen))
    engine = stats.compare_methods(
        rows, "value", "method", "cook", "piece", "taster", step=1.0, matters=1.0, usual=usual
    )
    for claim, pair in zip(found.claims, engine.pairs, strict=True):
        comparison = claim.finding.comparison
        assert (comparison.a, comparison.b) == (pair.a, pair.b)
        assert (comparison.low, comparison.high) == (pair.low, pair.high)
        assert (comparison.inner_low, comparison.inner_high) == (pair.inner_low, pair.inner_high)
        assert claim.holm_p == pair.holm_p
        assert (claim.alone_low, claim.alone_high) == (pair.alone.low, pair.alone.high)


def test_holm_says_what_is_told_apart_and_the_interval_how_far():
    seen = set()
    for lot in range(1, 60):
        rows = table({"A": 5.0, "B": 6.6, "C": 5.3}, lot, units=2)
        for claim in judge_several((rows, ASKED), pairs()).claims:
            plain_, case = claim.finding.comparison, claim.finding.case
            apart = claim.holm_p <= 0.05
            heard = claim.finding.redraw
            if not (heard and heard.overruled):
                assert (case in CASES_WITH_A_WINNER) == apart
            if case == "better_enough":
                assert min(abs(plain_.low), abs(plain_.high)) >= 1 and plain_.low * plain_.high > 0
            if case == "no_difference_that_matters":
                assert plain_.inner_low > -1 and plain_.inner_high < 1
                assert not apart or heard.overruled
            across = plain_.low <= 0 <= plain_.high
            seen.add((case, across))
    assert ("better_size_open", True) in seen and ("better_enough", False) in seen


def test_a_pair_that_shares_one_cook_day_says_nothing_and_the_others_speak():
    rows = table(GAPS, 4)
    kept = [n for n, (m, c) in enumerate(zip(rows["method"], rows["cook"], strict=True))
            if not (m == "D" and c != "1")]  # fmt: skip
    rows = {name: [column[n] for n in kept] for name, column in rows.items()}
    found = judge_several((rows, ASKED), pairs("ABCD"))
    silent = [c for c in found.claims if c.silent]
    assert {c.contrast.b for c in silent} == {"D"} and len(silent) == 3
    assert all(c.finding.comparison.low is None and c.holm_p is None for c in silent)
    assert any("share fewer than two cook days" in say(note) for note in found.notes)
    assert found.scope == "method"
    speaking = [c for c in found.claims if not c.silent]
    assert speaking[0].finding.alpha == pytest.approx(0.05 / 3)


def test_while_cook_days_are_out_nothing_is_claimed():
    found = judge_several((table(GAPS), replace(ASKED, planned_cooks=7)), pairs("ABCD"))
    assert found.waiting and found.claims_nothing and not found.told
    assert all(c.finding.comparison.p is None and c.holm_p is None for c in found.claims)
    assert found.claims[0].finding.comparison.low is not None
    again = judge_several((table(GAPS), replace(ASKED, planned_cooks=5)), pairs("ABCD"))
    greyed, told = found.claims[0].finding.comparison, again.claims[0].finding.comparison
    assert (greyed.low, greyed.high) == (told.low, told.high)


def test_one_recipe_has_no_winner():
    found = judge_several((table(GAPS, units=2), replace(ASKED, same_recipe=True)), pairs("ABCD"))
    assert {c.finding.case for c in found.claims} == {"same_recipe"} and not found.told


def test_at_least_as_good_is_asked_of_each_other_way():
    rows = table({"A": 6.0, "B": 6.1, "C": 4.0}, 2, cooks=8, tasters=8, scatter=0.6)
    asked = replace(ASKED, kind="at-least-as-good")
    b, c = judge_several((rows, asked), pairs(usual="A")).claims
    assert (b.finding.case, b.finding.easier) == ("at_least_as_good", "B")
    assert (c.finding.case, c.finding.favours) == ("not_shown", "A")


# --- one cook day ------------------------------------------------------------------------------


def test_one_day_with_one_unit_takes_tasters_as_the_yardstick():
    rows = table(GAPS, 5, cooks=1)
    found = judge_several((rows, ASKED), CROSSED)
    scores = np.array(rows["value"]).reshape(4, 6)
    a, b, c, d = scores
    one_family = [(c + d - a - b) / 2, (b + d - a - c) / 2, d - c - b + a]
    claims = (*found.of_role("main"), *found.of_role("interaction"))
    agrees(claims, one_family, 0.05 / 3, tasters=np.inf)
    assert found.scope == "batch" and found.tasters == "others_like_them"


def test_one_day_with_several_units_takes_them_as_the_yardstick():
    rows = table(GAPS, 6, cooks=1, units=3)
    found = judge_several((rows, ASKED), CROSSED)
    units = np.array(rows["value"]).reshape(4, 3, 6).mean(axis=2)
    inside = units.var(axis=1, ddof=1).mean()
    for claim in (*found.of_role("main"), *found.of_role("interaction")):
        weights = np.array([dict(claim.contrast.weights)[letter] for letter in "ABCD"])
        estimate = weights @ units.mean(axis=1)
        se = np.sqrt(inside * (weights**2).sum() / 3)
        comparison = claim.finding.comparison
        assert comparison.df == 8
        assert comparison.estimate == pytest.approx(estimate, abs=1e-12)
        assert comparison.p == pytest.approx(2 * plain.t.sf(abs(estimate / se), 8), rel=1e-9)
    assert found.scope == "batch" and found.tasters == "these"


def test_one_day_of_weights_with_one_unit_claims_nothing():
    rows = table(GAPS, 7, cooks=1, tasters=0)
    for plan in (CROSSED, pairs("ABCD")):
        found = judge_several((rows, MEASURED), plan)
        assert found.claims_nothing and found.tasters is None
        assert all(c.finding.comparison.p is None for c in found.claims)


# --- crossed -----------------------------------------------------------------------------------


@pytest.mark.parametrize("lot", [1, 2, 3])
def test_every_effect_has_one_value_a_cook(lot):
    rows = table(GAPS, lot)
    found = judge_several((rows, ASKED), CROSSED)
    a, b, c, d = cook_means(rows).T
    one_family = [(c + d - a - b) / 2, (b + d - a - c) / 2, d - c - b + a]
    agrees((*found.of_role("main"), *found.of_role("interaction")), one_family, 0.05 / 3)
    agrees(found.of_role("simple"), [c - a, d - b, b - a, d - c], 0.05 / 4)
    media = ["stock" if m in "AB" else "bag" for m in rows["method"]]
    heats = ["77" if m in "AC" else "88" for m in rows["method"]]
    frame = {**rows, "medium": media, "heat": heats}
    engine = stats.factorial(frame, "value", ["medium", "heat"], "cook", "piece", "taster",
                             step=1.0, matters=1.0)  # fmt: skip
    for role, own in (("main", engine.main), ("simple", engine.simple),
                      ("interaction", engine.interactions)):  # fmt: skip
        mine = {round(abs(c.finding.comparison.estimate), 9): c for c in found.of_role(role)}
        for contrast in own:
            claim = mine[round(abs(contrast.estimate), 9)]
            assert claim.finding.comparison.p == pytest.approx(contrast.p, rel=1e-12)
            if role == "simple":  # main effects and interactions are one family here
                assert claim.holm_p == pytest.approx(contrast.holm_p, rel=1e-12)


def test_where_nothing_differs_a_headline_of_two_factors_errs_no_more_than_it_may():
    """Families of their own gave 0.07 and more here (known from 2,500 drawn trials)."""
    none = dict.fromkeys("ABCD", 5.0)
    wrong = 0
    for lot in range(100):
        found = judge_several((table(none, lot, cooks=6), ASKED), CROSSED)
        interaction = any(claim.told for claim in found.of_role("interaction"))
        wrong += interaction or any(claim.told for claim in found.leading)
    assert wrong <= 12, "beyond the 99.9 % limit of 5 in 100"


def test_an_interaction_makes_the_simple_effects_lead():
    for lot in range(1, 30):
        found = judge_several((table(GAPS, lot), ASKED), CROSSED)
        (both,) = found.of_role("interaction")
        assert found.lead == ("simple" if both.told else "main")
        assert found.leading[0].contrast.factor == 1


def test_the_redraw_of_a_simple_effect_is_that_of_its_two_methods():
    rows = table(GAPS, 3)
    found = judge_several((rows, ASKED), CROSSED)
    by_pair = judge_several((rows, ASKED), pairs("ABCD"))
    tests = {frozenset(dict(c.contrast.weights)): c.finding.redraw for c in by_pair.claims}
    for claim in found.of_role("simple"):
        test = tests[frozenset(dict(claim.contrast.weights))]
        assert claim.finding.redraw.p == test.p and claim.finding.redraw.assignments == 32


def test_the_redraw_of_a_main_effect_leaves_the_other_factor_alone():
    rows = table(GAPS, 2)
    found = judge_several((rows, ASKED), CROSSED)
    a, b, c, d = cook_means(rows).T
    heat = found.of_role("main")[1]
    gaps = np.array([b - a, d - c]).ravel() / 2
    signs = np.array(np.meshgrid(*[[-1, 1]] * len(gaps))).reshape(len(gaps), -1)
    seen = np.abs(signs.T @ gaps)
    hits = int((seen >= abs(gaps.sum()) - 1e-9).sum())
    assert (heat.finding.redraw.hits, heat.finding.redraw.assignments) == (hits, 1024)


def test_a_main_effect_of_uneven_units_has_no_redraw():
    rows = table(GAPS, 2, units=2)
    kept = [n for n, piece in enumerate(rows["piece"])
            if not (piece == "A1" and rows["cook"][n] == "2")]  # fmt: skip
    rows = {name: [column[n] for n in kept] for name, column in rows.items()}
    found = judge_several((rows, ASKED), CROSSED)
    assert [claim.finding.redraw for claim in found.of_role("main")] == [None, None]


# --- ordered -----------------------------------------------------------------------------------


@pytest.mark.parametrize("lot", [1, 2, 3])
def test_trend_and_bend_are_fitted_to_each_cook(lot):
    rows = table(CURVED, lot)
    found = judge_several((rows, ASKED), ORDERED)
    x = np.array(list(SETTINGS.values()))
    means = cook_means(rows)
    rise = np.array([np.polyfit(x, row, 1)[0] for row in means]) * (x[-1] - x[0])
    bend = -np.array([np.polyfit(x, row, 2)[0] for row in means]) * (x[-1] - x[0]) ** 2 / 4
    agrees(found.claims, [rise, bend], 0.05 / 2)
    frame = {**rows, "setting": [SETTINGS[m] for m in rows["method"]]}
    engine = stats.trend(frame, "value", "setting", "cook", "piece", "taster", step=1.0)
    assert found.claims[0].finding.comparison.p == pytest.approx(engine.slope.p, rel=1e-9)
    assert found.claims[1].finding.comparison.p == pytest.approx(engine.bend.p, rel=1e-9)
    fitted = np.polyfit(x, means.mean(axis=0), 2)
    best = found.curve.best
    assert best.setting == pytest.approx(-fitted[1] / (2 * fitted[0]), rel=1e-9)
    assert (best.low, best.high) == (engine.best.low, engine.best.high)
    middle = found.curve.points[30]
    assert middle.estimate == pytest.approx(np.polyval(fitted, middle.setting), rel=1e-9)


def test_the_best_at_the_edge_is_said_with_a_warning():
    rising = dict(zip("ABCDE", (4.0, 5.0, 6.0, 7.0, 8.0), strict=True))
    found = judge_several((table(rising, 1), ASKED), ORDERED)
    assert found.curve.best.at_edge and not found.curve.best.inside
    assert any("edge" in say(note) for note in found.notes)


def test_a_setting_has_no_best_where_no_way_is_better():
    found = judge_several((table(CURVED, 1), replace(ASKED, better="neither")), ORDERED)
    assert found.curve.points and found.curve.best is None


# --- the others --------------------------------------------------------------------------------


@pytest.mark.parametrize("plan", [pairs("ABCD"), CROSSED], ids=["pairs", "crossed"])
def test_the_other_outcomes_are_one_family(plan):
    other = [(table(GAPS, lot), replace(ASKED, outcome=f"o{lot}", matters=None)) for lot in (7, 8)]
    found = judge_several((table(GAPS, 1), ASKED), plan, other)
    claims = [claim for each in found.others for claim in each.claims]
    adjusted = by_holm([claim.finding.comparison.p for claim in claims])
    assert [claim.holm_p for claim in claims] == pytest.approx(adjusted, rel=1e-9)
    for claim in claims:
        assert claim.told == (claim.holm_p <= 0.05)
        assert claim.finding.case in ("better_size_open", "not_settled")
        assert (claim.finding.comparison.low, claim.finding.comparison.high) == (
            claim.alone_low, claim.alone_high,
        )  # fmt: skip

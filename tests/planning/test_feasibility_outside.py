"""What a plan is said to show, against R's power functions and against drawn trials."""

from __future__ import annotations

import json
import math
import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from scipy import stats as scipy_stats

from tests.planning.kitchen import kitchen
from trialbench.findings.contrasts import effects_of, method_plan
from trialbench.findings.past_trials import past_trial
from trialbench.findings.planned_claims import planned_claims
from trialbench.findings.snapshot import trial_records
from trialbench.findings.tables import Row, Table
from trialbench.model.message import msg, say
from trialbench.model.records import (
    Factor,
    Level,
    Method,
    Outcome,
    Piece,
    Price,
    Setting,
    Trial,
)
from trialbench.planning.claims import PlannedClaim
from trialbench.planning.feasibility import Feasibility, feasibility_of, plan_figures
from trialbench.planning.one_day import one_day_of
from trialbench.planning.plan_margin import margin_of_plan
from trialbench.planning.spread import Parts, PastTrial, Spread
from trialbench.planning.units import PlannedUnits
from trialbench.stats import Kitchen, Prices, Scatter, TrialDesign, over_cooks, simulate_trials

# R 4.2.2: power.t.test(type = "paired"), pwr, uniroot; the calls stand in `meta.note`
# (PROVENANCE.md).
POWER = json.loads(
    (Path(__file__).parents[1] / "reference" / "expected" / "power.json").read_text("utf-8")
)
LOT = 20_250_308


def _found(plan, own, claims=()) -> Feasibility:
    return feasibility_of(plan_figures(plan.book, "t", own, claims))


def _one(sd: float, parts: Parts | None = None) -> Spread:
    return Spread(sd, msg("given"), 9, parts)


@pytest.mark.parametrize("case", POWER["paired_t_power"], ids=str)
def test_the_chance_of_telling_a_gap_is_that_of_r(case):
    plan = kitchen(cooks=case["n_pairs"], pairs=1)
    plan = plan.changed(Trial, "t", matters=case["dz"], alpha=case["alpha"])
    shown = _found(plan, _one(1.0)).leading
    assert shown.chance == pytest.approx(case["two_sided_strict"], rel=1e-7)


@pytest.mark.parametrize("case", POWER["smallest_detectable"], ids=str)
def test_the_smallest_difference_is_that_of_r(case):
    found = _found(kitchen(cooks=case["n_pairs"], pairs=1), _one(1.0))
    assert found.smallest == pytest.approx(case["smallest_dz"], rel=1e-6)
    assert found.leading.smallest == found.smallest


@pytest.mark.parametrize("case", POWER["ci_half_width"], ids=str)
def test_the_expected_interval_is_that_of_r_times_the_mean_of_s(case):
    """R gives t s / sqrt(n) at s = sd; the mean of s is c4 sd (chi with n - 1 df)."""
    n = case["n_pairs"]
    c4 = math.sqrt(2 / (n - 1)) * math.gamma(n / 2) / math.gamma((n - 1) / 2)
    shown = _found(kitchen(cooks=n, pairs=1), _one(1.0)).leading
    assert shown.half_width == pytest.approx(c4 * case["half_width_95_in_sd"], rel=1e-9)


def test_drawn_trials_come_out_as_often_as_the_plan_says():
    parts = Parts(0.3, unit=0.3, score=1.0, taster_method=0.3)
    plan = kitchen(cooks=5, pairs=2, tasters=6)
    shown = _found(plan, _one(parts.sd(2, 6), parts)).leading
    # These tasters: what they differ in by nature is the same every day and left out here.
    scatter = Scatter(cook_method=0.3, unit=0.3, score=1.0)
    drawn = Kitchen(design=TrialDesign(cooks=5, units=2, tasters=6), scatter=scatter)
    apart = simulate_trials(drawn, 0.8, 0.8, lot_number=LOT, trials=20_000, redraw=False)
    same = simulate_trials(drawn, 0.0, 0.8, lot_number=LOT + 1, trials=20_000, redraw=False)
    assert shown.chance == pytest.approx(apart.winner[0], abs=4 * apart.winner[1])
    assert shown.chance_equal == pytest.approx(same.equal[0], abs=4 * same.equal[1])
    assert shown.half_width == pytest.approx(apart.half_width, rel=0.01)


# --- one cook day ------------------------------------------------------------------------------

ONE = PlannedUnits("piece", 1, 1, 1, 2, False, 6, 1, True)


def _rates(estimates, halves, gap):
    return np.mean(np.abs(estimates) > halves), np.mean(halves), np.mean(estimates) - gap


@pytest.mark.parametrize(
    ("units", "error", "df"),
    [
        (replace(ONE, each=3, pieces=3, paired=True), "pairs", 2),
        (replace(ONE, each=3, pieces=3), "units", 4),
        (ONE, "tasters", 5),
        (replace(ONE, tasters=1, servings=6), "servings", 10),
    ],
)
def test_one_cook_day_drawn_comes_out_as_often_as_it_says(units, error, df):
    """20,000 days drawn by numpy, each judged by the t of policy 6.2 written out here."""
    parts = Parts(0.5, unit=0.4, score=0.9, taster_method=0.3, piece=0.4)
    one = one_day_of(units, parts, 0.05, 0.8)
    assert (one.error, one.df) == (error, df)
    lot, days, gap = np.random.default_rng(LOT), 20_000, one.smallest
    limit = scipy_stats.t.ppf(0.975, df)
    if error in ("pairs", "units"):
        sd = math.sqrt(parts.piece**2 + parts.score**2 / 6)
        a, b = gap + sd * lot.standard_normal((days, 3)), sd * lot.standard_normal((days, 3))
        if error == "pairs":
            d = a - b
            estimates, halves = d.mean(1), limit * d.std(1, ddof=1) / math.sqrt(3)
        else:
            pooled = np.sqrt((a.var(1, ddof=1) + b.var(1, ddof=1)) / 2)
            estimates, halves = a.mean(1) - b.mean(1), limit * pooled * math.sqrt(2 / 3)
    elif error == "tasters":
        sd = math.sqrt(2 * (parts.taster_method**2 + parts.score**2))
        d = gap + sd * lot.standard_normal((days, 6))
        estimates, halves = d.mean(1), limit * d.std(1, ddof=1) / math.sqrt(6)
    else:
        a, b = gap + 0.9 * lot.standard_normal((days, 6)), 0.9 * lot.standard_normal((days, 6))
        pooled = np.sqrt((a.var(1, ddof=1) + b.var(1, ddof=1)) / 2)
        estimates, halves = a.mean(1) - b.mean(1), limit * pooled * math.sqrt(2 / 6)
    found, half, _ = _rates(estimates, halves, gap)
    assert found == pytest.approx(0.8, abs=4 * math.sqrt(0.16 / days))
    assert one.half_width == pytest.approx(half, rel=0.01)


def test_a_day_without_any_error_says_nothing():
    assert one_day_of(replace(ONE, tasters=2), Parts(0.5, score=1.0), 0.05, 0.8) is None
    assert one_day_of(replace(ONE, tasted=False), Parts(0.5), 0.05, 0.8) is None
    assert one_day_of(replace(ONE, cooks=3), Parts(0.5, score=1.0), 0.05, 0.8) is None


def test_what_this_kitchen_never_saw_of_one_day_is_borrowed_and_says_so():
    past = (PastTrial(9, 4, 3, 0.33, 1, 2, 1, Parts(0.41)),)
    found = _found(kitchen(cooks=1, pairs=1), past)
    assert found.one_day.error == "tasters" and found.one_day.borrowed
    plan = kitchen(cooks=1, pairs=1)
    note = next(n for n in margin_of_plan(plan.book, "t", found).notes if n.dear == 85)
    assert "borrowed from open data" in say(note.source)
    assert say(note.label) == "One cook day: what it can still tell"


# --- several methods ---------------------------------------------------------------------------


def _crossed():
    plan = kitchen(cooks=5, pairs=0, each=1, methods="ABCD", tasters=6)
    levels = {"medium": ("stock", "bag"), "heat": (77.0, 88.0)}
    records = [Factor(f, "t", n, f) for n, f in enumerate(levels, start=1)]
    for factor, own in levels.items():
        for n, level in enumerate(own):
            number = level if isinstance(level, float) else None
            text = "" if number else level
            records.append(Level(f"{factor}{n}", factor, n, number, text))
    for place, letter in enumerate("ABCD"):
        records += [
            Setting(f"{letter}m", f"m{letter}", f"medium{place // 2}"),
            Setting(f"{letter}h", f"m{letter}", f"heat{place % 2}"),
        ]
    return plan.with_records(*records).changed(Trial, "t", shape="crossed")


def _records(plan):
    return trial_records(plan.book.as_set(), "t")


def test_contrasts_scatter_as_their_weights_say():
    """Cell means drawn as cook + cook-by-method; each contrast's sd against its weights'."""
    plan = _crossed()
    claims = {c.role: c for c in planned_claims(_records(plan))}
    letters = [m.letter for m in plan.of(Method)]
    effects = effects_of(method_plan(_records(plan), letters))
    lot, sd = np.random.default_rng(LOT), 0.64
    cells = lot.standard_normal((40_000, 1)) + sd / math.sqrt(2) * lot.standard_normal((40_000, 4))
    for role in ("main", "simple", "interaction"):
        weights = dict(next(e for e in effects if e.role == role).weights)
        drawn = cells @ np.array([weights.get(letter, 0.0) for letter in letters])
        assert claims[role].sd(sd) == pytest.approx(drawn.std(ddof=1), rel=0.02)
    assert claims["main"].sd(1.0) == pytest.approx(math.sqrt(0.5))
    assert claims["simple"].sd(1.0) == pytest.approx(1.0)
    assert claims["interaction"].sd(1.0) == pytest.approx(math.sqrt(2.0))


def test_each_comparison_is_asked_about_at_holms_first_step():
    plan = _crossed()
    found = _found(plan, _one(0.64), planned_claims(_records(plan)))
    assert [(each.claim.role, each.claim.family) for each in found.shown] == [
        ("main", 2), ("main", 2), ("simple", 4), ("simple", 4), ("interaction", 1),
    ]  # fmt: skip
    simple = found.leading
    assert simple.claim.role == "simple"
    alone = scipy_stats.nct(4, simple.smallest * math.sqrt(5) / 0.64)
    limit = scipy_stats.t.ppf(1 - 0.05 / 4 / 2, 4)
    assert alone.sf(limit) + alone.cdf(-limit) == pytest.approx(0.8, abs=1e-6)
    assert found.curve.planned[1] == pytest.approx(simple.smallest)


def test_pairs_with_a_usual_one_are_fewer_and_so_is_the_price():
    plan = kitchen(cooks=5, pairs=0, methods="ABCD")
    every = planned_claims(_records(plan))
    usual = planned_claims(_records(plan.changed(Trial, "t", compares="with_usual",
                                                 usual_id="mA")))  # fmt: skip
    assert (every[0].family, usual[0].family) == (6, 3)
    both = [_found(plan, _one(0.64), claims).smallest for claims in (every, usual)]
    assert both[0] > both[1] > _found(kitchen(cooks=5, pairs=0), _one(0.64)).smallest
    assert planned_claims(_records(kitchen())) == ()


def test_a_pair_of_four_drawn_and_judged_by_holm_is_told_at_least_as_often():
    """Five cook days, four methods, one better by the smallest difference: Holm over six pairs."""
    plan = kitchen(cooks=5, pairs=0, methods="ABCD")
    gap = _found(plan, _one(0.64), planned_claims(_records(plan))).smallest
    lot, trials = np.random.default_rng(LOT), 4_000
    cells = 0.64 / math.sqrt(2) * lot.standard_normal((trials, 5, 4))
    cells[:, :, 0] += gap
    p = np.array([
        scipy_stats.ttest_1samp(cells[:, :, a] - cells[:, :, b], 0.0, axis=1).pvalue
        for a in range(4) for b in range(a + 1, 4)
    ])  # fmt: skip
    order = np.sort(p, axis=0)
    steps = np.maximum.accumulate(order * np.arange(6, 0, -1)[:, None], axis=0)
    rank = np.argsort(np.argsort(p, axis=0), axis=0)
    holm = np.take_along_axis(steps, rank, axis=0)[0]
    assert np.mean(holm <= 0.05) >= 0.8 - 4 * math.sqrt(0.16 / trials)


def test_an_ordered_trial_asks_for_its_rise_and_its_bend():
    plan = kitchen(cooks=5, pairs=0, methods="ABC").with_records(
        Factor("f", "t", 1, "hold", ordered=True, field="set_temp_c"),
        *(Level(f"l{n}", "f", n, number=60.0 + 5 * n) for n in range(3)),
        *(Setting(f"s{m}", f"m{m}", f"l{n}") for n, m in enumerate("ABC")),
    )
    claims = planned_claims(_records(plan.changed(Trial, "t", shape="ordered")))
    assert [c.role for c in claims] == ["trend", "bend"]
    # Least squares over three even steps is the outer pair: weights -1, 0, 1.
    assert claims[0].sd(1.0) == pytest.approx(1.0)


# --- the kitchen's own trials ------------------------------------------------------------------


def _rows(lot, *, cooks, units, tasters, parts, missing=0.0):
    own = parts.taster_method * lot.standard_normal((2, tasters))
    rows = []
    for day in range(cooks):
        advantage = parts.cook_method * lot.standard_normal(2)
        for m in range(2):
            for u in range(units):
                piece = parts.piece * lot.standard_normal()
                for t in range(tasters):
                    if lot.random() < missing:
                        continue
                    value = 5 + advantage[m] + piece + own[m, t]
                    value += parts.score * lot.standard_normal()
                    label = "AB"[m]
                    rows.append(Row(str(day), "", "", f"{label}{u}", f"{label}{u}", label,
                                    f"T{t}", 1, value))  # fmt: skip
    return tuple(rows)


def _outcome():
    return Outcome("juiciness", "t", 1, "juiciness", "attribute", "line_10", 0, 10, 0.1)


def test_a_past_trial_gives_the_variance_of_its_own_cook_differences():
    """var(D) is that of the engine's D_k, here with scores missing."""
    lot, parts = np.random.default_rng(LOT), Parts(0.3, 0.3, 0.9, 0.2, 0.3)
    rows = _rows(lot, cooks=6, units=2, tasters=5, parts=parts, missing=0.1)
    seen = past_trial(_records(kitchen()), Table(_outcome(), rows))
    frame = {name: [getattr(row, name) for row in rows]
             for name in ("value", "method", "cook", "unit", "taster")}  # fmt: skip
    engine = over_cooks(frame, "value", "method", "cook", unit="unit", taster="taster")
    assert seen.variance == pytest.approx(engine.sd**2, rel=1e-12)
    assert (seen.df, seen.cooks, seen.units, seen.tasters) == (5, 6, 2, 5)


def test_the_parts_of_a_large_past_trial_are_those_it_was_drawn_from():
    parts = Parts(0.4, 0.35, 0.9, 0.3, 0.35)
    rows = _rows(np.random.default_rng(LOT), cooks=300, units=3, tasters=8, parts=parts)
    seen = past_trial(_records(kitchen()), Table(_outcome(), rows)).parts
    assert seen.cook_method == pytest.approx(0.4, rel=0.1)
    assert seen.unit == seen.piece == pytest.approx(0.35, rel=0.1)
    assert seen.score == pytest.approx(0.9, rel=0.03)
    # Eight tasters: their own share is known to about a quarter.
    assert seen.taster_method == pytest.approx(0.3, rel=0.5)


def test_one_cook_day_or_one_method_is_no_past_trial():
    lot, parts = np.random.default_rng(LOT), Parts(0.3, score=0.9)
    rows = _rows(lot, cooks=1, units=1, tasters=4, parts=parts)
    assert past_trial(_records(kitchen()), Table(_outcome(), rows)) is None
    only = tuple(r for r in _rows(lot, cooks=4, units=1, tasters=4, parts=parts)
                 if r.method == "A")  # fmt: skip
    assert past_trial(_records(kitchen()), Table(_outcome(), only)) is None


# --- the cheapest ------------------------------------------------------------------------------

PARTS = Parts(0.25, unit=0.4, score=1.0)


def _notes(plan, own):
    found = _found(plan, own)
    notes = margin_of_plan(plan.book, "t", found).notes
    return {say(n.label): " ".join(map(say, n.sentences)) for n in notes if n.line == "feasibility"}


def test_the_cheapest_design_is_the_engines_at_the_written_prices():
    plan = kitchen(cooks=4, pairs=2, tasters=6)
    plan = plan.with_records(
        Price("p1", "t", "cook_day", "cook_day", 40.0), Price("p2", "t", "food", "kg", 12.0),
        Price("p3", "t", "taster", "taster", 5.0),
        *(replace(p, bought_g=2000.0) for p in plan.of(Piece)),
    )  # fmt: skip
    found = _found(plan, _one(PARTS.sd(2, 6), PARTS))
    first = found.cheapest[0]
    from trialbench.stats import cheapest_designs

    scatter = Scatter(cook_method=0.25, unit=0.4, score=1.0)
    engine = cheapest_designs(
        scatter, Prices(40.0, 24.0, 5.0), 0.8, tasters=(3, 4, 5, 6, 8, 10, 12)
    )
    assert first.price == pytest.approx(engine[0].price)
    assert first.cooks == engine[0].design.cooks and first.units == engine[0].design.units
    said = _notes(plan, _one(PARTS.sd(2, 6), PARTS))["The cheapest for 0.8"]
    assert f"{first.cooks} cook days" in said and "eight times in ten" in said


def test_without_prices_it_speaks_of_cook_days_and_tasters():
    notes = _notes(kitchen(), _one(PARTS.sd(2, 8), PARTS))
    said = notes["Fewest cook days for 0.8"]
    assert "tasters would do" in said and "Write what a piece and a cook day cost" in said
    assert "The cheapest for 0.8" not in notes


@pytest.mark.parametrize("pieces", [1, 2, 5])
def test_without_prices_the_fewest_cook_days_hold_the_pieces_at_the_plans_number(pieces):
    from trialbench.stats import power

    plan = kitchen(pairs=pieces)
    said = _notes(plan, _one(PARTS.sd(pieces, 8), PARTS))["Fewest cook days for 0.8"]
    tasters = int(re.search(r"with (\d+) tasters would do", said)[1])
    days = power.fewest_cooks(0.8, PARTS.sd(pieces, tasters))
    assert f"{days} cook days with {tasters} tasters would do." in said


def test_no_number_of_tasters_helps_where_cook_days_differ_too_much():
    parts = Parts(0.6, score=0.6)
    notes = _notes(kitchen(cooks=4), _one(parts.sd(2, 8), parts))
    said = notes["No number of tasters helps"]
    left = math.sqrt(2) * 0.6
    from trialbench.stats import power

    share = 100 * left / parts.sd(2, 8)
    assert f"{share:.0f} % of the spread is there whoever tastes." in said
    assert f"still find {power.smallest_difference(4, left):.1f} points at best" in said
    assert f"that takes {power.fewest_cooks(0.8, left)} cook days" in said
    helped = Parts(0.1, score=2.0)
    assert "No number of tasters helps" not in _notes(kitchen(), _one(helped.sd(2, 8), helped))


def test_a_plan_of_several_methods_pays_for_all_of_them():
    plan = kitchen(cooks=4, pairs=0, methods="ABCD").with_records(
        Price("p1", "t", "cook_day", "cook_day", 40.0), Price("p2", "t", "food", "piece", 10.0)
    )
    claim = PlannedClaim("pair", msg("each of the 6 pairs"), 2.0, 6)
    first = _found(plan, _one(PARTS.sd(1, 8), PARTS), (claim,)).cheapest[0]
    assert first.price == pytest.approx(first.cooks * (40 + 4 * first.units * 10))

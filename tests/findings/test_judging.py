"""From a table to a finding: scope, procedure, case, who, by policy 1."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import stats

from tests.findings.tables_made_up import asked, columns_of, days, one_day
from trialbench.findings.finding import Finding
from trialbench.findings.judging import judge
from trialbench.model.errors import BadInput


def found(rows: list[dict], *columns: str, **more) -> Finding:
    return judge(columns_of(rows), asked(*columns, **more))


def over(*gaps: float, **more) -> Finding:
    return found(days(*gaps), "cook", "taster", **more)


ENOUGH = (2.0, 2.1, 1.9, 2.05, 1.95)


@pytest.mark.parametrize(
    ("gaps", "matters", "case", "favours"),
    [
        (ENOUGH, 1.0, "better_enough", "A"),
        (tuple(-gap for gap in ENOUGH), 1.0, "better_enough", "B"),
        (ENOUGH, 2.0, "better_size_open", "A"),
        (ENOUGH, 3.0, "better_too_little", "A"),
        ((0.3, -0.2, 0.1, -0.3, 0.1), 1.0, "no_difference_that_matters", None),
        ((2.0, -1.0, 1.0, 0.5, -0.5), 1.0, "not_settled", None),
        (ENOUGH, None, "better_size_open", "A"),
        ((0.3, -0.2, 0.1, -0.3, 0.1), None, "not_settled", None),
    ],
)
def test_exactly_one_of_five_cases(gaps, matters, case, favours):
    finding = over(*gaps, matters=matters)
    assert (finding.scope, finding.procedure) == ("method", "over_cooks")
    assert (finding.case, finding.favours) == (case, favours)


def test_where_less_is_better_the_lower_one_is_favoured_and_no_number_changes():
    more, less = over(*ENOUGH, matters=1), over(*ENOUGH, matters=1, better="lower")
    assert (more.favours, less.favours) == ("A", "B")
    assert more.comparison == less.comparison


def test_the_inner_interval_is_the_one_at_twice_alpha():
    finding = over(*ENOUGH, matters=1.0, alpha=0.1)
    sd, c = np.std(ENOUGH, ddof=1), 5
    assert finding.comparison.high - 2.0 == pytest.approx(stats.t.isf(0.05, 4) * sd / math.sqrt(c))
    inner = finding.comparison.inner_high
    assert inner - 2.0 == pytest.approx(stats.t.isf(0.1, 4) * sd / math.sqrt(c))


def test_two_cooks_are_enough_for_the_method_and_it_says_so():
    finding = over(2.0, 2.01, matters=0.5)
    assert (finding.scope, finding.case) == ("method", "better_enough")
    assert any("two cook days" in str(note) for note in finding.notes)


def test_others_like_them_only_where_the_second_interval_gives_the_same_case():
    assert over(*ENOUGH, matters=1).tasters == "others_like_them"
    rng = np.random.default_rng(2)
    rows = days(*ENOUGH, tasters=3)
    shift = {"t0": -2.5, "t1": 0.0, "t2": 2.5}
    for row in rows:
        row["value"] += shift[row["taster"]] * (row["method"] == "A") + rng.normal(0, 0.01)
    apart = found(rows, "cook", "taster", matters=1)
    assert (apart.case, apart.tasters) == ("better_enough", "these")
    assert apart.comparison.others.low < 0


@pytest.mark.parametrize(("tasters", "who", "second"), [(1, "one", False), (2, "these", False)])
def test_the_second_interval_needs_three_tasters(tasters, who, second):
    finding = found(days(*ENOUGH, tasters=tasters), "cook", "taster", matters=1)
    assert finding.tasters == who
    assert (finding.comparison.others is not None) is second


def test_all_cooks_equal_is_not_settled_however_large():
    bare, stepped = over(2.0, 2.0, 2.0, matters=0.5), over(2.0, 2.0, 2.0, matters=0.5, step=1.0)
    for finding in (bare, stepped):
        assert (finding.case, finding.favours, finding.no_spread) == ("not_settled", None, True)
    assert bare.comparison.low is None
    assert stepped.comparison.low == pytest.approx(
        2 - stats.t.isf(0.025, 2) * math.sqrt(1 / 24 / 3)
    )
    as_good = over(2.0, 2.0, matters=0.5, kind="at-least-as-good", easier="A")
    assert as_good.case == "not_shown"


AS_GOOD = {"kind": "at-least-as-good", "matters": 1.0}


@pytest.mark.parametrize(
    ("gaps", "easier", "better", "case", "favours"),
    [
        ((0.3, -0.2, 0.1, -0.3, 0.1), "A", "higher", "at_least_as_good", None),
        (ENOUGH, "A", "higher", "at_least_as_good", "A"),
        (ENOUGH, "B", "higher", "not_shown", "A"),
        (ENOUGH, "B", "lower", "at_least_as_good", "B"),
        ((0.3, 0.35, 0.25, 0.3, 0.31), "B", "higher", "at_least_as_good", "A"),
        ((2.0, -1.0, 1.0, 0.5, -0.5), "B", "higher", "not_shown", None),
    ],
)
def test_at_least_as_good_has_its_own_pair_and_says_a_winner_as_well(
    gaps, easier, better, case, favours
):
    finding = over(*gaps, easier=easier, better=better, **AS_GOOD)
    assert (finding.case, finding.favours) == (case, favours)


def test_at_least_as_good_hangs_on_the_one_sided_limit():
    gaps = (0.3, -0.2, 0.1, -0.3, 0.1)
    limit = -over(*gaps, matters=9).comparison.inner_low
    for matters, case in ((limit * 1.0001, "at_least_as_good"), (limit * 0.9999, "not_shown")):
        finding = over(*gaps, kind="at-least-as-good", easier="A", matters=matters)
        assert finding.case == case


def test_one_recipe_twice_never_has_a_winner():
    finding = over(*ENOUGH, matters=1, same_recipe=True)
    assert (finding.case, finding.favours, finding.tasters) == ("same_recipe", None, "these")
    assert finding.comparison.low > 0 and finding.cooks_to_settle is None


@pytest.mark.parametrize(("planned", "note"), [(7, "5 of 7 cook days in."), (4, "5 cook days are")])
def test_before_and_beyond_the_planned_cooks_nothing_is_claimed(planned, note):
    finding = over(*ENOUGH, matters=1, planned_cooks=planned)
    plain = finding.comparison
    assert (finding.case, finding.favours, finding.redraw) == ("no_claim", None, None)
    assert (plain.p, plain.t, plain.others.p) == (None, None, None)
    assert plain.low is not None
    assert str(finding.notes[0]).startswith(note)
    assert over(*ENOUGH, matters=1, planned_cooks=5).case == "better_enough"


def test_a_planned_cook_that_gave_no_difference_is_missing_and_not_still_to_come():
    rows = [r for r in days(*ENOUGH) if (r["cook"], r["method"]) != ("k1", "B")]
    finding = found(rows, "cook", "taster", matters=1, planned_cooks=5)
    assert (finding.case, finding.counts.cooks, finding.comparison.df) == ("better_enough", 4, 3)
    assert any("drops out: k1" in str(note) for note in finding.notes)


def test_cooks_that_would_settle_it():
    spread = over(2.0, -1.0, 1.0, 0.5, -0.5, matters=1.0)
    assert (spread.case, spread.cooks_to_settle, spread.more_than_40) == ("not_settled", 14, False)
    few = over(2.0, -1.0, 1.0, 0.5, -0.5, matters=0.1)
    assert (few.cooks_to_settle, few.more_than_40) == (None, True)
    moved = over(*(gap + 3 for gap in (2.0, -1.0, 1.0, 0.5, -0.5)), matters=1.0)
    assert moved.cooks_to_settle == spread.cooks_to_settle


# --- one cook ---------------------------------------------------------------------------------


def test_pairs_of_one_cook():
    a, b = [5.0, 6.0, 7.5, 6.0], [4.0, 5.5, 6.0, 5.8]
    rows = one_day(a, b, "pair")
    for row in rows:
        row["piece"] = row["pair"]
    finding = found(rows, "piece", "pair", matters=0.2)
    t = stats.ttest_rel(a, b)
    assert (finding.scope, finding.procedure) == ("batch", "pairs_of_one_cook")
    assert (finding.comparison.df, finding.tasters) == (3, None)
    assert finding.comparison.p == pytest.approx(t.pvalue, rel=1e-12)
    assert finding.redraw.assignments == 16


def test_units_of_one_cook_are_pooled_over_their_means():
    a, b = [5.0, 6.0, 7.5], [4.0, 5.5]
    finding = found(one_day(a, b), "piece", matters=0.2)
    t = stats.ttest_ind(a, b)
    assert (finding.procedure, finding.comparison.df) == ("units_of_one_cook", 3)
    assert finding.comparison.t == pytest.approx(t.statistic, rel=1e-12)
    assert (finding.redraw.assignments, finding.redraw.smallest_possible_p) == (10, 0.1)


def test_tasters_of_one_unit_each_speak_of_these_pieces_and_others_like_them():
    a, b = [5.0, 6.0, 7.5], [4.0, 5.5, 6.0]
    finding = found(one_day(a, b, "taster"), "taster", matters=0.2)
    assert (finding.scope, finding.procedure) == ("batch", "tasters_of_these_pieces")
    assert (finding.tasters, finding.comparison.df) == ("others_like_them", 2)
    assert finding.comparison.p == pytest.approx(stats.ttest_rel(a, b).pvalue, rel=1e-12)
    assert finding.comparison.others.p == pytest.approx(finding.comparison.p)


def test_tasters_of_one_piece_only_are_not_among_those_it_holds_for():
    both = one_day([5.0, 6.0, 7.5], [4.0, 5.5, 6.0], "taster")
    other = [{"method": "A", "taster": "late", "value": 9.0}]
    finding = found(both + other, "taster", matters=0.2)
    assert finding.comparison == found(both, "taster", matters=0.2).comparison
    assert (finding.counts.tasters, finding.counts.scores) == (3, 6)
    assert [unit.tasters for unit in finding.unit_means] == [3, 3]
    assert any("scored only one" in str(note) for note in finding.notes)


def test_one_taster_with_repeated_servings():
    a, b = [5.0, 6.0, 7.5], [4.0, 5.5]
    finding = found(one_day(a, b, "serving", "me"), "taster", "serving", matters=0.2)
    assert (finding.scope, finding.tasters) == ("taster", "one")
    assert (finding.procedure, finding.comparison.df) == ("servings_of_one_taster", 3)
    assert finding.comparison.p == pytest.approx(stats.ttest_ind(a, b).pvalue, rel=1e-12)


def test_servings_without_a_taster_are_those_of_one_unnamed_taster():
    a, b = [5.0, 6.0, 7.5], [4.0, 5.5, 6.0]
    alone = found(one_day(a, b, "serving"), "serving", matters=0.2)
    named = found(one_day(a, b, "serving", "me"), "taster", "serving", matters=0.2)
    assert (alone.scope, alone.tasters, alone.counts) == ("taster", "one", named.counts)
    assert alone.comparison == named.comparison
    rows = [row | {"cook": cook} for cook in "kl" for row in one_day(a, b, "serving")]
    over_two = found(rows, "cook", "serving", matters=0.2)
    assert (over_two.scope, over_two.tasters, over_two.comparison.df) == ("method", "one", 1)


def test_scores_of_other_tasters_are_no_servings_of_the_one_who_scored_both():
    rows = one_day([5.0, 6.0], [4.0, 5.5], "serving", "me")
    other = [{"method": "A", "serving": "0", "taster": "you", "value": 9.0}]
    finding = found(rows + other, "taster", "serving", matters=0.2)
    assert finding.comparison == found(rows, "taster", "serving", matters=0.2).comparison
    assert (finding.scope, finding.tasters, finding.counts.tasters) == ("taster", "one", 1)
    single = found([rows[0], rows[2], *other], "taster", "serving", matters=0.2)
    assert (single.case, single.comparison.estimate) == ("no_claim", 1.0)
    assert any("scored only one" in str(note) for note in finding.notes)


def test_pieces_drawn_in_pairs_are_never_taken_for_free_ones():
    rows = one_day([5.0, 6.0], [4.0, 5.5], "pair")
    for row in rows:
        row["piece"] = row["pair"]
    rows[3]["value"], extra = None, {"method": "B", "pair": "2", "piece": "2", "value": 5.0}
    lost = found([*rows, extra], "piece", "pair", matters=0.2)
    assert (lost.case, lost.procedure, lost.comparison.df) == ("no_claim", "none", None)
    assert "second pair" in str(lost.notes[0])
    rows[3]["value"] = 5.5
    kept = found([*rows, extra], "piece", "pair", matters=0.2)
    assert (kept.procedure, kept.comparison.df) == ("pairs_of_one_cook", 1)
    assert any("1 unit is in no pair" in str(note) for note in kept.notes)


@pytest.mark.parametrize(
    ("rows", "columns", "scope", "lacks"),
    [
        (one_day([5], [4], "serving", "me"), ("taster", "serving"), "taster", "second blind"),
        (one_day([5, 6], [4, 5], "taster"), ("taster",), "batch", "three tasters"),
        (one_day([5], [4]), ("piece",), "batch", "second unit of each"),
        (one_day([5, 6], [4]), ("piece",), "batch", "second unit of B"),
    ],
)
def test_without_df_nothing_is_claimed_and_the_note_names_what_is_missing(
    rows, columns, scope, lacks
):
    finding = found(rows, *columns, matters=1)
    plain = finding.comparison
    assert (finding.case, finding.scope, finding.procedure) == ("no_claim", scope, "none")
    assert (plain.low, plain.p, plain.se, finding.redraw) == (None, None, None, None)
    assert plain.estimate is not None
    assert lacks in str(finding.notes[0])


def test_without_a_cook_column_it_is_never_about_the_method():
    assert found(days(*ENOUGH)[:8], "taster", matters=1).scope == "batch"


def test_methods_on_different_days_cannot_be_compared():
    rows = [r for r in days(*ENOUGH) if (r["cook"] < "k2") == (r["method"] == "A")]
    finding = found(rows, "cook", "taster", matters=1)
    assert (finding.case, finding.comparison.estimate) == ("no_claim", None)
    assert "No cook carries both" in str(finding.notes[0])


# --- what the table may not be ----------------------------------------------------------------


@pytest.mark.parametrize(
    ("more", "where"),
    [
        ({"kind": "at-least-as-good", "matters": 1.0}, "easier"),
        ({"kind": "at-least-as-good", "easier": "A"}, "matters"),
        (
            {"kind": "at-least-as-good", "easier": "A", "matters": 1.0, "better": "neither"},
            "better",
        ),
        ({"easier": "C"}, "easier"),
        ({"matters": 0.0}, "matters"),
        ({"step": -1.0}, "step"),
        ({"alpha": 0.5}, "alpha"),
        ({"planned_cooks": 0}, "planned_cooks"),
        ({"kind": "best"}, "kind"),
        ({"compare": ("A", "C")}, "compare"),
        ({"compare": ("A", "A")}, "compare"),
    ],
)
def test_questions_that_cannot_be_asked(more, where):
    with pytest.raises(BadInput) as told:
        over(*ENOUGH, **more)
    assert told.value.where == where and told.value.allowed


def test_rows_alike_in_every_named_column_are_refused_and_repeats_averaged():
    rows = days(*ENOUGH)
    with pytest.raises(BadInput, match="Rows 1 and 41 agree"):
        found([*rows, rows[0]], "cook", "taster")
    other = {**rows[0], "value": rows[0]["value"] + 2}
    finding = found([*rows, other], "cook", "taster")
    assert finding.cook_differences[0].difference == pytest.approx(2.25)
    assert any("repeats another" in str(note) for note in finding.notes)


def test_numbers_whose_squares_no_float_holds_are_refused():
    with pytest.raises(BadInput, match="too large") as told:
        over(1e300, -1e300, 1.0)
    assert "row" in told.value.where
    assert over(1e90, 2e90, 1.5e90, matters=1e90).comparison.df == 2


def test_a_piece_lies_in_one_load_and_one_pair():
    rows = [{"method": m, "piece": "1", "load": x, "value": 1.0} for m, x in ("Ax", "Ay", "Bx")]
    with pytest.raises(BadInput, match="'x' and 'y'"):
        found(rows, "piece", "load")


def test_a_value_names_its_cook_and_taster():
    rows = days(1.0, 2.0)
    rows[3]["taster"] = ""
    with pytest.raises(BadInput, match="Row 4 has a value and no taster"):
        found(rows, "cook", "taster")
    rows[3]["value"] = None
    assert found(rows, "cook", "taster").counts.scores == 14

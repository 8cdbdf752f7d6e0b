"""What must not change a finding, and that no table of any shape breaks the judge."""

from __future__ import annotations

import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.findings.tables_made_up import columns_of, scattered
from trialbench.findings import wording
from trialbench.findings.finding import CASES_WITH_A_WINNER
from trialbench.findings.judging import judge
from trialbench.model.errors import BadInput

LOTS = st.integers(0, 100_000)


def _found(rows, question):
    try:
        return judge(columns_of(rows), question)
    except BadInput:
        return None


def _plain(finding, **without):
    value = finding.to_json()
    for name in ("comparisons", "unit_means", "cook_differences", "taster_differences"):
        value.pop(name)
    return {name: item for name, item in value.items() if name not in without}


@given(LOTS)
@settings(max_examples=300, deadline=None)
def test_every_table_gets_an_answer_that_can_be_printed(lot):
    finding = _found(*scattered(lot))
    if finding is None:
        return
    names = wording.Names(outcome="score")
    said = str(wording.whole_headline(finding, names))
    assert json.dumps(finding.to_json(said), allow_nan=False)
    for sentence in (wording.ruled_out, wording.cost, wording.short_form, wording.verdict):
        assert sentence(finding, names) is None or str(sentence(finding, names))
    winner = finding.case in CASES_WITH_A_WINNER
    assert not winner or finding.favours is not None
    plain = finding.comparison
    if finding.favours is not None:
        assert plain.low is not None and (plain.low > 0 or plain.high < 0)
    if finding.case == "no_claim":
        assert (plain.p, finding.redraw, finding.favours) == (None, None, None)
    if finding.scope != "method":
        assert "next time" not in said


@given(LOTS, st.randoms(use_true_random=False))
@settings(max_examples=150, deadline=None)
def test_order_of_rows_changes_nothing_at_all(lot, rng):
    rows, question = scattered(lot)
    shuffled = list(rows)
    rng.shuffle(shuffled)
    one, two = _found(rows, question), _found(shuffled, question)
    assert (one is None) == (two is None)
    assert one is None or one.to_json() == two.to_json()


@given(LOTS)
@settings(max_examples=150, deadline=None)
def test_swapping_methods_flips_signs_only(lot):
    rows, question = scattered(lot)
    swap = {"A": "B", "B": "A", None: None}
    turned = [{**row, "method": swap[row["method"]]} for row in rows]
    from dataclasses import replace

    one = _found(rows, question)
    two = _found(turned, replace(question, easier=swap[question.easier]))
    assert (one is None) == (two is None)
    if one is None:
        return
    assert one.case == two.case and one.favours == swap[two.favours]
    assert one.tasters == two.tasters and one.redraw == two.redraw
    back = two.comparison.seen_from("B")
    for name in ("estimate", "se", "t", "p", "low", "high", "inner_low", "inner_high"):
        x, y = getattr(one.comparison, name), getattr(back, name)
        assert x == y or x == pytest.approx(y, rel=1e-12, abs=1e-12), name


@given(LOTS, st.sampled_from([-2.0, 0.5, 40.0]))
@settings(max_examples=100, deadline=None)
def test_a_constant_moves_levels_only(lot, constant):
    rows, question = scattered(lot)
    moved = [
        {**row, "value": None if row["value"] is None else row["value"] + constant} for row in rows
    ]
    one, two = _found(rows, question), _found(moved, question)
    assert (one is None) == (two is None)
    if one is not None:
        assert (one.case, one.favours, one.tasters) == (two.case, two.favours, two.tasters)
        assert one.redraw == two.redraw
        x, y = one.comparison.estimate, two.comparison.estimate
        assert x == y or x == pytest.approx(y, abs=1e-9)


@given(LOTS)
@settings(max_examples=100, deadline=None)
def test_spelling_of_labels_does_not_matter(lot):
    rows, question = scattered(lot)
    from dataclasses import replace

    spelt = {"A": "an oven", "B": "box", None: None}
    other = [
        {**row, "method": spelt[row["method"]], "cook": f"{row['cook'][::-1]}!",
         "taster": f"x{9 - int(row['taster'][1])}"}
        for row in rows
    ]  # fmt: skip
    one = _found(rows, question)
    two = _found(other, replace(question, easier=spelt[question.easier]))
    assert (one is None) == (two is None)
    if one is not None:
        assert (one.case, spelt[one.favours], one.tasters) == (two.case, two.favours, two.tasters)
        assert one.redraw == two.redraw
        for name in ("estimate", "se", "p", "low", "high"):
            x, y = getattr(one.comparison, name), getattr(two.comparison, name)
            assert x == y or x == pytest.approx(y, rel=1e-9, abs=1e-9), name

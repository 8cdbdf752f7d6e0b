"""Figures are compared by what is drawn, not by pixels."""

from __future__ import annotations

import gc
import weakref
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.examples import beans, ribs, turkey
from trialbench.figures.cook_days import apart, cook_days_figure, pair_means
from trialbench.figures.directed import directed, leading_of
from trialbench.figures.feasibility import feasibility_figure
from trialbench.figures.interval import interval_figure, interval_height
from trialbench.figures.look import colours
from trialbench.figures.ticks import ticks
from trialbench.findings.of_trial import reckon_trial
from trialbench.model.message import say
from trialbench.planning.feasibility import Curve


@pytest.fixture(scope="module")
def found():
    return {e.SLUG: reckon_trial(e.make().records()) for e in (turkey, ribs, beans)}


def _shown(found, example):
    trial = found[example.SLUG]
    return trial.deciding, trial.names_of(trial.deciding.outcome)


def _words(picture):
    return [text.get_text() for text in picture.figure.axes[0].texts]


def _fonts(picture):
    return {text.get_fontname() for text in picture.figure.axes[0].texts}


@pytest.mark.parametrize("style", ["light", "dark", "paper"])
def test_the_interval_says_everything(found, style):
    finding, names = _shown(found, turkey)
    picture = interval_figure(finding, names, style)
    words = _words(picture)
    assert [w for w in words if w.startswith("day ")] == [f"day {n}" for n in range(1, 7)]
    plain = finding.comparison
    assert f"+{-plain.estimate:.1f}" in words
    assert f"+{-plain.high:.1f}" in words and f"+{-plain.low:.1f}" in words
    assert {"A juicier", "same", "B juicier", "too little", "to matter"} <= set(words)
    assert "0.75 points and more matters" in words
    assert _fonts(picture) == {"Fira Sans"}
    assert picture.figure.get_facecolor()[:3] == pytest.approx(
        tuple(int(colours(style).page[i : i + 2], 16) / 255 for i in (1, 3, 5))
    )


def test_the_favoured_method_comes_first(found):
    finding, names = _shown(found, turkey)
    assert finding.comparison.estimate < 0 and leading_of(finding) == "B"
    turned = directed(finding)
    assert (turned.first, turned.second) == ("B", "A")
    assert turned.estimate == -finding.comparison.estimate
    assert (turned.low, turned.high) == (-finding.comparison.high, -finding.comparison.low)
    other = directed(finding, "A")
    assert other.estimate == finding.comparison.estimate
    picture = interval_figure(finding, names, leading="A")
    assert any(w.startswith("\u2212") for w in _words(picture))
    assert say(picture.sentence).startswith("A over B, juiciness: \u2212")


def test_the_easier_method_comes_first_without_a_winner(found):
    finding, _ = _shown(found, beans)
    assert finding.favours is None and leading_of(finding) == "B"


def test_pairs_are_rings_only_where_there_are_several(found):
    assert all(row.inside == () for row in directed(_shown(found, turkey)[0]).rows)
    finding, _ = _shown(found, ribs)
    assert {len(row.inside) for row in directed(finding).rows} == {2}
    assert len(pair_means(finding)) == 6


def test_the_table_holds_the_numbers(found):
    finding, names = _shown(found, ribs)
    table = interval_figure(finding, names).table
    assert len(table.rows) == 4 and table.rows[-1][0] == "3 cook days"
    days = cook_days_figure(finding, names).table
    assert [row[0] for row in days.rows] == ["1", "2", "3"]
    assert [row[3] for row in days.rows] == ["5", "5", "5"]


def test_without_a_difference_that_matters_there_is_no_band(found):
    finding, names = _shown(found, turkey)
    words = _words(interval_figure(replace(finding, matters=None), names))
    assert "too little" not in words and not any("matters" in w for w in words)


def test_an_interval_that_waits_is_pale(found):
    finding, names = _shown(found, turkey)
    waiting = interval_figure(replace(finding, case="no_claim", favours=None), names)
    (number,) = [t for t in waiting.figure.axes[0].texts if t.get_fontsize() == 15.0]
    assert number.get_color() == colours("light").rail


def test_nothing_to_show_is_drawn_without_trouble(found):
    finding, names = _shown(found, turkey)
    plain = finding.comparison
    bare = replace(
        finding, case="no_claim", favours=None, cook_differences=(), unit_means=(),
        comparison=replace(plain, estimate=None, low=None, high=None, inner_low=None,
                           inner_high=None),
    )  # fmt: skip
    picture = interval_figure(bare, names)
    assert say(picture.sentence) == "B over A, juiciness: nothing to show yet."
    cook_days_figure(bare, names)


def test_words_at_the_head_never_lie_on_each_other(found):
    for example in (turkey, ribs, beans):
        finding, names = _shown(found, example)
        picture = interval_figure(finding, names)
        picture.figure.canvas.draw()
        head = [t for t in picture.figure.axes[0].texts if t.get_position()[1] == 18]
        boxes = sorted((t.get_window_extent() for t in head), key=lambda box: box.x0)
        assert len(boxes) == 3
        assert all(one.x1 < two.x0 for one, two in pairwise(boxes))
        assert boxes[0].x0 >= 0 and boxes[-1].x1 <= picture.figure.bbox.x1


def test_more_cook_days_make_a_taller_picture(found):
    few, many = (_shown(found, e)[0] for e in (ribs, beans))
    assert interval_height(many) - interval_height(few) == 7 * 29


def _curve(**changes):
    points = tuple((cooks, 4 / cooks) for cooks in range(3, 11))
    return replace(Curve(points, (4, 1.0), 0.5, "points", "invented"), **changes)


def test_the_plan_and_what_it_takes_stand_in_the_curve():
    picture = feasibility_figure(_curve(), below="cook days, one pair in each")
    words = _words(picture)
    assert {"1.00", "with 4 cook days", "0.50 with 8", "0.5 matters"} <= set(words)
    assert "cook days, one pair in each" in words
    assert say(picture.sentence) == (
        "4 cook days find 1.00 points or more, eight times in ten. 0.5 takes 8 cook days."
    )
    assert picture.table.rows[0] == ("3", "1.33")


def test_a_curve_without_a_plan_or_a_difference():
    words = _words(feasibility_figure(_curve(planned=None, matters=None)))
    assert not any("matters" in w or "with" in w for w in words)
    feasibility_figure(_curve(points=(), planned=None))


@given(st.lists(st.floats(0, 400), max_size=12), st.floats(1, 30))
def test_labels_are_moved_apart_in_their_order(places, pitch):
    moved = apart(sorted(places), pitch)
    assert len(moved) == len(places)
    assert all(b - a >= pitch - 1e-6 for a, b in pairwise(moved))


@given(st.floats(-1e4, 1e4), st.floats(0.01, 1e4), st.integers(2, 12))
def test_ticks_are_few_and_inside(low, span, most):
    found = ticks(low, low + span, most)
    assert len(found) <= most + 1
    assert all(low - 1e-6 * span <= t <= low + span + 1e-6 * span for t in found)


def test_a_figure_that_is_let_go_is_gone(found):
    finding, names = _shown(found, turkey)
    picture = interval_figure(finding, names)
    seen = weakref.ref(picture.figure)
    del picture
    gc.collect()
    assert seen() is None

"""Pictures of three methods or more: drawn in every style, told in a sentence, kept in a table."""

from __future__ import annotations

import re

import pytest

from tests.examples import octopus
from tests.findings.trials_made_up import HEATS, SIX, WRAPS, made
from trialbench.figures.look import colours
from trialbench.figures.method_means import means_figure
from trialbench.figures.setting_curve import curve_figure
from trialbench.figures.threads import threads_figure, threads_height
from trialbench.findings.of_trial import reckon_trial
from trialbench.model.message import say

DRAFTS = {"octopus": octopus.make, "wraps": lambda: made(WRAPS), "six": lambda: made(SIX),
          "heats": lambda: made(HEATS)}  # fmt: skip


@pytest.fixture(scope="module")
def found():
    return {name: reckon_trial(draft().records()) for name, draft in DRAFTS.items()}


def _of(found, name):
    several = found[name].several
    return several, found[name].names_of(several.outcome)


def _texts(picture):
    return [artist.get_text() for artist in picture.figure.axes[0].texts]


def _inside(picture, width):
    """Every text lies within the picture."""
    canvas = picture.figure.canvas
    for artist in picture.figure.axes[0].texts:
        box = artist.get_window_extent(canvas.get_renderer())
        assert box.x0 >= -1 and box.x1 <= width + 1, artist.get_text()


@pytest.mark.parametrize("style", ["light", "dark", "light field", "dark field", "paper"])
@pytest.mark.parametrize("name", ["octopus", "wraps", "six"])
def test_a_thread_for_each_comparison(found, name, style):
    several, names = _of(found, name)
    picture = threads_figure(several, names, style)
    rows = picture.table.rows
    assert len(rows) == {"octopus": 5, "wraps": 3, "six": 15}[name]
    shown = {say(names.less), say(names.more)} <= set(_texts(picture))
    assert shown and all(row[1] == "0" or row[1][0] in "+−" for row in rows)
    assert picture.figure.get_facecolor()[:3] == pytest.approx(_rgb(colours(style).page))
    _inside(picture, 452)
    assert "same" not in _texts(picture)


def _rgb(text):
    return tuple(int(text[n : n + 2], 16) / 255 for n in (1, 3, 5))


def test_rows_that_lie_close_keep_their_figures_apart(found):
    several, names = _of(found, "six")
    figures = [t for t in _texts(threads_figure(several, names)) if re.fullmatch(r"[+−]\d\.\d", t)]
    assert len(figures) >= 15 and threads_height(several) < 620


def test_crossed_means_are_joined_within_a_level_and_no_bar_is_drawn(found):
    several, names = _of(found, "octopus")
    picture = means_figure(several, names, height_px=350)
    assert {"77 °C", "88 °C", "stock"} <= set(_texts(picture))
    axes = picture.figure.axes[0]
    thick = [line for line in axes.lines if line.get_linewidth() == pytest.approx(2.6 * 0.75)]
    assert len(thick) == 2 and not axes.containers
    assert [row[0] for row in picture.table.rows] == ["A", "B", "C", "D"]
    assert "B 8.0" in say(picture.sentence)
    _inside(picture, 296)


def test_six_methods_have_signs_or_letters(found):
    several, names = _of(found, "six")
    picture = means_figure(several, names)
    assert {"A", "B", "C", "D", "E", "F", "day 1"} <= set(_texts(picture))
    _inside(picture, 296)


def test_a_curve_with_its_band_and_the_best(found):
    several, names = _of(found, "heats")
    picture = curve_figure(several, names)
    assert "best at about 63 °C" in _texts(picture)
    assert [row[0] for row in picture.table.rows] == [
        "56 °C", "60 °C", "64 °C", "68 °C", "72 °C",
    ]  # fmt: skip
    assert "best by the curve at about 63 °C" in say(picture.sentence)
    _inside(picture, 690)

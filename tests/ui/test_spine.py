"""The spine: states, stitches that draw themselves, and its place in a low window."""

from itertools import pairwise

import pytest

from trialbench.model.message import msg
from trialbench.ui import theme
from trialbench.ui.spine import PageState, Spine, SpineText


def _text(stitch: str = "begun") -> SpineText:
    pages = tuple(
        PageState(name, msg("Plan"), msg("draw 2") if name == "c" else "", stitch)
        for name in "abcdefg"
    )
    return SpineText("Harbour Street kitchen", "19 trials", msg("Trial 14"), "Held dry", pages)


@pytest.fixture
def spine(book, qtbot):
    made = Spine()
    made.resize(228, 800)
    qtbot.addWidget(made)
    made.show_text(_text(), "c")
    made.show()
    return made


def test_a_stitch_draws_itself_when_a_page_becomes_complete(spine, qtbot):
    theme.set_still(False)
    spine.show_text(_text("sewn"), "c")
    assert spine._names[0].drawn == 0.0
    qtbot.waitUntil(lambda: spine._names[0].drawn == 1.0, timeout=5_000)
    theme.set_still(True)
    spine.show_text(_text("none"), "c")
    spine.show_text(_text("sealed"), "c")
    assert spine._names[0].drawn == 1.0


@pytest.mark.parametrize("high", [600, 800, 1080])
@pytest.mark.parametrize("percent", [100, 150])
def test_names_never_stand_on_each_other_or_on_the_index(spine, high, percent):
    theme.set_text_percent(percent)
    spine.resize(228 * percent // 100, high)
    names = spine._names
    for above, below in pairwise(names):
        assert above.y() + above.height() <= below.y() + 1
    assert names[-1].y() + names[-1].height() <= spine._index.y()
    assert names[0].y() >= spine._trial.y() + spine._trial.height() - 1


def test_the_open_page_is_a_slip_and_the_others_are_underlined(spine):
    image = spine.grab().toImage()
    slip = spine._names[2]
    assert image.pixelColor(60, slip.y() + slip.height() // 2 + 14) == theme.colour("field")
    other = spine._names[1]
    row = other.y() + other.height() // 2
    inked = {image.pixelColor(60, y).name() for y in range(row, row + 16)}
    assert theme.colour("ink").name() in inked


def test_the_hinge_is_linen_in_both_themes(spine):
    for name in ("light", "dark"):
        theme.set_choice(name)
        image = spine.grab().toImage()
        seen = {image.pixelColor(x, 700).name() for x in range(40)}
        assert theme.colour("cloth_weave").name() in seen
        assert theme.colour("cloth").name() in {image.pixelColor(x, 701).name() for x in range(40)}

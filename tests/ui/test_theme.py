"""Colours, type and sizes as the look has them."""

import pytest
from PySide6.QtGui import QColor, QFontInfo, QPalette

from trialbench.ui import theme


def _luminance(colour: QColor) -> float:
    parts = []
    for value in (colour.redF(), colour.greenF(), colour.blueF()):
        parts.append(value / 12.92 if value <= 0.04045 else ((value + 0.055) / 1.055) ** 2.4)
    return 0.2126 * parts[0] + 0.7152 * parts[1] + 0.0722 * parts[2]


def _contrast(one: QColor, other: QColor) -> float:
    high, low = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


@pytest.mark.parametrize("name", ["light", "dark"])
def test_text_is_read_at_4_5_and_marks_are_seen_at_3(book, name):
    theme.set_choice(name)
    for ground in ("page", "field", "margin"):
        assert _contrast(theme.colour("ink"), theme.colour(ground)) >= 4.5
        assert _contrast(theme.colour("pencil"), theme.colour(ground)) >= 4.5
        assert _contrast(theme.colour("watch"), theme.colour(ground)) >= 4.5
        assert _contrast(theme.colour("rail"), theme.colour(ground)) >= 3
        for letter in "ABCD":
            assert _contrast(theme.method_colour(letter), theme.colour(ground)) >= 4.5
    for letter in "ABCD":
        assert _contrast(theme.method_colour(letter), theme.method_tint(letter)) >= 4.5


@pytest.mark.parametrize("name", ["light", "dark"])
def test_the_palette_is_that_of_the_theme(book, name):
    theme.set_choice(name)
    palette = book.palette()
    assert palette.color(QPalette.ColorRole.Window) == theme.colour("page")
    assert palette.color(QPalette.ColorRole.Base) == theme.colour("field")
    assert palette.color(QPalette.ColorRole.Text) == theme.colour("ink")
    assert _contrast(palette.color(QPalette.ColorRole.HighlightedText),
                     palette.color(QPalette.ColorRole.Highlight)) >= 4.5  # fmt: skip


def test_a_change_is_told_once(book, qtbot):
    told = []
    theme.signals().theme_changed.connect(lambda: told.append(theme.name()))
    theme.set_choice("dark")
    assert told == ["dark"]


@pytest.mark.parametrize("role", [*theme.tokens()["type_px"], "question_hint", "subtitle"])
def test_every_role_has_its_own_font_with_lining_figures(book, role):
    font = theme.font(role)
    info = QFontInfo(font)
    assert info.family() == font.family()
    assert info.family() in ("Fira Sans", "Vollkorn")
    assert (info.weight(), info.italic()) == (font.weight(), font.italic())
    tags = {bytes(tag.toString().data()).decode() for tag in font.featureTags()}
    assert "lnum" in tags
    assert ("tnum" in tags) == (info.family() == "Fira Sans")


def test_nothing_is_below_13_px_even_with_smaller_text(book):
    theme.set_text_percent(80)
    for role in theme.tokens()["type_px"]:
        assert theme.font(role).pointSizeF() * 96 / 72 >= 13


def test_counter_size_is_1_8_times_the_desk(book):
    desk = theme.font("label").pointSizeF()
    theme.set_counter(True)
    assert theme.font("label").pointSizeF() == pytest.approx(desk * 1.8)
    assert theme.px(10) == pytest.approx(18)


def test_high_contrast_leaves_methods_and_food_their_colours(book):
    changed = theme._contrast_colours(dark=False)
    assert changed["pencil"] == QColor("black")
    assert not {name for name in changed if name.startswith(("method", "watch"))}


def test_motion_stops_when_asked(book):
    theme.set_still(False)
    assert theme.motion_ms("stitch") == 180
    theme.set_still(True)
    assert theme.motion_ms("stitch") == 0

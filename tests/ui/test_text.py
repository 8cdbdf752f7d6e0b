"""Lines: words, values and verbs set on one baseline, broken at their width."""

import pytest
from PySide6.QtCore import Qt

from trialbench.model.message import msg
from trialbench.ui import theme
from trialbench.ui.runs import Run, set_lines
from trialbench.ui.text import Line
from trialbench.ui.values import Value
from trialbench.ui.verbs import TextVerb, wrap


def test_a_line_speaks_all_its_words(book, qtbot):
    line = Line("body", [Value("how", "dry oven"), " at ", Value("hot", "120 °C"), ", uncovered"])
    qtbot.addWidget(line)
    assert line.accessibleName() == "dry oven at 120 °C, uncovered"


def test_a_value_that_changes_is_heard_in_its_line(book, qtbot):
    hot = Value("hot", "120 °C")
    line = Line("body", ["roast at ", hot])
    qtbot.addWidget(line)
    hot.keep("140 °C")
    assert line.accessibleName() == "roast at 140 °C"


def test_what_stands_together_is_not_broken_apart(book):
    narrow = theme.metrics("body").horizontalAdvance("one two")
    setting = set_lines([Run("one two"), Run(", three")], "body", narrow)
    two = next(placed for placed in setting.placed if "two" in placed.text)
    comma = next(placed for placed in setting.placed if placed.text.startswith(","))
    assert comma.y == two.y
    assert comma.x == pytest.approx(two.x + two.width)
    assert two.text.strip() == "two"


def test_a_no_break_space_holds(book):
    wide = theme.metrics("body").horizontalAdvance("4\u00a0cook")
    setting = set_lines([Run("on 4\u00a0cook days")], "body", wide + 2)
    assert any("4\u00a0cook" in placed.text for placed in setting.placed)


def test_widgets_stand_on_the_baseline_of_the_words(book, qtbot):
    hot = Value("hot", "120 °C")
    line = Line("body", ["roast at ", hot])
    qtbot.addWidget(line)
    line.resize(400, 40)
    line.show()
    assert hot.y() + hot.baseline() == pytest.approx(line.baseline(), abs=1)


def test_a_line_grows_with_its_value(book, qtbot):
    hot = Value("hot", "1")
    line = Line("body", [hot, " after"])
    qtbot.addWidget(line)
    line.resize(400, 40)
    line.show()
    before = hot.width()
    qtbot.keyClicks(hot, "234567")
    assert hot.width() > before
    assert hot.width() >= theme.metrics("body").horizontalAdvance("1234567")


def test_widgets_that_left_a_line_are_gone(book, qtbot):
    verb = TextVerb(msg("Say why"))
    line = Line("body", ["It fell. ", verb])
    qtbot.addWidget(line)
    with qtbot.waitSignal(verb.destroyed):
        line.set_items("It fell.")


def test_wrap_keeps_every_word(book):
    metrics = theme.metrics("body")
    words = "how you see that it is done when nobody looks"
    assert " ".join(wrap(words, metrics, 90)) == words
    assert all(metrics.horizontalAdvance(line) <= 90 for line in wrap(words, metrics, 90))


def test_a_verb_is_pressed_by_enter_space_and_mouse(book, qtbot):
    verb = TextVerb(msg("Rest both for 45 min"))
    qtbot.addWidget(verb)
    verb.show()
    pressed = []
    verb.clicked.connect(lambda: pressed.append(1))
    for key in (Qt.Key.Key_Return, Qt.Key.Key_Space):
        qtbot.keyClick(verb, key)
    qtbot.mouseClick(verb, Qt.MouseButton.LeftButton)
    assert len(pressed) == 3
    assert verb.accessibleName() == "Rest both for 45 min"


def _value(qtbot, text: str, width: int) -> Value:
    value = Value("short name", text)
    qtbot.addWidget(value)
    value.resize(width, value.sizeHint().height())
    return value


def test_a_value_longer_than_its_place_ends_in_an_ellipsis(book, qtbot):
    whole = "roasted at 110 °C overnight under a lid"
    cut = _value(qtbot, whole, 120)
    assert cut.shown_text().endswith("…") and whole.startswith(cut.shown_text()[:-1])
    assert cut.text() == cut.spoken_value() == whole
    # What is painted is what a value of just those words looks like.
    assert cut.grab().toImage() == _value(qtbot, cut.shown_text(), 120).grab().toImage()


def test_a_value_that_has_room_is_shown_whole(book, qtbot):
    value = _value(qtbot, "roasted at 110 °C", 10)
    value.resize(value.sizeHint())
    assert value.shown_text() == "roasted at 110 °C"
    assert "…" in _value(qtbot, "roasted at 110 °C", value.width() - 4).shown_text()


def test_a_refused_value_is_not_cut_to_an_ellipsis(book, qtbot, monkeypatch):
    value = _value(qtbot, "roasted at 110 °C overnight under a lid", 120)
    at_rest = value.grab().toImage()
    value.refuse("Another method has this name.")
    refused = value.grab().toImage()
    monkeypatch.setattr(value, "shown_text", value.text)
    assert value.grab().toImage() == refused
    value.keep(value.text())
    assert value.grab().toImage() != at_rest

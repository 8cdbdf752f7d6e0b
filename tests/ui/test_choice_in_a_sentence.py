"""A choice in its line: what holds, what is offered, and when the line is set again."""

import pytest

from trialbench.ui.choices import Choice
from trialbench.ui.text import Line


@pytest.fixture
def choice(book, qtbot):
    made = Choice("tasted", (("1", "once"), ("2", "twice")), "1")
    line = Line("body", ["every sample ", made, "."])
    qtbot.addWidget(line)
    made.line = line
    return made


def test_another_alternative_is_heard_in_its_line(choice, qtbot):
    with qtbot.waitSignal(choice.resized):
        choice.keep("2")
    assert choice.kept() == "2"
    assert choice.line.accessibleName() == "every sample twice."
    assert choice.accessibleDescription() == "instead: once"


def test_other_words_for_what_holds_are_heard_in_its_line(choice, qtbot):
    with qtbot.waitSignal(choice.resized):
        choice.set_alternatives((("1", "one time"), ("2", "twice")))
    assert choice.line.accessibleName() == "every sample one time."


def test_the_line_is_not_set_again_for_what_holds_already(choice, qtbot):
    with qtbot.assertNotEmitted(choice.resized):
        choice.keep("1")
        choice.show_kept("1")
        choice.set_alternatives((("1", "once"), ("2", "twice")))

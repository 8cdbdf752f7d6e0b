"""Blanks, values and choices: what is typed, written, refused and given up."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QVBoxLayout, QWidget

from trialbench.model.errors import Refused
from trialbench.model.margin import NoteVerb
from trialbench.model.message import msg
from trialbench.ui.blanks import Blank
from trialbench.ui.choices import Choice
from trialbench.ui.text import Line
from trialbench.ui.values import MethodField, Value
from trialbench.ui.verbs import TextVerb


class Paper(QWidget):
    """A page with one line and another place to go to."""

    def __init__(self, part: QWidget) -> None:
        super().__init__()
        column = QVBoxLayout(self)
        self.line = Line("sentence", [part, " cook days"])
        self.other = TextVerb("elsewhere")
        column.addWidget(self.line)
        column.addWidget(self.other)
        self.typed: list[str] = []
        self.written: list[str] = []
        if hasattr(part, "typed"):
            part.typed.connect(self.typed.append)
        part.committed.connect(self.written.append)
        self.resize(500, 200)
        self.show()
        self.activateWindow()


@pytest.fixture(params=[Blank, Value])
def blank(request, book, qtbot):
    made = request.param("Cook days", "4", "how many")
    paper = Paper(made)
    qtbot.addWidget(paper)
    qtbot.waitUntil(paper.isActiveWindow)
    made.setFocus()
    made.selectAll()
    return made, paper


def test_every_key_is_told_and_enter_writes(blank, qtbot):
    made, paper = blank
    qtbot.keyClicks(made, "12")
    assert paper.typed == ["1", "12"]
    assert paper.written == []
    qtbot.keyClick(made, Qt.Key.Key_Return)
    assert paper.written == ["12"]


def test_leaving_writes_what_changed(blank, qtbot):
    made, paper = blank
    qtbot.keyClicks(made, "5")
    paper.other.setFocus()
    assert paper.written == ["5"]


def test_leaving_without_change_writes_nothing(blank, qtbot):
    _, paper = blank
    paper.other.setFocus()
    assert paper.written == []


def test_esc_brings_back_what_is_kept(blank, qtbot):
    made, paper = blank
    qtbot.keyClicks(made, "99")
    qtbot.keyClick(made, Qt.Key.Key_Escape)
    assert made.text() == "4"
    assert paper.typed[-1] == "4"
    paper.other.setFocus()
    assert paper.written == []


def test_a_refused_text_stays_in_sight_with_its_reason_and_verbs(blank, qtbot):
    made, paper = blank
    qtbot.keyClicks(made, "0")
    verbs = (NoteVerb(msg("Write it again"), "again"), NoteVerb(msg("Keep 4"), "kept"))
    made.refuse(Refused(msg("A trial takes 1 cook day or more. Not written.")), verbs)
    paper.other.setFocus()
    assert (made.text(), made.kept(), made.is_refused()) == ("0", "4", True)
    assert made.font().strikeOut()
    assert "refused" in made.accessibleDescription()
    below = made.below()
    assert below.isVisible()
    assert below.y() >= made.y() + made.height() - 4
    assert "A trial takes 1 cook day or more" in below.words()


def test_the_ways_out_of_a_refusal(blank, qtbot):
    made, _ = blank
    qtbot.keyClicks(made, "0")
    verbs = (NoteVerb(msg("Write it again"), "again"), NoteVerb(msg("Keep 4"), "kept"),
             NoteVerb(msg("Ask"), "ask", ("days",)))  # fmt: skip
    chosen = []
    made.way_out.connect(chosen.append)
    made.refuse(msg("No."), verbs)
    again, kept, ask = made.below().findChildren(TextVerb)
    ask.click()
    again.click()
    assert made.hasFocus()
    assert made.selectedText() == "0"
    assert made.is_refused()
    kept.click()
    assert (made.text(), made.is_refused()) == ("4", False)
    assert [verb.name for verb in chosen] == ["ask", "again", "kept"]


def test_writing_on_takes_the_stroke_away(blank, qtbot):
    made, _ = blank
    qtbot.keyClicks(made, "0")
    made.refuse(msg("No."))
    made.setFocus()
    qtbot.keyClicks(made, "5")
    assert not made.is_refused()
    assert not made.font().strikeOut()


def test_a_change_elsewhere_does_not_take_what_is_being_written(blank, qtbot):
    made, _ = blank
    qtbot.keyClicks(made, "12")
    made.show_kept("6")
    assert (made.text(), made.kept()) == ("12", "6")
    qtbot.keyClick(made, Qt.Key.Key_Escape)
    made.show_kept("7")
    assert made.text() == "7"


def test_an_empty_blank_says_its_hint(book, qtbot):
    made = Blank("What you cook", "", "what food", role="question")
    qtbot.addWidget(made)
    assert made.accessibleDescription() == "what food"
    assert made.spoken_value() == "what food"


def test_a_method_field_names_its_method_and_value(book, qtbot):
    value = Value("for, method A", "45 min")
    field = MethodField("A", value)
    qtbot.addWidget(field)
    field.resize(300, 36)
    field.show()
    assert field.accessibleName() == "for, method A"
    assert value.x() > 40


@pytest.fixture
def choice(book, qtbot):
    made = Choice("kind", (("better", "better"), ("good", "as good"), ("how", "how noisy")), "good")
    paper = Paper(made)
    qtbot.addWidget(paper)
    qtbot.waitUntil(paper.isActiveWindow)
    made.setFocus()
    return made, paper


def test_alternatives_by_keyboard(choice, qtbot):
    made, paper = choice
    assert made.accessibleName() == "kind: as good"
    qtbot.keyClick(made, Qt.Key.Key_Space)
    offered = made._list
    assert offered.hasFocus()
    assert offered.currentItem().text() == "as good"
    qtbot.keyClick(offered, Qt.Key.Key_Down)
    qtbot.keyClick(offered, Qt.Key.Key_Return)
    assert paper.written == ["how"]
    assert made._list is None
    assert made.hasFocus()


def test_esc_and_leaving_choose_nothing(choice, qtbot):
    made, paper = choice
    qtbot.keyClick(made, Qt.Key.Key_Down)
    qtbot.keyClick(made._list, Qt.Key.Key_Escape)
    assert made.hasFocus()
    made.click()
    paper.other.setFocus()
    assert made._list is None
    assert paper.written == []


def test_alternatives_by_mouse(choice, qtbot):
    made, paper = choice
    qtbot.mouseClick(made, Qt.MouseButton.LeftButton)
    offered = made._list
    place = offered.visualItemRect(offered.item(0)).center()
    qtbot.mouseClick(offered.viewport(), Qt.MouseButton.LeftButton, pos=place)
    assert paper.written == ["better"]
    made.keep("better")
    assert made.words() == "better"

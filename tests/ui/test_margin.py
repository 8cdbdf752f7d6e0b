"""Notes beside their lines: open or folded, in their place, reached by the keyboard."""

import pytest
from PySide6.QtCore import QRect, Qt

from trialbench.model.margin import Margin, MarginNote, NoteVerb
from trialbench.model.message import msg
from trialbench.ui import theme
from trialbench.ui.margin import FOOD_SENTENCE, MarginColumn, open_at_first, slide
from trialbench.ui.verbs import TextVerb

_PLACES = {
    "a": QRect(0, 100, 500, 30),
    "b": QRect(0, 120, 500, 30),
    "c": QRect(0, 400, 500, 30),
    "d": QRect(0, 600, 500, 30),
}


def _note(line: str, mark: str = "differs", dear: int = 0) -> MarginNote:
    return MarginNote(
        line, mark, msg("Line {name}: differs", name=line),
        (msg("This is what is the matter with the line."),),
        (NoteVerb(msg("Make it the same"), "same", (line,)),), dear=dear,
    )  # fmt: skip


@pytest.fixture
def column(book, qtbot):
    made = MarginColumn(_PLACES.get)
    made.resize(308, 800)
    qtbot.addWidget(made)
    made.show()
    qtbot.waitUntil(made.isActiveWindow)
    return made


def _show(column: MarginColumn, *notes: MarginNote) -> list:
    column.show_margin(Margin(msg("Three lines differ."), notes))
    return column.notes()


def test_the_dearest_three_are_open_and_food_always():
    notes = (*(_note("a", dear=dear) for dear in (1, 5, 3, 4)), _note("b", "watch"))
    assert open_at_first(notes, 3) == {1, 3, 4}
    foods = (*(_note("a", "watch") for _ in range(4)), _note("b", dear=9))
    assert open_at_first(foods, 3) == {0, 1, 2, 3}


def test_notes_slide_down_and_never_overlap():
    assert slide([10, 20, 200], [50, 50, 50], 0, 10) == [10, 70, 200]
    assert slide([10, 20], [50, 50], 100, 10) == [100, 160]


def test_notes_stand_beside_their_lines(column):
    a, b, c = _show(column, _note("c"), _note("a"), _note("b"))
    assert [note.note.line for note in (a, b, c)] == ["a", "b", "c"]
    assert a.y() == pytest.approx(_PLACES["a"].top(), abs=6)
    assert b.y() >= a.y() + a.height()
    assert c.y() == pytest.approx(_PLACES["c"].top(), abs=6)


def test_a_line_that_gets_focus_opens_its_note_and_the_least_dear_folds(column):
    notes = _show(column, *(_note(line, dear=dear) for line, dear in zip("abcd", (4, 3, 2, 1),
                                                                         strict=True)))  # fmt: skip
    assert [note.is_open for note in notes] == [True, True, True, False]
    column.open_line("d")
    assert [note.is_open for note in notes] == [True, True, False, True]


def test_food_is_never_folded_and_says_the_local_code_once(column):
    notes = _show(column, *(_note(line, "watch") for line in "abc"), _note("d", dear=9))
    column.open_line("d")
    assert [note.is_open for note in notes] == [True, True, True, True]
    said = [note for note in notes if str(FOOD_SENTENCE) in note.accessibleName()]
    assert len(said) == 1


def test_f7_goes_through_the_notes_and_opens_them(column):
    notes = _show(column, *(_note(line) for line in "abcd"))
    assert column.step_note(1) is notes[0]
    assert notes[0].hasFocus()
    assert column.step_note(1) is notes[1]
    assert column.step_note(-1) is notes[0]
    assert column.step_note(-1) is notes[3]
    assert notes[3].is_open


def test_enter_goes_to_the_line_and_ctrl_enter_does_the_first_verb(column, qtbot):
    lines, verbs = [], []
    column.to_line.connect(lines.append)
    column.verb.connect(verbs.append)
    _show(column, _note("c"))
    note = column.step_note(1)
    qtbot.keyClick(note, Qt.Key.Key_Return)
    assert lines == ["c"]
    qtbot.keyClick(note, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    assert [(verb.name, verb.args) for verb in verbs] == [("same", ("c",))]


def test_a_verb_is_hit_within_20_px(column, qtbot):
    verbs = []
    column.verb.connect(verbs.append)
    note = _show(column, _note("c"))[0]
    button = note.findChild(TextVerb)
    below = button.geometry().bottomLeft()
    below.setY(button.geometry().center().y() + 18)
    note.resize(note.width(), note.height() + 40)
    qtbot.mouseClick(note, Qt.MouseButton.LeftButton, pos=below)
    assert [verb.name for verb in verbs] == ["same"]
    below.setY(button.geometry().center().y() + 30)
    qtbot.mouseClick(note, Qt.MouseButton.LeftButton, pos=below)
    assert len(verbs) == 1


def test_a_press_on_a_folded_label_opens_it(column, qtbot):
    notes = _show(column, *(_note(line, dear=9 - n) for n, line in enumerate("abcd")))
    assert not notes[3].is_open
    qtbot.mouseClick(notes[3], Qt.MouseButton.LeftButton)
    assert notes[3].is_open


def test_marks_stay_when_the_margin_is_folded(column):
    notes = _show(column, _note("a"), _note("c"))
    column.set_folded(True)
    assert all(note.isHidden() for note in notes)
    assert [top for _, top, _ in column._marks()] == [100, 400]


def test_a_mark_stands_at_least_24_px_tall_and_shares_its_line(column):
    _show(column, _note("a"), _note("a", "missing"))
    marks = column._marks()
    assert marks[0][2] <= marks[1][1]
    assert all(bottom - top >= 20 for _, top, bottom in marks)


def test_the_same_margin_again_keeps_notes_and_focus(column):
    notes = _show(column, _note("a"), _note("c"))
    column.step_note(1)
    assert _show(column, _note("a"), _note("c")) == notes
    other = _show(column, _note("a"), _note("d"))
    assert other[0].hasFocus()


def test_the_margin_says_how_high_it_must_be(column):
    many = [_note("d", dear=n) for n in range(6)]
    _show(column, *many)
    last = column.notes()[-1]
    assert column.needed_height >= last.y() + last.height()


def test_a_note_speaks_its_label_and_sentences(column):
    note = _show(column, _note("a"))[0]
    assert note.accessibleName().startswith("Line a: differs. This is what is the matter")


def test_marks_are_painted_in_both_themes(column):
    marks = ("differs", "missing", "shows", "passage", "refused", "watch")
    _show(column, *(_note(line, mark) for line, mark in zip("abcdab", marks, strict=True)))
    for name in ("light", "dark"):
        theme.set_choice(name)
        image = column.grab().toImage()
        rail = round(column.rail_x())
        ground = theme.colour("margin").name()
        column_of = {image.pixelColor(rail + 2, y).name() for y in range(400, 430)}
        assert column_of != {ground}

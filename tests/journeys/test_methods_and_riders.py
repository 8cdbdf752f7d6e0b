"""Methods beyond the simplest: what goes on the food, B as the same as A except, the feel card, the
audit's verbs, and more methods than two."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from tests.journeys.at_the_desk import begun, choose, desk, focused, pressed, rewrite, show, write
from tests.journeys.trials import ready_to_cook
from trialbench.findings.snapshot import records_of
from trialbench.model.message import say
from trialbench.model.records import Addition, Part, Stage
from trialbench.notebook import views
from trialbench.notebook.acts import amounts, cooking, methods, stages
from trialbench.notebook.acts.addition_words import shown_addition
from trialbench.report.claims import riders

_CTRL = Qt.KeyboardModifier.ControlModifier
_ENTER = Qt.Key.Key_Return


@pytest.fixture
def page(book, qtbot, tmp_path):
    with desk(qtbot, tmp_path) as window:
        trial_id = begun(window.desk.notebook, "pork shoulder", "held dry", "held in its juices")
        yield show(qtbot, window, "methods", trial_id)


def _typed(qtbot, page, line: str) -> Stage:
    page._next.blank.setFocus()
    write(qtbot, line, _ENTER)
    qtbot.waitUntil(lambda: page._next.blank.text() == "")
    QApplication.processEvents()
    return views.stages(page.desk.notebook, page.desk.trial_id)[-1]


def _methods(page):
    return views.methods(page.desk.notebook, page.desk.trial_id)


def test_a_stage_and_what_goes_on_it_are_written_in_one_go(page, qtbot):
    _typed(qtbot, page, "Smoke at 120 C for 3 h, wood oak 300 g, fuel charcoal 2 kg, takes the pit")
    stage = _typed(qtbot, page, "Serve at 58 C, 6 mm slices, 4 min from the knife")
    assert (stage.set_temp_c, stage.slice_mm, stage.knife_to_mouth_min) == (58, 6, 4)
    smoke = views.stages(page.desk.notebook, page.desk.trial_id)[0]
    assert smoke.place == "the pit"
    shown = [shown_addition(s.records[0]) for s in views.slots(page.desk.notebook, smoke.id)]
    assert shown == ["oak, 300 g", "charcoal, 2 kg"]
    block = page._blocks[smoke.id]
    assert block._additions["addition 1"].value.text() == "oak, 300 g"
    assert "takes the pit" in block.line.words()


def test_what_goes_on_is_written_called_parted_and_taken_away_by_keyboard(page, qtbot):
    stage = _typed(qtbot, page, "Roast at 120 C for 3 h")
    block = page._blocks[stage.id]
    block.focus_on("new addition")
    write(qtbot, "paprika rub 20 g/kg, 12 % salt", _ENTER)
    write(qtbot, "honey 10 g/kg", _ENTER)
    roles = [slot.role for slot in views.slots(page.desk.notebook, stage.id)]
    assert roles == ["rub", "other"]
    choose(qtbot, block._additions["addition 2"].word, "medium")
    assert views.slots(page.desk.notebook, stage.id)[1].role == "medium"
    block.focus_on("addition 1")
    qtbot.keyClick(focused(), Qt.Key.Key_D, _CTRL)
    b = _methods(page)[1]
    assert block.is_parted("addition 1")
    block.focus_on("addition 1", b.id)
    rewrite(qtbot, "paprika rub 30 g/kg, 12 % salt", _ENTER)
    assert [line for _, line in views.differing(page.desk.notebook, page.desk.trial_id)] == [
        "addition 1"
    ]
    block.focus_on("addition 2")
    rewrite(qtbot, "", _ENTER)
    assert len(views.slots(page.desk.notebook, stage.id)) == 1


def test_a_volume_is_refused_in_its_line(page, qtbot):
    stage = _typed(qtbot, page, "Braise at 120 C for 3 h")
    block = page._blocks[stage.id]
    block.focus_on("new addition")
    write(qtbot, "stock 2 l", _ENTER)
    assert block._new.value.is_refused() and "2 l" in block._new.value.below().words()
    rewrite(qtbot, "stock 2 kg", _ENTER)
    assert [a.mass_g for a in page.desk.notebook.all(Addition)] == [2000]


def test_b_begins_as_the_same_as_a_except(page, qtbot):
    stage = _typed(qtbot, page, "Rest for 45 min, loosely covered")
    (line,) = page._except._lines
    assert "B is the same as A, except: choose a line" in line.words()
    (choice,) = page._except._choices
    choose(qtbot, choice, f"{stage.id}|duration_s")
    b = _methods(page)[1]
    assert focused() is page._blocks[stage.id]._parts["duration_s"].values[b.id]
    rewrite(qtbot, "20 min", _ENTER)
    assert "B is the same as A, except: Rest for 20 min, one more" in line.words()


def test_the_verb_of_a_rider_is_accepted_from_the_margin_by_keyboard(page, qtbot):
    stage = _typed(qtbot, page, "Rest for 45 min")
    hold = _typed(qtbot, page, "Hold 65 C 8 h, in its own juices")
    notebook, b = page.desk.notebook, _methods(page)[1]
    for each, field, typed in ((stage, "duration_s", "20 min"), (hold, "medium", "air")):
        step = stages.part_line(notebook, each.id, field)
        assert page.desk.take(step) is None
        page.desk.take(stages.set_value(notebook, each.id, field, typed, b.id))
    page.desk.take(stages.set_role(notebook, hold.id, "medium", "question"))
    page._blocks[stage.id].focus_on("duration_s")
    note = next(n for n in page.leaf.margin.notes() if n.note.line.endswith("duration_s"))
    assert "If B wins, the shorter rest may be why." in [say(s) for s in note.note.sentences]
    note.setFocus()
    qtbot.keyClick(note, _ENTER, _CTRL)
    assert not notebook.all(Part, stage_id=stage.id)
    assert notebook.get(Stage, stage.id).duration_s == 45 * 60
    assert say(page.margin().standing) == "One line differs, and it is the question."


def test_the_feel_card_is_begun_changed_and_written_by_number(page, qtbot):
    stage = _typed(qtbot, page, "Sear in the pan")
    block = page._blocks[stage.id]
    block.focus_on("end_feel")
    assert block.feel.isVisible() and "five words" in block.feel.words()
    page._open_card()
    assert focused().text() == "firm"
    rewrite(qtbot, "quite firm")
    assert views.feel_card(page.desk.notebook)[0].word == "quite firm"
    pressed(qtbot, page._card, "Put the card away")
    assert page._card.isHidden()
    block.focus_on("end_feel")
    assert "1 quite firm" in block.feel.words()
    write(qtbot, "3", _ENTER)
    assert page.desk.notebook.get(Stage, stage.id).end_feel == "tender"
    block.focus_on("end_feel")
    pressed(qtbot, block.feel, "loose")
    assert page.desk.notebook.get(Stage, stage.id).end_feel == "loose"


def test_a_stage_made_bs_alone_keeps_the_keyboard_where_it_was(page, qtbot):
    stage = _typed(qtbot, page, "Smoke at 90 C for 1 h")
    block = page._blocks[stage.id]
    block.focus_on("set_temp_c")
    b = _methods(page)[1]
    choose(qtbot, block._tools._who, b.id)
    assert page.desk.notebook.get(Stage, stage.id).method_id == b.id
    assert focused() is block._tools._who and block._tools.isVisible()
    choose(qtbot, block._tools._who, "")
    assert page.desk.notebook.get(Stage, stage.id).method_id is None
    assert focused() is block._tools._who


@pytest.mark.parametrize(("count", "size"), [(3, (1280, 800)), (4, (800, 600)), (6, (800, 600))])
def test_fields_of_more_methods_fit_and_fold(page, qtbot, count, size):
    notebook = page.desk.notebook
    stage = _typed(qtbot, page, "Hold 65 C 8 h, in its own juices")
    for number in range(2, count):
        page.desk.take(methods.add_method(notebook, page.desk.trial_id, f"way {number}"))
    page.desk.take(stages.part_line(notebook, stage.id, "medium"))
    page.leaf.window().resize(*size)
    row = page._blocks[stage.id]._parts["medium"]
    right = page.leaf.page.width()
    qtbot.waitUntil(lambda: page.leaf.page.width() <= right)
    QApplication.processEvents()
    boxes = [value.parentWidget().geometry() for value in row.values.values()]
    assert len(boxes) == count
    assert all(box.height() == boxes[0].height() and box.width() > 120 for box in boxes)
    assert not any(one.intersects(other) for one in boxes for other in boxes if one is not other)
    for value in row.values.values():
        field = value.parentWidget()
        assert field.mapTo(page.leaf.page, field.rect().topRight()).x() < page.leaf.page.width()
        assert value.width() >= value.sizeHint().width() - 2


def test_two_pieces_salted_at_12_and_15_are_a_rider_from_the_scale_to_the_finding(
    book, qtbot, tmp_path
):
    with desk(qtbot, tmp_path) as window:
        notebook = window.desk.notebook
        trial_id = ready_to_cook(notebook, "salt", "roast")
        salt = views.stages(notebook, trial_id)[0]
        notebook.apply(stages.set_value(notebook, salt.id, "salt_g_per_kg", "12"))
        trimmed = views.trimmed_checkpoint(notebook, trial_id)
        (thing,) = views.to_weigh(notebook, trial_id)
        first = views.pieces(notebook, views.cooks(notebook, trial_id)[0].id)
        a, b = sorted(first, key=lambda p: views.method_of_piece(notebook, p).letter)
        for piece, grams in ((a, "12.0"), (b, "15.0")):
            notebook.apply(cooking.set_mass(notebook, piece.id, trimmed.id, "1000"))
            notebook.apply(amounts.set_amount(notebook, piece.id, thing.key, grams))
        page = show(qtbot, window, "methods", trial_id)
        said = [say(s) for note in page.leaf.margin.notes() for s in note.note.sentences]
        assert "As weighed: 12 g for each kilogram in A, 15 g in B." in said
        assert "If B wins, more salt may be why." in said
        page = show(qtbot, window, "cook", trial_id)
        labels = [say(note.note.label) for note in page.leaf.margin.notes()]
        assert "Salt as weighed: a rider" in labels and f"{b.label}, salt: off its target" in labels
        named = [say(each) for each in riders(records_of(notebook, trial_id))]
        assert "the salt as weighed, 12 g for each kilogram in A, 15 g in B" in named

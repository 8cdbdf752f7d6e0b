"""The Methods page by keyboard: stages, values, parting, joining, units, what the margin does."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from tests.journeys.at_the_desk import (
    begun,
    desk,
    focused,
    pressed,
    rewrite,
    show,
    write,
)
from trialbench.exchange.bringing import read_package
from trialbench.notebook import views
from trialbench.notebook.acts import stages
from trialbench.paths import example_trials

_CTRL = Qt.KeyboardModifier.ControlModifier


@pytest.fixture
def page(book, qtbot, tmp_path):
    with desk(qtbot, tmp_path) as window:
        trial_id = begun(window.desk.notebook, "pork shoulder", "held dry", "held in its juices")
        yield show(qtbot, window, "methods", trial_id)


def _stages(page):
    return views.stages(page.desk.notebook, page.desk.trial_id)


def _add(qtbot, page, kind: str):
    page._next.blank.setFocus()
    write(qtbot, kind, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: page._blocks and page._blocks[_stages(page)[-1].id].isVisible())
    QApplication.processEvents()
    return _stages(page)[-1], page._blocks[_stages(page)[-1].id]


def test_a_stage_is_written_by_typing_its_kind_and_its_values(page, qtbot):
    assert focused() is page._next.blank
    write(qtbot, "Salt", Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: focused() is not page._next.blank)
    for text in ("15", "fridge", "4", "wrapped in paper", "24 h"):
        write(qtbot, text)
    (stage,) = _stages(page)
    assert (stage.stage_kind, stage.salt_g_per_kg, stage.medium) == ("salt", 15.0, "fridge")
    assert (stage.set_temp_c, stage.cover, stage.duration_s) == (4.0, "wrapped in paper", 86400.0)
    block = page._blocks[stage.id]
    assert block.line.words().startswith(
        "15 g salt for each kilogram, fridge at 4 °C, wrapped in paper, for 24 h"
    )


def test_the_beginning_of_a_kind_is_enough_and_a_strange_word_is_refused(page, qtbot):
    write(qtbot, "smo", Qt.Key.Key_Return)
    assert [s.stage_kind for s in _stages(page)] == ["smoke"]
    page._next.blank.setFocus()
    write(qtbot, "juggle", Qt.Key.Key_Return)
    assert page._next.blank.is_refused() and len(_stages(page)) == 1
    pressed(qtbot, page._next._kinds, "Rest")
    assert [s.stage_kind for s in _stages(page)] == ["smoke", "rest"]


def test_the_kinds_are_there_from_the_first_look(page):
    assert focused() is page._next.blank
    assert page._next._kinds.isVisible()
    assert "Roast" in page._next._kinds.words()


def test_a_stage_is_written_in_one_go_and_words_without_a_kind_are_kept(page, qtbot):
    write(qtbot, "Roast at 220 C for 25 min, edges brown", Qt.Key.Key_Return)
    (stage,) = _stages(page)
    assert (stage.stage_kind, stage.set_temp_c, stage.duration_s) == ("roast", 220.0, 1500.0)
    assert stage.note == "edges brown"
    page._next.blank.setFocus()
    write(qtbot, "Peel and cut the carrots", Qt.Key.Key_Return)
    assert "Choose one below" in page._next._says.words()
    assert "Write it again" not in page._next._says.words()
    pressed(qtbot, page._next._kinds, "Prepare")
    assert (_stages(page)[-1].stage_kind, _stages(page)[-1].note) == (
        "prepare", "Peel and cut the carrots"
    )  # fmt: skip


def test_what_is_not_written_is_offered_only_while_one_is_in_the_line(page, qtbot):
    _stage, block = _add(qtbot, page, "Rest")
    block.focus_on("duration_s")
    assert "how warm" in block.line.words()
    write(qtbot, "45 min", Qt.Key.Key_Return)
    page._next.blank.setFocus()
    assert block.line.words() == "for 45 min"
    assert not block._tools.isVisible()


def test_a_line_is_parted_written_twice_and_joined_again(page, qtbot):
    stage, block = _add(qtbot, page, "Rest")
    block.focus_on("duration_s")
    write(qtbot, "45 min", Qt.Key.Key_Return)
    qtbot.keyClick(focused(), Qt.Key.Key_D, _CTRL)
    assert block.is_parted("duration_s")
    a, b = views.methods(page.desk.notebook, page.desk.trial_id)
    block._parts["duration_s"].values[b.id].setFocus()
    rewrite(qtbot, "20 min", Qt.Key.Key_Return)
    held = [views.resolved_stage(page.desk.notebook, stage, m.id).duration_s for m in (a, b)]
    assert held == [45 * 60, 20 * 60]
    assert f"stage:{stage.id}:duration_s" in [note.line for note in page.margin().notes]
    qtbot.keyClick(focused(), Qt.Key.Key_J, _CTRL)
    pressed(qtbot, block._parts["duration_s"]._ask, "B: 20 min")
    assert not views.parted_fields(page.desk.notebook, stage.id)
    assert _stages(page)[0].duration_s == 20 * 60


def test_a_parted_salt_line_says_of_how_much_food_and_can_be_typed_again(page, qtbot):
    stage, _ = _add(qtbot, page, "Salt")
    notebook = page.desk.notebook
    a, b = views.methods(notebook, page.desk.trial_id)
    field = "salt_g_per_kg"
    notebook.apply(stages.set_value(notebook, stage.id, field, "12"))
    notebook.apply(stages.part_line(notebook, stage.id, field))
    notebook.apply(stages.set_value(notebook, stage.id, field, "15", b.id))
    values = page._blocks[stage.id]._parts[field].values
    assert [values[m.id].kept() for m in (a, b)] == ["12 g/kg", "15 g/kg"]
    values[b.id].setFocus()
    rewrite(qtbot, "14.5 g/kg", Qt.Key.Key_Return)
    assert values[b.id].kept() == "14.5 g/kg"
    held = [views.resolved_stage(notebook, stage, m.id).salt_g_per_kg for m in (a, b)]
    assert held == [12, 14.5]


def test_the_verbs_of_the_margin_do_what_they_say(page, qtbot):
    stage, _ = _add(qtbot, page, "Hold")
    notebook = page.desk.notebook
    b = views.methods(notebook, page.desk.trial_id)[1]
    for field, one, other in (
        ("medium", "air", "its own juices"),
        ("duration_s", "45 min", "20 min"),
    ):
        notebook.apply(stages.set_value(notebook, stage.id, field, one))
        notebook.apply(stages.part_line(notebook, stage.id, field))
        notebook.apply(stages.set_value(notebook, stage.id, field, other, b.id))

    def verb(name: str, line: str):
        notes = [n for n in page.margin().notes if n.line == f"stage:{stage.id}:{line}"]
        return next(verb for note in notes for verb in note.verbs if verb.name == name)

    page.leaf.verb.emit(verb("set_role", "medium"))
    assert views.difference(notebook, stage.id, "medium").role == "question"
    page.leaf.verb.emit(verb("set_role", "duration_s"))
    assert views.difference(notebook, stage.id, "duration_s").role == "rider"
    page.leaf.verb.emit(verb("join_line", "duration_s"))
    assert [field for _, field in views.differing(notebook, page.desk.trial_id)] == ["medium"]


def test_the_unit_of_a_line_is_the_switch(page, qtbot):
    _stage, block = _add(qtbot, page, "Roast")
    block.focus_on("set_temp_c")
    write(qtbot, "120", Qt.Key.Key_Return)
    switch = block._stage_line._switches["set_temp_c"]
    qtbot.mouseClick(switch, Qt.MouseButton.LeftButton)
    assert views.cover(page.desk.notebook).temperature_unit == "F"
    assert block._stage_line.values["set_temp_c"].text() == "248"
    assert _stages(page)[0].set_temp_c == 120.0
    block.focus_on("end_core_c")
    write(qtbot, "165", Qt.Key.Key_Return)
    assert _stages(page)[0].end_core_c == pytest.approx((165 - 32) * 5 / 9)


def test_a_value_that_cannot_be_is_refused_in_its_line(page, qtbot):
    _stage, block = _add(qtbot, page, "Rest")
    block.focus_on("duration_s")
    write(qtbot, "45", Qt.Key.Key_Return)
    value = block._stage_line.values["duration_s"]
    assert value.is_refused() and "45" in value.text()
    assert _stages(page)[0].duration_s is None
    rewrite(qtbot, "45 min", Qt.Key.Key_Return)
    assert not value.is_refused() and _stages(page)[0].duration_s == 2700.0


def test_stages_are_moved_made_ones_own_and_taken_away(page, qtbot):
    _first, _ = _add(qtbot, page, "Salt")
    _second, block = _add(qtbot, page, "Sear")
    pressed(qtbot, block._tools, "Earlier")
    assert [s.stage_kind for s in _stages(page)] == ["sear", "salt"]
    b = views.methods(page.desk.notebook, page.desk.trial_id)[1]
    block._pass_on(("give", b.id))
    assert _stages(page)[0].method_id == b.id
    assert page._cord.accessibleName().startswith("A B together")
    block.focus_on("medium")
    pressed(qtbot, block._tools, "Take it away")
    assert [s.stage_kind for s in _stages(page)] == ["salt"]
    qtbot.keyClick(page.leaf.window(), Qt.Key.Key_Z, _CTRL)
    assert [s.stage_kind for s in _stages(page)] == ["sear", "salt"]


def test_half_typed_values_are_there_again(book, qtbot, tmp_path):
    with desk(qtbot, tmp_path) as window:
        trial_id = begun(window.desk.notebook, "ribs", "bare", "in paper")
        window.desk.notebook.apply(stages.add_stage(window.desk.notebook, trial_id, "rest"))
        page = show(qtbot, window, "methods", trial_id)
        (stage,) = _stages(page)
        page._blocks[stage.id].focus_on("duration_s")
        qtbot.keyClicks(focused(), "45 mi")
        focused().blockSignals(True)
    with desk(qtbot, tmp_path) as window:
        page = show(qtbot, window, "methods", trial_id)
        value = page._blocks[stage.id]._stage_line.values["duration_s"]
        assert (value.text(), value.kept(), value.isVisible()) == ("45 mi", "", True)
        value.blockSignals(True)


def test_sealed_methods_are_read_and_say_why(book, qtbot, tmp_path):
    with desk(qtbot, tmp_path) as window:
        notebook = window.desk.notebook
        notebook.apply(read_package(example_trials() / "pork-ribs-bare-or-in-paper", notebook))
        page = show(qtbot, window, "methods", views.trials(notebook)[0].id)
        assert "sealed" in page.leaf.head._subtitle.words()
        assert page._next.isHidden() and not page.leaf.head.verbs()
        assert all(not note.note.verbs for note in page.leaf.margin.notes())
        block = next(iter(page._blocks.values()))
        assert all(value.isReadOnly() for value in block._stage_line.values.values())

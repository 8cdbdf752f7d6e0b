"""Onto the pieces: target grams appear from the trimmed weight; keys alone bring one through."""

import pytest
from PySide6.QtCore import Qt

from tests.journeys.at_the_desk import desk, focused, keyed, pressed, rewrite, show, write
from tests.journeys.trials import ready_to_cook
from trialbench.exchange.bringing import read_package
from trialbench.model.message import say
from trialbench.model.records import Amount, Cook
from trialbench.notebook import views
from trialbench.notebook.acts import additions, stages
from trialbench.paths import example_trials
from trialbench.ui import theme

ENTER = Qt.Key.Key_Return
CTRL = Qt.KeyboardModifier.ControlModifier


@pytest.fixture
def page(book, qtbot, tmp_path):
    with desk(qtbot, tmp_path) as window:
        notebook = window.desk.notebook
        trial_id = ready_to_cook(notebook, "salt", "roast")
        salt = views.stages(notebook, trial_id)[0]
        notebook.apply(stages.set_value(notebook, salt.id, "salt_g_per_kg", "12"))
        notebook.apply(additions.add_addition(notebook, salt.id, "rub paprika 20 g/kg"))
        yield show(qtbot, window, "cook", trial_id)


def _texts(model, column):
    return [model.cell(row, column).text for row in range(model.rowCount())]


def test_keys_alone_go_from_weight_to_weight_over_what_goes_on(page, qtbot):
    page.weigh()
    for typed in ("1000", "1010.5"):
        keyed(qtbot, typed, ENTER)
    assert page.table.currentIndex().column() == 3, "Enter at the end of raw goes on to trimmed"
    assert _texts(page.model, 2) == ["1\u2009000", "1\u2009010.5"]
    assert page.desk.notebook.get(Cook, page._cook_id).date, "the first weight dates the day"
    for typed in ("900", "910.5"):
        keyed(qtbot, typed, ENTER)
    model = page.amounts.model
    assert _texts(model, 3) == ["10.8", "10.9"], "targets, and no formula typed"
    assert page.act.words() == "Weigh out the salt: 10.8 g for P01, 10.9 g for P02."
    assert focused() is page.amounts.table
    for typed in ("10.8", "13.6"):
        keyed(qtbot, typed, ENTER)
    assert page.act.words().startswith("Weigh out the paprika: 18.0 g for P01")
    for typed in ("18", "- ran out"):
        keyed(qtbot, typed, ENTER)
    assert [a.typed for a in page.desk.notebook.all(Amount)] == ["10.8 g", "13.6 g", "18 g", ""]
    assert focused() is page.table and page.table.currentIndex().column() == 4
    assert page.act.words().startswith("Weigh P01 and P02, salted")


def test_a_deviation_stands_in_the_margin_and_a_slip_in_its_cell(page, qtbot):
    page.weigh()
    for typed in ("1000", "1010", "900", "910"):
        keyed(qtbot, typed, ENTER)
    keyed(qtbot, "1080", ENTER)
    assert page.amounts.model.cell(0, 4).state == "refused"
    qtbot.keyClick(focused(), Qt.Key.Key_Delete)
    keyed(qtbot, "13.5", ENTER)
    labels = [say(note.label) for note in page.margin().notes]
    assert "P01, salt: off its target" in labels
    assert _texts(page.amounts.model, 4)[0] == "13.5"


def test_half_typed_amounts_are_there_again(book, qtbot, tmp_path):
    with desk(qtbot, tmp_path) as window:
        notebook = window.desk.notebook
        trial_id = ready_to_cook(notebook, "salt", "roast")
        salt = views.stages(notebook, trial_id)[0]
        notebook.apply(stages.set_value(notebook, salt.id, "salt_g_per_kg", "12"))
        page = show(qtbot, window, "cook", trial_id)
        page.weigh()
        for typed in ("1000", "1010", "900", "910"):
            keyed(qtbot, typed, ENTER)
        keyed(qtbot, "10")
        page.amounts.model.commit = lambda *args: None
    with desk(qtbot, tmp_path) as window:
        page = show(qtbot, window, "cook", trial_id)
        assert focused().text() == "10" and page.amounts.table.isAncestorOf(focused())
        page.amounts.model.commit = lambda *args: None


def test_a_day_that_went_by_is_left_as_it_is_until_it_is_asked_for(book, qtbot, tmp_path):
    with desk(qtbot, tmp_path) as window:
        notebook = window.desk.notebook
        package = example_trials() / "pork-ribs-bare-or-in-paper"
        notebook.apply(read_package(package, notebook))
        page = show(qtbot, window, "cook", views.trials(notebook)[0].id)
        assert page.amounts.isHidden() and page.act.words() == "Every piece of this day is weighed."
        assert not any("salt" in say(n.label).casefold() for n in page.margin().notes)
        entry = next(v for v in page.verbs() if v.name == "onto_pieces")
        entry.handler()
        assert page.amounts.isVisible() and focused() is page.amounts.table


def test_at_counter_size_what_goes_on_stands_alone_while_it_is_due(page, qtbot):
    page.weigh()
    for typed in ("1000", "1010", "900", "910"):
        keyed(qtbot, typed, ENTER)
    theme.set_counter(True)
    qtbot.waitUntil(lambda: page.amounts.isVisible() and page.table.isHidden())
    assert page.amounts.model.columnCount() == 4
    page.weigh()
    for typed in ("10.8", "10.9", "18", "18.2"):
        keyed(qtbot, typed, ENTER)
    assert page.table.isVisible() and page.amounts.isHidden()


def test_a_day_with_two_readings_is_asked(page, qtbot):
    page.date.setFocus()
    write(qtbot, "7/3/2026", ENTER)
    assert page.date.is_refused()
    pressed(qtbot, page.date.below(), "Saturday 7 March")
    assert page.desk.notebook.get(Cook, page._cook_id).date == "2026-03-07"
    assert not page.date.is_refused()
    page.date.setFocus()
    rewrite(qtbot, "8 March 2026", ENTER)
    assert page.desk.notebook.get(Cook, page._cook_id).date == "2026-03-08"

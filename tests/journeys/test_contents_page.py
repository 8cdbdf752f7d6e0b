"""Contents: answers, order, finding, beginning and bringing in; opening a trial."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from tests.journeys.at_the_desk import begun, choose, desk, pressed, rewrite, settle, show, write
from trialbench.exchange.bringing import read_package
from trialbench.model.records import Trial
from trialbench.notebook import views
from trialbench.paths import example_trials
from trialbench.ui.pages.found_lines import FoundLine

TURKEY = example_trials() / "turkey-breast-slow-or-hot-oven"
RIBS = example_trials() / "pork-ribs-bare-or-in-paper"


@pytest.fixture
def page(book, qtbot, tmp_path):
    with desk(qtbot, tmp_path) as window:
        notebook = window.desk.notebook
        for package in (TURKEY, RIBS):
            notebook.apply(read_package(package, notebook))
        yield show(qtbot, window, "contents")


def _lines(page) -> list[tuple[str, str]]:
    settled = [page._lines[e.trial_id] for e in page._entries]
    return [(line.label(), line._answer) for line in settled]


def test_each_question_stands_with_what_came_of_it(page, qtbot):
    settle(qtbot, page.leaf.window())
    lines = dict(_lines(page))
    answer = lines["Turkey breast: juicier roasted in a slow oven?"]
    assert answer == "Juicier, and by enough (invented)"
    assert [e.chapter for e in page._entries] == ["Pork", "Poultry"]


def test_a_finding_is_reckoned_once_for_the_same_records(page, qtbot):
    settle(qtbot, page.leaf.window())
    known = page._answers._known
    begun(page.desk.notebook, "goose")
    settle(qtbot, page.leaf.window())
    again = page._answers._known
    assert all(again[key] is known[key] for key in known)


def test_the_order_is_chosen_in_the_sentence(page, qtbot):
    begun(page.desk.notebook, "goose")
    choose(qtbot, page._order, "number")
    assert [e.number for e in page._entries] == sorted(e.number for e in page._entries)
    choose(qtbot, page._order, "written")
    assert page._entries[0].question == "Goose"
    assert page.desk.settings.text("contents_order") == "written"


def test_a_word_is_found_in_any_line_as_one_types(page, qtbot):
    qtbot.keyClick(page.leaf.window(), Qt.Key.Key_F, Qt.KeyboardModifier.ControlModifier)
    qtbot.keyClicks(QApplication.focusWidget(), "wire rack")
    assert [e.question for e in page._entries] == ["Turkey breast: juicier roasted in a slow oven?"]
    QApplication.processEvents()
    found = [line for line in page.leaf.findChildren(FoundLine) if line.isVisible()]
    assert found and all("wire rack" in line.label() for line in found)
    assert "The other trial has no line with “wire rack”." in page._rest.words()
    qtbot.mouseClick(found[0], Qt.MouseButton.LeftButton)
    assert page.leaf.window().page().key == "methods"


def test_show_all_brings_everything_back(page, qtbot):
    page._find.setFocus()
    qtbot.keyClicks(page._find, "zzz")
    assert page._entries == () and "No trial has a line" in page._rest.words()
    pressed(qtbot, page._sentence, "Show all 2")
    assert len(page._entries) == 2 and page._find.text() == ""
    qtbot.keyClicks(page._find, "oven")
    pressed(qtbot, page._sentence, "Show all 2")


def test_a_trial_is_begun_on_the_empty_line(page, qtbot):
    page._new.setFocus()
    write(qtbot, "goose", Qt.Key.Key_Return)
    trial = views.trials(page.desk.notebook)[-1]
    assert (trial.number, trial.food) == (4, "goose")
    window = page.leaf.window()
    assert (window.page().key, window.desk.trial_id) == ("question", trial.id)
    assert QApplication.focusWidget() is window.page().sentence.blanks["usual"]


def test_a_trial_is_begun_by_verb_and_key(page, qtbot):
    window = page.leaf.window()
    qtbot.keyClick(window, Qt.Key.Key_N, Qt.KeyboardModifier.ControlModifier)
    assert len(page.desk.notebook.all(Trial)) == 3
    assert window.page().key == "question"


def test_a_package_is_brought_in_and_a_second_time_as_a_copy(page, qtbot, answer_dialog):
    answer_dialog((str(TURKEY / "datapackage.json"), ""))
    pressed(qtbot, page.leaf.head, "Bring in a trial")
    assert len(page.desk.notebook.all(Trial)) == 3


def test_a_package_that_cannot_be_read_is_said_over_the_page(page, qtbot, tmp_path, answer_dialog):
    wrong = tmp_path / "wrong.zip"
    wrong.write_text("no zip")
    answer_dialog((str(wrong), ""))
    pressed(qtbot, page.leaf.head, "Bring in a trial")
    window = page.leaf.window()
    assert window.strip.isVisible() and "wrong.zip" in window.strip.accessibleName()
    assert len(page.desk.notebook.all(Trial)) == 2


def test_where_a_trial_stands_without_a_finding(page, qtbot):
    begun(page.desk.notebook, "goose", "whole", "in parts")
    assert ("Goose: whole or in parts", "Question being written") in _lines(page)


def test_the_notebook_is_named_on_its_contents(page, qtbot):
    page._name._blank.setFocus()
    rewrite(qtbot, "Harbour Street kitchen", Qt.Key.Key_Return)
    assert views.cover(page.desk.notebook).name == "Harbour Street kitchen"
    assert page.leaf.window().windowTitle() == "Harbour Street kitchen"

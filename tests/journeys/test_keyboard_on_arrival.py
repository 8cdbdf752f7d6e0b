"""Opening a page never puts the keyboard on a verb: the next Enter would do it."""

import pytest
from PySide6.QtCore import Qt

from tests.journeys.at_the_desk import begun, desk, focused, settle, show
from trialbench.exchange.bringing import read_package
from trialbench.model.records import Trial
from trialbench.notebook.acts import plan
from trialbench.paths import example_trials
from trialbench.ui.cells_table import CellsTable
from trialbench.ui.values import Value
from trialbench.ui.verbs import TextVerb, Verb

PAGES = ("methods", "plan", "cook", "tasting", "findings", "reckoned", "recipe_note", "contents")


@pytest.fixture
def window(book, qtbot, tmp_path):
    with desk(qtbot, tmp_path) as made:
        notebook = made.desk.notebook
        notebook.apply(read_package(example_trials() / "turkey-breast-slow-or-hot-oven", notebook))
        show(qtbot, made, "question", notebook.all(Trial)[0].id)
        yield made


@pytest.mark.parametrize("round_of_pages", [1, 2])
def test_no_page_is_entered_at_a_verb(window, qtbot, round_of_pages):
    trial_id = window.desk.trial_id
    for _ in range(round_of_pages):
        for key in PAGES:
            window.desk.go(key, trial_id)
            settle(qtbot, window)
            assert not isinstance(focused(), (Verb, TextVerb)), key
            assert window.page().leaf.isAncestorOf(focused()), key


def test_a_day_that_is_due_is_entered_at_its_table(window, qtbot):
    notebook = window.desk.notebook
    trial_id = begun(notebook, "carrots", "roasted", "steamed first")
    notebook.apply(plan.set_plan(notebook, trial_id, "planned_cooks", "2"))
    window.desk.go("cook", trial_id)
    settle(qtbot, window)
    assert isinstance(focused(), CellsTable)


def test_a_name_that_is_written_is_not_entered_and_where_one_writes_one_stays(window, qtbot):
    trial_id = window.desk.trial_id
    for key in ("contents", "question", "methods"):
        window.desk.go(key, trial_id)
        settle(qtbot, window)
        assert not isinstance(focused(), Value), key
    name = next(v for v in window.page().leaf.findChildren(Value) if v.text() and v.isVisible())
    name.setFocus()
    settle(qtbot, window)
    assert focused() is name
    window.desk.go("methods", trial_id)
    settle(qtbot, window)
    assert focused() is name


def test_one_stray_key_changes_nothing_that_is_finished(window, qtbot):
    """A score under an open key would be marked for good."""
    notebook = window.desk.notebook
    before = notebook.snapshot().as_set()
    for key in PAGES[:-1]:
        window.desk.go(key, window.desk.trial_id)
        settle(qtbot, window)
        qtbot.keyClick(focused(), Qt.Key.Key_5)
        qtbot.keyClick(focused(), Qt.Key.Key_Return)
        settle(qtbot, window)
    assert notebook.snapshot().as_set() == before
    assert notebook.drafts == {}

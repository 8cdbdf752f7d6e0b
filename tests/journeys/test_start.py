"""Opening the program: the very first start, later starts, and a file that makes trouble."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from tests.journeys.at_the_desk import pressed, settle, write
from trialbench import paths
from trialbench.model.records import Trial
from trialbench.notebook import views
from trialbench.notebook.notebook import Notebook
from trialbench.store.opening import connect
from trialbench.ui.paper import Paper
from trialbench.ui.settings import Settings
from trialbench.ui.start import Start
from trialbench.ui.trouble_page import TroublePage


@pytest.fixture
def start(book, qtbot, tmp_path, monkeypatch):
    """A start whose usual notebook, settings and backups lie in a folder of the test."""
    monkeypatch.setattr(paths, "default_notebook", lambda: tmp_path / "data" / "mine.trialbench")
    monkeypatch.setattr(paths, "backups", lambda: tmp_path / "backups")
    made = Start(book, Settings(tmp_path / "settings.ini"))
    yield made
    made.close()
    made.paper.deleteLater()
    made.deleteLater()


def _again(start: Start, path: Path | None = None) -> None:
    """Close, and start as a new process would: what is kept is in the files alone."""
    start.close()
    start.paper.deleteLater()
    start.settings = Settings(start.settings._file)
    start.paper = Paper(start.settings)
    start.open(path or paths.default_notebook(), usual=path is None)


def _examples_are_in(start: Start) -> bool:
    return len(start.notebook.all(Trial)) == 6


def test_the_very_first_start_opens_on_a_blank_question_with_examples_under_it(start, qtbot):
    start.open(paths.default_notebook())
    window = start.window
    assert window.page().key == "question"
    assert start.notebook.get(Trial, window.desk.trial_id).number == 1
    qtbot.waitUntil(lambda: _examples_are_in(start), timeout=20_000)
    settle(qtbot, window)
    page = window.page()
    assert page.finished.isVisible() and page.finished._lines.count() == 5
    assert all(t.invented for t in views.trials(start.notebook)[1:])
    assert QApplication.focusWidget() is page.sentence.blanks["food"]
    assert "Nothing to save" in str(page.foot())
    assert start.paper.windowTitle() == "My notebook"


def test_a_later_start_is_where_it_was_left(start, qtbot):
    start.open(paths.default_notebook())
    qtbot.waitUntil(lambda: _examples_are_in(start), timeout=20_000)
    trial = views.trials(start.notebook)[2]
    start.paper.resize(800, 600)
    start.window.desk.go("methods", trial.id)
    settle(qtbot, start.window)
    start.window.page().leaf.scroll_to(60)
    qtbot.waitUntil(lambda: start.window.page().leaf.scroll_px() == 60)
    _again(start)
    assert (start.window.page().key, start.window.desk.trial_id) == ("methods", trial.id)
    qtbot.waitUntil(lambda: start.window.page().leaf.scroll_px() == 60)
    assert _examples_are_in(start)


def test_what_was_half_typed_is_there_after_the_program_was_ended(start, qtbot):
    start.open(paths.default_notebook())
    qtbot.waitUntil(lambda: _examples_are_in(start), timeout=20_000)
    blank = start.window.page().sentence.blanks["food"]
    qtbot.waitUntil(blank.hasFocus)
    qtbot.keyClicks(blank, "pork sho")
    # As by a kill: nothing of the window runs any more.
    blank.blockSignals(True)
    _again(start)
    blank = start.window.page().sentence.blanks["food"]
    assert (blank.text(), blank.kept()) == ("pork sho", "")
    qtbot.waitUntil(blank.hasFocus)
    write(qtbot, "ulder")
    assert start.notebook.get(Trial, start.window.desk.trial_id).food == "pork shoulder"


def test_another_notebook_opens_on_its_contents(start, qtbot, tmp_path):
    start.open(paths.default_notebook())
    qtbot.waitUntil(lambda: _examples_are_in(start), timeout=20_000)
    other = tmp_path / "other.trialbench"
    with Notebook.open(other) as notebook:
        from trialbench.notebook.acts.question import begin_trial

        notebook.apply(begin_trial(notebook, "ribs"))
    _again(start, other)
    assert start.window.page().key == "contents"
    assert [t.food for t in views.trials(start.notebook)] == ["ribs"]


def test_a_second_window_only_reads_says_who_holds_it_and_follows(start, qtbot, tmp_path):
    path = tmp_path / "shared.trialbench"
    with Notebook.open(path) as first:
        from trialbench.notebook.acts.question import begin_trial

        first.apply(begin_trial(first, "ribs"))
        start.open(path, usual=False)
        window = start.window
        assert start.notebook.read_only
        assert not window.strip.isHidden() and window.strip.accessibleName()
        assert not window.page().leaf.head.verbs()["begin"].can_be_done()
        first.apply(begin_trial(first, "goose"))
        qtbot.waitUntil(lambda: len(window.page()._entries) == 2, timeout=5_000)


def test_a_damaged_notebook_offers_what_can_be_read(start, qtbot, tmp_path):
    path = tmp_path / "hurt.trialbench"
    with Notebook.open(path) as notebook:
        from trialbench.notebook.acts.question import begin_trial

        for number in range(40):
            notebook.apply(begin_trial(notebook, f"food {number} " + "x" * 60))
    whole = path.read_bytes()
    hurt = bytearray(whole)
    middle = len(hurt) // 2
    hurt[middle : middle + 6000] = b"\xa5" * 6000
    path.write_bytes(bytes(hurt))
    start.open(path, usual=False)
    assert isinstance(start.window, TroublePage)
    assert "damaged" in start.window.accessibleName()
    pressed(qtbot, start.window, "Bring what can be read into a new notebook")
    assert not isinstance(start.window, TroublePage)
    assert len(start.notebook.all(Trial)) > 5
    assert path.read_bytes() == bytes(hurt)


def test_a_file_of_another_kind_is_said_and_the_usual_one_can_be_opened(start, qtbot, tmp_path):
    path = tmp_path / "list.trialbench"
    path.write_text("eggs, butter, flour\n" * 50)
    start.open(path, usual=False)
    assert isinstance(start.window, TroublePage)
    pressed(qtbot, start.window, "Open your usual notebook")
    assert start.window.page().key == "question"
    assert path.read_text().startswith("eggs")


def test_a_newer_file_is_read_only_and_says_so(start, qtbot, tmp_path):
    path = tmp_path / "newer.trialbench"
    with Notebook.open(path) as notebook:
        from trialbench.notebook.acts.question import begin_trial

        notebook.apply(begin_trial(notebook, "ribs"))
    db = connect(path)
    db.execute("PRAGMA user_version = 9000")
    db.close()
    start.open(path, usual=False)
    assert start.notebook.read_only
    assert "newer version" in start.window.strip.accessibleName()
    assert start.window.page().key == "contents"
    qtbot.keyClick(start.window, Qt.Key.Key_N, Qt.KeyboardModifier.ControlModifier)
    assert len(start.notebook.all(Trial)) == 1

"""A sealed plan is changed by keyboard, with a reason; every report says what changed."""

import shutil
import subprocess

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from tests.journeys.at_the_desk import desk, focused, pressed, rewrite, settle, show, write
from tests.journeys.at_work import Worker
from tests.journeys.golden import Golden, open_book
from tests.journeys.trials import ready_to_cook
from trialbench.findings.of_trial import reckon
from trialbench.findings.snapshot import records_of
from trialbench.model.message import say
from trialbench.model.records import Trial
from trialbench.notebook import views
from trialbench.planning.seal import seal_plan
from trialbench.planning.sealed_and_done import differs_from_seal
from trialbench.report.writing import report_bytes
from trialbench.ui.pages import book_window
from trialbench.ui.settings import Settings

ENTER = Qt.Key.Key_Return
WHY = "the sitting is smaller than we thought"


@pytest.fixture
def page(book, qtbot, tmp_path):
    with desk(qtbot, tmp_path) as window:
        notebook = window.desk.notebook
        trial_id = ready_to_cook(notebook, planned_tasters="8")
        notebook.apply(seal_plan(views.OneTrial(notebook, trial_id), notebook.now()))
        yield show(qtbot, window, "plan", trial_id)


@pytest.fixture
def golden(book, qtbot, tmp_path):
    """The golden trial with its keys open: (window, trial id)."""
    notebook = open_book(tmp_path)
    trial = Golden(notebook)
    trial.plan()
    trial.cook_and_taste()
    window = book_window(notebook, Settings())
    window.resize(1280, 800)
    yield window, trial.trial_id
    window.close()
    window.deleteLater()
    notebook.close()


def _trial(page) -> Trial:
    return page.desk.notebook.get(Trial, page.desk.trial_id)


def _tasters(page):
    return page.figures.sentence.blanks["planned_tasters"]


def _open(qtbot, page, why=WHY) -> None:
    pressed(qtbot, page.after_seal, "Change it, and say why")
    assert focused() is page.after_seal.reason
    write(qtbot, why, ENTER)


def test_a_sealed_plan_is_read_only_until_a_reason_is_written(page, qtbot):
    assert _tasters(page).isReadOnly()
    pressed(qtbot, page.after_seal, "Change it, and say why")
    write(qtbot, "", ENTER)
    assert page.after_seal.reason.is_refused() and _tasters(page).isReadOnly()
    pressed(qtbot, page.after_seal, "Leave it as it is")
    assert "Change it, and say why" in page.after_seal.line.words()
    _open(qtbot, page)
    assert not _tasters(page).isReadOnly()
    assert WHY in page.after_seal.line.words()
    assert "told with its reason" in page.leaf.head._subtitle.words()


def test_a_half_written_reason_is_there_again(page, qtbot):
    pressed(qtbot, page.after_seal, "Change it, and say why")
    qtbot.keyClicks(focused(), "the ov")
    drafts = page.desk.notebook.drafts
    assert list(drafts.values()) == ["the ov"]
    page.desk.go("question")
    assert views.is_locked(page.desk.notebook, page.desk.trial_id)
    page.desk.go("plan")
    assert page.after_seal.reason.isVisible() and page.after_seal.reason.text() == "the ov"


def test_what_is_changed_is_told_with_old_and_new_everywhere(page, qtbot):
    _open(qtbot, page)
    _tasters(page).setFocus()
    rewrite(qtbot, "5", ENTER)
    assert _trial(page).planned_tasters == 5
    question = page.leaf.window()
    Worker(qtbot, question).turn_to(1)
    asked = question.page()
    blank = asked.sentence.blanks["matters"]
    assert not blank.isReadOnly()
    blank.setFocus()
    rewrite(qtbot, "2", ENTER)
    plan = Worker(qtbot, question).turn_to(3)
    pressed(qtbot, plan.after_seal, "End the change")
    assert _tasters(plan).isReadOnly()
    (said,) = differs_from_seal(views.OneTrial(plan.desk.notebook, plan.desk.trial_id))
    assert "tasters: 8, now 5" in say(said) and WHY in say(said)
    assert "the smallest difference that matters: 1, now 2" in say(said)
    assert say(said) in " ".join(
        line.words() for line in plan.after_seal._told.children() if hasattr(line, "words")
    )
    records = records_of(plan.desk.notebook, plan.desk.trial_id)
    for ending in (".md", ".html"):
        text = report_bytes(records, ending).decode()
        assert "tasters: 8, now 5" in text and WHY in text
    labels = [say(row.label) for row in plan.desk.notebook.history(limit=6)]
    assert f"Open for change after the seal: {WHY}" in labels


def test_the_question_changed_with_a_key_open_never_moves_the_headline(golden, qtbot):
    window, trial_id = golden
    book = window.desk.notebook
    before = reckon(book, trial_id)
    plan = show(qtbot, window, "plan", trial_id)
    _open(qtbot, plan, "half a point is enough")
    page = Worker(qtbot, window).turn_to(1)
    blank = page.sentence.blanks["matters"]
    blank.setFocus()
    rewrite(qtbot, "0.1", ENTER)
    assert book.get(Trial, trial_id).matters == 0.1
    after = reckon(book, trial_id)
    assert after.family == before.family
    said = [say(each) for each in after.cautions]
    assert "changed with a key open" in said[0] and "now 0.1" in said[0]
    assert said[1].startswith("Asked as it is now, it would read: ")
    reckoned = show(qtbot, window, "reckoned", trial_id)
    settle(qtbot, window)
    words = " ".join(
        say(line) for section in reckoned._answer().note.reckoned for line in section.lines
    )
    assert said[0] in words and said[1] in words


def test_the_sealed_text_is_written_to_a_file(golden, qtbot, tmp_path, answer_dialog):
    """sha256sum of coreutils on the file gives the fingerprint."""
    window, trial_id = golden
    page = show(qtbot, window, "reckoned", trial_id)
    settle(qtbot, window)
    target = tmp_path / "sealed.json"
    answer_dialog((str(target), ""))
    pressed(qtbot, page.leaf.head, "Write the seal")
    settle(qtbot, window)
    QApplication.processEvents()
    tool = shutil.which("sha256sum")
    if tool is None:
        pytest.skip("no sha256sum here")
    said = subprocess.run([tool, str(target)], capture_output=True, text=True, check=True).stdout
    assert said.split()[0] == views.seal(window.desk.notebook, trial_id).fingerprint
    text = " ".join(say(line) for section in page._answer().note.reckoned for line in section.lines)
    assert said.split()[0] in text and "does not show when it was written" in text

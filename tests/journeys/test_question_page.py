"""The Question page by keyboard: the sentence, what decides, refusals, drafts, the seal."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from tests.journeys.at_the_desk import (
    begun,
    choose,
    desk,
    focused,
    pressed,
    rewrite,
    settle,
    show,
    write,
)
from trialbench.exchange.bringing import read_package
from trialbench.model.records import Trial
from trialbench.notebook import views
from trialbench.paths import example_trials


@pytest.fixture
def page(book, qtbot, tmp_path):
    with desk(qtbot, tmp_path) as window:
        yield show(qtbot, window, "question", begun(window.desk.notebook))


def _trial(page) -> Trial:
    return page.desk.notebook.get(Trial, page.desk.trial_id)


def _ask(qtbot, page, size: str = "0.8 points in 10") -> None:
    for text in ("pork shoulder", "held dry", "held in its juices", "juicier"):
        write(qtbot, text)
    write(qtbot, size, Qt.Key.Key_Return)


def test_the_whole_sentence_is_written_with_the_tab_key_alone(page, qtbot):
    assert focused() is page.sentence.blanks["food"]
    _ask(qtbot, page)
    trial = _trial(page)
    assert (trial.food, trial.usual, trial.idea) == (
        "pork shoulder",
        "held dry",
        "held in its juices",
    )
    assert (trial.came_out, trial.matters, trial.matters_typed) == (
        "juicier",
        0.8,
        "0.8 points in 10",
    )
    decides = views.deciding(page.desk.notebook, trial.id)
    assert (decides.name, decides.scale, decides.better) == ("juiciness", "line_10", "more")
    assert page.leaf.head.verbs()["methods"].is_due()


@pytest.mark.parametrize(
    ("typed", "size"), [("half a point", 0.5), ("0,75", 0.75), ("1 point in 9", 1.0)]
)
def test_a_size_is_read_as_a_cook_says_it(page, qtbot, typed, size):
    _ask(qtbot, page, typed)
    assert (_trial(page).matters, _trial(page).matters_typed) == (size, typed)


def test_a_size_that_cannot_be_stays_in_sight_and_can_be_given_up(page, qtbot):
    _ask(qtbot, page)
    blank = page.sentence.blanks["matters"]
    blank.setFocus()
    rewrite(qtbot, "12 points in 10", Qt.Key.Key_Return)
    assert blank.is_refused() and blank.text() == "12 points in 10"
    assert "no two ways can differ by that much" in blank.below().words()
    assert _trial(page).matters == 0.8
    pressed(qtbot, blank.below(), "Keep what was there")
    assert not blank.is_refused() and blank.text() == "0.8 points in 10"
    assert page.desk.notebook.drafts == {}


def test_percent_of_a_scale_of_points_is_refused(page, qtbot):
    _ask(qtbot, page, "2 %")
    assert page.sentence.blanks["matters"].is_refused()
    assert _trial(page).matters is None


def test_what_is_half_typed_or_refused_is_there_again(book, qtbot, tmp_path):
    with desk(qtbot, tmp_path) as window:
        trial_id = begun(window.desk.notebook, "ribs", "bare")
        page = show(qtbot, window, "question", trial_id)
        page.sentence.blanks["idea"].setFocus()
        qtbot.keyClicks(focused(), "wrapped in pap")
        page.sentence.blanks["matters"].setText("")
        page.desk.notebook.write_draft(f"{trial_id}:matters", "nine cubits")
        page.desk.notebook.write_draft(f"{trial_id}:matters:refused", "yes")
        # As after a kill: the window never learns that it ends.
        window.desk.history._stack.clear()
        kept = dict(page.desk.notebook.drafts)
        assert kept[f"{trial_id}:idea"] == "wrapped in pap"
        page.sentence.blanks["idea"].blockSignals(True)
    with desk(qtbot, tmp_path) as window:
        page = show(qtbot, window, "question", trial_id)
        assert page.sentence.blanks["idea"].text() == "wrapped in pap"
        assert page.sentence.blanks["idea"].kept() == ""
        assert focused() is page.sentence.blanks["idea"]
        assert page.sentence.blanks["matters"].is_refused()
        page.sentence.blanks["idea"].blockSignals(True)


def test_at_least_as_good_names_the_easier_way(page, qtbot):
    _ask(qtbot, page)
    pressed(qtbot, page.rows["kind"].row, "is the easier way at least as good")
    trial = _trial(page)
    a, b = views.methods(page.desk.notebook, trial.id)
    assert (trial.question, trial.easier_id) == ("at_least_as_good", b.id)
    choose(qtbot, page.rows["kind"]._easier, a.id)
    assert _trial(page).easier_id == a.id
    assert "fall short" in page.sentence._lines["settles"].words()


def test_one_recipe_twice_needs_no_idea(page, qtbot):
    _ask(qtbot, page)
    pressed(qtbot, page.rows["kind"].row, "how noisy is my kitchen")
    assert _trial(page).question == "same_recipe"
    assert page.sentence._lines["idea"].isHidden()


def test_another_outcome_can_decide_and_the_size_is_asked_anew(page, qtbot):
    _ask(qtbot, page)
    choose(qtbot, page.rows["decides"]._choices["what"], "tenderness")
    trial, decides = _trial(page), views.deciding(page.desk.notebook, page.desk.trial_id)
    assert (decides.name, trial.matters) == ("tenderness", None)
    choose(qtbot, page.rows["decides"]._choices["what"], "loss")
    loss = views.deciding(page.desk.notebook, trial.id)
    assert (loss.source, loss.name, loss.better) == ("loss", "loss of raw weight", "less")
    assert "from_checkpoint_id" in page.rows["decides"]._choices
    page.sentence.blanks["matters"].setFocus()
    rewrite(qtbot, "2 % of raw", Qt.Key.Key_Return)
    assert _trial(page).matters == 2.0


def test_what_else_is_added_renamed_and_taken_off(page, qtbot):
    _ask(qtbot, page)
    row = page.rows["others"]
    choose(qtbot, row._add, "saltiness")
    names = [o.name for o in views.other_outcomes(page.desk.notebook, page.desk.trial_id)]
    assert names == ["saltiness"]
    row._names[0]._blank.setFocus()
    rewrite(qtbot, "salt")
    others = views.other_outcomes(page.desk.notebook, page.desk.trial_id)
    assert [(o.name, o.more_word) for o in others] == [("salt", "saltier")]
    row._names[0]._blank.setFocus()
    rewrite(qtbot, "", Qt.Key.Key_Return)
    assert views.other_outcomes(page.desk.notebook, page.desk.trial_id) == ()


def test_what_else_can_be_in_ones_own_words(page, qtbot):
    _ask(qtbot, page)
    choose(qtbot, page.rows["others"]._add, "own words")
    qtbot.waitUntil(lambda: page.rows["others"]._own is not None)
    write(qtbot, "pinkness", Qt.Key.Key_Return)
    others = views.other_outcomes(page.desk.notebook, page.desk.trial_id)
    assert [o.name for o in others] == ["pinkness"]


def test_every_change_can_be_taken_back(page, qtbot):
    _ask(qtbot, page)
    for _ in range(5):
        qtbot.keyClick(page.leaf.window(), Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    trial = _trial(page)
    assert (trial.food, trial.idea, trial.matters) == ("", "", None)
    assert page.sentence.blanks["food"].text() == ""


def test_a_sealed_question_is_read_and_says_why(book, qtbot, tmp_path):
    with desk(qtbot, tmp_path) as window:
        notebook = window.desk.notebook
        step = read_package(example_trials() / "turkey-breast-slow-or-hot-oven", notebook)
        notebook.apply(step)
        trial_id = views.trials(notebook)[0].id
        page = show(qtbot, window, "question", trial_id)
        assert all(blank.isReadOnly() for blank in page.sentence.blanks.values())
        assert "sealed" in page.leaf.head._subtitle.words()
        page.sentence.blanks["food"].setFocus()
        qtbot.keyClicks(focused(), "goose")
        assert notebook.get(Trial, trial_id).food == "Turkey breast"
        # Where it comes from may still be written.
        page.rows["origin"]._notes[0]._blank.setFocus()
        write(qtbot, "grandmother", Qt.Key.Key_Return)
        assert views.methods(notebook, trial_id)[0].origin_note == "grandmother"


def test_finished_trials_stand_under_a_blank_question(book, qtbot, tmp_path):
    with desk(qtbot, tmp_path) as window:
        notebook = window.desk.notebook
        trial_id = begun(notebook)
        step = read_package(example_trials() / "turkey-breast-slow-or-hot-oven", notebook)
        notebook.apply(step)
        page = show(qtbot, window, "question", trial_id)
        assert page.finished.isVisible() and not page._under.isVisible()
        lines = page.finished.findChildren(type(page.finished._lines.itemAt(0).widget()))
        settle(qtbot, window)
        assert [line.label() for line in lines if line.isVisible()] == [
            "Turkey breast: juicier roasted in a slow oven?"
        ]
        write(qtbot, "goose")
        write(qtbot, "roasted whole")
        assert not page.finished.isVisible() and page._under.isVisible()
        assert QApplication.focusWidget() is page.sentence.blanks["idea"]

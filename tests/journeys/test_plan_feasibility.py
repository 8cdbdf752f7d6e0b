"""Feasibility on the Plan page: one cook day's answer, the kitchen's own scatter, four methods."""

import pytest
from PySide6.QtCore import Qt

from tests.journeys.at_the_desk import begun, desk, rewrite, settle, show
from tests.journeys.golden import Golden, open_book
from tests.journeys.trials import asked, planned, staged
from trialbench.model.message import say
from trialbench.model.records import Outcome
from trialbench.notebook import views
from trialbench.notebook.acts import methods, outcomes, question
from trialbench.ui.pages import book_window
from trialbench.ui.settings import Settings

ENTER = Qt.Key.Key_Return


def _written(qtbot, page, field, typed) -> None:
    blank = page.figures.sentence.blanks[field]
    blank.setFocus()
    rewrite(qtbot, typed, ENTER)
    settle(qtbot, page.leaf.window())


def _notes(page) -> dict[str, str]:
    return {
        say(note.label): " ".join(map(say, note.sentences))
        for note in page.margin().notes
        if note.line == "feasibility"
    }


@pytest.fixture
def page(book, qtbot, tmp_path):
    with desk(qtbot, tmp_path) as window:
        yield show(qtbot, window, "plan", asked(window.desk.notebook))


def test_one_cook_day_gets_its_useful_answer(page, qtbot):
    for field, typed in (("planned_cooks", "1"), ("planned_tasters", "8")):
        _written(qtbot, page, field, typed)
    section = page.feasibility
    said = section.one_day.words()
    assert section.one_day.isVisible() and said.startswith("One cook day can tell about these")
    assert "eight times in ten" in said and "to either side" in said
    assert "more cook days would find" in section.finds.words()
    note = _notes(page)["One cook day: what it can still tell"]
    assert "it rules out gaps of more than about" in note and "a second cook day" in note
    _written(qtbot, page, "planned_cooks", "4")
    assert not section.one_day.isVisible()
    assert "One cook day: what it can still tell" not in _notes(page)


def test_how_sure_and_what_would_be_cheapest_stand_in_the_margin(page, qtbot):
    for field, typed in (("planned_cooks", "4"), ("planned_tasters", "8")):
        _written(qtbot, page, field, typed)
    notes = _notes(page)
    assert "A true gap of 1 is told apart" in notes["How sure it will be"]
    assert "tasters would do" in notes["Fewest cook days for 1"]


def test_four_methods_are_asked_about_pair_by_pair(book, qtbot, tmp_path):
    with desk(qtbot, tmp_path) as window:
        notebook = window.desk.notebook
        trial_id = asked(notebook)
        for name in ("in foil", "in paper"):
            notebook.apply(methods.add_method(notebook, trial_id, name))
        planned(notebook, trial_id, planned_cooks="5", planned_tasters="8")
        page = show(qtbot, window, "plan", trial_id)
        assert "in each of the 6 pairs" in page.feasibility.finds.words()
        pairs = page.feasibility.found
        planned(notebook, trial_id, planned_cooks="6")
        settle(qtbot, window)
        assert page.feasibility.found.smallest < pairs.smallest


def test_the_kitchens_own_scatter_is_taken_once_a_trial_is_finished(book, qtbot, tmp_path):
    """The golden trial's D are 2, 1, 2, 1: sd = sqrt(1/3) = 0.58 points, by hand."""
    notebook = open_book(tmp_path)
    golden = Golden(notebook)
    golden.plan()
    golden.cook_and_taste()
    scale = next(o.scale for o in notebook.all(Outcome) if o.source == "attribute")
    trial_id = begun(notebook, "beetroot", "roasted in foil", "roasted bare")
    notebook.apply(question.set_came_out(notebook, trial_id, "juicier"))
    decides = views.deciding(notebook, trial_id)
    notebook.apply(outcomes.set_outcome(notebook, decides.id, "scale", scale))
    notebook.apply(question.set_matters(notebook, trial_id, "0.5"))
    staged(notebook, trial_id, "roast")
    planned(notebook, trial_id, planned_cooks="4", planned_tasters="2")
    window = book_window(notebook, Settings())
    window.resize(1280, 800)
    try:
        page = show(qtbot, window, "plan", trial_id)
        spread = page.feasibility.found.figures.spread
        assert not spread.typical and spread.df == 3
        origin = next(
            say(n.source) for n in page.margin().notes if n.source and n.line == "feasibility"
        )
        assert origin == (
            "Your own spread from cook day to cook day, from trial 1, 4 cook days: 0.58 points."
        )
    finally:
        window.close()
        window.deleteLater()
        notebook.close()

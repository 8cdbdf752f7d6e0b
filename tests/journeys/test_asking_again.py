"""The next trial takes over what the last one asked: its kind, its ideas, its settings."""

import pytest

from tests.journeys.at_the_desk import begun, desk, show
from trialbench.exchange.bringing import read_package
from trialbench.model.records import Trial
from trialbench.notebook import views
from trialbench.notebook.acts import ideas, kinds, question
from trialbench.notebook.views import shapes
from trialbench.paths import example_trials
from trialbench.ui.pages.again import ask_again


@pytest.fixture
def window(book, qtbot, tmp_path):
    with desk(qtbot, tmp_path) as window:
        show(qtbot, window, "contents")
        yield window


def _names(window) -> list[str]:
    return [m.name for m in views.methods(window.desk.notebook, window.desk.trial_id)]


def test_settings_are_crossed_again(window):
    book = window.desk.notebook
    book.apply(read_package(example_trials() / "octopus-arms-stock-or-bag-by-heat", book))
    ask_again(window.desk, views.trials(book)[0].id, "7")
    trial = book.get(Trial, window.desk.trial_id)
    assert (trial.shape, trial.planned_cooks, trial.came_out) == ("crossed", 7, "more tender")
    assert _names(window) == [
        "stock, 77 °C", "stock, 88 °C", "sealed bag in water, 77 °C", "sealed bag in water, 88 °C",
    ]  # fmt: skip
    assert shapes.is_asked(book, trial)


def test_ideas_and_the_kind_of_question_are_taken_over(window):
    book = window.desk.notebook
    trial_id = begun(book, "ribs", "bare", "in paper")
    book.apply(question.set_came_out(book, trial_id, "closer to 5 in saltiness"))
    book.apply(question.set_matters(book, trial_id, "0.5"))
    book.apply(ideas.add_idea(book, trial_id, "in foil"))
    book.apply(kinds.choose_question(book, trial_id, "at_least_as_good"))
    ask_again(window.desk, trial_id, "5")
    trial = book.get(Trial, window.desk.trial_id)
    assert (trial.question, trial.shape, trial.matters) == ("at_least_as_good", "several", 0.5)
    assert _names(window) == ["bare", "in paper", "in foil"]
    assert views.deciding(book, trial.id).target == 5.0
    ask_again(window.desk, trial_id)
    assert book.get(Trial, window.desk.trial_id).question == "better"

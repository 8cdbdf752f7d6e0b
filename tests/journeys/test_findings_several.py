"""Findings of three methods or more in the real window: sentences, pictures, tables, leaves."""

from __future__ import annotations

import pytest

from tests.examples import octopus
from tests.findings.trials_made_up import HEATS, WRAPS, made
from tests.journeys.at_the_desk import pressed, settle, show
from trialbench.exchange.bringing import read_package
from trialbench.exchange.package import write_package
from trialbench.findings.of_trial import reckon
from trialbench.findings.wording_several import headline, holds_for, ruled_out
from trialbench.model.message import say
from trialbench.model.records import Trial
from trialbench.notebook.notebook import Notebook
from trialbench.ui.pages import book_window
from trialbench.ui.pages.answers import Answers
from trialbench.ui.settings import Settings
from trialbench.ui.text import Line

DRAFTS = {"Octopus": octopus.make, "Pork ribs": lambda: made(WRAPS),
          "Pork loin": lambda: made(HEATS)}  # fmt: skip


@pytest.fixture(scope="module")
def several(tmp_path_factory):
    folder = tmp_path_factory.mktemp("several")
    with Notebook.open(folder / "s.trialbench", backups=folder / "backups") as notebook:
        for draft in DRAFTS.values():
            one = draft()
            package = write_package(one, one.trial.id, folder / one.slug)
            notebook.apply(read_package(package, notebook))
        yield notebook


@pytest.fixture
def window(book, qtbot, several):
    found = book_window(several, Settings())
    found.resize(1280, 800)
    yield found
    found.close()
    found.deleteLater()


def _trial(notebook, food):
    return next(t for t in notebook.all(Trial) if t.food.startswith(food))


def _words(part):
    return [line.words().replace("\u00a0", " ") for line in part.findChildren(Line)]


@pytest.mark.parametrize("food", DRAFTS)
def test_each_shape_shows_its_own_sentences_and_numbers(qtbot, window, several, food):
    trial = _trial(several, food)
    found = reckon(several, trial.id)
    finding, names = found.several, found.names_of(found.several.outcome)
    page = show(qtbot, window, "findings", trial.id)
    assert page.headline.words().replace("\u00a0", " ") == say(headline(finding, names))
    assert page.holds.words().startswith(say(holds_for(finding)[0]))
    assert say(page.margin().standing) == say(ruled_out(finding, names))
    assert page.pictures.isVisible() and not page.not_yet.isVisible()
    assert page.pictures.days.isHidden() == (finding.plan.shape == "ordered")
    cells = _words(page.outcomes.claims)
    for claim in finding.leading:
        size = f"{abs(claim.finding.comparison.estimate):.1f}"
        assert any(cell.lstrip("+−") == size for cell in cells)
    means = _words(page.outcomes.means)
    for each in finding.means:
        assert each.letter in means and f"{each.mean:.1f}" in means


@pytest.mark.parametrize("food", DRAFTS)
def test_the_second_leaf_and_the_note_show_the_same_reckoning(qtbot, window, several, food):
    trial = _trial(several, food)
    page = show(qtbot, window, "reckoned", trial.id)
    rows = page.sections.rows
    assert {"What counts", "The comparisons", "Told apart, and limits", "Redraw"} <= set(rows)
    note = show(qtbot, window, "recipe_note", trial.id)
    assert "means" in note.paper.places and "It shows" in note.paper.places


SHORT = {
    "Octopus": "More tender at 88 °C in stock, and by enough",
    "Pork ribs": "B juicier than A, by enough; 1 pair not told apart",
    "Pork loin": "Best at about 63 °C",
}


def test_the_contents_tell_each_in_a_few_words(qtbot, window, several):
    show(qtbot, window, "contents")
    answers = Answers.of(window.desk)
    ids = {food: _trial(several, food).id for food in SHORT}
    qtbot.waitUntil(lambda: all(answers.answer(one) is not None for one in ids.values()))
    assert {food: say(answers.answer(one)) for food, one in ids.items()} == SHORT


def test_pictures_turn_into_tables_by_the_keyboard(qtbot, window, several):
    page = show(qtbot, window, "findings", _trial(several, "Octopus").id)
    page.pictures.turn()
    settle(qtbot, window)
    shown = " ".join(_words(page.pictures))
    assert "88 °C over 77 °C, in stock" in shown and "each cook day" in shown
    page.pictures.turn()


def test_the_verbs_lead_to_the_other_leaves(qtbot, window, several):
    page = show(qtbot, window, "findings", _trial(several, "Octopus").id)
    pressed(qtbot, page.leaf, "How it was reckoned")
    settle(qtbot, window)
    assert window.page().key == "reckoned"
    pressed(qtbot, window.page().leaf, "Back to the finding")
    settle(qtbot, window)
    assert window.page().key == "findings"

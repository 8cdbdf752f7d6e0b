"""From a figure of the plan accepted with Enter to its new feasibility on the page and margin.

In the real window, in a notebook with finished trials, after the engine is loaded: the clock stops
when the section holds the answer of the new figures, and once more when the picture is painted.
Between keys the window stays free: the longest a key takes while an answer is under way is kept.
"""

from __future__ import annotations

import time

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from tests.journeys.at_the_desk import desk, settle, show
from tests.journeys.trials import asked, planned, staged

_LIMIT_MS = 100.0
_KEY_MS = 16.0
_METHODS = {"two methods": 0, "four methods": 2}


@pytest.fixture(params=list(_METHODS), ids=lambda name: name.replace(" ", "_"))
def page(request, book, qtbot, tmp_path):
    from trialbench.notebook.acts import methods

    with desk(qtbot, tmp_path) as window:
        notebook = window.desk.notebook
        trial_id = asked(notebook)
        for n in range(_METHODS[request.param]):
            notebook.apply(methods.add_method(notebook, trial_id, f"way {n}"))
        staged(notebook, trial_id, "roast", "rest")
        planned(notebook, trial_id, planned_cooks="4", planned_tasters="8")
        shown = show(qtbot, window, "plan", trial_id)
        shown.named = request.param
        yield shown


def _changed(qtbot, page, typed: str) -> tuple[float, float, float]:
    """ms until the answer is there, until its picture is, and of the longest key after Enter."""
    blank = page.figures.sentence.blanks["planned_tasters"]
    blank.setFocus()
    blank.selectAll()
    QTest.keyClicks(blank, typed)
    before = page.feasibility.found
    begun = time.perf_counter()
    QTest.keyClick(blank, Qt.Key.Key_Return)
    answered = longest = 0.0
    while page.leaf.window().background.is_busy() or page.feasibility.found is before:
        turn = time.perf_counter()
        QApplication.processEvents()
        longest = max(longest, time.perf_counter() - turn)
        if not answered and page.feasibility.found is not before:
            answered = time.perf_counter() - begun
        if time.perf_counter() - begun > 20.0:
            break
    return (
        1e3 * (answered or time.perf_counter() - begun),
        1e3 * (time.perf_counter() - begun),
        (1e3 * longest),
    )


def test_a_change_shows_its_new_feasibility(page, qtbot, figure, repeats):
    settle(qtbot, page.leaf.window())
    _changed(qtbot, page, "7")
    seen = [_changed(qtbot, page, str(3 + n % 5)) for n in range(2 * repeats)]
    answers, pictures, turns = (sorted(each) for each in zip(*seen, strict=True))
    figure(f"feasibility after a figure, {page.named}, median", answers[len(answers) // 2], "ms",
           limit=_LIMIT_MS)  # fmt: skip
    figure(f"feasibility after a figure, {page.named}, worst", answers[-1], "ms")
    figure(f"its picture, {page.named}, median", pictures[len(pictures) // 2], "ms")
    figure(f"longest turn of the window meanwhile, {page.named}", turns[-1], "ms")


def test_typing_goes_on_while_it_is_reckoned(page, qtbot, figure, repeats):
    """Keys in the next blank while answers are under way; a newer change drops the older."""
    sentence = page.figures.sentence
    keys = []
    for n in range(repeats):
        blank, other = sentence.blanks["planned_tasters"], sentence.blanks["pieces_each"]
        blank.setFocus()
        blank.selectAll()
        QTest.keyClicks(blank, str(4 + n % 5))
        QTest.keyClick(blank, Qt.Key.Key_Return)
        other.setFocus()
        for key in "12":
            begun = time.perf_counter()
            QTest.keyClicks(other, key)
            keys.append(1e3 * (time.perf_counter() - begun))
        QTest.keyClick(other, Qt.Key.Key_Escape)
    settle(qtbot, page.leaf.window())
    assert page.feasibility.found.figures == page.feasibility._figures
    figure(f"a key while feasibility is reckoned, {page.named}, median",
           sorted(keys)[len(keys) // 2], "ms", limit=_KEY_MS)  # fmt: skip

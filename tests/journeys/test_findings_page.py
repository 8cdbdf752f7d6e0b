"""Findings in the real window: every state, every number the finding's own, the window alive."""

from __future__ import annotations

import csv
import io
import threading

import pytest
from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import QApplication

from tests.journeys.at_the_desk import begun, desk, pressed, settle, show
from tests.journeys.golden import Golden, open_book
from trialbench import paths
from trialbench.exchange.bringing import read_package
from trialbench.figures.directed import directed
from trialbench.findings.of_trial import reckon
from trialbench.findings.wording import headline, ruled_out
from trialbench.model.message import say
from trialbench.model.numbers import figure
from trialbench.model.records import Outcome, Piece, Score, Trial
from trialbench.notebook import views
from trialbench.notebook.acts import cooking, leaving_out, outcomes, plan, question, scores
from trialbench.notebook.notebook import Notebook
from trialbench.planning.draw import draw_lots
from trialbench.planning.seal import seal_plan
from trialbench.ui.pages import book_window
from trialbench.ui.settings import Settings
from trialbench.ui.strip import SeamProgress
from trialbench.ui.text import Line


class _Desk:
    """A window over a notebook that was filled before."""

    def __init__(self, qtbot, notebook):
        self.qtbot, self.notebook = qtbot, notebook
        self.window = book_window(notebook, Settings())
        self.window.resize(1280, 800)

    def show(self, page, trial_id):
        return show(self.qtbot, self.window, page, trial_id)

    def close(self):
        self.window.close()
        self.window.deleteLater()


@pytest.fixture
def golden(book, qtbot, tmp_path):
    """A function that gives the golden trial at a desk, with so many keys open."""
    opened = []

    def make(keys=4):
        notebook = open_book(tmp_path)
        trial = Golden(notebook)
        really, done = trial.open, []

        def some(each):
            done.append(each)
            if len(done) <= keys:
                really(each)

        trial.open = some
        trial.plan()
        trial.cook_and_taste()
        at = _Desk(qtbot, notebook)
        opened.append(at)
        return at, trial.trial_id

    yield make
    for at in opened:
        at.close()
        at.notebook.close()


@pytest.fixture(scope="module")
def examples(tmp_path_factory):
    folder = tmp_path_factory.mktemp("examples")
    with Notebook.open(folder / "e.trialbench", backups=folder / "backups") as notebook:
        for package in sorted(paths.example_trials().iterdir()):
            if (package / "datapackage.json").exists():
                notebook.apply(read_package(package, notebook))
        yield notebook


def _words(part) -> list[str]:
    lines = [line for line in part.findChildren(Line) if line.isVisible()]
    return [line.words() for line in lines]


def _plain(text: str) -> str:
    return text.replace("\u00a0", " ")


CASES = {
    "turkey": "better_enough",
    "beans": "at_least_as_good",
    "ribs": "not_settled",
    "thighs": "same_recipe",
}


@pytest.mark.parametrize("food", CASES)
def test_each_example_shows_its_own_numbers_and_no_others(book, qtbot, examples, food):
    trial = next(t for t in examples.all(Trial) if food in t.food.lower())
    found = reckon(examples, trial.id)
    finding, names = found.deciding, found.names_of(found.deciding.outcome)
    at = _Desk(qtbot, examples)
    page = at.show("findings", trial.id)
    assert finding.case == CASES[food]
    assert page.headline.words() == say(headline(finding, names))
    seen = directed(finding)
    first, *rest = page.outcomes.lines
    assert first.difference == figure(seen.estimate, names.decimals, sign=True)
    low, high = (figure(end, names.decimals, sign=True) for end in (seen.low, seen.high))
    assert say(first.interval) == f"{low} to {high}"
    others = [line for line in rest if line.part == "other"]
    assert [line.name.lower() for line in others] == [o.outcome.lower() for o in found.others]
    for line, other in zip(others, found.others, strict=True):
        turned = other.comparison.seen_from(seen.first)
        decimals = found.names_of(other.outcome).decimals
        assert line.difference == figure(turned.estimate, decimals, sign=True)
        low, high = (figure(end, decimals, sign=True) for end in (turned.low, turned.high))
        assert say(line.interval) == f"{low} to {high}"
        assert say(line.said).startswith("also ") == other.also
        if not other.also:
            assert say(line.said) == "not told apart"
    shown = [_plain(text) for text in _words(page.outcomes)]
    assert all(_plain(say(text)) in shown for line in page.outcomes.lines
               for text in (line.said, line.difference, line.interval))  # fmt: skip
    out = ruled_out(finding, names)
    if out is not None:
        assert say(page.margin().standing) == say(out)
    at.close()


def test_what_a_statistician_asks_is_on_the_second_leaf_and_not_on_the_first(golden, qtbot):
    at, trial_id = golden()
    page = at.show("findings", trial_id)
    first = " ".join(_words(page.leaf.page))
    for word in ("p =", "alpha", "degrees of freedom", "lot number", "fingerprint"):
        assert word not in first
    pressed(qtbot, page.leaf.head, "How it was reckoned")
    settle(qtbot, at.window)
    second = at.window.page()
    assert second.key == "reckoned"
    said = _plain(" ".join(_words(second.leaf.page)))
    note = second._answer().note
    for section in note.reckoned:
        for line in section.lines:
            assert _plain(say(line)) in said
        for cell in (c for row in (section.table.rows if section.table else ()) for c in row):
            assert _plain(say(cell)) in said
    for number in ("+1.500", "0.577", "t = 5.196, p = 0.014", "+0.581 to +2.419", "0.125",
                   "lot number 271828", "Policy 1."):  # fmt: skip
        assert number in said
    pressed(qtbot, second.leaf.head, "Back to the finding")
    assert at.window.page().key == "findings"


def test_the_pictures_can_be_read_as_tables_by_keyboard(golden, qtbot):
    at, trial_id = golden()
    page = at.show("findings", trial_id)
    view = page.pictures.interval.view
    qtbot.waitUntil(view.has_picture, timeout=30_000)
    assert "+1.5 points, interval +0.6 to +2.4" in view.accessibleName()
    view._verb.setFocus()
    qtbot.keyClick(view._verb, Qt.Key.Key_Return)
    cells = _words(view._table)
    assert "+2.00" in cells and "+0.58 to +2.42" in cells
    qtbot.keyClick(view._verb, Qt.Key.Key_Return)
    assert view._table.isHidden() and not view._picture.isHidden()


def test_before_a_key_is_open_the_page_explains_itself_and_shows_nothing(golden, qtbot):
    at, trial_id = golden(keys=0)
    page = at.show("findings", trial_id)
    assert page.headline.isHidden() and page.pictures.isHidden()
    said = " ".join(_words(page.not_yet))
    assert "No key is open yet." in said
    assert not any(sign.isdigit() for sign in said)
    pressed(qtbot, page.not_yet, "Open Tasting")
    assert at.window.page().key == "tasting"


def test_until_the_planned_days_are_in_there_is_an_interval_and_no_case(golden):
    at, trial_id = golden(keys=3)
    page = at.show("findings", trial_id)
    assert page.headline.words() == "3 of 4 cook days in: nothing is claimed yet."
    assert page.holds.isHidden()
    assert [say(line.said) for line in page.outcomes.lines] == ["nothing claimed", ""]
    assert page.outcomes.lines[0].interval != "\u2013"
    assert "until the planned cook days are in" in say(page.margin().standing)
    second = at.show("reckoned", trial_id)
    assert "p =" not in " ".join(_words(second.leaf.page))


def test_one_day_in_says_what_is_missing_for_an_interval(golden):
    at, trial_id = golden(keys=1)
    page = at.show("findings", trial_id)
    assert "1 of 4 cook days in" in page.headline.words()
    assert "three tasters are missing" in " ".join(_words(page.facts))


def test_scores_changed_with_the_key_open_and_what_was_left_out_are_said(golden):
    at, trial_id = golden()
    notebook = at.notebook
    before = reckon(notebook, trial_id).deciding
    (juiciness,) = notebook.all(Outcome, trial_id=trial_id, source="attribute")
    score = notebook.all(Score)[0]
    number = "6" if score.number != 6 else "5"
    notebook.apply(scores.set_score(notebook, score.sample_id, juiciness.id, number))
    gone = notebook.all(Score)[5]
    notebook.apply(
        scores.set_score_missing(notebook, gone.sample_id, juiciness.id, "burnt her tongue")
    )
    piece = notebook.all(Piece)[0]
    notebook.apply(
        leaving_out.leave_out(notebook, trial_id, "piece", piece.id, "its tray fell over")
    )
    page = at.show("findings", trial_id)
    facts = " ".join(_words(page.facts))
    assert "2 scores were written or changed with the key open." in facts
    assert "1 missing in juiciness; burnt her tongue." in facts
    assert "never counted as zero" in facts
    deciding, aside, _ = page.outcomes.lines
    found = reckon(notebook, trial_id)
    assert found.deciding.comparison != before.comparison
    (other,) = found.other_answers
    assert aside.part == "set_aside" and say(aside.name).startswith(f"without {piece.label} (its")
    turned = other.finding.comparison.seen_from("B")
    assert aside.difference == figure(turned.estimate, 1, sign=True)
    assert deciding.difference == figure(
        found.deciding.comparison.seen_from("B").estimate, 1, sign=True
    )
    labels = [say(note.label) for note in page.margin().notes]
    assert f"Without {piece.label}: both answers" in labels


def test_a_blank_trial_leads_to_its_question(book, qtbot, tmp_path):
    with desk(qtbot, tmp_path) as window:
        trial_id = begun(window.desk.notebook)
        page = show(qtbot, window, "findings", trial_id)
        assert "Nothing decides yet" in " ".join(_words(page.not_yet))
        pressed(qtbot, page.not_yet, "Open Question")
        assert window.page().key == "question"


def test_a_trial_that_is_only_weighed_has_its_finding(book, qtbot, tmp_path):
    with desk(qtbot, tmp_path) as window:
        notebook = window.desk.notebook
        trial_id = begun(notebook, "Beetroot", "roasted bare", "roasted in a pan")
        _weigh(notebook, trial_id)
        page = show(qtbot, window, "findings", trial_id)
        found = reckon(notebook, trial_id).deciding
        assert found.case == "better_enough" and found.tasters is None
        assert page.headline.words().startswith("Loss of raw weight is lower with roasted in")
        assert page.holds.words() == "For the method, next time too. Seen on 3 cook days."
        # 731, 732 and 733 g of 1 000 g beside 700 g: 3.1, 3.2 and 3.3 points less.
        assert page.outcomes.lines[0].difference == "\u22123.2"
        assert [state.stitch for state in views.page_states(notebook, trial_id)][5] == "complete"


def _weigh(notebook, trial_id):
    named = {c.name: c.id for c in views.checkpoints(notebook, trial_id)}
    notebook.apply(outcomes.add_measured(notebook, trial_id, "loss", named["raw"], named["served"]))
    (loss,) = notebook.all(Outcome)
    notebook.apply(outcomes.set_decides(notebook, loss.id))
    notebook.apply(question.set_matters(notebook, trial_id, "1"))
    for field, typed in (("pieces_each", "1"), ("planned_cooks", "3")):
        notebook.apply(plan.set_plan(notebook, trial_id, field, typed))
    one = views.OneTrial(notebook, trial_id)
    notebook.apply(draw_lots(one, lot_number=5, when=notebook.now(), early="one pot"))
    notebook.apply(seal_plan(one, notebook.now()))
    named = {c.name: c.id for c in views.checkpoints(notebook, trial_id)}
    for cook in views.cooks(notebook, trial_id):
        for piece in views.pieces(notebook, cook.id):
            letter = views.method_of_piece(notebook, piece).letter
            served = {"A": 700, "B": 730}[letter] + cook.number * (letter == "B")
            for name, typed in (("raw", "1000"), ("served", str(served))):
                notebook.apply(cooking.set_mass(notebook, piece.id, named[name], typed))


def test_a_change_greys_the_old_answer_until_the_new_one_is_there(golden, qtbot):
    at, trial_id = golden()
    page = at.show("findings", trial_id)
    before = page.outcomes.lines[0]
    (juiciness,) = at.notebook.all(Outcome, trial_id=trial_id, source="attribute")
    score = next(s for s in at.notebook.all(Score) if s.number == 7)
    at.window.desk.take(scores.set_score(at.notebook, score.sample_id, juiciness.id, "2"))
    assert page.headline._colour == "pencil"
    assert page.outcomes.lines[0] == before
    assert "this is what was found before" in page.leaf.head._subtitle.words()
    settle(qtbot, at.window)
    assert page.headline._colour == "ink"
    assert page.outcomes.lines[0] != before
    assert page.outcomes.lines[0].difference == figure(
        reckon(at.notebook, trial_id).deciding.comparison.seen_from("B").estimate, 1, sign=True
    )
    at.window.history.undo()
    settle(qtbot, at.window)
    assert page.outcomes.lines[0] == before


def test_the_window_lives_while_it_reckons_and_the_latest_question_wins(golden, qtbot, monkeypatch):
    """The reckoning waits until the window has shown that it still turns."""
    from trialbench.findings import of_trial

    at, trial_id = golden()
    page = at.show("findings", trial_id)
    really, turned, reckoned = of_trial.reckon_trial, threading.Event(), []

    def slow(records):
        assert turned.wait(20)
        reckoned.append(1)
        return really(records)

    monkeypatch.setattr(of_trial, "reckon_trial", slow)
    ticks = []
    timer = QTimer()
    timer.timeout.connect(lambda: ticks.append(1))
    timer.start(0)
    (juiciness,) = at.notebook.all(Outcome, trial_id=trial_id, source="attribute")
    score = next(s for s in at.notebook.all(Score) if s.number == 7)
    for typed in ("2", "3", "4"):
        at.window.desk.take(scores.set_score(at.notebook, score.sample_id, juiciness.id, typed))
    qtbot.waitUntil(lambda: len(ticks) > 20)
    assert page._reckoning.is_asked() and not reckoned
    seam = page.leaf.page.findChild(SeamProgress)
    qtbot.waitUntil(seam.isVisible)
    qtbot.mouseClick(seam._stop, Qt.MouseButton.LeftButton)
    assert not page._reckoning.is_asked()
    assert "Reckon it now" in page.stopped.words()
    pressed(qtbot, page.stopped, "Reckon it now")
    turned.set()
    settle(qtbot, at.window)
    timer.stop()
    # One that ran when it was stopped, and the latest; those between were never begun.
    assert len(reckoned) <= 2
    assert page._reckoning.is_fresh(trial_id) and page.stopped.isHidden()
    wanted = reckon(at.notebook, trial_id).deciding.comparison.seen_from("B").estimate
    assert page.outcomes.lines[0].difference == figure(wanted, 1, sign=True)


def test_the_data_file_holds_every_number(golden, qtbot, tmp_path, answer_dialog):
    at, trial_id = golden()
    page = at.show("reckoned", trial_id)
    target = tmp_path / "data.csv"
    answer_dialog((str(target), ""))
    pressed(qtbot, page.leaf.head, "Write the data file")
    settle(qtbot, at.window)
    rows = list(csv.DictReader(io.StringIO(target.read_text(encoding="utf-8"))))
    juicy = [float(row["value"]) for row in rows if row["outcome"] == "juiciness"]
    written = sorted(score.number for score in at.notebook.all(Score))
    assert sorted(juicy) == written and len(juicy) == 16
    assert page.written.words() == f"Written: {target}"


def test_a_file_that_cannot_be_written_is_said_and_nothing_is_lost(golden, qtbot, tmp_path,
                                                                   answer_dialog):  # fmt: skip
    at, trial_id = golden()
    page = at.show("reckoned", trial_id)
    answer_dialog((str(tmp_path / "nowhere" / "data.csv"), ""))
    pressed(qtbot, page.leaf.head, "Write the data file")
    settle(qtbot, at.window)
    assert at.window.strip.isVisible()
    assert "cannot be written" in at.window.strip.accessibleName()
    assert page.written.isHidden()


def test_what_is_open_leads_to_the_next_trial(book, qtbot, tmp_path):
    with desk(qtbot, tmp_path) as window:
        notebook = window.desk.notebook
        package = next(p for p in paths.example_trials().iterdir() if "ribs" in p.name)
        notebook.apply(read_package(package, notebook))
        trial = notebook.all(Trial)[0]
        page = show(qtbot, window, "findings", trial.id)
        (note,) = (n for n in page.margin().notes if "what more would bring" in say(n.label))
        assert say(note.verbs[0].label) == "Begin a trial of 30 cook days"
        pressed(qtbot, page.leaf.margin, "Begin a trial of 30 cook days")
        QApplication.processEvents()
        begun_trial = max(notebook.all(Trial), key=lambda t: t.number)
        assert window.page().key == "question" and window.desk.trial_id == begun_trial.id
        assert (begun_trial.usual, begun_trial.planned_cooks) == (trial.usual, 30)
        assert begun_trial.matters == trial.matters

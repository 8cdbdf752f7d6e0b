"""The recipe note in the real window: the decision written, the note read and handed on."""

from __future__ import annotations

import csv
import io
import json
import shutil
import subprocess
from html import unescape

import pytest
from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import QAbstractButton, QApplication

from tests.journeys.at_the_desk import begun, choose, desk, focused, pressed, settle, show, write
from tests.journeys.golden import Golden, open_book
from trialbench.findings.of_trial import reckon
from trialbench.findings.snapshot import records_of
from trialbench.model.message import say
from trialbench.model.records import Decision, HandedOn, Outcome, Score
from trialbench.notebook import views
from trialbench.notebook.acts import scores
from trialbench.report.handed import headline_of
from trialbench.report.note import recipe_note
from trialbench.ui.pages import book_window
from trialbench.ui.settings import Settings
from trialbench.ui.text import Line


@pytest.fixture
def golden(book, qtbot, tmp_path):
    """The golden trial at a desk: its window, its notebook and its id."""
    notebook = open_book(tmp_path)
    trial = Golden(notebook)
    trial.plan()
    trial.cook_and_taste()
    window = book_window(notebook, Settings())
    window.resize(1280, 800)
    yield window, notebook, trial.trial_id
    window.close()
    window.deleteLater()
    notebook.close()


def _words(part) -> list[str]:
    lines = [line for line in part.findChildren(Line) if line.isVisible()]
    return [_plain(line.words()) for line in lines]


def _plain(text: str) -> str:
    spaces = dict.fromkeys(map(ord, "\u00a0\u2009\u202f\n\x0c"), " ")
    return " ".join(text.translate(spaces).split())


def _note(notebook, trial_id):
    return recipe_note(records_of(notebook, trial_id), reckon(notebook, trial_id))


def _printed(note) -> list[str]:
    """Every text of the first side."""
    texts = [note.title, *note.under_title, *note.recipe, note.weight, note.local_code]
    for section in note.sections:
        texts += [section.label, *section.lines, section.small or ""]
    texts += [cell for row in note.outcomes.rows for cell in row]
    texts += [text for pair in note.cautions for text in pair]
    return [_plain(say(text)) for text in texts if text is not None and say(text)]


def test_the_paper_holds_every_word_of_the_note_and_no_others(golden, qtbot):
    window, notebook, trial_id = golden
    page = show(qtbot, window, "recipe_note", trial_id)
    shown = _words(page.paper)
    printed = _printed(_note(notebook, trial_id))
    lacks = [text for text in printed if not any(text in line for line in shown)]
    assert lacks == []
    heads = [_plain(say(head)) for head in _note(notebook, trial_id).outcomes.heads]
    foreign = [line for line in shown if line not in heads and not any(t in line for t in printed)]
    assert foreign == []
    assert "1 000 g raw gives 745 g served: loss 25.5 % of raw. Means of 4 pieces." in " ".join(
        shown
    )
    assert "B over A: +1.5 points (+0.6 to +2.4). Seen on 4 cook days." in shown


def _hand_on(window, page, qtbot, form, target, answer_dialog):
    answer_dialog((str(target), ""))
    pressed(qtbot, page.leaf.head, "Hand the note on")
    assert page.forms.isVisible()
    pressed(qtbot, page.forms, form)
    settle(qtbot, window)


def test_as_a_pdf_every_word_is_printed_and_the_notebook_knows_it(golden, qtbot, tmp_path,
                                                                  answer_dialog):  # fmt: skip
    window, notebook, trial_id = golden
    page = show(qtbot, window, "recipe_note", trial_id)
    target = tmp_path / "beetroot.pdf"
    _hand_on(window, page, qtbot, "page to print", target, answer_dialog)
    assert target.read_bytes().startswith(b"%PDF")
    (handed,) = notebook.all(HandedOn)
    found = reckon(notebook, trial_id)
    assert (handed.form, handed.headline) == ("pdf", say(headline_of(found)))
    kept = json.loads(handed.finding_json)
    assert kept["case"] == "better_enough" and kept["favours"] == "B"
    assert kept["comparisons"][0]["estimate"] == found.deciding.comparison.estimate
    assert [other["outcome"] for other in kept["others"]] == ["loss of raw weight"]
    assert page.written.words() == f"Written: {target}" and page.forms.isHidden()
    assert [s.said and say(s.said) for s in views.page_states(notebook, trial_id)][-1] == (
        "handed on"
    )
    if shutil.which("pdftotext") is None:
        pytest.skip("needs poppler-utils to read the file")
    flat = subprocess.run(["pdftotext", str(target), "-"], capture_output=True, check=True)
    laid = subprocess.run(
        ["pdftotext", "-layout", str(target), "-"], capture_output=True, check=True
    )
    text = _plain(flat.stdout.decode()) + _plain(laid.stdout.decode())
    lacks = [one for one in _printed(_note(notebook, trial_id)) if one not in text]
    assert lacks == []


@pytest.mark.parametrize(("form", "ending"), [("web page", ".html"), ("plain text", ".md")])
def test_as_a_page_and_as_text(golden, qtbot, tmp_path, answer_dialog, form, ending):
    window, notebook, trial_id = golden
    page = show(qtbot, window, "recipe_note", trial_id)
    # The ending is added where it was not written.
    _hand_on(window, page, qtbot, form, tmp_path / "note", answer_dialog)
    text = _plain(unescape((tmp_path / f"note{ending}").read_text(encoding="utf-8")))
    text = text.replace("\\", "")
    assert [one for one in _printed(_note(notebook, trial_id)) if one not in text] == []
    assert notebook.all(HandedOn)[0].form == ending.removeprefix(".")


def test_its_data_as_a_table(golden, qtbot, tmp_path, answer_dialog):
    window, notebook, trial_id = golden
    page = show(qtbot, window, "recipe_note", trial_id)
    _hand_on(window, page, qtbot, "its data", tmp_path / "data.csv", answer_dialog)
    rows = list(csv.DictReader(io.StringIO((tmp_path / "data.csv").read_text("utf-8"))))
    assert sum(row["outcome"] == "juiciness" for row in rows) == len(notebook.all(Score))


def test_a_file_already_there_is_not_written_over_by_an_added_ending(golden, qtbot, tmp_path,
                                                                     answer_dialog):  # fmt: skip
    window, notebook, trial_id = golden
    (tmp_path / "note.md").write_text("mine", encoding="utf-8")
    page = show(qtbot, window, "recipe_note", trial_id)
    _hand_on(window, page, qtbot, "plain text", tmp_path / "note", answer_dialog)
    assert (tmp_path / "note.md").read_text(encoding="utf-8") == "mine"
    assert "note.md" in window.strip.accessibleName() and notebook.all(HandedOn) == ()


def test_nothing_chosen_writes_nothing(golden, qtbot, answer_dialog):
    window, notebook, trial_id = golden
    page = show(qtbot, window, "recipe_note", trial_id)
    answer_dialog(("", ""))
    pressed(qtbot, page.leaf.head, "Hand the note on")
    qtbot.keyClick(focused(), Qt.Key.Key_Return)
    settle(qtbot, window)
    assert notebook.all(HandedOn) == () and page.written.isHidden()
    pressed(qtbot, page.forms, "Not now")
    assert page.forms.isHidden()
    assert focused() is page.leaf.head.verbs()["hand_on"]


def test_the_window_lives_while_the_page_is_typeset(golden, qtbot, tmp_path, monkeypatch,
                                                    answer_dialog):  # fmt: skip
    import threading

    from trialbench.report import writing

    window, _, trial_id = golden
    page = show(qtbot, window, "recipe_note", trial_id)
    really, turned = writing.write_file, threading.Event()

    def slow(target, made):
        assert turned.wait(20)
        return really(target, made)

    monkeypatch.setattr(writing, "write_file", slow)
    answer_dialog((str(tmp_path / "note.pdf"), ""))
    pressed(qtbot, page.leaf.head, "Hand the note on")
    pressed(qtbot, page.forms, "page to print")
    ticks = []
    timer = QTimer()
    timer.timeout.connect(lambda: ticks.append(1))
    timer.start(0)
    qtbot.waitUntil(lambda: len(ticks) > 20)
    assert page.written.words() == "Writing note.pdf."
    assert page.leaf.head.verbs()["hand_on"].why() == "A file is being written."
    turned.set()
    settle(qtbot, window)
    timer.stop()
    assert (tmp_path / "note.pdf").exists()


def test_the_decision_is_written_by_choice_and_reason_and_printed(golden, qtbot):
    window, notebook, trial_id = golden
    page = show(qtbot, window, "recipe_note", trial_id)
    choose(qtbot, page.decision.choice, "keep")
    settle(qtbot, window)
    assert views.decision(notebook, trial_id).choice == "keep"
    assert focused() is page.decision.reason
    assert "It stays as it was." in _words(page.paper)
    assert "Beetroot, roasted bare" in _words(page.paper)
    write(qtbot, "Bare, as before: the pan is wanted for the beans.", Qt.Key.Key_Return)
    settle(qtbot, window)
    made = views.decision(notebook, trial_id)
    assert (made.choice, made.reason) == (
        "keep",
        "Bare, as before: the pan is wanted for the beans.",
    )
    assert made.reason in _words(page.paper)
    assert page.decision.reason.isHidden() and page.decision.anew.isVisible()
    pressed(qtbot, page.decision, "Say it in other words")
    assert focused() is page.decision.reason
    qtbot.keyClick(focused(), Qt.Key.Key_Tab)
    assert page.decision.reason.isHidden()
    count = len(notebook.all(Decision))
    window.history.undo()
    settle(qtbot, window)
    assert len(notebook.all(Decision)) == count - 1
    assert "It stays as it was." in _words(page.paper)


def test_half_a_reason_is_there_again_after_the_window_is_opened_anew(golden, qtbot):
    window, notebook, trial_id = golden
    page = show(qtbot, window, "recipe_note", trial_id)
    pressed(qtbot, page.decision, "Say it in other words")
    page.decision.reason.selectAll()
    qtbot.keyClicks(focused(), "Lid on from")
    again = book_window(notebook, Settings())
    other = show(qtbot, again, "recipe_note", trial_id)
    assert other.decision.reason.isVisible()
    assert other.decision.reason.text() == "Lid on from"
    again.close()
    again.deleteLater()


def test_a_blank_trial_says_what_the_note_will_be_and_why_not_yet(book, qtbot, tmp_path):
    with desk(qtbot, tmp_path) as window:
        trial_id = begun(window.desk.notebook)
        page = show(qtbot, window, "recipe_note", trial_id)
        assert page.paper.isHidden() and page.empty.isVisible()
        verb = page.leaf.head.verbs()["hand_on"]
        assert not verb.can_be_done() and "Methods" in verb.why()
        labels = [say(note.label) for note in page.margin().notes]
        assert labels == ["The decision: not written", "The method: not written"]


def test_a_finding_that_changed_since_it_was_handed_on_says_so(golden, qtbot, tmp_path,
                                                               answer_dialog):  # fmt: skip
    window, notebook, trial_id = golden
    page = show(qtbot, window, "recipe_note", trial_id)
    _hand_on(window, page, qtbot, "plain text", tmp_path / "note.md", answer_dialog)
    (juiciness,) = notebook.all(Outcome, trial_id=trial_id, source="attribute")
    highest = max(notebook.all(Score), key=lambda score: score.number)
    notebook.apply(scores.set_score(notebook, highest.sample_id, juiciness.id, "1"))
    settle(qtbot, window)
    (note,) = (n for n in page.margin().notes if "changed since" in say(n.label))
    assert notebook.all(HandedOn)[0].headline in say(note.sentences[0])
    assert "Not settled" in " ".join(_words(page.paper))


def test_everything_is_reached_by_tab_and_has_a_name(golden, qtbot):
    window, _, trial_id = golden
    page = show(qtbot, window, "recipe_note", trial_id)
    page.leaf.head.verbs()["hand_on"].setFocus()
    seen = []
    for _ in range(4):
        seen.append(focused().accessibleName())
        qtbot.keyClick(focused(), Qt.Key.Key_Tab)
        QApplication.processEvents()
    assert seen == [
        "Hand the note on",
        "what you do from now on: change to the idea",
        "Say it in other words",
        "How it was reckoned",
    ]
    buttons = [b for b in page.leaf.findChildren(QAbstractButton) if b.isVisible()]
    assert all(button.accessibleName() for button in buttons)

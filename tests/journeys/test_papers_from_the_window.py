"""Each paper put on paper through the real window: by its verb, by the Index, on both sizes."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from pypdf import PdfReader
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from tests.journeys.at_the_desk import begun, choose, desk, focused, pressed, settle, show
from tests.journeys.trials import letters_under_the_key, ready_to_cook, sealed
from trialbench.model.records import KeyLook, Sample, Sitting
from trialbench.notebook import views
from trialbench.ui.held_verb import HOLD_MS
from trialbench.ui.settings import Settings

CTRL = Qt.KeyboardModifier.ControlModifier


@pytest.fixture
def window(book, qtbot, tmp_path):
    with desk(qtbot, tmp_path) as made:
        yield made


def _page(qtbot, window, name, passphrase=None):
    """A page of a trial whose lots are drawn; its first sitting is under a sealed key."""
    notebook = window.desk.notebook
    trial_id = ready_to_cook(notebook)
    if name == "tasting":
        sealed(notebook, views.cooks(notebook, trial_id)[0], passphrase=passphrase)
    return show(qtbot, window, name, trial_id)


def _put(qtbot, window, page, words, target, answer_dialog):
    answer_dialog((str(target), ""))
    pressed(qtbot, page.leaf, words)
    settle(qtbot, window)
    return PdfReader(target)


def _text(reader) -> str:
    return re.sub(r"\s+", " ", " ".join(page.extract_text() for page in reader.pages))


def _hold(qtbot, verb):
    with qtbot.waitSignal(verb.held, timeout=HOLD_MS * 4):
        verb.setFocus()
        qtbot.keyPress(verb, Qt.Key.Key_Space)
    qtbot.keyRelease(verb, Qt.Key.Key_Space)
    QApplication.processEvents()


@pytest.mark.parametrize(
    ("words", "there"),
    [
        ("the plan", "Pork shoulder: juicier held in its juices?"),
        ("which piece goes where", "Cook day 2"),
        ("the weighing list", "Weights"),
        ("the weighing list without methods", "Who gets which method is not on this page."),
    ],
)
def test_the_papers_of_the_plan(window, qtbot, tmp_path, answer_dialog, words, there):
    page = _page(qtbot, window, "plan")
    reader = _put(qtbot, window, page, words, tmp_path / "paper.pdf", answer_dialog)
    assert there in _text(reader)
    assert page.paper.papers.line.words().endswith("Written: paper.pdf")
    assert str(tmp_path / "paper.pdf") in page.leaf.foot._written.words()


@pytest.mark.parametrize("words", ["the score cards", "codes to cut out"])
def test_the_papers_of_the_table(window, qtbot, tmp_path, answer_dialog, words):
    page = _page(qtbot, window, "tasting")
    text = _text(_put(qtbot, window, page, words, tmp_path / "paper.pdf", answer_dialog))
    codes = [sample.code for sample in window.desk.notebook.all(Sample)]
    assert codes and all(code in text for code in codes)
    assert "held" not in text and window.desk.notebook.all(KeyLook) == ()


def test_ctrl_p_goes_to_the_line_and_enter_writes(window, qtbot, tmp_path, answer_dialog):
    page = _page(qtbot, window, "tasting")
    qtbot.keyClick(window, Qt.Key.Key_P, CTRL)
    assert focused() is page.paper.papers.verbs["cards"]
    answer_dialog((str(tmp_path / "cards.pdf"), ""))
    qtbot.keyClick(focused(), Qt.Key.Key_Space)
    settle(qtbot, window)
    assert (tmp_path / "cards.pdf").read_bytes().startswith(b"%PDF")


def test_every_paper_stands_in_the_index(window, qtbot):
    for page_name, count in (("plan", 5), ("tasting", 4)):
        page = _page(qtbot, window, page_name)
        found = [entry for entry in page.verbs() if entry.name.startswith("paper")]
        assert len(found) == count and all("paper" in str(entry.label) for entry in found)


def test_the_size_is_chosen_at_the_verb_and_kept(book, qtbot, tmp_path, answer_dialog):
    settings = Settings()
    with desk(qtbot, tmp_path, settings) as window:
        page = _page(qtbot, window, "plan")
        first = _put(qtbot, window, page, "the plan", tmp_path / "a.pdf", answer_dialog)
        choose(qtbot, page.paper.papers.size, "letter")
        second = _put(qtbot, window, page, "the plan", tmp_path / "b.pdf", answer_dialog)
    assert (round(first.pages[0].mediabox.height), round(second.pages[0].mediabox.height)) == (
        842, 792,
    )  # fmt: skip
    assert settings.text("paper_size") == "letter"
    assert settings.text("last_folder") == str(tmp_path)


def test_a_dialog_begins_in_the_folder_used_last_else_at_home(window, qtbot, tmp_path,
                                                              monkeypatch):  # fmt: skip
    from PySide6.QtWidgets import QFileDialog

    asked = []
    page = _page(qtbot, window, "plan")
    monkeypatch.setattr(
        QFileDialog, "getSaveFileName", staticmethod(lambda *a: (asked.append(a[2]), ("", ""))[1])
    )
    pressed(qtbot, page.leaf, "the plan")
    window.desk.settings.put("last_folder", str(tmp_path))
    pressed(qtbot, page.leaf, "which piece goes where")
    assert Path(asked[0]) == Path.home() / "pork-shoulder-1-plan.pdf"
    assert Path(asked[1]) == tmp_path / "pork-shoulder-1-places.pdf"


def test_the_plate_map_is_held_for_and_the_look_is_written(window, qtbot, tmp_path,
                                                           answer_dialog):  # fmt: skip
    page = _page(qtbot, window, "tasting")
    notebook = window.desk.notebook
    answer_dialog((str(tmp_path / "plates.pdf"), ""))
    _hold(qtbot, page.paper.plates)
    settle(qtbot, window)
    text = _text(PdfReader(tmp_path / "plates.pdf"))
    assert "Tasters must not see this page" in text
    under = letters_under_the_key(notebook, page.desk.trial_id)
    for sample in notebook.all(Sample):
        assert re.search(rf"{sample.code} \S+ {under[sample.id]}\b", text)
    (look,) = notebook.all(KeyLook)
    assert look.reason == "plate map printed"
    assert notebook.all(Sitting)[0].key_state == "sealed"
    assert all(sample.piece_id is None for sample in notebook.all(Sample))
    qtbot.keyClick(window, Qt.Key.Key_Z, CTRL)
    assert notebook.all(KeyLook) == (look,)


def test_without_a_file_or_the_passphrase_nothing_is_looked_at(window, qtbot, tmp_path,
                                                               answer_dialog):  # fmt: skip
    page = _page(qtbot, window, "tasting", passphrase="a good fire")
    answer_dialog(("", ""))
    _hold(qtbot, page.paper.plates)
    answer_dialog((str(tmp_path / "plates.pdf"), ""))
    _hold(qtbot, page.paper.plates)
    assert page.paper.trouble.isVisible() and not (tmp_path / "plates.pdf").exists()
    assert window.desk.notebook.all(KeyLook) == ()
    page.sitting_key.passphrase.setText("a good fire")
    answer_dialog((str(tmp_path / "plates.pdf"), ""))
    _hold(qtbot, page.paper.plates)
    settle(qtbot, window)
    assert (tmp_path / "plates.pdf").exists() and len(window.desk.notebook.all(KeyLook)) == 1


def test_before_anything_is_there_the_verbs_say_why(window, qtbot):
    trial_id = begun(window.desk.notebook, "pork")
    page = show(qtbot, window, "plan", trial_id)
    assert page.paper.papers.line.isHidden()
    assert "Nothing is planned yet" in str(page.paper.papers.why_not())
    page = show(qtbot, window, "tasting", trial_id)
    assert page.paper.isHidden() and "no codes yet" in str(page.paper.papers.why_not())

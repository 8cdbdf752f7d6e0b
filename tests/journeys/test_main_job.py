"""The whole main job in the real window: from a blank first start to the recipe note on paper.

The small trial is the one whose numbers are known beforehand (tests/journeys/golden.py); the cake
trial is published data (tests/reference/PROVENANCE.md) and meets the paired case cake_A_minus_B.
"""

from __future__ import annotations

import csv
import json
import shutil
import subprocess
from collections import defaultdict
from pathlib import Path
from statistics import mean

import pytest
from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtWidgets import QWidget

from tests.journeys.at_the_desk import choose, desk, focused, pressed, rewrite, settle, show, write
from tests.journeys.at_work import Worker
from tests.journeys.golden import SCORES, SERVED_G
from tests.journeys.trials import asked
from trialbench import paths
from trialbench.findings.of_trial import reckon
from trialbench.model.message import say
from trialbench.model.records import Trial
from trialbench.notebook import views
from trialbench.ui import held_verb
from trialbench.ui.settings import Settings
from trialbench.ui.start import Start
from trialbench.ui.text import Line

ENTER = Qt.Key.Key_Return
CTRL = Qt.KeyboardModifier.ControlModifier
REFERENCE = Path(__file__).parents[1] / "reference"

PRINTED = [
    "Beetroot, roasted in a lidded pan",
    "1 000 g raw gives 745 g served: loss 25.5 % of raw. Means of 4 pieces.",
    "B over A: +1.5 points (+0.6 to +2.4)",
    "Seen on 4 cook days.",
    "for these two tasters",
    "In a lidded pan from now on.",
    "\u22124.5",
    "\u22125.4 to \u22123.6",
    "Mean +1.500, spread 0.577, 3 degrees of freedom, standard error 0.289, alpha 0.05",
    "t = 5.196, p = 0.014.",
    "95 %: +0.581 to +2.419. 90 %: +0.821 to +2.179.",
    "2 of 16 possible draws give a gap this wide, p = 0.13",
    "from 7 cook days",
]


@pytest.fixture(autouse=True)
def _short_holds(monkeypatch):
    """A key is held for as long as it takes; how long that is has its own test."""
    monkeypatch.setattr(held_verb, "HOLD_MS", 80)


class _Flashes(QObject):
    """Windows of the system that were shown: a part without a parent flashes up as one."""

    def __init__(self) -> None:
        super().__init__()
        self.shown: set[str] = set()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:  # noqa: N802
        if event.type() == QEvent.Type.Show and isinstance(watched, QWidget) and watched.isWindow():
            self.shown.add(type(watched).__name__)
        return False


@pytest.fixture(autouse=True)
def _no_flashes(book):
    flashes = _Flashes()
    book.installEventFilter(flashes)
    yield
    book.removeEventFilter(flashes)
    assert flashes.shown <= {"Paper", "Window"}


@pytest.fixture
def first_start(book, qtbot, tmp_path, monkeypatch):
    monkeypatch.setattr(paths, "default_notebook", lambda: tmp_path / "data" / "mine.trialbench")
    monkeypatch.setattr(paths, "backups", lambda: tmp_path / "backups")
    made = Start(book, Settings(tmp_path / "settings.ini"))
    made.open(paths.default_notebook())
    whole = 1 + sum(1 for each in paths.example_trials().iterdir() if each.is_dir())
    qtbot.waitUntil(lambda: len(made.notebook.all(Trial)) == whole, timeout=20_000)
    settle(qtbot, made.window)
    yield made
    made.close()
    made.paper.deleteLater()
    made.deleteLater()


def _plain(text: str) -> str:
    spaces = dict.fromkeys(map(ord, "\u00a0\u2009\u202f\n\x0c"), " ")
    return " ".join(text.translate(spaces).split())


def _beetroot(worker: Worker, qtbot, *, idea: str = "roasted in a lidded pan") -> None:
    """Question and methods of the small trial."""
    worker.ask("Beetroot", "roasted bare", idea, "juicier", "0.5")
    page = worker.window.page()
    choose(qtbot, page.rows["others"]._add, "loss")
    page, stage, block = worker.stage("roast")
    block.focus_on("cover")
    write(qtbot, "uncovered")
    block.focus_on("cover")
    qtbot.keyClick(focused(), Qt.Key.Key_D, CTRL)
    b = views.methods(worker.notebook, worker.trial_id)[1]
    block._parts["cover"].values[b.id].setFocus()
    rewrite(qtbot, "lid on", ENTER)
    note = next(n for n in page.margin().notes if n.line == f"stage:{stage.id}:cover")
    page.leaf.verb.emit(next(verb for verb in note.verbs if "question" in verb.args))
    worker.stage("rest")


def _weights(point: str, letter: str, day: int) -> str:
    return {"raw": "1 kg", "served": str(SERVED_G[letter][day - 1])}.get(point, "")


def _scores(letter: str, day: int, taster: int) -> str:
    return str(SCORES[day][letter][taster])


def test_from_a_blank_first_start_to_the_recipe_note(first_start, qtbot, tmp_path, answer_dialog):
    worker = Worker(qtbot, first_start.window)
    assert first_start.window.page().key == "question"
    _beetroot(worker, qtbot)
    worker.plan(4, 1, 2)
    worker.weigh(_weights)
    worker.taste(2, _scores)
    assert reckon(worker.notebook, worker.trial_id).deciding is None
    worker.open_keys()
    page = worker.turn_to(6)
    qtbot.waitUntil(lambda: "by enough to matter" in page.headline.words(), timeout=20_000)
    shown = _plain(" ".join(line.words() for line in page.leaf.findChildren(Line)
                            if line.isVisible()))  # fmt: skip
    assert "Roasted in a lidded pan is juicier than roasted bare" in shown
    assert "+0.6 to +2.4" in shown and "\u22124.5" in shown
    finding = reckon(worker.notebook, worker.trial_id).deciding
    assert (finding.case, finding.favours, finding.comparison.df) == ("better_enough", "B", 3)
    assert -finding.comparison.estimate == pytest.approx(1.5, abs=1e-12)
    worker.decide("change", "In a lidded pan from now on.")
    target = tmp_path / "beetroot.pdf"
    worker.hand_on("page to print", target, answer_dialog)
    assert target.read_bytes().startswith(b"%PDF")
    states = views.page_states(worker.notebook, worker.trial_id)
    said = [say(state.said) if state.said else "" for state in states]
    assert said[3:5] == ["4 of 4", "4 of 4"] and said[6] == "handed on"
    if shutil.which("pdftotext") is None:
        pytest.skip("needs poppler-utils to read the file")
    texts = [
        subprocess.run(["pdftotext", *how, str(target), "-"], capture_output=True, check=True)
        for how in ((), ("-layout",))
    ]
    text = " ".join(_plain(one.stdout.decode()) for one in texts)
    assert [one for one in PRINTED if one not in text] == []


def _cakes() -> dict[tuple[str, int], float]:
    """Recipe and replicate to the mean angle over six temperatures."""
    angles = defaultdict(list)
    with (REFERENCE / "data" / "cake.csv").open(encoding="utf-8") as file:
        for row in csv.DictReader(file):
            angles[row["recipe"], int(row["replicate"])].append(float(row["angle"]))
    return {key: mean(values) for key, values in angles.items()}


def test_published_cakes_typed_in_give_the_published_paired_answer(book, qtbot, tmp_path):
    """An angle of 44.8 is typed as 100 g raw and 55.2 g served: a loss of 44.8 %."""
    (case,) = [c for c in json.loads((REFERENCE / "expected" / "paired.json").read_text())["cases"]
               if c["id"] == "cake_A_minus_B"]  # fmt: skip
    cakes = _cakes()
    with desk(qtbot, tmp_path) as window:
        show(qtbot, window, "question", asked(window.desk.notebook))
        worker = Worker(qtbot, window)
        page = window.page()
        choose(qtbot, page.rows["decides"]._choices["what"], "loss")
        page.sentence.blanks["matters"].setFocus()
        rewrite(qtbot, "2 % of raw", ENTER)
        worker.stage("bake")
        worker.plan(15, 1)

        def weight(point: str, letter: str, day: int) -> str:
            return {"raw": "100", "served": repr(100 - cakes[letter, day])}.get(point, "")

        worker.weigh(weight)
        found = reckon(window.desk.notebook, worker.trial_id).deciding
        plain = found.comparison
        assert (found.scope, plain.df, found.counts.cooks) == ("method", 14, 15)
        expected = case["paired_t"]["two_sided"]
        assert plain.estimate == pytest.approx(expected["estimate"], rel=1e-9)
        assert plain.t == pytest.approx(expected["t"], rel=1e-9)
        assert plain.p == pytest.approx(expected["p"], rel=1e-9)
        ends = (expected["ci_low"], expected["ci_high"])
        assert (plain.low, plain.high) == pytest.approx(ends, rel=1e-9)
        page = worker.turn_to(6)
        qtbot.waitUntil(page.headline.isVisible, timeout=20_000)
        assert page.headline.words()


def test_one_recipe_twice_shows_what_no_difference_looks_like(book, qtbot, tmp_path):
    with desk(qtbot, tmp_path) as window:
        show(qtbot, window, "question", asked(window.desk.notebook))
        worker = Worker(qtbot, window)
        pressed(qtbot, window.page().rows["kind"].row, "how noisy is my kitchen")
        worker.stage("roast")
        worker.plan(4, 1, 2)
        worker.weigh(_weights)
        worker.taste(2, _scores)
        worker.open_keys()
        finding = reckon(window.desk.notebook, worker.trial_id).deciding
        assert (finding.case, finding.favours) == ("same_recipe", None)
        assert abs(finding.comparison.estimate) == pytest.approx(1.5, abs=1e-12)
        page = worker.turn_to(6)
        qtbot.waitUntil(page.headline.isVisible, timeout=20_000)
        assert "juicier than" not in page.headline.words()

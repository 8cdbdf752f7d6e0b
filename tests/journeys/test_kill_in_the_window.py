"""kill -9 while one is writing in the real window: nothing that was on the screen is lost."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from tests.journeys.at_the_desk import desk, show
from tests.journeys.on_screen import written
from tests.journeys.trials import ready_to_cook, sealed
from trialbench.notebook import views
from trialbench.notebook.notebook import Notebook

ROOT = Path(__file__).resolve().parents[2]


def _laid_out(folder: Path, page: str) -> str:
    with Notebook.open(folder / "kitchen.trialbench", backups=folder / "backups") as notebook:
        trial_id = ready_to_cook(notebook, pieces_each="2")
        if page == "tasting":
            sealed(notebook, views.cooks(notebook, trial_id)[0])
    return trial_id


def _killed(folder: Path, page: str, trial_id: str) -> list[str]:
    """What stood on the screen of a window when it was killed."""
    child = subprocess.Popen(
        [sys.executable, "-m", "tests.journeys.window_entry", str(folder), page, trial_id],
        stdout=subprocess.PIPE,
        text=True,
        cwd=ROOT,
    )
    assert child.stdout is not None
    said = child.stdout.readline()
    child.kill()
    child.communicate()
    assert child.returncode == -9, said
    return json.loads(said)


MARKS = {
    "plan": ["tasters=8 False", "day=99 True", "drawn now=the second bird was sti False"],
    "cook": ["=1\u2009000 written", "=0 refused", "=dropped missing", "=12 open",
             "=the door stood open False"],
    "tasting": ["=6 written", "=7 written", "=12 refused", "=7 or open", "=it got la False",
                "=wheat False"],
}  # fmt: skip


@pytest.mark.parametrize("page", MARKS)
def test_what_was_on_the_screen_is_there_again(book, qtbot, tmp_path, page):
    trial_id = _laid_out(tmp_path, page)
    before = _killed(tmp_path, page, trial_id)
    for mark in MARKS[page]:
        assert any(one.endswith(mark) for one in before), (mark, before)
    with desk(qtbot, tmp_path) as window:
        assert not window.desk.notebook.read_only
        show(qtbot, window, page, trial_id)
        assert written(window) == before

"""From the start of the process to the first paint and to the page, against a bare window."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path
from statistics import median

import pytest

from tests.house.tree import ROOT
from tests.screens import example_notebook

# A time is taken when the event loop is reached again after a paint: by then all of it has been
# painted and handed over. Both subjects are watched in the same way, from where the program gives
# the loop its turn: the window, and what is laid on it later (the page that can be read).
_PROBE = """
import sys, time
from PySide6.QtCore import QEvent, QObject, QTimer
from PySide6.QtWidgets import QApplication, QMainWindow

HEAVY = ("numpy", "pandas", "scipy", "statsmodels", "matplotlib")

class Probe(QObject):
    def eventFilter(self, watched, event):
        if event.type() == QEvent.Type.ChildAdded and event.child().isWidgetType():
            event.child().installEventFilter(self)
        if event.type() == QEvent.Type.Paint:
            QTimer.singleShot(0, self.window if watched.isWindow() else self.page)
        return False

    def window(self):
        self.window = lambda: None
        self.say()
        if BARE:
            self.page()

    def page(self):
        self.page = lambda: None
        self.say()
        QApplication.closeAllWindows()
        QApplication.quit()

    def say(self):
        print(time.monotonic_ns(), *(name for name in HEAVY if name in sys.modules), flush=True)

probe = Probe()
run = QApplication.exec

def probed(*args):
    for window in QApplication.topLevelWidgets():
        window.installEventFilter(probe)
    return run()

QApplication.exec = probed
"""
_BARE = """
BARE = True
app = QApplication(sys.argv)
window = QMainWindow()
window.resize(1280, 800)
window.show()
app.exec()
"""
_OURS = """
BARE = False
from trialbench.cli import main
main(sys.argv[1:])
"""


def _start_s(subject: str, folder: Path, *arguments: str) -> tuple[float, float]:
    """Seconds from the start of a process to its first paint and to its page.

    Nothing heavy may be loaded by then.
    """
    surroundings = {
        **os.environ,
        "PYTHONPATH": str(ROOT),
        "QT_QPA_PLATFORM": "offscreen",
        "XDG_CONFIG_HOME": str(folder),
        "XDG_DATA_HOME": str(folder),
        "PYTHONPYCACHEPREFIX": str(folder / "compiled"),
    }
    surroundings.pop("PYTHONDONTWRITEBYTECODE", None)
    begun = time.monotonic_ns()
    done = subprocess.run(
        [sys.executable, "-c", _PROBE + subject, *arguments],
        env=surroundings,
        check=True,
        capture_output=True,
        text=True,
    )
    window, page = done.stdout.splitlines()  # a time alone: the name of a library would follow it
    return (int(window) - begun) / 1e9, (int(page) - begun) / 1e9


@pytest.fixture(scope="module")
def notebook(tmp_path_factory) -> Path:
    """A notebook with all example trials, as it is on any day but the first."""
    folder = tmp_path_factory.mktemp("start")
    with example_notebook(folder) as book:
        return Path(book.path)


@pytest.mark.skipif(not hasattr(time, "CLOCK_MONOTONIC"), reason="no clock for two processes")
def test_start_to_first_paint(notebook, repeats, figure):
    folder = notebook.parent
    bare, first, page = [], [], []
    for turn in range(repeats + 1):  # the first turn compiles and warms the disk
        pair = _start_s(_BARE, folder), _start_s(_OURS, folder, str(notebook))
        if turn:
            bare.append(pair[0][0])
            first.append(pair[1][0])
            page.append(pair[1][1])
    figure("start to first paint, a bare window", median(bare), "s")
    figure("start to first paint, the paper of the notebook", median(first), "s")
    figure("start to the page that can be read", median(page), "s")
    figure("start to first paint against bare", median(first) / median(bare), "times", limit=1.6)
    figure("start to the page against bare", median(page) / median(bare), "times")

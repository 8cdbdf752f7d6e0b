"""The window on a real display server, where the platform's own libraries are needed."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys

import pytest

from tests.house.tree import ROOT

_OPEN_AND_CLOSE = """
import sys
from PySide6.QtCore import QEvent, QObject, QTimer
from PySide6.QtWidgets import QApplication

class Watch(QObject):
    def eventFilter(self, watched, event):
        # The paper is painted first; then the notebook is laid on it, and painted in its turn.
        if event.type() == QEvent.Type.ChildAdded and event.child().isWidgetType():
            event.child().installEventFilter(self)
        if event.type() == QEvent.Type.Paint and not watched.isWindow():
            watched.removeEventFilter(self)
            print(QApplication.platformName(), watched.width(), watched.height(), flush=True)
            QTimer.singleShot(0, QApplication.closeAllWindows)
        return False

watch, run = Watch(), QApplication.exec

def watched(*args):
    for window in QApplication.topLevelWidgets():
        window.installEventFilter(watch)
    return run()

QApplication.exec = watched
from trialbench.cli import main
sys.exit(main(sys.argv[1:]))
"""


@pytest.mark.skipif(shutil.which("xvfb-run") is None, reason="no virtual screen here")
def test_the_window_opens_and_closes_on_an_x_display(tmp_path):
    surroundings = {
        **os.environ,
        "QT_QPA_PLATFORM": "xcb",
        "PYTHONPATH": str(ROOT),
        "XDG_CONFIG_HOME": str(tmp_path),
        "XDG_DATA_HOME": str(tmp_path),
        "XDG_RUNTIME_DIR": str(tmp_path),
    }
    tmp_path.chmod(0o700)
    screen = ["xvfb-run", "-a", "-s", "-screen 0 1600x1000x24"]
    done = subprocess.run(
        [*screen, sys.executable, "-c", _OPEN_AND_CLOSE, str(tmp_path / "kitchen.trialbench")],
        env=surroundings,
        check=False,
        capture_output=True,
        text=True,
        stdin=subprocess.DEVNULL,
        timeout=100,
    )
    assert (done.returncode, done.stderr) == (0, "")
    platform, width, height = done.stdout.split()
    assert platform == "xcb"
    assert int(width) >= 800
    assert int(height) >= 600
    assert (tmp_path / "kitchen.trialbench").stat().st_size > 0

"""A real window worked by keys in a process of its own, until it is killed.

`python -m tests.journeys.window_entry FOLDER PAGE TRIAL` types into the page, says on its output
as JSON what is on the screen, and then waits for its end with the window open.
"""

from __future__ import annotations

import json
import os
import sys
from pathlib import Path
from typing import Any

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from tests.journeys.on_screen import written
from trialbench.notebook.notebook import Notebook
from trialbench.ui import theme
from trialbench.ui.pages import book_window
from trialbench.ui.settings import Settings


def _keys(text: str, *, enter: bool = False) -> None:
    for key in text:
        QTest.keyClicks(QApplication.focusWidget(), key)
    if enter:
        QTest.keyClick(QApplication.focusWidget(), Qt.Key.Key_Return)
    QApplication.processEvents()


def _plan(page: Any) -> None:
    page.figures.sentence.blanks["planned_tasters"].setFocus()
    _keys("8", enter=True)
    page.figures.sentence.blanks["pieces_each"].setFocus()
    page.figures.sentence.blanks["pieces_each"].selectAll()
    _keys("99", enter=True)
    page.do("draw", ())
    _keys("the second bird was sti")


def _cook(page: Any) -> None:
    page.happened.setFocus()
    _keys("the door stood open", enter=True)
    page.do("weigh", ())
    _keys("1000", enter=True)
    _keys("0", enter=True)
    page.table.go_to(2, 2)
    _keys("- dropped", enter=True)
    page.table.go_to(3, 2)
    _keys("12")


def _tasting(page: Any) -> None:
    page.served.values["allergens"].setFocus()
    _keys("wheat", enter=True)
    page.sitting_key.reason.setFocus()
    _keys("it got la")
    page.table.go_to(0, 1)
    _keys("67")
    page.table.write_in(1, 1)
    _keys("12", enter=True)
    page.table.write_in(1, 2)
    _keys("7 or")


WORK = {"plan": _plan, "cook": _cook, "tasting": _tasting}


def main(folder: Path, key: str, trial_id: str) -> None:
    """Work, say what is on the screen, wait to be killed."""
    app = QApplication(["trialbench-entry"])
    theme.install(app, "light")
    theme.set_still(True)
    notebook = Notebook.open(folder / "kitchen.trialbench", backups=folder / "backups")
    window = book_window(notebook, Settings())
    window.resize(1280, 800)
    window.desk.go(key, trial_id)
    window.show()
    QTest.qWaitForWindowActive(window)
    WORK[key](window.page())
    sys.stdout.write(json.dumps(written(window)) + "\n")
    sys.stdout.flush()
    app.exec()


if __name__ == "__main__":
    main(Path(sys.argv[1]), sys.argv[2], sys.argv[3])

"""A real notebook in the real window, worked by keys and clicks: what the page journeys share."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QAbstractButton, QApplication, QLineEdit, QWidget

from trialbench.model.records import Trial
from trialbench.notebook import acts
from trialbench.notebook.acts import question
from trialbench.notebook.notebook import Notebook
from trialbench.ui.pages import book_window
from trialbench.ui.settings import Settings


@contextmanager
def desk(qtbot: Any, folder: Path, settings: Settings | None = None) -> Iterator[Any]:
    """The window of the notebook in `folder`, shown and in front; closed as by its cross."""
    notebook = Notebook.open(folder / "kitchen.trialbench", backups=folder / "backups")
    window = book_window(notebook, settings or Settings())
    window.resize(1280, 800)
    try:
        yield window
    finally:
        window.close()
        window.deleteLater()
        notebook.close()


def show(qtbot: Any, window: Any, page: str, trial_id: str = "") -> Any:
    """Open a page, bring the window to the front, and wait until nothing is being reckoned."""
    window.desk.go(page, trial_id)
    window.show()
    # On a bare display no window manager hands the keyboard over.
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    settle(qtbot, window)
    return window.page()


def settle(qtbot: Any, window: Any) -> None:
    qtbot.waitUntil(lambda: not window.background.is_busy(), timeout=30_000)
    QApplication.processEvents()


def begun(notebook: Notebook, food: str = "", usual: str = "", idea: str = "") -> str:
    """A new trial; its id."""
    step = question.begin_trial(notebook, food, usual, idea)
    notebook.apply(step)
    return acts.new_record(step, Trial).id


def focused() -> QWidget:
    found = QApplication.focusWidget()
    assert found is not None
    return found


def write(qtbot: Any, text: str, end: Qt.Key = Qt.Key.Key_Tab) -> None:
    """Type into what has focus and leave it by Tab, or press Enter."""
    qtbot.keyClicks(focused(), text)
    qtbot.keyClick(focused(), end)
    QApplication.processEvents()


def rewrite(qtbot: Any, text: str, end: Qt.Key = Qt.Key.Key_Tab) -> None:
    """Type over all of what has focus."""
    inner = focused()
    assert isinstance(inner, QLineEdit)
    inner.selectAll()
    qtbot.keyClick(inner, Qt.Key.Key_Delete)
    write(qtbot, text, end)


def keyed(qtbot: Any, text: str, end: Qt.Key | None = None) -> None:
    """Key by key to whatever has the keyboard by then: the first one opens a cell."""
    for key in text:
        qtbot.keyClicks(focused(), key)
    if end is not None:
        qtbot.keyClick(focused(), end)
    QApplication.processEvents()


def choose(qtbot: Any, choice: Any, key: str) -> None:
    """Open a choice by keyboard and take an alternative."""
    choice.setFocus()
    qtbot.keyClick(choice, Qt.Key.Key_Down)
    offered = choice._list
    for row in range(offered.count()):
        if offered.item(row).data(Qt.ItemDataRole.UserRole) == key:
            offered.setCurrentRow(row)
    qtbot.keyClick(offered, Qt.Key.Key_Return)
    QApplication.processEvents()


def pressed(qtbot: Any, inside: QWidget, words: str) -> None:
    """Click the verb of these words."""
    for button in inside.findChildren(QAbstractButton):
        if button.isVisible() and getattr(button, "label", button.text)() == words:
            qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
            QApplication.processEvents()
            return
    raise LookupError(words)


def draw_now(qtbot: Any, page: Any, why: str = "the racks are filled first") -> None:
    """Lots over the whole plan before anything is weighed, with the reason that this needs."""
    pressed(qtbot, page.who.lots.waits, "Draw all lots now, and say why")
    assert focused() is page.who.lots.reason
    write(qtbot, why, Qt.Key.Key_Return)

"""Ground for tests that show something: no screen, no dialogs, nothing said on the side."""

from __future__ import annotations

import os

# Before any import of Qt or matplotlib.
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
os.environ["MPLBACKEND"] = "Agg"

import gc
import logging
import sys
import threading
from collections.abc import Iterator
from typing import Any

import pytest


class _Queue:
    """Answers for modal dialogs, in the order they will be asked for."""

    def __init__(self) -> None:
        self.answers: list[Any] = []

    def __call__(self, answer: Any) -> None:
        self.answers.append(answer)


@pytest.fixture
def answer_dialog() -> Iterator[_Queue]:
    """Call it with the result of the next modal dialog; all must have been asked for."""
    queue = _queue
    queue.answers.clear()
    yield queue
    left, queue.answers = list(queue.answers), []
    assert not left, f"dialogs that were not asked: {left}"


_queue = _Queue()
_troubles: list[str] = []


def _no_dialogs() -> None:
    from PySide6.QtWidgets import QDialog, QFileDialog, QInputDialog, QMessageBox

    def asked(self: QDialog, *args: Any) -> Any:
        if not _queue.answers:
            _troubles.append(f"a modal dialog was shown: {type(self).__name__}")
            return 0
        return _queue.answers.pop(0)

    def asked_statically(*args: Any, **kwargs: Any) -> Any:
        if not _queue.answers:
            _troubles.append("a modal dialog was shown")
            return ("", "")
        return _queue.answers.pop(0)

    QDialog.exec = asked  # type: ignore[method-assign]
    QDialog.open = asked  # type: ignore[method-assign,assignment]
    for owner, names in (
        (QFileDialog, ("getOpenFileName", "getSaveFileName", "getExistingDirectory")),
        (QInputDialog, ("getText", "getItem", "getInt", "getDouble")),
        (QMessageBox, ("question", "warning", "information", "critical")),
    ):
        for name in names:
            setattr(owner, name, staticmethod(asked_statically))


def pytest_collection_finish() -> None:
    """Set aside what was collected: each search for dead windows would go through it again."""
    gc.collect()
    gc.freeze()


@pytest.fixture(scope="session")
def qapp_args() -> list[str]:
    return ["trialbench-tests"]


@pytest.fixture(autouse=True)
def _qt_hygiene(request: pytest.FixtureRequest) -> Iterator[None]:
    """Qt's own warnings, exceptions in slots, dialogs and what is left alive fail the test."""
    if "qapp" not in request.fixturenames and "qtbot" not in request.fixturenames:
        yield
        return
    from PySide6.QtCore import QtMsgType, qInstallMessageHandler

    app = request.getfixturevalue("qapp")
    _no_dialogs()
    _troubles.clear()

    def heard(kind: QtMsgType, context: Any, message: str) -> None:
        if kind != QtMsgType.QtDebugMsg and not _is_of_the_platform(message):
            _troubles.append(f"Qt said: {message}")

    def raised(kind: type[BaseException], value: BaseException, at: Any) -> None:
        _troubles.append(f"not caught: {kind.__name__}: {value}")

    old_hook, sys.excepthook = sys.excepthook, raised
    old_handler = qInstallMessageHandler(heard)
    logs = _Logs()
    logging.getLogger().addHandler(logs)
    threads = set(threading.enumerate())
    yield
    _let_go(app)
    logging.getLogger().removeHandler(logs)
    qInstallMessageHandler(old_handler)
    sys.excepthook = old_hook
    left = [type(w).__name__ for w in app.topLevelWidgets() if w.isVisible()]
    if left:
        _troubles.append(f"widgets left open: {left}")
    new = [t.name for t in threading.enumerate() if t not in threads and t.is_alive()]
    if new:
        _troubles.append(f"threads left alive: {new}")
    assert not _troubles, "; ".join(_troubles)


class _Logs(logging.Handler):
    def emit(self, record: logging.LogRecord) -> None:
        if record.levelno >= logging.WARNING:
            _troubles.append(f"logged: {record.getMessage()}")


def _is_of_the_platform(message: str) -> bool:
    """What the screenless platform says of itself, whatever the program does."""
    return "propagateSizeHints" in message or "does not support" in message


def _let_go(app: Any) -> None:
    """Deliver what is queued, delete what waits to be deleted."""
    from PySide6.QtCore import QEvent

    for _ in range(3):
        app.processEvents()
        app.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    gc.collect()


@pytest.fixture
def book(qapp: Any) -> Iterator[Any]:
    """The application dressed as the notebook: light, at the desk, nothing moves by itself."""
    from trialbench.ui import theme

    theme.install(qapp, "light")
    theme.set_still(True)
    theme.set_text_percent(100)
    theme.set_counter(False)
    yield qapp
    theme.set_choice("light")
    theme.set_counter(False)
    theme.set_text_percent(100)

"""One worker: the latest question wins, answers come home, nothing outlives its owner."""

import threading

import pytest
from PySide6.QtCore import QObject, QThread, Signal

from trialbench.ui.background import Background


@pytest.fixture
def background(book):
    made = Background()
    yield made
    made.close()
    made.deleteLater()


def test_the_answer_comes_to_the_main_thread(background, qtbot):
    seen = []
    background.ask("sum", lambda: (1 + 1, threading.get_ident()),
                   lambda value: seen.append((*value, threading.get_ident())))  # fmt: skip
    qtbot.waitUntil(lambda: bool(seen))
    value, worker, home = seen[0]
    assert value == 2
    assert worker != home == threading.main_thread().ident
    assert QThread.currentThread() is background.thread()


def test_the_latest_question_wins(background, qtbot):
    gate = threading.Event()
    answers = []
    background.ask("finding", lambda: gate.wait(10) and "first", answers.append)
    for number in range(50):
        background.ask("finding", lambda number=number: number, answers.append)
    gate.set()
    qtbot.waitUntil(lambda: not background.is_busy())
    assert answers == [49]


def test_subjects_do_not_disturb_each_other(background, qtbot):
    answers = []
    background.ask("a", lambda: "a", answers.append)
    background.ask("b", lambda: "b", answers.append)
    qtbot.waitUntil(lambda: len(answers) == 2)
    assert sorted(answers) == ["a", "b"]


def test_an_answer_that_is_no_longer_wanted_never_comes(background, qtbot):
    gate, answers = threading.Event(), []
    background.ask("a", lambda: gate.wait(10), answers.append)
    background.stop("a")
    gate.set()
    background.ask("b", lambda: "b", answers.append)
    qtbot.waitUntil(lambda: "b" in answers)
    assert answers == ["b"]


def test_trouble_comes_home_too(background, qtbot):
    troubles = []

    def fail() -> None:
        raise ValueError("no cooks")

    background.ask("a", fail, lambda value: None, trouble=troubles.append)
    qtbot.waitUntil(lambda: bool(troubles))
    assert str(troubles[0]) == "no cooks"
    assert not background.is_busy()


def test_progress_is_told_and_stops_the_reckoning(background, qtbot):
    told, ended = [], threading.Event()
    more = threading.Semaphore(0)

    def reckon(progress) -> str:
        try:
            for number in range(1000):
                progress.tell(number, 1000)
                more.acquire(timeout=10)
            return "done"
        finally:
            ended.set()

    answers = []
    background.ask("redraw", reckon, answers.append,
                   progress=lambda done, whole: told.append((done, whole)))  # fmt: skip
    qtbot.waitUntil(lambda: bool(told))
    assert told[0] == (0, 1000)
    background.stop("redraw")
    more.release()
    assert ended.wait(10)
    assert answers == []


def test_a_closed_worker_takes_no_more_questions(book):
    background = Background()
    background.close()
    background.ask("a", lambda: 1, lambda value: None)
    assert not background.is_busy()
    background.deleteLater()


def test_five_thousand_emissions_do_no_harm(book):
    class Emitter(QObject):
        said = Signal(object)

    emitter, heard = Emitter(), []
    emitter.said.connect(heard.append)
    for number in range(5_000):
        emitter.said.emit(number % 2 == 0)
    assert len(heard) == 5_000
    assert heard[:2] == [True, False]

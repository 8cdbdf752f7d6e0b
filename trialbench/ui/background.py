"""Long reckoning off the desk: one worker, the latest question wins, answers on the main thread."""

from __future__ import annotations

import gc
import threading
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass, field
from typing import Any

from PySide6.QtCore import QObject, Qt, Signal, Slot


class Stopped(Exception):
    """Raised inside a reckoning by `Progress.tell` when it is no longer wanted."""


@dataclass(frozen=True, slots=True)
class _Answer:
    subject: str
    number: int
    value: Any = None
    trouble: Exception | None = None


@dataclass(frozen=True, slots=True)
class _Progress:
    subject: str
    number: int
    done: int
    whole: int


@dataclass(slots=True)
class _Question:
    number: int
    answer: Callable[[Any], None]
    trouble: Callable[[Exception], None]
    progress: Callable[[int, int], None] | None
    stop: threading.Event = field(default_factory=threading.Event)
    future: Future[None] | None = None


class Progress:
    """Given to a reckoning that asks for it: `tell(done, whole)`; raises Stopped when unwanted."""

    def __init__(self, tell: Callable[[int, int], None], stop: threading.Event) -> None:
        self._tell, self._stop = tell, stop

    def tell(self, done: int, whole: int) -> None:
        if self._stop.is_set():
            raise Stopped
        self._tell(done, whole)


class Background(QObject):
    """One worker thread. Questions have a subject ("finding of trial 3"): a newer question of the
    same subject makes the older one void, whether it waits, runs or has been answered.

    `busy_changed()` tells when something begins or ends.
    """

    busy_changed = Signal()
    _arrived = Signal(object)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._pool: ThreadPoolExecutor | None = ThreadPoolExecutor(1, "reckoning")
        self._questions: dict[str, _Question] = {}
        self._count = 0
        self._held: list[Callable[[], None]] | None = None
        # Made here, in the main thread: the worker only emits, the slot runs at home.
        self._arrived.connect(self._deliver, Qt.ConnectionType.QueuedConnection)

    def ask(
        self,
        subject: str,
        work: Callable[..., Any],
        answer: Callable[[Any], None],
        *,
        trouble: Callable[[Exception], None] | None = None,
        progress: Callable[[int, int], None] | None = None,
    ) -> None:
        """Run `work()` on the worker and call `answer(value)` on the main thread.

        `work` gets plain records and returns plain values; with `progress` it is called as
        `work(progress)` with a `Progress`. Without `trouble` an exception is raised at home.
        """
        if self._pool is None:
            return
        self.stop(subject)
        self._count += 1
        question = _Question(self._count, answer, trouble or _raise, progress)
        self._questions[subject] = question

        def begin() -> None:
            if self._pool is not None and not question.stop.is_set():
                question.future = self._pool.submit(self._run, subject, question, work)

        if self._held is None:
            begin()
        else:
            self._held.append(begin)
        self.busy_changed.emit()

    def hold(self) -> None:
        """Let questions wait until `warm_up`: nothing is reckoned before the window is painted."""
        self._held = []

    def _run(self, subject: str, question: _Question, work: Callable[..., Any]) -> None:
        number = question.number
        if question.stop.is_set():
            return
        try:
            if question.progress is None:
                value = work()
            else:

                def tell(done: int, whole: int) -> None:
                    self._arrived.emit(_Progress(subject, number, done, whole))

                value = work(Progress(tell, question.stop))
        except Stopped:
            return
        except Exception as trouble:
            self._arrived.emit(_Answer(subject, number, trouble=trouble))
        else:
            self._arrived.emit(_Answer(subject, number, value))

    @Slot(object)
    def _deliver(self, arrived: _Answer | _Progress) -> None:
        question = self._questions.get(arrived.subject)
        if question is None or question.number != arrived.number:
            return
        if isinstance(arrived, _Progress):
            if question.progress is not None:
                question.progress(arrived.done, arrived.whole)
            return
        del self._questions[arrived.subject]
        self.busy_changed.emit()
        if arrived.trouble is not None:
            question.trouble(arrived.trouble)
        else:
            question.answer(arrived.value)

    def stop(self, subject: str) -> None:
        """The answer is no longer wanted."""
        question = self._questions.pop(subject, None)
        if question is not None:
            question.stop.set()
            if question.future is not None:
                question.future.cancel()
            self.busy_changed.emit()

    def is_busy(self, subject: str | None = None) -> bool:
        return bool(self._questions) if subject is None else subject in self._questions

    def warm_up(self) -> None:
        """Import what reckoning needs, once the window is up, then answer what waited."""
        held, self._held = self._held or [], None
        self.ask("warm up", _import_heavy, _let_rest)
        for begin in held:
            begin()

    def close(self) -> None:
        """Stop taking questions and wait for the one that runs."""
        for subject in list(self._questions):
            self.stop(subject)
        if self._pool is not None:
            self._pool.shutdown(wait=True, cancel_futures=True)
            self._pool = None


def _import_heavy() -> None:
    import matplotlib.figure  # noqa: F401
    import numpy  # noqa: F401
    import pandas  # noqa: F401
    import scipy.stats  # noqa: F401


def _let_rest(value: object) -> None:
    """What was imported stays for good: looking through it for garbage would stop a key for tens
    of milliseconds."""
    gc.freeze()


def _raise(trouble: Exception) -> None:
    raise trouble

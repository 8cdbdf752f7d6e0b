"""Undo and redo: the one command class, over steps of the notebook."""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol

from PySide6.QtCore import QObject, Signal, Slot
from PySide6.QtGui import QUndoCommand, QUndoStack

from trialbench.model.errors import TrialbenchError
from trialbench.model.message import Message, say
from trialbench.model.steps import Step

_BURST_ID = 1


class Notebook(Protocol):
    """What the desk needs of the open notebook."""

    def apply(self, step: Step, clears_draft: str | None = None) -> int:
        """Write a step: one transaction, then one call of every listener."""

    def revert(self, step: Step) -> int:
        """Take a step back, as a step of its own in the diary."""

    def subscribe(self, listener: Callable[[frozenset[str]], None]) -> Callable[[], None]:
        """Call `listener(kinds)` after every change; returns how to stop that."""


class StepCommand(QUndoCommand):
    """Steps taken together; a burst of typing grows into one command.

    A failing write makes the command obsolete, so that the stack drops it by itself; the trouble
    is kept in `trouble` for whoever pushed, undid or redid.
    """

    def __init__(self, notebook: Notebook, step: Step, clears_draft: str | None = None) -> None:
        super().__init__(say(step.label))
        self._notebook = notebook
        self._clears_draft = clears_draft
        self._steps: tuple[Step, ...] = (step,)
        self.trouble: TrialbenchError | None = None

    def taken_trouble(self) -> TrialbenchError | None:
        """Why the last run failed, told once."""
        trouble, self.trouble = self.trouble, None
        return trouble

    def id(self) -> int:
        return _BURST_ID if self._steps[0].burst else -1

    def mergeWith(self, other: QUndoCommand) -> bool:
        if not isinstance(other, StepCommand) or other.isObsolete():
            return False
        if other._steps[0].burst != self._steps[0].burst:
            return False
        self._steps += other._steps
        self.setText(other.text())
        return True

    def redo(self) -> None:
        self._run(self._apply, self._steps)

    def _apply(self, step: Step) -> None:
        draft, self._clears_draft = self._clears_draft, None
        self._notebook.apply(step, clears_draft=draft)

    def undo(self) -> None:
        self._run(self._notebook.revert, self._steps[::-1])

    def _run(self, act: Callable[[Step], object], steps: tuple[Step, ...]) -> None:
        self.trouble = None
        try:
            for step in steps:
                act(step)
        except TrialbenchError as trouble:
            self.trouble = trouble
            self.setObsolete(True)


class History(QObject):
    """The desk's undo stack. `changed()` when what can be taken back has changed."""

    changed = Signal()
    trouble = Signal(object)

    def __init__(self, notebook: Notebook, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._notebook = notebook
        self._stack = QUndoStack(self)
        self._stack.indexChanged.connect(self._say_changed)

    def take(self, step: Step, clears_draft: str | None = None) -> None:
        """Take a step, and clear the draft it came from. Only desk steps can be taken back.

        A barrier ends what can be taken back.
        Raises what the notebook raises (Refused, FileTrouble, Sealed ...); nothing is kept then.
        """
        if step.origin != "desk" or step.barrier:
            self._notebook.apply(step, clears_draft=clears_draft)
            if step.barrier:
                self.forget()
            return
        command = StepCommand(self._notebook, step, clears_draft)
        self._stack.push(command)
        trouble = command.taken_trouble()
        if trouble is not None:
            raise trouble

    @Slot()
    def undo(self) -> None:
        """Take the last step back; trouble is emitted, not raised."""
        self._turn(self._stack.undo, self._stack.index() - 1)

    @Slot()
    def redo(self) -> None:
        """Take it again."""
        self._turn(self._stack.redo, self._stack.index())

    def _turn(self, act: Callable[[], None], place: int) -> None:
        if not 0 <= place < self._stack.count():
            return
        command = self._stack.command(place)
        assert isinstance(command, StepCommand)
        act()
        trouble = command.taken_trouble()
        if trouble is not None:
            self.trouble.emit(trouble)

    def can_undo(self) -> bool:
        return self._stack.canUndo()

    def can_redo(self) -> bool:
        return self._stack.canRedo()

    def last_label(self) -> Message | str:
        """What was done last, "" when nothing can be taken back."""
        return self._stack.undoText()

    def forget(self) -> None:
        """A barrier was passed (a seal, an opened key): nothing before it can be taken back."""
        self._stack.clear()
        self.changed.emit()

    def close(self) -> None:
        """Forget everything: the window goes."""
        self._stack.indexChanged.disconnect(self._say_changed)
        self._stack.clear()

    @Slot()
    def _say_changed(self) -> None:
        self.changed.emit()

"""A place to write, bound to what it writes: a draft with every key, a step when it is done."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QObject, Slot

from trialbench.model.errors import Refused, TrialbenchError, TwoReadings
from trialbench.model.margin import NoteVerb
from trialbench.model.message import msg
from trialbench.model.steps import Step
from trialbench.ui.blanks import Blank
from trialbench.ui.page import Desk

WAYS_OUT = (
    NoteVerb(msg("Write it again"), "again"),
    NoteVerb(msg("Keep what was there"), "kept"),
)


class Writing(QObject):
    """Binds a blank (or value) to a place in the notebook.

    `place` is the draft's name. `act(text)` builds the step or raises what the blank then shows in
    place. What is half typed or refused is there again after the program was ended.
    """

    def __init__(
        self, desk: Desk, blank: Blank, place: str, act: Callable[[str], Step | None]
    ) -> None:
        super().__init__(blank)
        self._desk, self._blank, self.place, self._act = desk, blank, place, act
        self._writing = False
        blank.typed.connect(self._typed)
        blank.committed.connect(self._committed)
        blank.way_out.connect(self._take_reading)

    def show(self, kept: str) -> None:
        """Show what the notebook holds, or what was being written over it."""
        blank, notebook = self._blank, self._desk.notebook
        blank.show_kept(kept)
        draft = notebook.draft(self.place)
        if draft is None or blank.hasFocus() or blank.is_refused() or blank.text() == draft:
            return
        blank.show_draft(draft)
        if notebook.draft(self._refused_place()) is not None:
            self._committed(draft)

    def bind(self, place: str, kept: str) -> None:
        """Write to another place from now on (another trial is open)."""
        if place != self.place:
            self.place = place
            self._blank.keep(kept)
        self.show(kept)

    def _refused_place(self) -> str:
        return f"{self.place}:refused"

    @Slot(object)
    def _typed(self, text: str) -> None:
        self._desk.write_draft(self._refused_place(), None)
        self._desk.write_draft(self.place, None if text == self._blank.kept() else text)

    @Slot(object)
    def _committed(self, text: str) -> None:
        # What is written may take this very blank away, and with it the focus.
        if self._writing:
            return
        self._writing = True
        try:
            self._write(text)
        finally:
            self._writing = False

    def _write(self, text: str) -> None:
        trouble: TrialbenchError | None
        try:
            step = self._act(text)
        except TrialbenchError as refused:
            trouble = refused
        else:
            trouble = None
            if step is not None:
                trouble = self._desk.take(step, clears_draft=self.place)
        if trouble is not None:
            self._refuse(text, trouble)
        else:
            # What is kept is by now what the page's refresh made of it.
            self._desk.write_draft(self.place, None)
            self._desk.write_draft(self._refused_place(), None)
            self._blank.keep(self._blank.kept())

    @Slot(object)
    def _take_reading(self, verb: NoteVerb) -> None:
        """One of two readings was chosen: it is written as if it had been typed."""
        if verb.name == "write":
            self._blank.setText(verb.args[0])
            self._committed(verb.args[0])

    def _refuse(self, text: str, trouble: TrialbenchError) -> None:
        self._desk.write_draft(self.place, text)
        self._desk.write_draft(self._refused_place(), "yes")
        if isinstance(trouble, TwoReadings):
            readings = (
                NoteVerb(msg("{reading}", reading=words), "write", (typed,))
                for words, typed in trouble.readings
            )
            self._blank.refuse(trouble, (*readings, WAYS_OUT[1]))
        elif isinstance(trouble, Refused):
            self._blank.refuse(trouble, WAYS_OUT)
        else:
            self._blank.refuse(trouble.message, WAYS_OUT[1:])

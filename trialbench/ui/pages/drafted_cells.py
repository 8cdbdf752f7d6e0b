"""Cells whose text is a draft with every key and a step when it is done: weights and scores."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from trialbench.model.errors import Refused, TrialbenchError
from trialbench.model.numbers import MINUS
from trialbench.model.steps import Step
from trialbench.ui.cells import CellsModel
from trialbench.ui.page import Desk

_DASHES = ("-", "\u2013", MINUS)


def said_missing(text: str) -> str | None:
    """What is said after a dash ("- dropped on the floor"); None for a figure or for nothing."""
    if text.startswith(_DASHES) and not any(sign.isdigit() for sign in text):
        return text[1:].strip()
    return None


class DraftedCells(CellsModel):
    """A page gives `place`, `step` and `writable`. What is half typed or refused comes back."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk

    # --- what a page gives ---------------------------------------------------------------------

    def place(self, row: int, column: int) -> str:
        """The draft's name of a cell."""
        raise NotImplementedError

    def step(self, row: int, column: int, text: str) -> Step:
        """The step that writes a text into a cell. Raises what the cell then shows in place."""
        raise NotImplementedError

    def writable(self) -> Iterator[tuple[int, int]]:
        """The cells that can be written, as (row, column)."""
        raise NotImplementedError

    # --- writing -------------------------------------------------------------------------------

    def typed(self, row: int, column: int, text: str) -> None:
        shown = self.kept(row, column).text
        self._desk.write_draft(self.place(row, column), None if text == shown else text)
        self._desk.write_draft(self._refused_place(row, column), None)

    def dropped(self, row: int, column: int) -> None:
        self._desk.write_draft(self.place(row, column), None)
        self._desk.write_draft(self._refused_place(row, column), None)

    def commit(self, row: int, column: int, text: str) -> Refused | None:
        place, refused_place = self.place(row, column), self._refused_place(row, column)
        trouble: TrialbenchError | None
        try:
            step = self.step(row, column, text.strip())
        except TrialbenchError as refused:
            trouble = refused
        else:
            trouble = self._desk.take(step, clears_draft=place)
        if trouble is None:
            self._desk.write_draft(refused_place, None)
            return None
        self._desk.write_draft(place, text)
        self._desk.write_draft(refused_place, "yes")
        return trouble if isinstance(trouble, Refused) else Refused(trouble.message)

    def _refused_place(self, row: int, column: int) -> str:
        return f"{self.place(row, column)}:refused"

    # --- drafts --------------------------------------------------------------------------------

    def bring_back(self, table: Any) -> None:
        """Bring refused cells back from their drafts, and open the first half-typed one."""
        drafts = self._desk.notebook.drafts
        half_typed = None
        for row, column in self.writable() if drafts else ():
            place = self.place(row, column)
            if place not in drafts or self.cell(row, column).state == "refused":
                continue
            if f"{place}:refused" in drafts:
                self.write(row, column, drafts[place])
            elif half_typed is None:
                half_typed = (row, column, drafts[place])
        if half_typed is not None:
            table.setFocus()
            table.write_in(*half_typed)

"""An answer that is being reckoned again: its ink turns to pencil, and back."""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtWidgets import QWidget

from trialbench.ui.text import Line


class Faded:
    """The lines of some parts; only those in ink change."""

    def __init__(self, *parts: QWidget) -> None:
        self._parts = parts
        self._lines: list[Line] = []

    def set(self, on: bool) -> None:
        """Fade what is in ink, or bring back what was faded."""
        if on == bool(self._lines):
            return
        if on:
            self._lines = [line for line in self._all() if line.colour() == "ink"]
        for line in self._lines:
            line.set_colour("pencil" if on else "ink")
        if not on:
            self._lines = []

    def _all(self) -> Iterator[Line]:
        for part in self._parts:
            if isinstance(part, Line):
                yield part
            yield from part.findChildren(Line)

    def forget(self) -> None:
        """The lines are gone."""
        self._lines = []

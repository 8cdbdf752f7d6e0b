"""Fields of several methods beside each other, folded to more rows where they do not fit."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

from PySide6.QtCore import QSize
from PySide6.QtWidgets import QSizePolicy, QWidget

from trialbench.ui import theme
from trialbench.ui.laid_by_width import LaidWithParts

_GAP_PX = 8
_BETWEEN_PX = 6
_LEAST_PX = 132
_ALWAYS_BESIDE = 2


class FieldGrid(LaidWithParts):
    """As many columns as the widest part allows, evenly filled; two parts always stand beside each
    other.
    """

    def __init__(self, parts: Sequence[QWidget], parent: QWidget | None = None) -> None:
        super().__init__(parent, QSizePolicy.Policy.Minimum)
        self._parts = list(parts)
        for part in self._parts:
            part.setParent(self)

    def columns(self, width: int) -> int:
        """How many stand beside each other at this width."""
        count = len(self._parts)
        if count <= _ALWAYS_BESIDE:
            return max(count, 1)
        gap = round(theme.px(_GAP_PX))
        widest = max(part.sizeHint().width() for part in self._parts)
        needed = max(widest, round(theme.px(_LEAST_PX)))
        fit = max(1, min(count, (width + gap) // (needed + gap)))
        return ceil(count / ceil(count / fit))

    def _lay(self, width: int, *, move: bool) -> int:
        gap, between = round(theme.px(_GAP_PX)), round(theme.px(_BETWEEN_PX))
        columns = self.columns(width)
        wide = (width - gap * (columns - 1)) / columns
        top = tall = 0
        for number, part in enumerate(self._parts):
            column = number % columns
            if column == 0 and number:
                top, tall = top + tall + between, 0
            left, right = round(column * (wide + gap)), round(column * (wide + gap) + wide)
            high = part.heightForWidth(right - left) if part.hasHeightForWidth() else -1
            if high < 0:
                high = part.sizeHint().expandedTo(part.minimumSize()).height()
            if move:
                part.setGeometry(left, top, right - left, high)
            tall = max(tall, high)
        return top + tall

    def sizeHint(self) -> QSize:
        return QSize(300, self.heightForWidth(max(self.width(), 300)))

    def minimumSizeHint(self) -> QSize:
        return QSize(round(theme.px(_LEAST_PX)), 10)

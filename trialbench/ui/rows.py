"""Parts beside each other with their first baselines in one line: "Salt | dry salt, 15 g ..."."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QSize
from PySide6.QtWidgets import QSizePolicy, QWidget

from trialbench.ui import theme
from trialbench.ui.laid_by_width import LaidWithParts


class Row(LaidWithParts):
    """A row of parts. Each comes with its width in px (scaled); 0 shares what is left.

    Parts that have `baseline()` (Line, Blank, Value, TextVerb, MethodSign) are set on one
    baseline, others at the top. `gap_px` stands between parts.
    """

    def __init__(
        self,
        parts: Sequence[tuple[QWidget, int]],
        parent: QWidget | None = None,
        *,
        gap_px: int = 0,
    ) -> None:
        super().__init__(parent, QSizePolicy.Policy.Minimum)
        self._parts = list(parts)
        self._gap = gap_px
        for part, _ in self._parts:
            part.setParent(self)

    def _widths(self, width: int) -> list[int]:
        gaps = round(theme.px(self._gap)) * (len(self._parts) - 1)
        fixed = sum(round(theme.px(wide)) for _, wide in self._parts)
        shared = sum(1 for _, wide in self._parts if not wide)
        left = max(width - gaps - fixed, 0)
        return [
            round(theme.px(wide)) if wide else max(left // max(shared, 1), 20)
            for _, wide in self._parts
        ]

    def _lay(self, width: int, *, move: bool) -> int:
        wides = self._widths(width)
        bases, talls = [], []
        for (part, _), wide in zip(self._parts, wides, strict=True):
            tall = part.heightForWidth(wide) if part.hasHeightForWidth() else -1
            talls.append(tall if tall >= 0 else part.sizeHint().height())
            if move:
                part.resize(wide, talls[-1])
            base = getattr(part, "baseline", None)
            bases.append(base() if base is not None else None)
        deepest = max((base for base in bases if base is not None), default=0.0)
        x, foot = 0, 0
        for (part, _), wide, tall, base in zip(self._parts, wides, talls, bases, strict=True):
            top = round(deepest - base) if base is not None else 0
            if move:
                part.setGeometry(x, top, wide, tall)
            foot = max(foot, top + tall)
            x += wide + round(theme.px(self._gap))
        return foot

    def sizeHint(self) -> QSize:
        return QSize(300, self.heightForWidth(max(self.width(), 300)))

    def minimumSizeHint(self) -> QSize:
        fixed = sum(round(theme.px(wide or 40)) for _, wide in self._parts)
        return QSize(fixed, 10)

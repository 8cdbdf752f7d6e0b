"""Column titles over a table in which one writes."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QHeaderView, QWidget

from trialbench.model.message import say
from trialbench.ui import theme
from trialbench.ui.cell_paint import PAD_PX
from trialbench.ui.cells import CellsModel


class HeadLine(QHeaderView):
    """Column titles in pencil over the table; a title that is a switch is underlined."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(Qt.Orientation.Horizontal, parent)
        self.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.setSectionsClickable(False)
        self.setHighlightSections(False)
        self.setMinimumSectionSize(8)

    def _lines(self) -> int:
        model = self.model()
        if not isinstance(model, CellsModel):
            return 1
        return max((say(c.title).count("\n") + 1 for c in model.columns()), default=1)

    def sizeHint(self) -> QSize:
        return QSize(100, round(theme.line_height("column_head") * self._lines() + theme.px(10)))

    def paintSection(self, painter: QPainter, rect: QRect, logicalIndex: int) -> None:
        model = self.model()
        assert isinstance(model, CellsModel)
        column = model.columns()[logicalIndex]
        metrics = theme.metrics("column_head")
        painter.save()
        painter.fillRect(rect, theme.colour("page"))
        painter.fillRect(QRect(rect.left(), rect.bottom(), rect.width(), 1), theme.colour("rule"))
        painter.setFont(theme.font("column_head"))
        painter.setPen(theme.colour("ink" if column.underlined else "pencil"))
        pad = theme.px(PAD_PX)
        base = rect.bottom() - theme.px(8) - metrics.descent()
        for words in reversed(say(column.title).split("\n")):
            span = metrics.horizontalAdvance(words)
            left = rect.left() + (pad if column.editable else 0)
            x = left if column.align == "left" else rect.right() + 1 - pad - span
            painter.drawText(QPointF(x, base), words)
            if column.underlined:
                painter.fillRect(QRectF(x, round(base + 3), span, 1), theme.colour("ink"))
            base -= theme.line_height("column_head")
        painter.restore()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self.viewport())
        painter.fillRect(self.viewport().rect(), theme.colour("page"))
        painter.end()
        super().paintEvent(event)

"""The first column of a wide table stays in sight while the others are scrolled under it."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QRect, Qt, QTimer, Slot
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QStyle, QStyleOptionViewItem, QTableView, QWidget

from trialbench.ui import theme
from trialbench.ui.cells_head import HeadLine


class HeldColumn(QWidget):
    """Paints the first column of `table`, and its title, over the left edge while it is scrolled.

    It is a picture of cells that are there: the keyboard, the mouse and a screen reader know only
    the table. A cell that comes to be written is brought out from under it.
    """

    def __init__(self, table: QTableView) -> None:
        super().__init__(table)
        self._table = table
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._later = QTimer(self)
        self._later.setSingleShot(True)
        self._later.timeout.connect(self._bring_out)
        self.hide()
        bar = table.horizontalScrollBar()
        bar.valueChanged.connect(self.settle)
        bar.rangeChanged.connect(self.settle)
        model = table.model()
        for changed in (model.dataChanged, model.modelReset):
            changed.connect(self.update)
        table.viewport().installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Resize:
            self.settle()
        return False

    @Slot()
    def settle(self) -> None:
        """Stand over the first column where it is scrolled away, else not at all."""
        away = self._table.horizontalScrollBar().value() > 0
        if away:
            place = self._table.viewport().geometry()
            head = self._table.horizontalHeader()
            top = head.geometry().top() if head.isVisible() else place.top()
            wide = self._table.columnWidth(0)
            wanted = QRect(place.left(), top, wide, place.bottom() + 1 - top)
            if self.geometry() != wanted:
                self.setGeometry(wanted)
            self.raise_()
        if away == self.isHidden():
            self.setVisible(away)

    @Slot()
    def follow(self) -> None:
        """Another cell is current: it must not lie under this column."""
        self._later.start()

    def _bring_out(self) -> None:
        index, bar = self._table.currentIndex(), self._table.horizontalScrollBar()
        if not index.isValid() or index.column() == 0 or bar.maximum() == 0:
            return
        hidden = self._table.columnWidth(0) - self._table.columnViewportPosition(index.column())
        if hidden > 0:
            bar.setValue(bar.value() - hidden)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.fillRect(self.rect(), theme.colour("page"))
        head = self._table.horizontalHeader()
        shift = 0
        if head.isVisible():
            shift = head.height()
            assert isinstance(head, HeadLine)
            head.paintSection(painter, QRect(0, 0, self.width(), shift), 0)
        delegate, model = self._table.itemDelegate(), self._table.model()
        for row in range(model.rowCount()):
            option = QStyleOptionViewItem()
            option.initFrom(self)
            option.state = QStyle.StateFlag.State_Enabled
            top = shift + self._table.rowViewportPosition(row)
            option.rect = QRect(0, top, self.width(), self._table.rowHeight(row))
            delegate.paint(painter, option, model.index(row, 0))
        painter.fillRect(self.width() - 1, 0, 1, self.height(), theme.colour("rule"))
        painter.end()

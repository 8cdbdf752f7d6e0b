"""Written lines: a paragraph that can hold values, blanks and verbs among its words."""

from __future__ import annotations

from collections.abc import Iterable

from PySide6.QtCore import QEvent, QPointF, QRect, QRectF, QSize, Qt, Slot
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QFrame, QLabel, QSizePolicy, QWidget

from trialbench.ui import theme
from trialbench.ui.runs import (
    Item,
    Placed,
    Run,
    Setting,
    as_run,
    plain,
    put_away,
    run_font,
    set_lines,
)


class Line(QLabel):
    """A paragraph of runs and inline widgets, broken at its width, baselines in one line.

    `role` is the type of the words (tokens.json), `colour` a token name. It is a label to screen
    readers and speaks all its words, those of its widgets among them.
    """

    def __init__(
        self,
        role: str,
        items: Iterable[Item] | Item = (),
        parent: QWidget | None = None,
        *,
        colour: str = "ink",
        align_right: bool = False,
    ) -> None:
        super().__init__(parent)
        self._role = role
        self._colour = colour
        self._right = align_right
        self._items: list[Run | QWidget] = []
        self._lent: set[QWidget] = set()
        self._kept: dict[int, Setting] = {}
        policy = QSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self.set_items(items)
        theme.signals().theme_changed.connect(self.relay)

    def set_items(self, items: Iterable[Item] | Item) -> None:
        """Replace what the line says. Widgets that no longer stand in it are deleted later."""
        listed = [items] if isinstance(items, (Run, str, QWidget)) else items
        if not isinstance(listed, Iterable):
            listed = [items]  # type: ignore[list-item]
        old = [item for item in self._items if isinstance(item, QWidget)]
        self._items = [as_run(item) for item in listed]
        for widget in old:
            if widget not in self._items:
                widget.hide()
                if widget not in self._lent:
                    widget.deleteLater()
        for item in self._items:
            if isinstance(item, QWidget) and item not in old:
                self._adopt(item)
        self.setAccessibleName(plain(self._items))
        self.relay()

    def lend(self, *widgets: QWidget) -> None:
        """These come and go: while one does not stand in the line it waits, hidden."""
        self._lent.update(widgets)
        for widget in widgets:
            widget.setParent(self)
            widget.hide()
            resized = getattr(widget, "resized", None)
            if resized is not None:
                resized.connect(self.relay)

    def _adopt(self, widget: QWidget) -> None:
        if widget in self._lent:
            widget.show()
            return
        hidden = put_away(widget)
        if widget.parentWidget() is not self:
            widget.setParent(self)
        widget.setVisible(not hidden)
        resized = getattr(widget, "resized", None)
        if resized is not None:
            resized.connect(self.relay)

    def items(self) -> list[Run | QWidget]:
        """The runs and widgets of the line."""
        return list(self._items)

    def words(self) -> str:
        """What the line says, as plain text."""
        return plain(self._items)

    def colour(self) -> str:
        """The colour of its words, where a run has none of its own."""
        return self._colour

    def set_colour(self, colour: str) -> None:
        self._colour = colour
        self.update()

    def baseline(self) -> float:
        """Distance from the top to the first baseline: a line can stand inside a line."""
        return self._set(max(self.width(), 1)).first_baseline

    @Slot()
    def relay(self) -> None:
        """Lay out again: words, type or a widget's size have changed."""
        self._kept.clear()
        self.setAccessibleName(plain(self._items))
        self._move_widgets()
        self.updateGeometry()
        self.update()

    def _set(self, width: int) -> Setting:
        if width not in self._kept:
            if len(self._kept) > 6:
                self._kept.clear()
            self._kept[width] = set_lines(self._items, self._role, width)
        return self._kept[width]

    def _move_widgets(self) -> None:
        if not any(isinstance(item, QWidget) for item in self._items):
            return
        for placed in self._set(self.width()).placed:
            if placed.widget is not None:
                self._move(placed)

    def _move(self, placed: Placed) -> None:
        widget = placed.widget
        assert widget is not None
        if widget.parentWidget() is not self:
            widget.setParent(self)
        target = QRect(round(placed.x), round(placed.y), round(placed.width), round(placed.height))
        if widget.geometry() != target:
            widget.setGeometry(target)
        if widget not in self._items:
            widget.show()

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        return max(round(self._set(width).height), 1)

    def sizeHint(self) -> QSize:
        setting = self._set(100_000)
        return QSize(int(setting.natural_width + 1.5), round(setting.height))

    def minimumSizeHint(self) -> QSize:
        natural = int(self._set(100_000).natural_width + 1.5)
        return QSize(min(int(theme.px(60)), natural), round(theme.line_height(self._role)))

    def event(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.LayoutRequest:
            self.relay()
        return super().event(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._move_widgets()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        usual = theme.colour(self._colour)
        setting = self._set(self.width())
        shift = self.width() - setting.natural_width if self._right else 0.0
        for placed in setting.placed:
            if placed.run is not None:
                self._paint_run(painter, placed, usual, shift)
        painter.end()

    def _paint_run(self, painter: QPainter, placed: Placed, usual: QColor, shift: float) -> None:
        run = placed.run
        assert run is not None
        font = run_font(run, self._role)
        x = placed.x + shift
        if run.ground:
            height = theme.metrics(run.role or self._role).height()
            ascent = theme.metrics(run.role or self._role).ascent()
            box = QRectF(x - 1, placed.y - ascent, placed.width + 2, height)
            painter.fillRect(box, theme.colour(run.ground))
        painter.setFont(font)
        painter.setPen(theme.colour(run.colour) if run.colour else usual)
        painter.drawText(QPointF(x, placed.y), placed.text)


class Rule(QFrame):
    """A rule across the page: `kind` is "rule", "title" or "ink"."""

    def __init__(self, kind: str = "rule", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._kind = kind
        self.setFixedHeight(2 if kind == "title" else 1)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        colour = theme.colour("rule" if self._kind == "rule" else "ink")
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.fillRect(QRectF(0, 0, self.width(), self._width()), colour)
        painter.end()

    def _width(self) -> float:
        return theme.line("title") if self._kind == "title" else theme.line("rule")


def dotted(painter: QPainter, left: float, right: float, y: float, colour: str = "pencil") -> None:
    """A dotted leader from left to right, its dots in one grid with all others."""
    if right - left < 6:
        return
    pen = QPen(theme.colour(colour), 2.0, Qt.PenStyle.CustomDashLine, Qt.PenCapStyle.RoundCap)
    pen.setDashPattern([0.01, 5.0 / 2.0])
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(pen)
    painter.drawLine(QPointF(right, y), QPointF(left, y))
    painter.restore()

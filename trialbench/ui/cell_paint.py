"""How cells are painted and written in: one delegate for all states."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent, QObject, QPointF, QRect, QRectF, QSize, Qt, Signal, Slot
from PySide6.QtGui import QColor, QFontMetricsF, QKeyEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QLineEdit, QStyle, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from trialbench.model.message import msg, say
from trialbench.ui import theme
from trialbench.ui.cells import CELL_ROLE, Cell, CellsModel, Column, Index
from trialbench.ui.signs import SIGN_PX, paint_sign

PAD_PX = 10
_FRAME_PX = 2.0
_RULING_STEP_PX = 6
_NARROW_PX = 110


class CellEdit(QLineEdit):
    """The open cell. `left(move, text)`: move is "down", "up", "right", "left", "back"."""

    left = Signal(object)

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setFrame(False)
        self.setProperty("ownFocus", True)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        moves = {
            Qt.Key.Key_Return: "down",
            Qt.Key.Key_Enter: "down",
            Qt.Key.Key_Down: "down",
            Qt.Key.Key_Up: "up",
            Qt.Key.Key_Escape: "back",
        }
        move = moves.get(Qt.Key(event.key()))
        if move is None:
            super().keyPressEvent(event)
        else:
            self.left.emit(move)

    def event(self, event: QEvent) -> bool:
        # Tab is taken by Qt before keyPressEvent.
        if event.type() == QEvent.Type.KeyPress and isinstance(event, QKeyEvent):
            if event.key() == Qt.Key.Key_Tab:
                self.left.emit("right")
                return True
            if event.key() == Qt.Key.Key_Backtab:
                self.left.emit("left")
                return True
        return super().event(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        painter = QPainter(self)
        _paint_frame(painter, QRectF(self.rect()))
        painter.end()


class CellDelegate(QStyledItemDelegate):
    """Paints every state of a cell and makes the place to write in it."""

    typed = Signal(object)
    left = Signal(object)

    def __init__(
        self, cells: CellsModel, row_px: Callable[[], float], role: str, parent: QObject
    ) -> None:
        super().__init__(parent)
        self._cells, self._row_px, self._usual_role = cells, row_px, role

    def _role(self, column: Column) -> str:
        if theme.is_counter():
            return "figure"
        return column.role or self._usual_role

    # --- writing -------------------------------------------------------------------------------

    def createEditor(self, parent: QWidget, option: QStyleOptionViewItem, index: Index) -> QWidget:
        editor = CellEdit(parent)
        column = self._cells.columns()[index.column()]
        editor.setFont(theme.font(self._role(column)))
        side = round(theme.px(PAD_PX)) - 2
        editor.setTextMargins(side, 0, side, 0)
        align = (
            Qt.AlignmentFlag.AlignRight if column.align == "right" else Qt.AlignmentFlag.AlignLeft
        )
        editor.setAlignment(align | Qt.AlignmentFlag.AlignVCenter)
        editor.setAccessibleName(str(index.data(Qt.ItemDataRole.AccessibleTextRole)))
        # Through a slot: a str signal joined to an object signal ends the process (PySide 6.11).
        editor.textEdited.connect(self._say_typed)
        editor.left.connect(self.left)
        return editor

    @Slot(str)
    def _say_typed(self, text: str) -> None:
        self.typed.emit(text)

    def setEditorData(self, editor: QWidget, index: Index) -> None:
        assert isinstance(editor, QLineEdit)
        if not editor.isModified():
            editor.setText(index.data(CELL_ROLE).text)

    def updateEditorGeometry(
        self, editor: QWidget, option: QStyleOptionViewItem, index: Index
    ) -> None:
        editor.setGeometry(self._box(option.rect))

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        # Enter, Tab and Esc are the editor's own; losing focus commits.
        if event.type() == QEvent.Type.KeyPress:
            return False
        return super().eventFilter(watched, event)

    # --- painting ------------------------------------------------------------------------------

    def _box(self, rect: QRect) -> QRect:
        """The cell itself, without the line of a refusal under it and without the row's rule."""
        return QRect(rect.left(), rect.top(), rect.width(), round(self._row_px()) - 1)

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        return QSize(40, round(self._row_px()))

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        # Not by index.data(): a table of a thousand cells asks too often.
        model, place = self._cells, index.column()
        cell, column = model.cell(index.row(), place), model.columns()[place]
        painter.save()
        # The view has laid its selection over the whole rectangle, a refusal's line included.
        painter.fillRect(option.rect, theme.colour("page"))
        rule = QRectF(option.rect.left(), option.rect.bottom(), option.rect.width(), 1)
        painter.fillRect(rule, theme.colour("rule"))
        box = QRectF(self._box(option.rect))
        self._paint_ground(painter, box, cell)
        if cell.state == "method":
            self._paint_method(painter, box, cell, column)
        elif cell.state == "missing":
            self._paint_missing(painter, box, cell)
        else:
            self._paint_text(painter, box, cell, column)
        focus = QStyle.StateFlag.State_HasFocus | QStyle.StateFlag.State_Selected
        if option.state & focus == focus and cell.state != "refused":
            _paint_frame(painter, box)
        painter.restore()

    def _paint_ground(self, painter: QPainter, box: QRectF, cell: Cell) -> None:
        if cell.state == "due":
            painter.fillRect(box, theme.colour("field"))
            painter.fillRect(QRectF(box.left(), box.bottom(), box.width(), 1), theme.colour("ink"))
        elif cell.state == "refused":
            painter.fillRect(box, theme.colour("field"))
            _paint_frame(painter, box)

    def _paint_method(self, painter: QPainter, box: QRectF, cell: Cell, column: Column) -> None:
        side = theme.px(SIGN_PX)
        role = self._role(column)
        metrics = theme.metrics(role, weight=600)
        base = _baseline(box, metrics)
        paint_sign(painter, cell.letter, QRectF(box.left(), base - side * 0.83, side, side))
        painter.setFont(theme.font(role, weight=600))
        painter.setPen(theme.method_colour(cell.letter))
        painter.drawText(QPointF(box.left() + side + theme.px(6), base), cell.letter)

    def _paint_missing(self, painter: QPainter, box: QRectF, cell: Cell) -> None:
        words = say(cell.reason) or cell.text
        role, pad = "verb", theme.px(PAD_PX)
        metrics = theme.metrics(role, weight=400)
        if metrics.horizontalAdvance(words) > box.width() - 2 * pad:
            # The whole reason stands in the margin beside the line.
            if box.width() < theme.px(_NARROW_PX):
                words, role, pad = say(msg("missing")), "label", theme.px(2)
            metrics = theme.metrics(role, weight=400)
            room = box.width() - 2 * pad
            words = metrics.elidedText(words, Qt.TextElideMode.ElideRight, room)
        span = metrics.horizontalAdvance(words)
        right = box.right() - pad - theme.px(4)
        gap = QRectF(right - span - 6, box.center().y() - 10, span + 12, 20) if words else QRectF()
        paint_ruling(painter, box, gap)
        painter.setFont(theme.font(role, weight=400))
        painter.setPen(theme.colour("pencil"))
        painter.drawText(QPointF(right - span, _baseline(box, metrics)), words)

    def _paint_text(self, painter: QPainter, box: QRectF, cell: Cell, column: Column) -> None:
        text = cell.text or {"not_due": "–"}.get(cell.state, "")
        role, italic = self._role(column), cell.state == "reckoned"
        font = theme.font(role, weight=cell.weight, italic=italic)
        metrics = theme.metrics(role, weight=cell.weight, italic=italic)
        if cell.state == "refused":
            # Only then: a changed font has to be found again for every cell.
            font.setStrikeOut(True)
        base = _baseline(box, metrics)
        if theme.is_counter() and cell.state != "name":
            base -= theme.px(9)
            self._paint_label(painter, box, column)
        span = metrics.horizontalAdvance(text)
        pad = theme.px(PAD_PX)
        left_out = cell.state == "left_out"
        if column.align == "left":
            x = box.left() + (pad if column.editable else 0)
        else:
            x = box.right() + 1 - pad - span - (theme.px(4) if left_out else 0)
        painter.setFont(font)
        painter.setPen(self._ink(cell))
        room = box.right() - x - (pad if column.editable else 0)
        shown = text
        if column.align == "left" and span > room:
            shown = metrics.elidedText(text, Qt.TextElideMode.ElideRight, room)
        if shown:
            painter.drawText(QPointF(x, base), shown)
        if left_out:
            painter.setPen(QPen(theme.colour("rail"), 1))
            frame = QRectF(x - 4.5, base - metrics.ascent() - 0.5, span + 9, metrics.height() + 1)
            painter.drawRect(frame.toAlignedRect())
        if cell.small:
            self._paint_small(painter, box, cell, column, (x, span, base))

    def _paint_label(self, painter: QPainter, box: QRectF, column: Column) -> None:
        """At counter size the title of the column stands under every figure."""
        metrics = theme.metrics("label")
        words = say(column.title).replace("\n", " ")
        room = box.width() - 2 * theme.px(PAD_PX)
        words = metrics.elidedText(words, Qt.TextElideMode.ElideRight, room)
        span = metrics.horizontalAdvance(words)
        x = box.left() if column.align == "left" else box.right() - theme.px(PAD_PX) - span
        painter.setFont(theme.font("label"))
        painter.setPen(theme.colour("pencil"))
        painter.drawText(QPointF(x, _baseline(box, metrics) + theme.px(15)), words)

    def _paint_small(
        self,
        painter: QPainter,
        box: QRectF,
        cell: Cell,
        column: Column,
        main: tuple[float, float, float],
    ) -> None:
        x, span, base = main
        small = theme.metrics("label")
        painter.setFont(theme.font("label"))
        painter.setPen(theme.colour("pencil"))
        if column.align == "left":
            left = x + span + theme.px(6)
            room = box.right() - left - theme.px(4)
            words = cell.small
            if small.horizontalAdvance(words) > room:
                words = small.elidedText(words, Qt.TextElideMode.ElideRight, room)
            painter.drawText(QPointF(left, base), words)
            return
        # A code stands in its own place, so that codes make a column.
        right = min(x - theme.px(8), box.right() - theme.px(PAD_PX + 46))
        painter.drawText(QPointF(right - small.horizontalAdvance(cell.small), base), cell.small)

    def _ink(self, cell: Cell) -> QColor:
        if cell.colour:
            return theme.colour(cell.colour)
        return theme.colour("pencil" if cell.state in ("not_due", "left_out") else "ink")


def _baseline(box: QRectF, metrics: QFontMetricsF) -> float:
    return round(box.center().y() + (metrics.ascent() - metrics.descent()) / 2)


def _paint_frame(painter: QPainter, box: QRectF) -> None:
    half = _FRAME_PX / 2
    pen = QPen(theme.colour("ink"), _FRAME_PX)
    pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
    painter.setPen(pen)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRect(box.adjusted(half, half, -half, -half))


def paint_ruling(painter: QPainter, box: QRectF, gap: QRectF) -> None:
    """Ruled ground: nothing is known here. `gap` is kept free for words."""
    ruling = theme.colour("ruling")
    y = box.top() + 4
    while y < box.bottom():
        if gap.isValid() and gap.top() < y < gap.bottom():
            painter.fillRect(QRectF(box.left(), y, max(gap.left() - box.left(), 0), 1), ruling)
            painter.fillRect(QRectF(gap.right(), y, max(box.right() - gap.right(), 0), 1), ruling)
        else:
            painter.fillRect(QRectF(box.left(), y, box.width(), 1), ruling)
        y += theme.px(_RULING_STEP_PX)

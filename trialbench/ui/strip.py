"""A strip over the page: trouble with the file, or a reckoning that takes its time."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal, Slot
from PySide6.QtGui import QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QSizePolicy, QWidget

from trialbench.model.errors import TrialbenchError
from trialbench.model.margin import NoteVerb
from trialbench.model.message import Message, msg, say
from trialbench.ui import theme
from trialbench.ui.text import Line
from trialbench.ui.verbs import TextVerb

_STITCHES = 40


class Strip(QWidget):
    """Cause, what still works, one verb, in field over the page. `chosen(NoteVerb)`."""

    chosen = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._verb: NoteVerb | None = None
        self._words = Line("cell", "")
        self._button = TextVerb("", self, weight=600)
        self._button.clicked.connect(self._choose)
        row = QHBoxLayout(self)
        row.setContentsMargins(30, 10, 30, 10)
        row.setSpacing(18)
        row.addWidget(self._words, 1)
        row.addWidget(self._button, 0, Qt.AlignmentFlag.AlignVCenter)
        self.hide()

    def show_trouble(
        self, trouble: TrialbenchError | Message | str, verb: NoteVerb | None = None
    ) -> None:
        """Show a trouble. Without a verb the strip offers to be put away."""
        words = trouble.message if isinstance(trouble, TrialbenchError) else trouble
        self._verb = verb
        self._words.set_items(words)
        self._button.set_label(verb.label if verb else msg("Put this away"))
        self.setAccessibleName(say(words))
        self.show()

    @Slot()
    def _choose(self) -> None:
        if self._verb is None:
            self.hide()
        else:
            self.chosen.emit(self._verb)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.fillRect(self.rect(), theme.colour("field"))
        painter.fillRect(QRectF(0, self.height() - 1.5, self.width(), 1.5), theme.colour("ink"))
        painter.end()


class SeamProgress(QLabel):
    """A seam that fills, with count and a verb to stop: for reckonings one has to wait for."""

    stopped = Signal()

    def __init__(self, words: Message | str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._words = say(words)
        self._done, self._whole = 0, 0
        self._stop = TextVerb(msg("Stop reckoning"), self)
        self._stop.clicked.connect(self.stopped)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.show_progress(0, 0)

    def show_progress(self, done: int, whole: int) -> None:
        """`done` of `whole`; a whole of 0 says nothing of how far it is."""
        self._done, self._whole = done, whole
        self.setAccessibleName(f"{self._words}, {self._count()}".strip(", "))
        self.update()

    def _count(self) -> str:
        if not self._whole:
            return ""
        return say(msg("{done} of {whole}", done=self._done, whole=self._whole))

    def sizeHint(self) -> QSize:
        return QSize(300, round(theme.px(44)))

    def resizeEvent(self, event: QResizeEvent) -> None:
        size = self._stop.sizeHint()
        self._stop.setGeometry(self.width() - size.width(), 2, size.width(), size.height() + 4)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        metrics = theme.metrics("label")
        painter.setFont(theme.font("label"))
        painter.setPen(theme.colour("pencil"))
        painter.drawText(QPointF(0, metrics.ascent() + 4), f"{self._words}  {self._count()}")
        filled = self._done / self._whole if self._whole else 0.0
        paint_seam(painter, QRectF(0, self.height() - 18, self.width(), 16), _STITCHES,
                   round(filled * _STITCHES))  # fmt: skip
        painter.end()


def paint_seam(painter: QPainter, box: QRectF, count: int, done: int) -> None:
    """A seam of `count` stitches in `box`: `done` slanted stitches, then pairs of holes."""
    step = box.width() / max(count, 1)
    pen = QPen(theme.colour("ink"), 3.2, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap)
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    for number in range(count):
        x = box.left() + number * step
        lean = min(9.0, step * 0.5)
        if number < done:
            painter.setPen(pen)
            painter.drawLine(QPointF(x, box.top()), QPointF(x + lean, box.bottom()))
        else:
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(theme.colour("rail"))
            painter.drawEllipse(QPointF(x, box.top() + 1), 1.7, 1.7)
            painter.drawEllipse(QPointF(x + lean, box.bottom() - 1), 1.7, 1.7)
    painter.restore()

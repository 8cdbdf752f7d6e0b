"""A picture of numbers: a figure at the screen's own pixels, its sentence and its table."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import QSize, Qt, QTimer, Slot
from PySide6.QtGui import QImage, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QLabel, QSizePolicy, QVBoxLayout, QWidget

from trialbench.model.message import Message, msg
from trialbench.ui import theme
from trialbench.ui.background import Background
from trialbench.ui.runs import Item
from trialbench.ui.table import ReadingColumn, ReadingTable
from trialbench.ui.text import Line
from trialbench.ui.verbs import TextVerb

# (theme name, width in inches, height in inches) -> matplotlib Figure; runs on the worker.
Draw = Callable[[str, float, float], Any]
_INCH_PX = 96.0
_FADED = 0.55


@dataclass(frozen=True, slots=True)
class FigureTable:
    """The same numbers as a table, for "Show as table"."""

    columns: tuple[ReadingColumn, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class _Drawn:
    width: int
    height: int
    ratio: float
    pixels: bytes


def _rendered(
    draw: Draw, look: str, size: tuple[int, int], ratio: float, factor: float = 1.0
) -> _Drawn:
    """Draw a figure on an Agg canvas at the screen's pixel ratio. Runs on the worker."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg

    # Larger text makes the whole figure larger: it is drawn as at the desk, on more pixels.
    wide_in, high_in = (side / factor / _INCH_PX for side in size)
    figure = draw(look, wide_in, high_in)
    figure.set_size_inches(wide_in, high_in)
    figure.set_dpi(_INCH_PX * ratio * factor)
    canvas: Any = FigureCanvasAgg(figure)
    canvas.draw()
    wide, high = canvas.get_width_height()
    return _Drawn(wide, high, ratio, bytes(canvas.buffer_rgba()))


class _Picture(QLabel):
    """The drawn figure; while none is drawn, paper."""

    def __init__(self, parent: QWidget, ground: str) -> None:
        super().__init__(parent)
        self._ground = ground
        self.image: QImage | None = None
        self.faded = False
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def minimumSizeHint(self) -> QSize:
        return QSize(200, self.minimumHeight())

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.fillRect(self.rect(), theme.colour(self._ground))
        if self.image is not None:
            painter.setOpacity(_FADED if self.faded else 1.0)
            painter.drawImage(0, 0, self.image)
        painter.end()


class FigureView(QWidget):
    """Shows what `draw(look, width_in, height_in)` draws, redrawn for every size and theme.

    `draw` runs on the worker and gets "light" or "dark"; it must not touch records that change.
    `sentence` says in words what is to be seen; `table` stands behind "Show as table". With
    `spoken` the sentence is the picture's accessible name alone and takes no room.
    """

    def __init__(
        self,
        background: Background,
        subject: str,
        height_px: float,
        parent: QWidget | None = None,
        *,
        spoken: bool = False,
        ground: str = "page",
    ) -> None:
        super().__init__(parent)
        self._background, self._subject = background, subject
        self._draw: Draw | None = None
        self._table: ReadingTable | None = None
        self._picture = _Picture(self, ground)
        self._height_px = height_px
        self._sentence = Line("label", "", self, colour="pencil")
        self._sentence.setHidden(spoken)
        self._verb = TextVerb(msg("Show as table"), self, role="label", weight=500)
        self._verb.clicked.connect(self.turn)
        self._verb.hide()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        column.addWidget(self._picture)
        column.addWidget(self._sentence)
        column.addWidget(self._verb, 0, Qt.AlignmentFlag.AlignLeft)
        self._later = QTimer(self)
        self._later.setSingleShot(True)
        self._later.timeout.connect(self.redraw)
        theme.signals().theme_changed.connect(self._measure)
        self._measure()

    @Slot()
    def _measure(self) -> None:
        self._picture.setFixedHeight(round(theme.px(self._height_px)))
        self._later.start()

    def set_height(self, height_px: float) -> None:
        """How high the picture is from now on."""
        if height_px != self._height_px:
            self._height_px = height_px
            self._measure()

    def set_faded(self, faded: bool) -> None:
        """Pale while it shows an answer that is being reckoned again."""
        self._picture.faded = faded
        self._picture.update()

    def show_figure(
        self, draw: Draw, sentence: Message | Item, table: FigureTable | None = None
    ) -> None:
        """Show another figure, with its sentence and its table."""
        self._draw = draw
        self._sentence.set_items(sentence)
        self._picture.setAccessibleName(self._sentence.words())
        self.setAccessibleName(self._sentence.words())
        if self._table is not None:
            self._table.hide()
            self._table.deleteLater()
            self._table = None
        if table is not None:
            self._table = ReadingTable(table.columns, table.rows, self, row_px=28)
            self._table.hide()
            self.layout().insertWidget(0, self._table)  # type: ignore[union-attr]
        self._verb.setVisible(table is not None)
        self._show(as_table=False)
        self._later.start()

    @Slot()
    def turn(self) -> None:
        """From picture to table, and back."""
        self._show(as_table=self._table is not None and self._table.isHidden())

    def _show(self, *, as_table: bool) -> None:
        if self._table is not None:
            self._table.setVisible(as_table)
        self._picture.setVisible(not as_table)
        self._verb.set_label(msg("Show as picture") if as_table else msg("Show as table"))

    def has_picture(self) -> bool:
        """Whether a figure has been drawn."""
        return self._picture.image is not None

    @Slot()
    def redraw(self) -> None:
        """Ask the worker for the figure at the present size."""
        size = (self._picture.width(), self._picture.height())
        if self._draw is None or size[0] < 40 or self._picture.isHidden():
            return
        draw, look, ratio = self._draw, theme.name(), self.devicePixelRatioF()
        factor = theme.factor()
        self._background.ask(
            f"figure {self._subject}",
            lambda: _rendered(draw, look, size, ratio, factor),
            self._take,
        )

    def _take(self, drawn: _Drawn) -> None:
        image = QImage(
            drawn.pixels, drawn.width, drawn.height, QImage.Format.Format_RGBA8888
        ).copy()
        image.setDevicePixelRatio(drawn.ratio)
        self._picture.image = image
        self._picture.update()

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._later.start()

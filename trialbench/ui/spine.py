"""The spine: cloth hinge with a stitch a page, and beside it the names of the pages on paper."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from PySide6.QtCore import (
    Property,
    QEasingCurve,
    QPointF,
    QPropertyAnimation,
    QRect,
    QRectF,
    QSize,
    Qt,
    Signal,
    Slot,
)
from PySide6.QtGui import QColor, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QAbstractButton, QLabel, QWidget

from trialbench.model.message import Message, msg, say
from trialbench.ui import theme
from trialbench.ui.signs import Stitch, paint_stitch
from trialbench.ui.text import dotted
from trialbench.ui.verbs import TextVerb, wrap

_STITCH_WORDS = {
    "none": msg("not begun"),
    "begun": msg("begun"),
    "sewn": msg("complete"),
    "sealed": msg("sealed"),
}


@dataclass(frozen=True, slots=True)
class PageState:
    """What the spine says of one page: its name, a state of at most two words, its stitch."""

    key: str
    name: Message | str
    state: Message | str = ""
    stitch: Stitch = "none"


@dataclass(frozen=True, slots=True)
class SpineText:
    """All that stands on the spine. Without `trial` only the contents are sewn in."""

    notebook: str
    notebook_says: Message | str = ""
    trial: Message | str = ""
    trial_title: str = ""
    pages: tuple[PageState, ...] = ()
    contents: PageState = PageState("contents", msg("Contents"))


class PageName(QAbstractButton):
    """One page of the spine, its stitch included: name, dotted leader, state; a slip when open."""

    thread_followed = Signal()

    def __init__(self, state: PageState, place: str, parent: QWidget) -> None:
        super().__init__(parent)
        self.state = state
        self.is_open = False
        self.only_stitch = False
        self._drawn = 1.0
        self._place = place
        self.setProperty("ownFocus", True)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self._speak()

    def show_state(self, state: PageState, place: str, *, is_open: bool) -> None:
        """Take over a new state; a stitch that becomes complete draws itself."""
        grew = state.stitch in ("sewn", "sealed") and self.state.stitch in ("none", "begun")
        self.state, self.is_open, self._place = state, is_open, place
        self._speak()
        if grew and theme.motion_ms("stitch"):
            motion = QPropertyAnimation(self, b"drawn", self)
            motion.setDuration(theme.motion_ms("stitch"))
            motion.setStartValue(0.0)
            motion.setEndValue(1.0)
            motion.setEasingCurve(QEasingCurve.Type.OutQuad)
            motion.start(QPropertyAnimation.DeletionPolicy.DeleteWhenStopped)
        self.update()

    def _speak(self) -> None:
        words = [say(self.state.name), say(_STITCH_WORDS[self.state.stitch])]
        words += [say(self.state.state)] if say(self.state.state) else []
        words += [self._place] if self._place else []
        words += [say(msg("open now"))] if self.is_open else []
        self.setAccessibleName(", ".join(words))
        self.setToolTip(say(self.state.name))

    def _get_drawn(self) -> float:
        return self._drawn

    def _set_drawn(self, value: float) -> None:
        self._drawn = value
        self.update()

    drawn = Property(float, _get_drawn, _set_drawn)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.click()
            return
        super().keyPressEvent(event)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """The loose thread of the open page leads to the next pair of holes."""
        loose = self.is_open and self.state.stitch == "begun"
        if loose and event.position().x() < theme.size("hinge"):
            self.setDown(False)
            self.thread_followed.emit()
            return
        super().mouseReleaseEvent(event)

    def sizeHint(self) -> QSize:
        return QSize(theme.size("hinge") + theme.size("names"), theme.size("spine_item"))

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        middle = self.height() / 2
        hinge = theme.size("hinge")
        scale = min(1.0, self.height() / theme.size("spine_item"))
        paint_stitch(painter, self.state.stitch, hinge / 2, middle, drawn=self._drawn, scale=scale)
        if not self.only_stitch:
            if self.is_open:
                self._paint_slip(painter, hinge, middle)
            self._paint_name(painter, hinge, middle)
        if self.hasFocus():
            self._paint_ring(painter, hinge)
        painter.end()

    def _paint_ring(self, painter: QPainter, hinge: float) -> None:
        """Focus, within its own place: the hinge's edge is the window's."""
        left = 1.0 if self.only_stitch else hinge + 1.0
        ring = QRectF(left, 1, self.width() - left - 1, self.height() - 2)
        half = min(theme.px(24), ring.height() / 2)
        ring = QRectF(ring.left(), ring.center().y() - half, ring.width(), 2 * half)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(theme.colour("ink"), theme.line("focus")))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRoundedRect(ring, 3, 3)

    def _paint_slip(self, painter: QPainter, hinge: float, middle: float) -> None:
        half = min(theme.px(20), self.height() / 2 - 1)
        slip = QRectF(hinge + 4.5, middle - half + 0.5, self.width() - hinge - 9, 2 * half)
        painter.setPen(QPen(theme.colour("ink"), 1.2))
        painter.setBrush(theme.colour("field"))
        painter.drawRect(slip)

    def _paint_name(self, painter: QPainter, hinge: float, middle: float) -> None:
        metrics = theme.metrics("page_name", weight=600 if self.is_open else 500)
        base = middle + metrics.ascent() / 2 - metrics.descent() / 2
        left, right = hinge + theme.px(14), self.width() - theme.px(12)
        name = say(self.state.name)
        ink = theme.colour("ink")
        painter.setFont(theme.font("page_name", weight=600 if self.is_open else 500))
        painter.setPen(ink)
        painter.drawText(QPointF(left, base), name)
        end = left + metrics.horizontalAdvance(name)
        if not self.is_open:
            painter.fillRect(QRectF(left, round(base + theme.px(4)), end - left, 1), ink)
        state = say(self.state.state)
        if state:
            small = theme.metrics("label")
            room = right - end - theme.px(18)
            state = small.elidedText(state, Qt.TextElideMode.ElideRight, room)
            start = right - small.horizontalAdvance(state)
            painter.setFont(theme.font("label"))
            painter.setPen(theme.colour("pencil"))
            painter.drawText(QPointF(start, base), state)
            dotted(painter, end + 6, start - 6, base - 0.5, "ink")


class NotebookLabel(QLabel):
    """The notebook's name on a pasted label."""

    def show_words(self, name: str, says: str) -> None:
        self._name, self._says = name, says
        self.setAccessibleName(f"{name}, {says}".strip(", "))
        self.update()

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._name, self._says = "", ""

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        outer = QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5)
        painter.setPen(QPen(theme.colour("rail"), 1))
        painter.fillRect(outer, theme.colour("field"))
        painter.drawRect(outer)
        painter.drawRect(outer.adjusted(3, 3, -3, -3))
        metrics = theme.metrics("label_title")
        painter.setFont(theme.font("label_title"))
        painter.setPen(theme.colour("ink"))
        base = theme.px(9) + metrics.ascent()
        room = self.width() - 22
        for words in wrap(self._name, metrics, room)[:2]:
            words = metrics.elidedText(words, Qt.TextElideMode.ElideRight, room)
            painter.drawText(QPointF(11, base), words)
            base += theme.line_height("label_title")
        painter.setFont(theme.font("label"))
        painter.setPen(theme.colour("pencil"))
        painter.drawText(QPointF(11, base + theme.px(2)), self._says)
        painter.end()


class Spine(QWidget):
    """Everything at the left of the page. Emits `page_chosen(key)`; "index" is the last leaf."""

    page_chosen = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._text = SpineText("")
        self._open = ""
        self._folded = False
        self._names: list[PageName] = []
        self._label = NotebookLabel(self)
        self._contents = TextVerb(msg("Contents"), self, role="page_name", weight=500)
        self._contents.setObjectName("contents")
        self._index = TextVerb(msg("Index"), self, role="page_name", weight=500)
        self._index.setObjectName("index")
        self._trial = QLabel(self)
        for button in (self._contents, self._index):
            button.clicked.connect(self._choose_named)
        self.setAccessibleName(say(msg("Spine: the pages of this notebook")))
        theme.signals().theme_changed.connect(self._arrange)

    # --- what it says --------------------------------------------------------------------------

    def show_text(self, text: SpineText, open_key: str) -> None:
        """Show names, states and stitches; `open_key` is the page that is open."""
        self._text, self._open = text, open_key
        self._label.show_words(text.notebook, say(text.notebook_says))
        self._trial.setAccessibleName(f"{say(text.trial)}, {text.trial_title}".strip(", "))
        pages = text.pages or (text.contents,)
        if [name.state.key for name in self._names] != [page.key for page in pages]:
            self._make_names(pages)
        for number, (name, page) in enumerate(zip(self._names, pages, strict=True), 1):
            place = ""
            if text.pages:
                place = say(msg("page {number} of {count}", number=number, count=len(pages)))
            name.show_state(page, place, is_open=page.key == open_key)
        self._arrange()

    def _make_names(self, pages: tuple[PageState, ...]) -> None:
        for old in self._names:
            old.hide()
            old.deleteLater()
        self._names = []
        for page in pages:
            name = PageName(page, "", self)
            name.clicked.connect(self._choose_page)
            name.thread_followed.connect(self._follow_thread)
            name.show()
            self._names.append(name)
        # Tab goes down the spine as the eye does.
        order: list[QWidget] = [self._contents, *self._names, self._index]
        for before, after in pairwise(order):
            QWidget.setTabOrder(before, after)

    @Slot()
    def _choose_named(self) -> None:
        self.page_chosen.emit(self.sender().objectName())

    @Slot()
    def _choose_page(self) -> None:
        name = self.sender()
        assert isinstance(name, PageName)
        self.page_chosen.emit(name.state.key)

    @Slot()
    def _follow_thread(self) -> None:
        keys = [name.state.key for name in self._names]
        place = next((n for n, name in enumerate(self._names) if name.is_open), -1)
        if 0 <= place < len(keys) - 1:
            self.page_chosen.emit(keys[place + 1])

    def has_keyboard(self) -> bool:
        """Whether one of the names has focus."""
        return any(part.hasFocus() for part in (*self._names, self._contents, self._index))

    def is_folded(self) -> bool:
        return self._folded

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        super().mouseReleaseEvent(event)
        if self._folded:
            self.focus_open()

    def focus_open(self) -> None:
        """Put the keyboard on the page that is open (F6)."""
        for name in self._names:
            if name.is_open:
                name.setFocus(Qt.FocusReason.TabFocusReason)
                return
        (self._names[0] if self._names else self._index).setFocus(Qt.FocusReason.TabFocusReason)

    # --- how it stands -------------------------------------------------------------------------

    def set_folded(self, folded: bool) -> None:
        """Without names only the hinge stays, with its stitches."""
        self._folded = folded
        self._arrange()

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._arrange()

    @Slot()
    def _arrange(self) -> None:
        width, hinge = self.width(), theme.size("hinge")
        shown = width > hinge + 20
        for part in (self._label, self._contents, self._trial, self._index):
            part.setVisible(shown)
        in_trial = bool(self._text.pages)
        self._contents.setVisible(shown and in_trial)
        self._trial.setVisible(shown and in_trial)
        # The hinge alone keeps its size whatever the size of text.
        k = theme.factor() if shown else 1.0
        left = hinge + round(14 * k)
        self._label.setGeometry(hinge + 12, round(16 * k), width - hinge - 24, round(79 * k))
        self._place_verb(self._contents, left, 116 * k)
        self._place_verb(self._index, left, self.height() - 20 * k)
        self._trial.setGeometry(left, round(132 * k), width - left - 6, round(60 * k))
        first = (231.0 if in_trial else 143.0) * k
        # From the first name's middle to the last one's lower edge.
        room = self.height() - 44 * k - first
        step = min(theme.size("spine_item") * k, room / max(len(self._names) - 0.5, 0.5))
        for number, name in enumerate(self._names):
            middle = first + number * step
            name.only_stitch = not shown
            name.setGeometry(QRect(0, round(middle - step / 2), width, round(step)))
        self.update()

    def _place_verb(self, verb: TextVerb, x: int, middle: float) -> None:
        size = verb.sizeHint()
        verb.setGeometry(x, round(middle - size.height() / 2), size.width(), size.height() + 4)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        hinge = theme.size("hinge")
        painter.fillRect(self.rect(), theme.colour("margin"))
        painter.fillRect(QRect(0, 0, hinge, self.height()), theme.colour("cloth"))
        weave: QColor = theme.colour("cloth_weave")
        for x in range(3, hinge, 4):
            painter.fillRect(QRect(x, 0, 1, self.height()), weave)
        for y in range(4, self.height(), 5):
            painter.fillRect(QRect(0, y, hinge, 1), weave)
        painter.fillRect(QRect(hinge - 1, 0, 1, self.height()), theme.colour("rail"))
        if self._trial.isVisibleTo(self):
            self._paint_trial(painter, hinge + theme.px(14))
        painter.end()

    def _paint_trial(self, painter: QPainter, left: float) -> None:
        painter.setFont(theme.font("label"))
        painter.setPen(theme.colour("pencil"))
        painter.drawText(QPointF(left, theme.px(146)), say(self._text.trial))
        metrics = theme.metrics("label_title")
        painter.setFont(theme.font("label_title"))
        painter.setPen(theme.colour("ink"))
        room = self.width() - left - 8
        base = theme.px(164)
        lines = wrap(self._text.trial_title, metrics, room)
        if len(lines) > 2:
            lines = [lines[0], " ".join(lines[1:])]
        for words in lines:
            words = metrics.elidedText(words, Qt.TextElideMode.ElideRight, room)
            painter.drawText(QPointF(left, base), words)
            base += theme.line_height("label_title")

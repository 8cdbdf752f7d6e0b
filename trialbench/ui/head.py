"""The head of a page: title, what the page is for, verbs at the right, the title rule."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize, Signal, Slot
from PySide6.QtGui import QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from trialbench.model.margin import NoteVerb
from trialbench.model.message import Message, msg, say
from trialbench.ui import theme
from trialbench.ui.laid_by_width import LaidByWidth
from trialbench.ui.text import Line
from trialbench.ui.verbs import TextVerb, Verb

_VERB_GAP_PX = 10
_LEAST_TITLE_PX = 240


class Head(LaidByWidth):
    """Title, subtitle, verbs, rule. Emits `verb(NoteVerb)`."""

    verb = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent, QSizePolicy.Policy.Fixed)
        self._title = Line("page_title", "", self)
        self._subtitle = Line("subtitle", "", self, colour="pencil")
        self._says: Message | str = ""
        self._verbs: dict[str, Verb] = {}
        theme.signals().theme_changed.connect(self._arrange)

    def set_words(self, title: Message | str, says: Message | str) -> None:
        """Title and the line under it."""
        self._says = says
        self._title.set_items(title)
        self._subtitle.set_items(says)
        self._arrange()

    def title(self) -> str:
        return self._title.words()

    def set_verb(
        self,
        name: str,
        label: Message | str,
        *,
        due: bool = False,
        why: Message | str | None = None,
        stove: bool = False,
    ) -> Verb:
        """Add the verb `name`, or change its words and state. They stand in order of adding."""
        button = self._verbs.get(name)
        if button is None:
            button = Verb(label, self, stove=stove)
            button.setObjectName(name)
            button.clicked.connect(self._do)
            button.explains.connect(self._explain)
            self._verbs[name] = button
            button.show()
        button.set_label(label)
        button.set_state(due=due, why=why)
        self._arrange()
        return button

    def drop_verbs(self) -> None:
        """Take all verbs away."""
        for button in self._verbs.values():
            button.hide()
            button.deleteLater()
        self._verbs.clear()
        self._arrange()

    def verbs(self) -> dict[str, Verb]:
        return dict(self._verbs)

    @Slot()
    def _do(self) -> None:
        button = self.sender()
        assert isinstance(button, Verb)
        if button.can_be_done():
            self.verb.emit(NoteVerb(msg("{label}", label=button.label()), button.objectName()))

    @Slot(object)
    def _explain(self, why: Message | str | None) -> None:
        """A verb that cannot be done yet has focus: say why in the line under the title."""
        self._subtitle.set_items(self._says if why is None else say(why))
        self._subtitle.set_colour("pencil" if why is None else "ink")
        self._arrange()

    # --- place ---------------------------------------------------------------------------------

    def _rows(self, width: int) -> list[list[Verb]]:
        """Verbs in one row, or in as many as the width needs."""
        rows: list[list[Verb]] = [[]]
        used = 0
        for button in self._verbs.values():
            wide = button.sizeHint().width()
            if rows[-1] and used + _VERB_GAP_PX + wide > width:
                rows.append([])
                used = 0
            used += wide + (_VERB_GAP_PX if rows[-1] else 0)
            rows[-1].append(button)
        return rows

    def _verbs_width(self) -> int:
        wides = [button.sizeHint().width() for button in self._verbs.values()]
        return sum(wides) + _VERB_GAP_PX * max(len(wides) - 1, 0)

    def _lay(self, width: int, *, move: bool) -> int:
        if theme.is_counter():
            return self._lay_counter(width, move=move)
        beside = self._verbs_width()
        below = bool(beside) and width - beside - 20 < theme.px(_LEAST_TITLE_PX)
        room = width if below or not beside else width - beside - 20
        y = 0
        for line, gap in ((self._title, 1), (self._subtitle, 12)):
            tall = line.heightForWidth(room) if line.words() else 0
            if move:
                line.setGeometry(0, y, room, tall)
                line.setVisible(bool(tall))
            y += tall + round(theme.px(gap))
        rule = y
        if below:
            rule = self._lay_rows(width, y, move=move)
        elif move:
            self._lay_row(width, rule)
        return rule + 2

    def _lay_counter(self, width: int, *, move: bool) -> int:
        """At counter size only the verbs: they stand at the foot of the page, from the left."""
        if move:
            self._title.hide()
            self._subtitle.hide()
        return self._lay_rows(width, 0, move=move) if self._verbs else 0

    def _lay_row(self, width: int, rule: int) -> None:
        right = width
        for button in reversed(self._verbs.values()):
            size = button.sizeHint()
            right -= size.width()
            top = rule - round(theme.px(14)) - size.height()
            button.setGeometry(right, top, size.width(), size.height())
            right -= _VERB_GAP_PX

    def _lay_rows(self, width: int, y: int, *, move: bool) -> int:
        for row in self._rows(width):
            x = 0
            tall = max((button.sizeHint().height() for button in row), default=0)
            for button in row:
                wide = min(button.sizeHint().width(), width)
                if move:
                    button.setGeometry(x, y, wide, tall)
                x += wide + _VERB_GAP_PX
            y += tall + 8
        return y + 4

    @Slot()
    def _arrange(self) -> None:
        self._lay(self.width(), move=True)
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(400, self.heightForWidth(max(self.width(), 300)))

    def minimumSizeHint(self) -> QSize:
        return QSize(200, 40)

    def paintEvent(self, event: QPaintEvent) -> None:
        if theme.is_counter():
            return
        painter = QPainter(self)
        thick = theme.line("title")
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.fillRect(QRectF(0, self.height() - 2, self.width(), thick), theme.colour("ink"))
        painter.end()


class Foot(QWidget):
    """The foot of a page: what was written last, the way back, and the page's number.

    It stands under what scrolls, as wide as the leaf, and carries the margin's ground on.
    """

    take_back = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._inset, self._page_px = 0, 0
        self._written = Line("label", "", self, colour="pencil")
        self._number = Line("label", "", self, colour="pencil", align_right=True)
        self._back = TextVerb(msg("Take it back"), self, role="label", weight=600)
        self._back.clicked.connect(self.take_back)
        self._back.hide()
        theme.signals().theme_changed.connect(self._arrange)

    def set_written(self, words: Message | str, *, can_take_back: bool) -> None:
        """What was written last ("Last written: ..."); with the way back when there is one."""
        self._written.set_items(words)
        self._back.setVisible(can_take_back)
        self._arrange()

    def set_number(self, words: Message | str) -> None:
        self._number.set_items(words)
        self._arrange()

    def set_page(self, inset_px: int, page_px: int) -> None:
        """How wide the page over it is, and how far its words stand in."""
        if (self._inset, self._page_px) != (inset_px, page_px):
            self._inset, self._page_px = inset_px, page_px
            self._arrange()
            self.update()

    @staticmethod
    def height_px() -> int:
        """How high a foot is at the present size."""
        return round(theme.px(36))

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._arrange()

    @Slot()
    def _arrange(self) -> None:
        number = self._number.sizeHint()
        tall = number.height()
        y = round((self.height() - tall) / 2)
        left, right = self._inset, self._page_px - self._inset
        self._number.setGeometry(right - number.width(), y, number.width(), tall)
        back = self._back.sizeHint()
        room = right - left - number.width() - 20
        if not self._back.isHidden():
            room -= back.width() + 10
        wide = max(min(self._written.sizeHint().width(), room), 40)
        self._written.setGeometry(left, y, wide, tall)
        self._back.setGeometry(left + wide + 10, y, back.width(), back.height() + 5)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        page, high = self._page_px, self.height()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.fillRect(QRectF(0, 0, page, high), theme.colour("page"))
        painter.fillRect(QRectF(page, 0, self.width() - page, high), theme.colour("margin"))
        rule = QRectF(self._inset, 0, page - 2 * self._inset, 1)
        painter.fillRect(rule, theme.colour("rule"))
        painter.setPen(QPen(theme.colour("rail"), theme.line("rail")))
        painter.drawLine(QPointF(page, 0), QPointF(page, high))
        painter.end()

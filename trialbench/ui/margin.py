"""The margin: what the notebook answers, each note beside the line it is about, and the rail."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QPointF, QRect, QRectF, Qt, Signal, Slot
from PySide6.QtGui import QColor, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QWidget

from trialbench.model.margin import Margin, MarginNote
from trialbench.model.message import Message, msg, say
from trialbench.ui import theme
from trialbench.ui.note import Note
from trialbench.ui.signs import paint_rail_mark
from trialbench.ui.text import Line

FOOD_SENTENCE = msg(
    "Follow your local food code and, for commercial production, a licensed food-safety"
    " professional."
)
_TEXT_X = 24
_TEXT_RIGHT = 16
_GAP_PX = 11
_LEAST_MARK_PX = 24

LineWhere = Callable[[str], QRect | None]


def open_at_first(notes: tuple[MarginNote, ...], at_most: int) -> set[int]:
    """Which notes are open: food always, then the dearest until `at_most` are open."""
    opened = {number for number, note in enumerate(notes) if note.mark == "watch"}
    others = sorted(
        (number for number in range(len(notes)) if number not in opened),
        key=lambda number: (-notes[number].dear, number),
    )
    return opened | set(others[: max(at_most - len(opened), 0)])


def slide(wanted: list[float], heights: list[float], start: float, gap: float) -> list[float]:
    """Tops of notes that want to stand at `wanted` (ascending) and must not overlap."""
    tops: list[float] = []
    free = start
    for want, height in zip(wanted, heights, strict=True):
        top = max(want, free)
        tops.append(top)
        free = top + height + gap
    return tops


class MarginColumn(QWidget):
    """The rail and the notes. Emits `verb(NoteVerb)` and `to_line(str)`; moves with the page."""

    verb = Signal(object)
    to_line = Signal(object)
    peek = Signal(object)

    def __init__(self, where: LineWhere, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._where = where
        self._margin = Margin(Message(""))
        self._notes: list[Note] = []
        self._lines: dict[int, QRect] = {}
        self._folded = False
        self._text_width = 260
        self.needed_height = 0
        self._standing = Line("standing_sentence", "", self)
        self.setAccessibleName(say(msg("Margin")))
        theme.signals().theme_changed.connect(self.lay)

    # --- what it says --------------------------------------------------------------------------

    def show_margin(self, margin: Margin) -> None:
        """Show other notes; a note that stays keeps being open or folded, and keeps focus."""
        if margin == self._margin and self._notes:
            self.lay()
            return
        kept = {(note.note.line, note.note.label): note.is_open for note in self._notes}
        had = self._focused()
        had_key = (had.note.line, had.note.label) if had else None
        for old in self._notes:
            old.hide()
            old.deleteLater()
        self._margin = margin
        self._standing.set_items(margin.standing if margin.standing.text else "")
        opened = open_at_first(margin.notes, theme.size("notes_open_at_most"))
        last_food = max(
            (n for n, note in enumerate(margin.notes) if note.mark == "watch"), default=None
        )
        self._notes = []
        for number, note in enumerate(margin.notes):
            said = note.source is not None and say(FOOD_SENTENCE) in say(note.source)
            wanted = number == last_food and not said
            made = Note(note, self, food_sentence=FOOD_SENTENCE if wanted else None)
            made.verb.connect(self.verb)
            made.opened.connect(self.open_note)
            made.to_line.connect(self.to_line)
            key = (note.line, note.label)
            made.set_open(note.mark == "watch" or kept.get(key, number in opened))
            self._notes.append(made)
            made.show()
            if key == had_key:
                made.setFocus(Qt.FocusReason.OtherFocusReason)
        self._fold_beyond(None)
        self.lay()

    def notes(self) -> list[Note]:
        """The notes from top to bottom, as F7 goes through them."""
        order = sorted(range(len(self._notes)), key=lambda n: (self._notes[n].y(), n))
        return [self._notes[number] for number in order]

    def set_folded(self, folded: bool) -> None:
        """Only the rail with its marks, or the notes as well."""
        self._folded = folded
        self.lay()

    def is_folded(self) -> bool:
        return self._folded

    # --- opening -------------------------------------------------------------------------------

    @Slot(object)
    def open_note(self, note: Note) -> None:
        """Open a note in place; the least dear of too many folds."""
        if not note.is_open:
            note.set_open(True)
            self._fold_beyond(note)
            self.lay()

    def open_line(self, line: str) -> None:
        """A line has focus: its notes open."""
        for note in self._notes:
            if note.note.line == line:
                self.open_note(note)

    def _fold_beyond(self, wanted: Note | None) -> None:
        at_most = theme.size("notes_open_at_most")
        opened = [note for note in self._notes if note.is_open]
        foldable = [note for note in opened if note.note.mark != "watch" and note is not wanted]
        foldable.sort(key=lambda note: note.note.dear)
        for note in foldable[: max(len(opened) - at_most, 0)]:
            note.set_open(False)

    def _focused(self) -> Note | None:
        return next((note for note in self._notes if note.hasFocus()), None)

    def step_note(self, by: int) -> Note | None:
        """Give focus to the next (1) or last (-1) note and return it."""
        notes = self.notes()
        if not notes:
            return None
        now = next((n for n, note in enumerate(notes) if _has_focus(note)), None)
        start = (0 if by > 0 else len(notes) - 1) if now is None else (now + by) % len(notes)
        note = notes[start]
        self.open_note(note)
        note.setFocus(Qt.FocusReason.TabFocusReason)
        return note

    # --- place ---------------------------------------------------------------------------------

    @Slot()
    def lay(self) -> None:
        """Place every note beside its line; called when the page has been laid out."""
        shown = not self._folded
        self._standing.setVisible(shown)
        left = round(self.rail_x() + theme.px(_TEXT_X))
        right = round(theme.px(_TEXT_RIGHT))
        self._text_width = max(80, min(self.width() - left - right, round(theme.px(320))))
        head = self._standing.heightForWidth(self._text_width)
        self._standing.setGeometry(left, round(theme.px(20)), self._text_width, head)
        self._lines.clear()
        found = []
        for number, note in enumerate(self._notes):
            note.setVisible(shown)
            line = self._where(note.note.line)
            if line is not None:
                self._lines[number] = line
            found.append((line.top() if line is not None else 0, number, note))
        found.sort(key=lambda each: (each[0], each[1]))
        heights = [float(note.lay(self._text_width)) for _, _, note in found]
        start = theme.px(20) + (head + theme.px(14) if self._margin.standing.text else 0)
        wanted = [float(top) + theme.px(3) for top, _, _ in found]
        tops = slide(wanted, heights, start, theme.px(_GAP_PX))
        for (_, _, note), top, height in zip(found, tops, heights, strict=True):
            note.setGeometry(left, round(top), self._text_width, round(height))
        ends = [top + height for top, height in zip(tops, heights, strict=True)]
        self.needed_height = round(max(ends, default=start) + theme.px(20)) if shown else 0
        self.update()

    def _marks(self) -> list[tuple[Note, float, float]]:
        """Notes with the top and bottom of their mark; notes of one line share its height."""
        by_line: dict[str, list[int]] = {}
        for number in self._lines:
            by_line.setdefault(self._notes[number].note.line, []).append(number)
        found = []
        for numbers in by_line.values():
            line = self._lines[numbers[0]]
            tall = max(line.height(), theme.px(_LEAST_MARK_PX) * len(numbers))
            share = tall / len(numbers)
            for place, number in enumerate(numbers):
                top = line.top() + place * share
                found.append((self._notes[number], top, top + share - (4 if place else 0)))
        return found

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """A mark on the rail opens its note."""
        if event.position().x() > self.rail_x() + 14 and not self._folded:
            return
        for note, top, bottom in self._marks():
            if top - 4 <= event.position().y() <= bottom + 4:
                self.open_note(note)
                note.setFocus(Qt.FocusReason.MouseFocusReason)
                if self._folded:
                    self.peek.emit(note)
                return

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        rail = self.rail_x()
        page, margin = theme.colour("page"), theme.colour("margin")
        painter.fillRect(QRectF(0, 0, rail, self.height()), page)
        painter.fillRect(QRectF(rail, 0, self.width() - rail, self.height()), margin)
        painter.setPen(QPen(theme.colour("rail"), theme.line("rail")))
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.drawLine(QPointF(rail, 0), QPointF(rail, self.height()))
        marks = self._marks()
        for _, top, bottom in marks:
            painter.fillRect(QRectF(rail - 7, top - 2, 7, bottom - top + 4), page)
            painter.fillRect(QRectF(rail, top - 2, 6, bottom - top + 4), page)
        for note, top, bottom in marks:
            ink: QColor = theme.colour("watch" if note.note.mark == "watch" else "ink")
            paint_rail_mark(painter, note.note.mark, rail, top + 2, bottom - 2, ink)
        painter.end()

    def rail_x(self) -> float:
        """Where the rail stands in this column: marks reach a little to its left."""
        return 8.0


def _has_focus(note: Note) -> bool:
    inner = note.focusWidget()
    return note.hasFocus() or (inner is not None and inner.hasFocus())

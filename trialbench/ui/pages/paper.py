"""The note as it will be on paper: the words of the report's note, in its order, on one side."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QVBoxLayout, QWidget

from trialbench.model.message import msg
from trialbench.ui import theme
from trialbench.ui.page import Desk
from trialbench.ui.pages.faded import Faded
from trialbench.ui.pages.finding_pictures import FindingPictures
from trialbench.ui.pages.sections import Beside, Sections, empty, reading_table
from trialbench.ui.runs import Item, Run
from trialbench.ui.signs import paint_rail_mark
from trialbench.ui.text import Line, Rule

if TYPE_CHECKING:
    from trialbench.findings.trial_finding import TrialFinding
    from trialbench.report.note import RecipeNote

_SIDE_PX, _TOP_PX, _LABEL_PX = 40, 24, 116
_WEIGHT = re.compile(r"(\d[\d.,\u2009\u202f\u00a0]*\u00a0(?:g|kg|oz|lb)\b)(?! for each)")


class Paper(QWidget):
    """One side of paper. `places` holds its parts by name, for margin notes."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self.places: dict[str, QWidget] = {}
        self._faded = Faded(self)
        self._outer = QVBoxLayout(self)
        self._column = QVBoxLayout()
        theme.signals().theme_changed.connect(self._measure)
        self._measure()

    def _measure(self) -> None:
        side, top = round(theme.px(_SIDE_PX)), round(theme.px(_TOP_PX))
        self._outer.setContentsMargins(side, top, side, top)

    def fade(self, on: bool) -> None:
        """Pencil while it is being reckoned again."""
        self._faded.set(on)
        for pictures in self.findChildren(FindingPictures):
            pictures.fade(on)

    def show_note(self, note: RecipeNote, found: TrialFinding) -> None:
        """Set the note of a finding."""
        # Put together out of sight, so that it is laid out once.
        body = QWidget()
        self._column = QVBoxLayout(body)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(0)
        self.places = {}
        self._fill(note, found)
        empty(self._outer)
        self._faded.forget()
        self._outer.addWidget(body)

    def _fill(self, note: RecipeNote, found: TrialFinding) -> None:
        self._head(note)
        for number, line in enumerate(note.recipe):
            self._put(Line("recipe_line", weighed(line)), 12 if number == 0 else 8,
                      "recipe" if number == 0 else "")  # fmt: skip
        self._weight(note)
        sections = Sections(label="note_label", text="margin_note", label_px=_LABEL_PX,
                            rule_first=True)  # fmt: skip
        self._put(sections, 10)
        sections.show_sections(note.sections)
        self.places |= sections.rows
        if note.outcomes is not None:
            self._put(Rule(), 2)
            self._put(reading_table(note.outcomes, row_px=30, last_rule=True), 4, "outcomes")
        if note.means is not None:
            self._put(reading_table(note.means, row_px=30, last_rule=True), 8, "means")
        drawn = found.deciding is not None and found.deciding.comparison.estimate is not None
        if drawn or found.several is not None:
            self.pictures = FindingPictures(self._desk, "field")
            self._put(self.pictures, 14)
            self.pictures.show_finding(found)
        self._food(note)

    def _put(self, part: QWidget, space_px: float, place: str = "") -> None:
        self._column.addSpacing(round(theme.px(space_px)))
        self._column.addWidget(part)
        if place:
            self.places[place] = part

    def _head(self, note: RecipeNote) -> None:
        from trialbench.report.words import tied

        self._put(Line("headline", tied(note.title)), 0, "title")
        for line in note.under_title:
            self._put(Line("cell", tied(line), colour="pencil"), 2)

    def _weight(self, note: RecipeNote) -> None:
        if note.weight is None:
            return
        from trialbench.report.words import tied

        self._put(Rule("ink"), 12)
        label = Run(msg("By weight"), weight=600)
        said = Line("cell", [label, Run(": ", weight=600), Run(tied(note.weight))])
        self._put(said, 8, "weight")

    def _food(self, note: RecipeNote) -> None:
        if not note.cautions and note.local_code is None:
            return
        self._put(Watch(note), 14, "food")

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setPen(QPen(theme.colour("rule"), theme.line("rule")))
        painter.setBrush(theme.colour("field"))
        painter.drawRect(QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5))
        painter.end()


class Watch(QWidget):
    """Cautions on food with their sources, beside a snapped thread; local codes come last."""

    def __init__(self, note: RecipeNote) -> None:
        super().__init__()
        self._marked = bool(note.cautions)
        column = QVBoxLayout(self)
        left = round(theme.px(22)) if self._marked else 0
        column.setContentsMargins(left, 0, 0, 0)
        column.addWidget(Beside(list(_food_lines(note)), 4))

    def paintEvent(self, event: QPaintEvent) -> None:
        if not self._marked:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        tall = min(float(self.height()), theme.px(46))
        paint_rail_mark(painter, "watch", theme.px(8), 0, tall, theme.colour("watch"))
        painter.end()


def _food_lines(note: RecipeNote) -> Iterator[QWidget]:
    from trialbench.report.words import tied

    watch = Run(msg("Food: watch"), weight=600, colour="watch")
    for sentence, source in note.cautions:
        yield Line(
            "cell",
            [watch, Run(". ", weight=600, colour="watch"), Run(tied(sentence))],
        )
        yield Line("label", tied(source), colour="pencil")
    if note.local_code is not None:
        yield Line("label", note.local_code, colour="pencil")


def weighed(line: object) -> list[Item]:
    """A line of the recipe with its weights in bold; the words stay as they are."""
    from trialbench.report.words import tied

    parts = _WEIGHT.split(tied(line))  # type: ignore[arg-type]
    return [Run(part, weight=600 if n % 2 else None) for n, part in enumerate(parts) if part]

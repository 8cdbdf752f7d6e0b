"""The two pictures of a finding beside each other: the interval, and each cook day."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QSize
from PySide6.QtWidgets import QSizePolicy, QVBoxLayout, QWidget

from trialbench.findings.finding import Finding
from trialbench.findings.phrases import Names
from trialbench.findings.several_finding import SeveralFinding
from trialbench.findings.trial_finding import TrialFinding
from trialbench.model.message import msg, say
from trialbench.ui import theme
from trialbench.ui.figure_view import FigureTable, FigureView
from trialbench.ui.laid_by_width import LaidWithParts
from trialbench.ui.page import Desk
from trialbench.ui.pages.drawn import Drawn
from trialbench.ui.runs import Item, Run
from trialbench.ui.table import ReadingColumn
from trialbench.ui.text import Line

_DAYS_PX, _MEANS_PX, _GAP_PX, _LEAST_INTERVAL_PX = 240, 280, 20, 340
_MOST_PX, _LEAST_ROW_PX, _AROUND_PX = 300.0, 15.0, 190.0


class _Headed(QWidget):
    """A picture under its head."""

    def __init__(self, desk: Desk, subject: str, ground: str) -> None:
        super().__init__()
        self._on_paper = ground == "field"
        self.head = Line("cell")
        self.view = FigureView(
            desk.background, f"{subject} on {ground}", 240, spoken=True, ground=ground
        )
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2)
        column.addWidget(self.head)
        column.addWidget(self.view)
        if self._on_paper:
            self.head.hide()

    def tall(self, width: int) -> int:
        """The height at a width; a picture by itself has the same at every width."""
        return self.heightForWidth(width) if self.hasHeightForWidth() else self.sizeHint().height()

    def show_drawn(self, drawn: Drawn, head: list[Item], height_px: float) -> None:
        self.head.set_items(head)
        self.view.set_height(height_px)
        sentence, table = drawn.words()
        columns = tuple(
            ReadingColumn(column, align="right" if n else "left")
            for n, column in enumerate(table.columns)
        )
        shown = None if self._on_paper else FigureTable(columns, table.rows)
        self.view.show_figure(drawn, sentence, shown)


class FindingPictures(LaidWithParts):
    """Interval and cook days of the deciding outcome; under each other where it is narrow.

    `ground` is the colour they stand on, page or field. On field they are as on paper: without
    heads, and without tables, whose numbers stand on the paper themselves.
    """

    def __init__(self, desk: Desk, ground: str = "page", parent: QWidget | None = None) -> None:
        super().__init__(parent, QSizePolicy.Policy.Fixed)
        self._ending = " field" if ground == "field" else ""
        self._shown: tuple[Finding | SeveralFinding, Names] | None = None
        self._days_px = _DAYS_PX
        self.interval = _Headed(desk, "interval", ground)
        self.days = _Headed(desk, "cook days", ground)
        for part in (self.interval, self.days):
            part.setParent(self)

    def show_finding(self, found: TrialFinding) -> None:
        """Draw them, where there is something to draw."""
        if found.several is not None:
            self.show()
            together = (found.several, found.names_of(found.several.outcome))
            if together != self._shown:
                self._shown = together
                self._draw_several(*together)
            return
        finding = found.deciding
        self.setVisible(finding is not None and finding.comparison.estimate is not None)
        if finding is None or finding.comparison.estimate is None:
            return
        shown = (finding, found.names_of(finding.outcome))
        if shown != self._shown:
            self._shown = shown
            self._draw(*shown)

    def _draw_several(self, found: SeveralFinding, names: Names) -> None:
        from trialbench.ui.pages.several_pictures import pictures_of

        wide, narrow = pictures_of(found, names, self._ending)
        self._days_px = _MEANS_PX
        self.interval.show_drawn(wide.drawn, wide.head, wide.height_px)
        self.days.setVisible(narrow is not None)
        if narrow is not None:
            self.days.show_drawn(narrow.drawn, narrow.head, narrow.height_px)
        self.updateGeometry()

    def _draw(self, finding: Finding, names: Names) -> None:
        from trialbench.figures.directed import directed, leading_of, second_of
        from trialbench.figures.interval import interval_height

        most = max(_MOST_PX, _AROUND_PX + _LEAST_ROW_PX * len(directed(finding).rows))
        height = min(interval_height(finding), most)
        self._days_px = _DAYS_PX
        first = leading_of(finding)
        second = second_of(finding.comparison, first)
        over = msg("{first} over {second}, {outcome}", first=first, second=second,
                   outcome=names.outcome)  # fmt: skip
        head: list[Item] = [Run(over, weight=600)]
        if names.measure:
            head.append(Run(f"   {say(names.measure)}", colour="pencil"))
        self.interval.show_drawn(_Interval(finding, names, self._ending), head, height)
        several = len(finding.cook_differences) > 1
        self.days.setVisible(several)
        if several:
            mean = msg("   mean score") if finding.counts.tasters else msg("   mean")
            named: list[Item] = [Run(msg("Each cook day"), weight=600), Run(mean, colour="pencil")]
            self.days.show_drawn(_Days(finding, names, self._ending), named, height)
        self.updateGeometry()

    def fade(self, on: bool) -> None:
        """Pale while they show what is being reckoned again."""
        for part in (self.interval, self.days):
            part.view.set_faded(on)

    def turn(self) -> None:
        """Both as tables, or both as pictures again."""
        for part in (self.interval, self.days):
            if not part.isHidden():
                part.view.turn()

    # --- place ---------------------------------------------------------------------------------

    def _beside(self, width: int) -> bool:
        least = theme.px(_LEAST_INTERVAL_PX + _GAP_PX + self._days_px)
        return not self.days.isHidden() and width >= least

    def _lay(self, width: int, *, move: bool) -> int:
        beside, gap = self._beside(width), round(theme.px(_GAP_PX))
        right = round(theme.px(self._days_px)) if beside else 0
        wide = width - right - gap if beside else width
        tall = self.interval.tall(wide)
        if self.days.isHidden():
            if move:
                self.interval.setGeometry(0, 0, wide, tall)
            return tall
        at = (wide + gap, 0) if beside else (0, tall + gap)
        # Under each other, the days keep the width they are made for.
        room = right if beside else min(width, round(theme.px(self._days_px * 1.6)))
        high = self.days.tall(room)
        if move:
            self.interval.setGeometry(0, 0, wide, tall)
            self.days.setGeometry(*at, room, high)
        return max(tall, high) if beside else tall + gap + high

    def sizeHint(self) -> QSize:
        return QSize(400, self.heightForWidth(max(self.width(), 400)))

    def minimumSizeHint(self) -> QSize:
        return QSize(200, 40)


class _Drawn(Drawn):
    """A picture of a finding of two methods."""

    def __init__(self, finding: Finding, names: Names, ending: str) -> None:
        self.finding, self.names, self.ending = finding, names, ending


class _Interval(_Drawn):
    def words(self) -> tuple[Any, Any]:
        from trialbench.figures.interval import interval_words

        return interval_words(self.finding, self.names)

    def __call__(self, look: str, width_in: float, height_in: float) -> Any:
        from trialbench.figures.interval import interval_figure

        return interval_figure(
            self.finding, self.names, look + self.ending,  # type: ignore[arg-type]
            width_px=width_in * 96, height_px=height_in * 96,
        ).figure  # fmt: skip


class _Days(_Drawn):
    def words(self) -> tuple[Any, Any]:
        from trialbench.figures.cook_days import cook_days_words

        return cook_days_words(self.finding, self.names)

    def __call__(self, look: str, width_in: float, height_in: float) -> Any:
        from trialbench.figures.cook_days import cook_days_figure

        return cook_days_figure(
            self.finding, self.names, look + self.ending,  # type: ignore[arg-type]
            width_px=width_in * 96, height_px=height_in * 96,
        ).figure  # fmt: skip

"""The picture of a finding: what counts row by row, too little to matter, and the thread."""

from __future__ import annotations

from dataclasses import dataclass

from trialbench.figures.directed import Directed, Row, directed
from trialbench.figures.drawing import Drawing
from trialbench.figures.look import Style
from trialbench.figures.pictures import Picture, PictureTable
from trialbench.figures.signs import sign
from trialbench.figures.thread import draw_thread
from trialbench.figures.ticks import as_short, signed, ticks, with_head_room
from trialbench.findings.finding import Finding
from trialbench.findings.phrases import Names
from trialbench.model.message import Message, msg, say
from trialbench.planning.number_words import counted

WIDTH_PX, ROW_PX = 452.0, 29.0
_HEAD, _THREAD, _FOOT = 38.0, 118.0, 30.0
_LEAST_ROW_PX = 12.5


def interval_height(finding: Finding) -> float:
    """The height in pixels that a finding needs: more rows, taller."""
    return _HEAD + _THREAD + _FOOT + ROW_PX * min(len(directed(finding).rows), 12)


def interval_figure(
    finding: Finding,
    names: Names,
    style: Style = "light",
    *,
    leading: str | None = None,
    width_px: float = WIDTH_PX,
    height_px: float | None = None,
) -> Picture:
    """The interval of a finding.

    A row a cook day (or pair, or taster, where there is one cook day) with a tall stitch and its
    pairs as pale rings; margin tone to d on both sides; the thread from the outer limits, doubled
    between the inner ones, a knot at each of the four ends. `leading` is the method whose numbers
    come first in "B over A"; where None, the favoured or higher one.
    """
    seen = directed(finding, leading)
    drawing = Drawing(width_px, height_px or interval_height(finding), style)
    _Interval(drawing, seen, finding, names).draw()
    return Picture(drawing.figure, _sentence(seen, names), _table(seen, names))


def interval_words(
    finding: Finding, names: Names, leading: str | None = None
) -> tuple[Message, PictureTable]:
    """The sentence and the table of that picture, without drawing it."""
    seen = directed(finding, leading)
    return _sentence(seen, names), _table(seen, names)


@dataclass
class _Interval:
    drawing: Drawing
    seen: Directed
    finding: Finding
    names: Names

    def __post_init__(self) -> None:
        self.left = self._label_width()
        self.right = self.drawing.width - 22.0
        self.base = self.drawing.height - _FOOT
        self.low, self.high = self._range()

    def _label_width(self) -> float:
        labels = [row.label for row in self.seen.rows]
        widths = [self.drawing.text_width(label) for label in labels]
        return min(max([52.0, *widths]) + 18.0, 0.34 * self.drawing.width)

    def _range(self) -> tuple[float, float]:
        numbers = self.seen.numbers()
        matters = self.finding.matters
        if matters is not None:
            numbers += [-1.2 * matters, 1.2 * matters]
        low, high = min([0.0, *numbers]), max([0.0, *numbers])
        span = (high - low) or 1.0
        low, high = low - 0.06 * span, high + 0.08 * span
        first, second = (self._head_width(label) for label in self._heads())
        plot = self.right - self.left
        return with_head_room(low, high, first / plot, (second + 44) / plot)

    def x(self, value: float) -> float:
        """Where a value stands."""
        part = (value - self.low) / (self.high - self.low)
        return self.left + part * (self.right - self.left)

    def draw(self) -> None:
        self._band()
        self._axis()
        self._header()
        rows = self.seen.rows
        top, bottom = _HEAD, self.base - _THREAD
        pitch = (bottom - top) / max(len(rows), 1)
        for number, row in enumerate(rows):
            self._row(row, top + pitch * (number + 0.5), pitch)
        self._thread(bottom + 52.0)

    def _band(self) -> None:
        drawing, matters = self.drawing, self.finding.matters
        top = _HEAD - 8
        if matters is not None:
            left, right = self.x(-matters), self.x(matters)
            corners = [(left, top), (right, top), (right, self.base), (left, self.base)]
            drawing.area(corners, fill=drawing.colours.margin)
            for edge in (left, right):
                drawing.line([(edge, top), (edge, self.base)], width=1.0, zorder=1)
            self._band_words(left, right)
        none = self.x(0.0)
        drawing.line([(none, top), (none, self.base)], width=1.8, zorder=1)

    def _band_words(self, left: float, right: float) -> None:
        drawing, none = self.drawing, self.x(0.0)
        tone = drawing.colours.margin
        words = (say(msg("too little")), say(msg("to matter")))
        width = max(drawing.text_width(line, px=12) for line in words)
        middle = (left + none) / 2
        if width + 6 > none - left:
            middle = (left + right) / 2 if width + 6 <= right - left else -1.0
        if middle > 0:
            for line, up in zip(words, (24.0, 9.0), strict=True):
                drawing.text(
                    middle,
                    self.base - up,
                    line,
                    px=12,
                    align="center",
                    ground=tone,
                )
        size = self.names.as_typed(self.finding.matters or 0.0)
        more = say(msg("{size} and more matters", size=size))
        if right + 6 + drawing.text_width(more, px=12) <= self.drawing.width:
            drawing.text(right + 6, self.base - 9, more, px=12)

    def _axis(self) -> None:
        drawing, colours = self.drawing, self.drawing.colours
        drawing.line([(self.left, self.base), (self.right + 16, self.base)], width=1.5)
        most = max(3, int((self.right - self.left) / 56))
        places = ticks(self.low, self.high, most)
        for value in places:
            place = self.x(value)
            drawing.line([(place, self.base), (place, self.base + 5)], width=1.2)
            text = as_short(value)
            drawing.text(
                place,
                self.base + 20,
                f"+{text}" if value > 0 else text,
                px=12,
                align="center",
                colour=colours.pencil,
            )

    def _heads(self) -> tuple[tuple[str, str], tuple[str, str]]:
        """(letter, word) at the left and at the right of none."""
        seen, names = self.seen, self.names
        word = say(names.more)
        return (seen.second, f"{seen.second} {word}"), (seen.first, f"{seen.first} {word}")

    def _head_width(self, head: tuple[str, str]) -> float:
        return self.drawing.text_width(head[1], px=13, weight="medium") + 32

    def _header(self) -> None:
        drawing, none = self.drawing, self.x(0.0)
        (left, left_words), (right, right_words) = self._heads()
        start = none - self._head_width((left, left_words)) + 6
        self._head(left, left_words, max(start, 2.0))
        same = say(msg("same"))
        drawing.text(none + 4, 18, same, px=13)
        after = none + 4 + drawing.text_width(same) + 14
        matters = self.finding.matters
        place = max(after, self.x(matters) + 6 if matters is not None else after)
        fits = drawing.width - self._head_width((right, right_words))
        self._head(right, right_words, max(after, min(place, fits)))

    def _head(self, letter: str, words: str, x: float) -> None:
        drawing = self.drawing
        moved = 22 if sign(drawing, letter, x, 4.0, 17.0) else 0
        colour = drawing.colours.of_method(letter)
        drawing.text(x + moved, 18, words, px=13, weight="medium", colour=colour)

    def _row(self, row: Row, y: float, pitch: float) -> None:
        drawing = self.drawing
        if pitch >= _LEAST_ROW_PX:
            drawing.text(0, y + 4.5, row.label, px=min(13.0, 0.92 * pitch))
        for inside in row.inside:
            drawing.ring(self.x(inside), y)
        colour = drawing.colours.rail if self.seen.waiting else ""
        height = min(21.0, 0.78 * pitch)
        ground = self._ground(row.value)
        drawing.stitch(self.x(row.value), y, height, colour=colour, ground=ground)

    def _ground(self, value: float) -> str:
        """The colour behind a value: margin tone inside the band, else the page."""
        matters, colours = self.finding.matters, self.drawing.colours
        inside = matters is not None and abs(value) < matters
        return colours.margin if inside else colours.page

    def _thread(self, y: float) -> None:
        drawing, seen = self.drawing, self.seen
        lines = seen.all_label.split("\n")
        for number, line in enumerate(lines):
            up = (number - (len(lines) - 1) / 2) * 16
            drawing.text(0, y + 4.5 + up, line, px=13, weight="semibold")
        if seen.estimate is None:
            return
        colour = drawing.colours.rail if seen.waiting else drawing.colours.ink
        if seen.low is not None and seen.high is not None:
            self._strand(y, colour)
        place = self.x(seen.estimate)
        ground = self._ground(seen.estimate)
        drawing.stitch(place, y, 36.0, colour=colour, ground=ground)
        text = signed(seen.estimate, self.names.decimals)
        drawing.text(
            place, y - 24, text, px=20, weight="semibold", colour=colour, align="center",
            ground=ground,
        )  # fmt: skip

    def _strand(self, y: float, colour: str) -> None:
        drawing, seen = self.drawing, self.seen
        assert seen.low is not None and seen.high is not None
        low, high = self.x(seen.low), self.x(seen.high)
        inner = None
        if seen.inner_low is not None and seen.inner_high is not None:
            inner = (self.x(seen.inner_low), self.x(seen.inner_high))
        draw_thread(drawing, y, (low, high), inner, colour)
        self._ends(low, high, y)

    def _ends(self, low: float, high: float, y: float) -> None:
        drawing, seen, decimals = self.drawing, self.seen, self.names.decimals
        assert seen.low is not None and seen.high is not None
        texts = (signed(seen.low, decimals), signed(seen.high, decimals))
        gap = sum(drawing.text_width(text) for text in texts) / 2 + 10
        apart = max(0.0, gap - (high - low)) / 2
        for value, place, text in (
            (seen.low, low - apart, texts[0]),
            (seen.high, high + apart, texts[1]),
        ):
            place = max(place, drawing.text_width(text) / 2 + 2)
            drawing.text(place, y + 22, text, px=13, align="center", ground=self._ground(value))


def _sentence(seen: Directed, names: Names) -> Message:
    over = msg("{first} over {second}, {outcome}", first=seen.first, second=seen.second,
               outcome=names.outcome)  # fmt: skip
    if seen.estimate is None:
        return msg("{over}: nothing to show yet.", over=over)
    size = signed(seen.estimate, names.decimals)
    if seen.low is None or seen.high is None:
        return msg("{over}: {size}, without an interval.", over=over, size=size)
    return msg(
        "{over}: {size}, interval {low} to {high}; one row for each of {count}.",
        over=over,
        size=counted(size, names.measure),
        low=signed(seen.low, names.decimals),
        high=signed(seen.high, names.decimals),
        count=seen.counted,
    )


def _table(seen: Directed, names: Names) -> PictureTable:
    decimals = max(names.decimals, 2)
    rows = []
    for row in seen.rows:
        inside = ", ".join(signed(value, decimals) for value in row.inside)
        rows.append((row.label, signed(row.value, decimals), inside))
    if seen.estimate is not None:
        limits = ""
        if seen.low is not None and seen.high is not None:
            limits = f"{signed(seen.low, decimals)} to {signed(seen.high, decimals)}"
        rows.append((seen.all_label.replace("\n", " "), signed(seen.estimate, decimals), limits))
    over = msg("{first} less {second}", first=seen.first, second=seen.second)
    return PictureTable((msg("what counts"), over, msg("its pairs, or the interval")), tuple(rows))

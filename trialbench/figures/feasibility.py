"""The smallest difference that a number of cook days would find."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from trialbench.figures.drawing import Drawing, Weight
from trialbench.figures.look import Style
from trialbench.figures.pictures import Picture, PictureTable
from trialbench.figures.ticks import as_short, ticks
from trialbench.model.message import Message, msg, msg_n, say
from trialbench.model.numbers import figure, shortest
from trialbench.planning.feasibility import Curve

WIDTH_PX, HEIGHT_PX = 690.0, 262.0
_HEAD, _FOOT, _LEFT = 14.0, 50.0, 36.0

_COOK_DAYS = msg("cook days")


def feasibility_figure(
    curve: Curve,
    style: Style = "light",
    *,
    below: Message | str = _COOK_DAYS,
    width_px: float = WIDTH_PX,
    height_px: float = HEIGHT_PX,
) -> Picture:
    """Ink curve, a stitch at each number of cook days, a tall one at the plan, ruled below.

    `below` are the words under the axis ("cook days, two pairs in each").
    """
    drawing = Drawing(width_px, height_px, style)
    if curve.points:
        _Feasibility(drawing, curve, below).draw()
    return Picture(drawing.figure, curve_sentence(curve), curve_table(curve))


@dataclass(frozen=True, slots=True)
class _Box:
    """Where words stand."""

    left: float
    right: float
    top: float
    bottom: float

    def meets(self, other: _Box) -> bool:
        """Whether they would stand on each other."""
        across = self.left < other.right and other.left < self.right
        return across and self.top < other.bottom and other.top < self.bottom


@dataclass
class _Feasibility:
    drawing: Drawing
    curve: Curve
    below: Message | str

    def __post_init__(self) -> None:
        sizes = [size for _, size in self.curve.points]
        self.top = 1.08 * max(sizes + ([self.curve.matters] if self.curve.matters else []))
        self.base = self.drawing.height - _FOOT
        self.right = self.drawing.width - (124.0 if self.curve.matters else 20.0)
        self.first = self.curve.points[0][0]
        self.last = self.curve.points[-1][0]

    def x(self, cooks: float) -> float:
        """Where a number of cook days stands."""
        part = (cooks - self.first) / max(self.last - self.first, 1)
        return _LEFT + 28 + part * (self.right - 14 - _LEFT - 28)

    def y(self, size: float) -> float:
        """Where a difference stands."""
        return self.base - size / self.top * (self.base - _HEAD)

    def draw(self) -> None:
        self._ruled()
        self._axes()
        if self.curve.matters is not None:
            self._matters(self.curve.matters)
        points = [(self.x(cooks), self.y(size)) for cooks, size in self.curve.points]
        self.drawing.line(points, width=2.0, zorder=3)
        for x, y in points:
            self.drawing.line([(x, y - 6), (x, y + 6)], width=2.6, zorder=4)
        self._plan()

    def _ruled(self) -> None:
        """Ruled ground: too small for this plan to show."""
        drawing = self.drawing
        y = self.base - 6.0
        while y > _HEAD:
            begin = self._first_below(y)
            if begin is not None:
                drawing.line(
                    [(begin[0], y), (begin[1], y)],
                    colour=drawing.colours.ruling,
                    width=1.0,
                    zorder=0,
                    alpha=0.75,
                )
            y -= 6.0

    def _first_below(self, y: float) -> tuple[float, float] | None:
        """The part of a level that lies below the curve, which falls from the left."""
        points = [(self.x(cooks), self.y(size)) for cooks, size in self.curve.points]
        if points[0][1] > y:
            return None
        for (x1, y1), (x2, y2) in pairwise(points):
            if y1 <= y < y2:
                return points[0][0], x1 + (y - y1) / (y2 - y1) * (x2 - x1)
        return points[0][0], points[-1][0]

    def _axes(self) -> None:
        drawing, colours = self.drawing, self.drawing.colours
        for size in ticks(0.0, self.top, 5):
            y = self.y(size)
            if size:
                drawing.line([(_LEFT, y), (self.right, y)], colour=colours.rule, zorder=1)
            drawing.text(
                _LEFT - 8, y + 4.5, as_short(size), px=12, align="right", colour=colours.pencil
            )
        drawing.line([(_LEFT, self.base), (self.right, self.base)], width=1.5, zorder=2)
        every = max(1, round(len(self.curve.points) / 20))
        for cooks, _ in self.curve.points[::every]:
            weight: Weight = "semibold" if cooks == self._planned else "regular"
            drawing.line([(self.x(cooks), self.base), (self.x(cooks), self.base + 4)], width=1.2)
            drawing.text(self.x(cooks), self.base + 20, str(cooks), align="center", weight=weight)
        drawing.text(_LEFT, self.base + 39, say(self.below), px=13, colour=colours.pencil)

    def _matters(self, matters: float) -> None:
        drawing, y = self.drawing, self.y(matters)
        drawing.line([(_LEFT, y), (self.right + 6, y)], width=1.4, zorder=2)
        size = shortest(matters)
        words = say(msg("{size} matters", size=size))
        drawing.text(self.right + 12, y + 4.5, words, weight="medium")
        drawing.text(
            self.right + 12,
            y + 21,
            say(msg("from the question")),
            px=12.5,
            colour=drawing.colours.pencil,
        )

    def _plan(self) -> None:
        drawing, curve = self.drawing, self.curve
        taken: _Box | None = None
        if curve.planned is not None:
            planned, found = curve.planned
            x, y = self.x(planned), self.y(found)
            drawing.line([(x, y - 6), (x, self.base)], width=3.4, zorder=4)
            taken = self._plan_words(x, y, figure(found, 2), planned)
        self._enough_words(taken)
        self._small_words(taken)

    def _plan_words(self, x: float, y: float, size: str, planned: int) -> _Box:
        """Beside the stitch of the plan; under the curve where it stands too far to the right."""
        drawing, page = self.drawing, self.drawing.colours.page
        days = say(msg_n("with {count} cook day", "with {count} cook days", planned))
        wide = drawing.text_width(size, px=15.5, weight="semibold")
        left, base, right = x + 11, y - 8, wide + 7 + drawing.text_width(days)
        if left + right > self.right:
            left, base = x - 11 - right, y + 24
        drawing.text(left, base, size, px=15.5, weight="semibold", ground=page)
        drawing.text(left + wide + 7, base, days, ground=page)
        return _Box(left, left + right, base - 14, base + 4)

    def _enough_words(self, taken: _Box | None) -> None:
        """How many cook days find what matters, over their stitch; under it where words stand."""
        enough = self._enough()
        if enough is None or enough[0] <= (self._planned or 0):
            return
        cooks, found = enough
        words = say(msg("{size} with {cooks}", size=figure(found, 2), cooks=cooks))
        half = self.drawing.text_width(words) / 2
        x = min(self.x(cooks), self.right - half)
        base = self.y(found) - 13
        if taken is not None and taken.meets(_Box(x - half - 4, x + half + 4, base - 14, base + 4)):
            base = self.y(found) + 26
        page = self.drawing.colours.page
        self.drawing.text(x, base, words, align="center", weight="medium", ground=page)

    def _small_words(self, taken: _Box | None) -> None:
        """On the ruled ground, clear of the plan's stitch."""
        drawing = self.drawing
        words = say(msg("too small for this many cook days to show"))
        half = drawing.text_width(words) / 2 + 8
        ends = [self.x(self.first), self.x(self.last)]
        if self._planned is not None:
            ends.insert(1, self.x(self._planned))
        free = [(low, high) for low, high in pairwise(ends) if high - low > 2 * half]
        if not free:
            return
        low, high = max(free, key=lambda each: each[1] - each[0])
        middle, base = (low + high) / 2, self.base - 22
        if taken is None or not taken.meets(
            _Box(middle - half, middle + half, base - 14, base + 4)
        ):
            page = drawing.colours.page
            drawing.text(middle, base, words, align="center", ground=page)

    @property
    def _planned(self) -> int | None:
        return self.curve.planned[0] if self.curve.planned else None

    def _enough(self) -> tuple[int, float] | None:
        """The first number of cook days that finds what matters."""
        matters = self.curve.matters
        if matters is None:
            return None
        return next(((c, s) for c, s in self.curve.points if s <= matters), None)


def curve_sentence(curve: Curve) -> Message:
    """What the picture shows, in words."""
    if curve.planned is not None:
        planned, size = curve.planned
        found = msg_n(
            "{count} cook day finds {size} {measure} or more, eight times in ten.",
            "{count} cook days find {size} {measure} or more, eight times in ten.",
            planned,
            size=figure(size, 2),
            measure=curve.unit,
        )
    else:
        found = msg("The smallest difference that a number of cook days finds.")
    enough = next((c for c, s in curve.points if curve.matters and s <= curve.matters), None)
    if curve.matters is None or enough is None:
        return found
    return msg_n(
        "{found} {matters} takes {count} cook day.",
        "{found} {matters} takes {count} cook days.",
        enough,
        found=found,
        matters=shortest(curve.matters),
    )


def curve_table(curve: Curve) -> PictureTable:
    """The numbers of the picture."""
    heads = (msg("cook days"), msg("smallest difference, {measure}", measure=curve.unit))
    return PictureTable(heads, tuple((str(c), figure(s, 2)) for c, s in curve.points))

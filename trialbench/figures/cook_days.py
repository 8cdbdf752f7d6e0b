"""The means of both methods on each cook day, joined by lines."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

from trialbench.figures.drawing import Drawing
from trialbench.figures.look import Style
from trialbench.figures.pictures import Picture, PictureTable
from trialbench.figures.signs import sign
from trialbench.figures.ticks import as_short, ticks
from trialbench.findings.finding import CookDifference, Finding
from trialbench.findings.phrases import Names
from trialbench.model.message import Message, msg, msg_n, say
from trialbench.model.numbers import figure

WIDTH_PX = 226.0
_HEAD, _FOOT, _LEFT, _RIGHT = 40.0, 12.0, 66.0, 62.0
_LABEL_PX = 14.5


def cook_days_figure(
    finding: Finding,
    names: Names,
    style: Style = "light",
    *,
    width_px: float = WIDTH_PX,
    height_px: float = 300.0,
) -> Picture:
    """Method a at the left, b at the right: thick ink lines, pairs as thin rail lines behind."""
    drawing = Drawing(width_px, height_px, style)
    if finding.cook_differences:
        _CookDays(drawing, finding).draw()
    return Picture(drawing.figure, _sentence(finding, names), _table(finding, names))


def cook_days_words(finding: Finding, names: Names) -> tuple[Message, PictureTable]:
    """The sentence and the table of that picture, without drawing it."""
    return _sentence(finding, names), _table(finding, names)


def pair_means(finding: Finding) -> list[tuple[float, float]]:
    """The means of both sides of every pair, where cook days hold several pairs."""
    sides: dict[tuple[str, str], dict[str, float]] = defaultdict(dict)
    for unit in finding.unit_means:
        if unit.pair is not None:
            sides[unit.cook, unit.pair][unit.method] = unit.mean
    many = {day.cook for day in finding.cook_differences if len(day.pairs) > 1}
    a, b = finding.comparison.a, finding.comparison.b
    return [
        (found[a], found[b])
        for (cook, _), found in sides.items()
        if cook in many and a in found and b in found
    ]


@dataclass
class _CookDays:
    drawing: Drawing
    finding: Finding

    def __post_init__(self) -> None:
        self.inside = pair_means(self.finding)
        days = self.finding.cook_differences
        numbers = [mean for day in days for mean in (day.mean_a, day.mean_b)]
        numbers += [mean for pair in self.inside for mean in pair]
        low, high = min(numbers), max(numbers)
        pad = 0.06 * (high - low) or 0.5
        self.low, self.high = low - pad, high + pad
        self.left, self.right = _LEFT, self.drawing.width - _RIGHT

    def y(self, value: float) -> float:
        """Where a value stands."""
        part = (value - self.low) / (self.high - self.low)
        return self.drawing.height - _FOOT - part * (self.drawing.height - _FOOT - _HEAD)

    def draw(self) -> None:
        drawing, colours = self.drawing, self.drawing.colours
        for value in ticks(self.low, self.high, 5):
            y = self.y(value)
            drawing.line([(30, y), (self.right + 4, y)], colour=colours.rule, width=1.0, zorder=0)
            drawing.text(22, y + 4.5, as_short(value), px=12, align="right", colour=colours.pencil)
        for a, b in self.inside:
            self._line(a, b, width=1.0, colour=colours.rail)
        for day in self.finding.cook_differences:
            self._line(day.mean_a, day.mean_b, width=2.6, colour=colours.ink)
        self._labels()
        for letter, x in ((self.finding.comparison.a, self.left),
                          (self.finding.comparison.b, self.right)):  # fmt: skip
            moved = 11 if sign(drawing, letter, x - 18, 4.0, 17.0) else 0
            drawing.text(
                x - 8 + moved, 18, letter, weight="medium", colour=colours.of_method(letter)
            )

    def _line(self, a: float, b: float, *, width: float, colour: str) -> None:
        points = [(self.left, self.y(a)), (self.right, self.y(b))]
        self.drawing.line(points, width=width, colour=colour, solid_capstyle="round", zorder=2)

    def _labels(self) -> None:
        days = sorted(self.finding.cook_differences, key=lambda day: self.y(day.mean_b))
        places = apart([self.y(day.mean_b) for day in days], self._pitch(len(days)))
        for day, y in zip(days, places, strict=True):
            words = say(msg("day {cook}", cook=day.cook))
            self.drawing.text(self.right + 8, y + 4.5, words, px=13 if self._roomy else 12)

    @property
    def _roomy(self) -> bool:
        return len(self.finding.cook_differences) * _LABEL_PX < self.drawing.height - _HEAD

    def _pitch(self, count: int) -> float:
        return min(_LABEL_PX, (self.drawing.height - _HEAD) / max(count, 1))


def apart(places: list[float], pitch: float) -> list[float]:
    """Sorted places moved so that neighbours are at least `pitch` apart, as little as possible."""
    groups: list[tuple[float, int]] = []
    for place in places:
        middle, count = place, 1
        while groups:
            other, many = groups[-1]
            if middle - other >= pitch * (count + many) / 2:
                break
            groups.pop()
            middle = (other * many + middle * count) / (many + count)
            count += many
        groups.append((middle, count))
    return [
        middle + pitch * (number - (count - 1) / 2)
        for middle, count in groups
        for number in range(count)
    ]


def _sentence(finding: Finding, names: Names) -> Message:
    days = finding.cook_differences
    a, b = finding.comparison.a, finding.comparison.b
    higher = sum(day.difference < 0 for day in days)
    return msg_n(
        "{outcome} on {count} cook day: {b} had the higher mean than {a} on {higher}.",
        "{outcome} on {count} cook days: {b} had the higher mean than {a} on {higher} of them.",
        len(days),
        outcome=names.outcome,
        a=a,
        b=b,
        higher=higher,
    )


def _row(day: CookDifference, decimals: int) -> tuple[str, ...]:
    means = (figure(day.mean_a, decimals), figure(day.mean_b, decimals))
    return (day.cook, *means, str(day.tasters) if day.tasters else "")


def _table(finding: Finding, names: Names) -> PictureTable:
    decimals = max(names.decimals, 2)
    heads = (msg("cook day"), finding.comparison.a, finding.comparison.b, msg("tasters"))
    return PictureTable(heads, tuple(_row(day, decimals) for day in finding.cook_differences))

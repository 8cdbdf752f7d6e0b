"""The means of several methods: over each other on each cook day, or crossed by two factors."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from trialbench.figures.cook_days import apart
from trialbench.figures.drawing import Drawing
from trialbench.figures.look import Style
from trialbench.figures.pictures import Picture, PictureTable
from trialbench.figures.signs import method_mark
from trialbench.figures.ticks import as_short, ticks
from trialbench.findings.contrasts import MethodPlan, leading_factor
from trialbench.findings.level_words import Text, level_name, spaced
from trialbench.findings.phrases import Names
from trialbench.findings.several_finding import SeveralFinding
from trialbench.model.message import Message, msg, msg_n, say
from trialbench.model.numbers import figure

WIDTH_PX = 296.0
_HEAD, _FOOT, _LEFT = 42.0, 22.0, 48.0
_LABEL_PX = 14.5


def means_figure(
    found: SeveralFinding,
    names: Names,
    style: Style = "light",
    *,
    width_px: float = WIDTH_PX,
    height_px: float = 300.0,
) -> Picture:
    """Knots are means over cook days, joined where a factor crosses another; thin lines cook days.

    The axis shows what was scored and does not begin at zero.
    """
    drawing = Drawing(width_px, height_px, style)
    if found.means:
        _Means(drawing, found).draw()
    return Picture(drawing.figure, *means_words(found, names))


def means_words(found: SeveralFinding, names: Names) -> tuple[Message, PictureTable]:
    """The sentence and the table of that picture, without drawing it."""
    decimals = max(names.decimals, 2)
    order = sorted(found.means, key=lambda each: -each.mean)
    ranked = ", ".join(f"{each.letter} {figure(each.mean, names.decimals)}" for each in order)
    sentence = msg_n(
        "Means of {outcome} over {count} cook day: {means}.",
        "Means of {outcome} over {count} cook days: {means}.",
        found.counts.cooks,
        outcome=names.outcome,
        means=ranked,
    )
    days = sorted({cook for each in found.means for cook, _ in each.days}, key=_number)
    rows = tuple(
        (
            each.letter,
            names.of(each.letter),
            figure(each.mean, decimals),
            *(_on(dict(each.days).get(day), decimals) for day in days),
        )
        for each in found.means
    )
    heads = [msg("day {cook}", cook=day) for day in days]
    return sentence, PictureTable((msg("method"), msg("called"), msg("mean"), *heads), rows)


def _number(cook: str) -> tuple[int, str]:
    return (int(cook), "") if cook.isdigit() else (0, cook)


def _on(value: float | None, decimals: int) -> str:
    return "\u2013" if value is None else figure(value, decimals)


def columns_of(plan: MethodPlan) -> list[list[str]]:
    """Letters in each column from left to right: levels of the leading factor, or one a method."""
    if plan.shape != "crossed":
        return [[letter] for letter in plan.letters]
    lead, places = leading_factor(plan), plan.places()
    return [
        [letter for letter in plan.letters if places[letter][lead] == n]
        for n in range(len(plan.factors[lead].levels))
    ]


def lines_of(plan: MethodPlan) -> list[tuple[Text, list[str]]]:
    """What is joined: for each combination of the other factors, its letters from left to right."""
    if plan.shape != "crossed":
        return []
    lead, places = leading_factor(plan), plan.places()
    groups: dict[tuple[int, ...], list[str]] = {}
    for letter in sorted(plan.letters, key=lambda each: places[each][lead]):
        rest = tuple(place for n, place in enumerate(places[letter]) if n != lead)
        groups.setdefault(rest, []).append(letter)
    return [(_line_name(plan, lead, rest), own) for rest, own in sorted(groups.items())]


def _line_name(plan: MethodPlan, lead: int, rest: tuple[int, ...]) -> Text:
    others = [factor for n, factor in enumerate(plan.factors) if n != lead]
    return spaced([
        level_name(factor, factor.levels[place], plan.temperature_unit)
        for factor, place in zip(others, rest, strict=True)
    ])  # fmt: skip


@dataclass
class _Means:
    drawing: Drawing
    found: SeveralFinding

    def __post_init__(self) -> None:
        self.means = {each.letter: each.mean for each in self.found.means}
        self.days = {each.letter: dict(each.days) for each in self.found.means}
        numbers = [*self.means.values(), *(v for own in self.days.values() for v in own.values())]
        low, high = min(numbers), max(numbers)
        pad = 0.06 * (high - low) or 0.5
        self.low, self.high = low - pad, high + pad
        self.columns = columns_of(self.found.plan)
        self.lines = lines_of(self.found.plan)
        self.right = self.drawing.width - self._right_margin()
        self.place = {
            letter: self._column_x(n) for n, column in enumerate(self.columns) for letter in column
        }

    def _right_margin(self) -> float:
        if not self.lines:
            return 58.0
        words = [line for name, _ in self.lines for line in self._label_lines(say(name))]
        widest = max(self.drawing.text_width(each) for each in words)
        return min(44.0 + widest, 0.5 * self.drawing.width)

    def _label_lines(self, name: str) -> list[str]:
        """A long name over two lines, cut between words."""
        words = name.split(" ")
        if self.drawing.text_width(name) <= 84 or len(words) < 2:
            return [name]
        cuts = [(" ".join(words[:n]), " ".join(words[n:])) for n in range(1, len(words))]
        return list(min(cuts, key=lambda cut: max(map(self.drawing.text_width, cut))))

    def _column_x(self, number: int) -> float:
        left = _LEFT + (24 if self.lines else 14)
        return left + number / max(len(self.columns) - 1, 1) * (self.right - left)

    def y(self, value: float) -> float:
        """Where a value stands."""
        part = (value - self.low) / (self.high - self.low)
        return self.drawing.height - _FOOT - part * (self.drawing.height - _FOOT - _HEAD)

    def draw(self) -> None:
        drawing, colours = self.drawing, self.drawing.colours
        for value in ticks(self.low, self.high, 6):
            y = self.y(value)
            drawing.line([(30, y), (self.right + 6, y)], colour=colours.rule, width=1.0, zorder=0)
            drawing.text(22, y + 4.5, as_short(value), px=12, align="right", colour=colours.pencil)
        for points in self._day_lines():
            drawing.line(points, colour=colours.rail, width=1.0, zorder=1, solid_capstyle="round")
        for _, letters in self.lines:
            points = [(self.place[x], self.y(self.means[x])) for x in letters if x in self.means]
            drawing.line(points, width=2.6, zorder=2, solid_capstyle="round")
        for letter, mean in self.means.items():
            drawing.ring(self.place[letter], self.y(mean), 4.6, filled=colours.ink)
        self._heads()
        self._names()

    def _day_lines(self) -> Iterator[list[tuple[float, float]]]:
        groups = [letters for _, letters in self.lines] or [list(self.found.plan.letters)]
        cooks = dict.fromkeys(cook for own in self.days.values() for cook in own)
        for letters in groups:
            for cook in cooks:
                there = [x for x in letters if cook in self.days.get(x, {})]
                if len(there) > 1:
                    yield [(self.place[x], self.y(self.days[x][cook])) for x in there]

    def _heads(self) -> None:
        """Levels of the leading factor over their columns, or the methods' signs."""
        drawing, plan = self.drawing, self.found.plan
        if not self.lines:
            for letter, x in self.place.items():
                method_mark(drawing, letter, x - 9, 0.0)
                if letter in "ABCD":
                    colour = drawing.colours.of_method(letter)
                    drawing.text(x, 33, letter, weight="medium", align="center", colour=colour)
            return
        factor = plan.factors[leading_factor(plan)]
        for n, level in enumerate(factor.levels):
            name = say(level_name(factor, level, plan.temperature_unit))
            drawing.text(self._column_x(n), 18, name, weight="medium", align="center")

    def _names(self) -> None:
        """Names at the ends of lines with the methods' signs, or the cook days."""
        if not self.lines:
            self._day_names()
            return
        drawing = self.drawing
        for number, column in enumerate(self.columns):
            self._signs(number, sorted((self.y(self.means[x]), x) for x in column))
        ends = sorted((self.y(self.means[letters[-1]]), say(name)) for name, letters in self.lines)
        places = apart([y for y, _ in ends], 34.0)
        for (_, name), y in zip(ends, places, strict=True):
            lines = self._label_lines(name)
            for number, line in enumerate(lines):
                up = (number - (len(lines) - 1) / 2) * 15
                drawing.text(self.right + 38, y + 4.5 + up, line)

    def _signs(self, number: int, column: list[tuple[float, str]]) -> None:
        """The signs of one column beside its knots: at the left of the first, else at the right."""
        beside = -30.0 if number == 0 else 12.0
        places = apart([y for y, _ in column], 20.0)
        for (_, letter), y in zip(column, places, strict=True):
            method_mark(self.drawing, letter, self._column_x(number) + beside, y - 9)

    def _day_names(self) -> None:
        last = self.found.plan.letters[-1]
        ends = sorted((self.y(value), cook) for cook, value in self.days.get(last, {}).items())
        pitch = min(_LABEL_PX, (self.drawing.height - _HEAD) / max(len(ends), 1))
        for (_, cook), y in zip(ends, apart([y for y, _ in ends], pitch), strict=True):
            self.drawing.text(self.right + 8, y + 4.5, say(msg("day {cook}", cook=cook)), px=12)

"""Ordered settings: the curve over cook days with its band, means, and the best setting."""

from __future__ import annotations

from dataclasses import dataclass

from trialbench.figures.drawing import Drawing
from trialbench.figures.look import Style
from trialbench.figures.pictures import Picture, PictureTable
from trialbench.figures.signs import method_mark
from trialbench.figures.thread import draw_thread
from trialbench.figures.ticks import as_short, ticks
from trialbench.findings.level_words import at_setting, level_name
from trialbench.findings.phrases import Names
from trialbench.findings.several_finding import SettingCurve, SeveralFinding
from trialbench.model.message import Message, msg, say
from trialbench.model.numbers import figure

WIDTH_PX, HEIGHT_PX = 690.0, 320.0
_HEAD, _FOOT, _LEFT, _RIGHT = 34.0, 66.0, 48.0, 30.0


def curve_figure(
    found: SeveralFinding,
    names: Names,
    style: Style = "light",
    *,
    width_px: float = WIDTH_PX,
    height_px: float = HEIGHT_PX,
) -> Picture:
    """The fitted curve (second degree) with the edges of its band, each point by itself.

    Knots are means of a setting, pale rings its cook days. Under the axis, where it was reckoned,
    the best setting as a tall stitch with its interval as a thread.
    """
    drawing = Drawing(width_px, height_px, style)
    _Curve(drawing, found).draw()
    return Picture(drawing.figure, *curve_words(found, names))


def curve_words(found: SeveralFinding, names: Names) -> tuple[Message, PictureTable]:
    """The sentence and the table of that picture, without drawing it."""
    plan, decimals = found.plan, max(names.decimals, 2)
    factor, unit = plan.factors[0], plan.temperature_unit
    low, high = (level_name(factor, factor.levels[end], unit) for end in (0, -1))
    said = msg("{outcome} from {low} to {high}.", outcome=names.outcome, low=low, high=high)
    best = found.curve.best if found.curve is not None else None
    if best is not None and best.inside:
        said = msg(
            "{outcome} from {low} to {high}, best by the curve at about {best}.",
            outcome=names.outcome, low=low, high=high, best=at_setting(plan, best.setting),
        )  # fmt: skip
    places, means = plan.places(), {each.letter: each for each in found.means}
    letters = sorted(plan.letters, key=lambda letter: places[letter][0])
    rows = []
    for letter in letters:
        point = _point_at(found.curve, plan.number_of(letter))
        days = ", ".join(figure(value, decimals) for _, value in means[letter].days)
        rows.append((
            say(level_name(factor, factor.levels[places[letter][0]], unit)), letter,
            figure(means[letter].mean, decimals), days,
            "\u2013" if point is None else figure(point[0], decimals),
            "\u2013" if point is None
            else f"{figure(point[1], decimals)} to {figure(point[2], decimals)}",
        ))  # fmt: skip
    heads = (msg("setting"), msg("method"), msg("mean"), msg("each cook day"), msg("curve"),
             msg("its band"))  # fmt: skip
    return said, PictureTable(heads, tuple(rows))


def _point_at(curve: SettingCurve | None, setting: float) -> tuple[float, float, float] | None:
    if curve is None:
        return None
    point = min(curve.points, key=lambda each: abs(each.setting - setting))
    return point.estimate, point.low, point.high


@dataclass
class _Curve:
    drawing: Drawing
    found: SeveralFinding

    def __post_init__(self) -> None:
        plan = self.found.plan
        self.settings = {letter: plan.number_of(letter) for letter in plan.letters}
        numbers = [value for each in self.found.means for _, value in each.days]
        numbers += [each.mean for each in self.found.means]
        if self.found.curve is not None:
            inner = self.found.curve.points
            numbers += [end for point in inner for end in (point.low, point.high)]
        low, high = min(numbers), max(numbers)
        pad = 0.05 * (high - low) or 0.5
        self.low, self.high = low - pad, high + pad
        self.first, self.last = min(self.settings.values()), max(self.settings.values())
        self.base = self.drawing.height - _FOOT

    def x(self, setting: float) -> float:
        """Where a setting stands."""
        left, right = _LEFT + 18, self.drawing.width - _RIGHT
        return left + (setting - self.first) / (self.last - self.first) * (right - left)

    def y(self, value: float) -> float:
        """Where a value stands."""
        part = (value - self.low) / (self.high - self.low)
        return self.base - part * (self.base - _HEAD)

    def draw(self) -> None:
        self._axes()
        curve = self.found.curve
        if curve is not None:
            self._band(curve)
        for each in self.found.means:
            x = self.x(self.settings[each.letter])
            for _, value in each.days:
                self.drawing.ring(x, self.y(value), 3.0)
            self.drawing.ring(x, self.y(each.mean), 4.8, filled=self.drawing.colours.ink)
            method_mark(self.drawing, each.letter, x - 9, 2.0)
        if curve is not None and curve.best is not None and not self.found.claims_nothing:
            self._best(curve)

    def _axes(self) -> None:
        drawing, colours = self.drawing, self.drawing.colours
        plan = self.found.plan
        right = drawing.width - _RIGHT + 12
        for value in ticks(self.low, self.high, 6):
            y = self.y(value)
            drawing.line([(30, y), (right, y)], colour=colours.rule, width=1.0, zorder=0)
            drawing.text(22, y + 4.5, as_short(value), px=12, align="right", colour=colours.pencil)
        drawing.line([(30, self.base), (right, self.base)], width=1.5)
        for letter, setting in self.settings.items():
            x = self.x(setting)
            level = plan.factors[0].levels[plan.places()[letter][0]]
            drawing.line([(x, self.base), (x, self.base + 5)], width=1.2)
            name = say(level_name(plan.factors[0], level, plan.temperature_unit))
            drawing.text(x, self.base + 20, name, px=13, align="center")

    def _band(self, curve: SettingCurve) -> None:
        drawing = self.drawing
        colour = drawing.colours.rail if self.found.claims_nothing else drawing.colours.ink
        for side in ("low", "high"):
            edge = [(self.x(p.setting), self.y(getattr(p, side))) for p in curve.points]
            drawing.line(edge, colour=drawing.colours.rail, width=1.2, zorder=1)
        line = [(self.x(p.setting), self.y(p.estimate)) for p in curve.points]
        drawing.line(line, colour=colour, width=2.4, zorder=2, solid_capstyle="round")

    def _best(self, curve: SettingCurve) -> None:
        drawing, best = self.drawing, curve.best
        assert best is not None
        bend = next(c for c in self.found.claims if c.contrast.role == "bend")
        if not (best.inside and bend.told):
            return
        y, place = self.base + 44.0, self.x(best.setting)
        colours = drawing.colours
        if best.low is not None and best.high is not None:
            left, right = self.x(self.first) - 12, self.x(self.last) + 12
            ends = (max(left, self.x(best.low)), min(right, self.x(best.high)))
            draw_thread(drawing, y, ends, None, colours.ink, scale=0.8)
        drawing.line(
            [(place, self.y(best.value)), (place, self.base)], colour=colours.rail, width=1.0,
            zorder=1,
        )  # fmt: skip
        drawing.stitch(place, y, 22.0)
        words = say(msg("best at about {best}", best=at_setting(self.found.plan, best.setting)))
        width, edge = drawing.text_width(words), self.x(self.last) + 12
        after = max(place + 12, self.x(best.high) + 12 if best.high is not None else 0.0)
        if after + width <= edge + 14:
            drawing.text(after, y + 4.5, words)
        else:
            before = min(place - 12, self.x(best.low) - 12 if best.low is not None else place)
            drawing.text(before, y + 4.5, words, align="right")

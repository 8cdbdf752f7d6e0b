"""Several comparisons in one picture: a row each, with its thread, and a pale ring a cook day."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from trialbench.figures.drawing import Drawing
from trialbench.figures.look import Style
from trialbench.figures.pictures import Picture, PictureTable
from trialbench.figures.thread import draw_thread
from trialbench.figures.ticks import as_short, signed, ticks, with_head_room
from trialbench.findings.contrasts import leading_factor
from trialbench.findings.phrases import Names
from trialbench.findings.several_finding import Claim, SeveralFinding
from trialbench.findings.wording_several import claim_name, turned
from trialbench.model.message import Message, msg, msg_n, say

WIDTH_PX = 452.0
_HEAD, _FOOT, _ROW, _LEAST_ROW = 34.0, 46.0, 54.0, 32.0
_LABEL_PX = 13.0


def shown_claims(found: SeveralFinding) -> tuple[Claim, ...]:
    """What the picture shows: pairs; or the effects that lead, those of the leading factor first,
    and the interactions.
    """
    if found.plan.shape != "crossed":
        return tuple(turned(claim, found) for claim in found.leading)
    lead = leading_factor(found.plan)
    effects = sorted(found.leading, key=lambda claim: claim.contrast.factor != lead)
    return (*effects, *found.of_role("interaction"))


def threads_height(found: SeveralFinding) -> float:
    """The height in pixels that all rows need."""
    rows = len(shown_claims(found))
    return _HEAD + _FOOT + rows * (_ROW if rows <= 6 else _LEAST_ROW)


def threads_figure(
    found: SeveralFinding,
    names: Names,
    style: Style = "light",
    *,
    width_px: float = WIDTH_PX,
    height_px: float | None = None,
) -> Picture:
    """A thread for each comparison on one axis, margin tone to d on both sides.

    The ends hold for all comparisons of a family at once. Grey while nothing is claimed.
    """
    drawing = Drawing(width_px, height_px or threads_height(found), style)
    _Threads(drawing, found, names, shown_claims(found)).draw()
    return Picture(drawing.figure, *threads_words(found, names))


def threads_words(found: SeveralFinding, names: Names) -> tuple[Message, PictureTable]:
    """The sentence and the table of that picture, without drawing it."""
    claims = shown_claims(found)
    sentence = msg_n(
        "{outcome}: {count} comparison, a thread each; {told} told apart.",
        "{outcome}: {count} comparisons, a thread each; {told} told apart.",
        len(claims),
        outcome=names.outcome,
        told=sum(claim.told for claim in claims),
    )
    decimals = max(names.decimals, 2)
    rows = tuple(_table_row(claim, found, decimals) for claim in claims)
    heads = (msg("what is compared"), msg("difference"), msg("interval"), msg("each cook day"))
    return sentence, PictureTable(heads, rows)


def _table_row(claim: Claim, found: SeveralFinding, decimals: int) -> tuple[str, ...]:
    plain = claim.finding.comparison
    size = "\u2013" if plain.estimate is None else signed(plain.estimate, decimals)
    limits = "\u2013"
    if plain.low is not None and plain.high is not None:
        limits = f"{signed(plain.low, decimals)} to {signed(plain.high, decimals)}"
    days = ", ".join(signed(value, decimals) for _, value in claim.cook_values)
    return say(claim_name(claim, found)), size, limits, days


@dataclass
class _Threads:
    drawing: Drawing
    found: SeveralFinding
    names: Names
    claims: Sequence[Claim]

    def __post_init__(self) -> None:
        self.labels = [self._lines(say(claim_name(c, self.found))) for c in self.claims]
        widths = [self.drawing.text_width(line) for lines in self.labels for line in lines]
        self.left = min(max([40.0, *widths]) + 16.0, 0.42 * self.drawing.width)
        # Rows that lie close have their figures in a column at the right.
        self.close = len(self.claims) > 6
        self.right = self.drawing.width - (66.0 if self.close else 22.0)
        self.base = self.drawing.height - _FOOT + 12.0
        self.low, self.high = self._range()

    def _lines(self, label: str) -> list[str]:
        """A label over two lines where it is long: what is held stands below."""
        head, comma, tail = label.partition(", ")
        if not comma or self.drawing.text_width(label) <= 0.26 * self.drawing.width:
            return [label]
        return [head, tail]

    def _range(self) -> tuple[float, float]:
        numbers = [0.0]
        for claim in self.claims:
            plain = claim.finding.comparison
            ends = (plain.estimate, plain.low, plain.high)
            numbers += [end for end in ends if end is not None]
            numbers += [value for _, value in claim.cook_values]
        matters = self.found.matters
        if matters is not None:
            numbers += [-1.2 * matters, 1.2 * matters]
        low, high = min(numbers), max(numbers)
        span = (high - low) or 1.0
        low, high = low - 0.05 * span, high + 0.05 * span
        plot = self.right - self.left
        less, more = (self._head_width(up) / plot for up in (False, True))
        return with_head_room(low, high, less, more)

    def _head_width(self, up: bool) -> float:
        return self.drawing.text_width(say(self.names.word(up)), weight="medium") + 26

    def x(self, value: float) -> float:
        """Where a value stands."""
        part = (value - self.low) / (self.high - self.low)
        return self.left + part * (self.right - self.left)

    def draw(self) -> None:
        self._band()
        self._axis()
        self._head()
        top = _HEAD
        pitch = (self.base - 16.0 - top) / max(len(self.claims), 1)
        for number, claim in enumerate(self.claims):
            self._row(claim, self.labels[number], top + pitch * (number + 0.5) + 6, pitch)

    def _band(self) -> None:
        drawing, matters = self.drawing, self.found.matters
        top = _HEAD - 8
        if matters is not None:
            left, right = self.x(-matters), self.x(matters)
            corners = [(left, top), (right, top), (right, self.base), (left, self.base)]
            drawing.area(corners, fill=drawing.colours.margin)
            for edge in (left, right):
                drawing.line([(edge, top), (edge, self.base)], width=1.0, zorder=1)
        none = self.x(0.0)
        drawing.line([(none, top), (none, self.base)], width=1.8, zorder=1)

    def _axis(self) -> None:
        drawing = self.drawing
        drawing.line([(self.left, self.base), (self.right + 16, self.base)], width=1.5)
        most = max(4, int((self.right - self.left) / 42))
        for value in ticks(self.low, self.high, most):
            place = self.x(value)
            drawing.line([(place, self.base), (place, self.base + 5)], width=1.2)
            text = as_short(value)
            drawing.text(
                place, self.base + 20, f"+{text}" if value > 0 else text, px=12, align="center",
                colour=drawing.colours.pencil,
            )  # fmt: skip

    def _head(self) -> None:
        drawing, none = self.drawing, self.x(0.0)
        less, more = say(self.names.less), say(self.names.more)
        drawing.text(none - 10, 16, less, weight="medium", align="right")
        drawing.text(none + 10, 16, more, weight="medium")

    def _row(self, claim: Claim, label: Sequence[str], y: float, pitch: float) -> None:
        drawing, plain = self.drawing, claim.finding.comparison
        for number, line in enumerate(label):
            up = (number - (len(label) - 1) / 2) * 16
            weight = "semibold" if claim.told and number == 0 else "regular"
            drawing.text(0, y + 4.5 + up, line, px=_LABEL_PX, weight=weight)  # type: ignore[arg-type]
        for _, value in claim.cook_values:
            drawing.ring(self.x(value), y + min(13.0, 0.3 * pitch), 2.6)
        if plain.estimate is None:
            return
        colour = drawing.colours.rail if claim.silent else drawing.colours.ink
        if plain.low is not None and plain.high is not None:
            inner = None
            if plain.inner_low is not None and plain.inner_high is not None:
                inner = (self.x(plain.inner_low), self.x(plain.inner_high))
            ends = (self.x(plain.low), self.x(plain.high))
            draw_thread(drawing, y, ends, inner, colour, scale=0.8)
        place = self.x(plain.estimate)
        ground = self._ground(plain.estimate)
        drawing.stitch(place, y, 19.0, colour=colour, ground=ground)
        text = signed(plain.estimate, self.names.decimals)
        if self.close:
            edge = drawing.width - 4.0
            drawing.text(edge, y + 4.5, text, weight="semibold", colour=colour, align="right")
            return
        drawing.text(
            place, y - 13, text, px=14, weight="semibold", colour=colour, align="center",
            ground=ground,
        )  # fmt: skip

    def _ground(self, value: float) -> str:
        """The colour behind a value: margin tone inside the band, else the page."""
        matters, colours = self.found.matters, self.drawing.colours
        return colours.margin if matters is not None and abs(value) < matters else colours.page

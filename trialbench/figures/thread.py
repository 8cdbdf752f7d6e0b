"""The thread of an interval: single to its ends, doubled between the inner ones, four knots."""

from __future__ import annotations

from trialbench.figures.drawing import Drawing


def draw_thread(
    drawing: Drawing,
    y: float,
    ends: tuple[float, float],
    inner: tuple[float, float] | None,
    colour: str,
    *,
    scale: float = 1.0,
) -> None:
    """A thread at a height, between two places; `scale` makes knots and doubling smaller."""
    low, high = ends
    if inner is None:
        drawing.line([(low, y), (high, y)], width=2.0, colour=colour, zorder=2)
    else:
        drawing.line([(low, y), (inner[0], y)], width=2.0, colour=colour, zorder=2)
        drawing.line([(inner[1], y), (high, y)], width=2.0, colour=colour, zorder=2)
        reach = min(8.0, (inner[1] - inner[0]) / 4)
        for side in (-3.0 * scale, 3.0 * scale):
            points = [(inner[0], y), (inner[0] + reach, y + side)]
            points += [(inner[1] - reach, y + side), (inner[1], y)]
            drawing.line(points, width=2.0, colour=colour, zorder=2)
        for place in inner:
            drawing.ring(place, y, 3.2 * scale, filled=colour)
    for place in ends:
        drawing.ring(place, y, 4.2 * scale, filled=colour)

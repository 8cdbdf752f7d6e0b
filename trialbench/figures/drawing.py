"""A figure to draw on in pixels: (0, 0) at the upper left, y downward, 96 to the inch."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import TYPE_CHECKING, Any, Literal, TypedDict, Unpack

from trialbench.figures.look import PT_PER_PX, PX_PER_INCH, SANS, Style, colours, load_fonts

if TYPE_CHECKING:
    from matplotlib.figure import Figure

Point = tuple[float, float]
Weight = Literal["regular", "medium", "semibold"]
_WEIGHTS = {"regular": 400, "medium": 500, "semibold": 600}


class Letters(TypedDict, total=False):
    """How words are set: size in pixels, weight, ink, side, and a colour that keeps lines off."""

    px: float
    weight: Weight
    colour: str
    align: Literal["left", "center", "right"]
    ground: str


class Drawing:
    """An empty figure of `width_px` by `height_px` in one style, and the marks put on it."""

    def __init__(self, width_px: float, height_px: float, style: Style) -> None:
        from matplotlib.backends.backend_agg import FigureCanvasAgg
        from matplotlib.figure import Figure

        load_fonts()
        self.width, self.height = width_px, height_px
        self.style: Style = style
        self.colours = colours(style)
        size = (width_px / PX_PER_INCH, height_px / PX_PER_INCH)
        self.figure: Figure = Figure(figsize=size, dpi=PX_PER_INCH, facecolor=self.colours.page)
        FigureCanvasAgg(self.figure)
        self.axes = self.figure.add_axes((0, 0, 1, 1))
        self.axes.set_axis_off()
        self.axes.set_xlim(0, width_px)
        self.axes.set_ylim(height_px, 0)

    def line(
        self, points: Sequence[Point], *, colour: str = "", width: float = 1.0, **more: Any
    ) -> None:
        """A line through points; `width` in pixels; ends are cut unless said otherwise."""
        from matplotlib.lines import Line2D

        ends = {"solid_capstyle": "butt", "dash_capstyle": "butt", "solid_joinstyle": "round"}
        self.axes.add_line(
            Line2D(
                [x for x, _ in points],
                [y for _, y in points],
                color=colour or self.colours.ink,
                linewidth=width * PT_PER_PX,
                **(ends | more),
            )
        )

    def stitch(
        self, x: float, y: float, height: float, *, colour: str = "", ground: str = ""
    ) -> None:
        """A tall stitch: what counts. `ground` is the colour it stands on (the page's)."""
        half = height / 2
        under = ground or self.colours.page
        self.line([(x, y - half), (x, y + half)], width=7.0, colour=under, zorder=3)
        self.line(
            [(x, y - half + 1), (x, y + half - 1)],
            width=3.6,
            colour=colour,
            zorder=4,
            solid_capstyle="round",
        )

    def ring(self, x: float, y: float, radius: float = 3.0, *, filled: str = "") -> None:
        """A small pale ring, or a knot when filled with a colour."""
        from matplotlib.patches import Circle

        self.axes.add_patch(
            Circle(
                (x, y),
                radius,
                facecolor=filled or "none",
                edgecolor=filled or self.colours.rail,
                linewidth=1.3 * PT_PER_PX,
                zorder=5 if filled else 2,
            )
        )

    def area(self, points: Sequence[Point], *, fill: str, hatch: bool = False) -> None:
        """A filled area without an edge."""
        from matplotlib.patches import Polygon

        self.axes.add_patch(
            Polygon(points, closed=True, facecolor=fill, edgecolor="none", zorder=0)
        )

    def text(self, x: float, y: float, words: str, **letters: Unpack[Letters]) -> Any:
        """Words with their baseline at y."""
        artist = self.axes.text(
            x,
            y,
            words,
            fontfamily=SANS,
            fontsize=letters.get("px", 13.0) * PT_PER_PX,
            fontweight=_WEIGHTS[letters.get("weight", "regular")],
            color=letters.get("colour") or self.colours.ink,
            ha=letters.get("align", "left"),
            va="baseline",
            zorder=6,
        )
        ground = letters.get("ground")
        if ground:
            artist.set_bbox({"facecolor": ground, "edgecolor": "none", "pad": 1.2, "zorder": 5})
        return artist

    def text_width(self, words: str, *, px: float = 13.0, weight: str = "regular") -> float:
        """The width of words in pixels."""
        return _text_width(words, px, weight)


@lru_cache(maxsize=1024)
def _text_width(words: str, px: float, weight: str) -> float:
    """Kept, because the outline of each letter is gone through for it."""
    from matplotlib.font_manager import FontProperties
    from matplotlib.textpath import TextPath

    font = FontProperties(family=SANS, weight=_WEIGHTS[weight])
    path = TextPath((0, 0), words, size=px, prop=font)
    return float(path.get_extents().width) if words.strip() else 0.0

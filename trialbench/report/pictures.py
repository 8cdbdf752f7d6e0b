"""The pictures of a note as SVG: the same finding always gives the same text."""

from __future__ import annotations

import io
from typing import Literal

from trialbench.figures.cook_days import cook_days_figure
from trialbench.figures.interval import interval_figure, interval_height
from trialbench.figures.pictures import Picture
from trialbench.report.note import RecipeNote

INTERVAL_PX, DAYS_PX, MOST_PX = 500.0, 226.0, 370.0


def interval_picture(note: RecipeNote) -> Picture | None:
    """The picture of the deciding outcome for paper; None while there is nothing to draw."""
    if note.finding is None or note.names is None or note.finding.comparison.estimate is None:
        return None
    height = min(interval_height(note.finding), MOST_PX)
    return interval_figure(
        note.finding, note.names, "paper", width_px=INTERVAL_PX, height_px=height
    )


def cook_days_picture(note: RecipeNote) -> Picture | None:
    """Each cook day, where there are several; as tall as the interval beside it."""
    if note.finding is None or note.names is None or len(note.finding.cook_differences) < 2:
        return None
    height = min(interval_height(note.finding), MOST_PX)
    return cook_days_figure(note.finding, note.names, "paper", width_px=DAYS_PX, height_px=height)


def svg_of(picture: Picture, letters: Literal["text", "outlines"]) -> str:
    """The figure as SVG text; letters as text (needs the fonts) or as outlines (needs none)."""
    from matplotlib import rc_context

    out = io.StringIO()
    kind = "none" if letters == "text" else "path"
    with rc_context({"svg.fonttype": kind, "svg.hashsalt": "trialbench"}):
        picture.figure.savefig(out, format="svg", metadata={"Date": None, "Creator": None})
    text = out.getvalue()
    return text[text.index("<svg") :]

"""The pictures of a note as SVG: the same finding always gives the same text."""

from __future__ import annotations

import io
from typing import Literal

from trialbench.figures.cook_days import cook_days_figure
from trialbench.figures.interval import interval_figure, interval_height
from trialbench.figures.method_means import means_figure
from trialbench.figures.pictures import Picture
from trialbench.figures.setting_curve import curve_figure
from trialbench.figures.threads import threads_figure, threads_height
from trialbench.findings.phrases import Names
from trialbench.findings.several_finding import SeveralFinding
from trialbench.report.note import RecipeNote

INTERVAL_PX, DAYS_PX, MOST_PX = 500.0, 226.0, 370.0
_SHORTER = 0.76
"""Rows lie closer on paper than on the screen, so that a note keeps to one side."""
_THREADS_PX, _MEANS_PX, _CURVE_PX, _MOST_ROWS_PX = 436.0, 292.0, 736.0, 620.0


def interval_picture(note: RecipeNote) -> Picture | None:
    """The picture of the deciding outcome for paper; None while there is nothing to draw."""
    if note.several is not None and note.names is not None:
        return _of_several(note.several, note.names)
    if note.finding is None or note.names is None or note.finding.comparison.estimate is None:
        return None
    height = min(interval_height(note.finding), MOST_PX)
    return interval_figure(
        note.finding, note.names, "paper", width_px=INTERVAL_PX, height_px=height
    )


def cook_days_picture(note: RecipeNote) -> Picture | None:
    """Each cook day, where there are several; as tall as the interval beside it."""
    if note.several is not None and note.names is not None:
        return _means(note.several, note.names)
    if note.finding is None or note.names is None or len(note.finding.cook_differences) < 2:
        return None
    height = min(interval_height(note.finding), MOST_PX)
    return cook_days_figure(note.finding, note.names, "paper", width_px=DAYS_PX, height_px=height)


def _of_several(several: SeveralFinding, names: Names) -> Picture:
    """The threads of all comparisons; of ordered settings the curve."""
    if several.plan.shape == "ordered":
        return curve_figure(several, names, "paper", width_px=_CURVE_PX)
    height = min(_SHORTER * threads_height(several), _MOST_ROWS_PX)
    return threads_figure(several, names, "paper", width_px=_THREADS_PX, height_px=height)


def _means(several: SeveralFinding, names: Names) -> Picture | None:
    if several.plan.shape == "ordered" or not several.means:
        return None
    height = max(220.0, min(_SHORTER * threads_height(several), MOST_PX))
    return means_figure(several, names, "paper", width_px=_MEANS_PX, height_px=height)


def svg_of(picture: Picture, letters: Literal["text", "outlines"]) -> str:
    """The figure as SVG text; letters as text (needs the fonts) or as outlines (needs none)."""
    from matplotlib import rc_context

    out = io.StringIO()
    kind = "none" if letters == "text" else "path"
    with rc_context({"svg.fonttype": kind, "svg.hashsalt": "trialbench"}):
        picture.figure.savefig(out, format="svg", metadata={"Date": None, "Creator": None})
    text = out.getvalue()
    return text[text.index("<svg") :]

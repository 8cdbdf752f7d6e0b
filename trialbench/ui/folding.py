"""How wide spine and margin are at a window's width, and when they fold."""

from __future__ import annotations

from dataclasses import dataclass

from trialbench.ui import theme


@dataclass(frozen=True, slots=True)
class Widths:
    """Widths in px. `names` 0 means folded to the hinge; a folded margin keeps its rail."""

    hinge: int
    names: int
    margin: int
    margin_folded: bool


def widths(window_px: int, *, text_factor: float = 1.0, counter: bool = False) -> Widths:
    """From 1500 px wider names and margin; below 1180 a narrower margin; below 1000 it folds to
    its rail; below 860 the names fold too. Larger text counts as a narrower window. At counter
    size both are folded.
    """
    hinge, folded = theme.size("hinge"), theme.size("margin_folded")
    room = window_px / text_factor
    if counter:
        return Widths(hinge, 0, folded, True)
    wide = room >= 1500
    names = 0 if room < 860 else round((192 if wide else theme.size("names")) * text_factor)
    if room < 1000:
        return Widths(hinge, names, folded, True)
    margin = 344 if wide else theme.size("margin") if room >= 1180 else 260
    return Widths(hinge, names, round(margin * text_factor), False)

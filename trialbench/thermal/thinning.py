"""Fewer points for the eye: the highest, the lowest and the ends of every short span are kept."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from trialbench.thermal.bad_figures import BadFigures
from trialbench.thermal.curves import Curve, Floats, Places

_EACH = 4  # first, lowest, highest, last


def thinned(curve: Curve, most: int) -> Curve:
    """A curve of about `most` points that is drawn the same: no peak, dip or gap is lost.

    The time is cut into most / 4 equal spans; of each span, and on each side of a gap, the first,
    lowest, highest and last reading stay (common practice for drawing long records, no source).
    A curve with `most` readings or fewer comes back as it is. With many gaps a few more points
    stay than asked for. Raises BadFigures when `most` is below 4.
    """
    if most < _EACH:
        raise BadFigures(f"{most} points cannot show a curve.", where="most", allowed="4 or more")
    if len(curve) <= most:
        return curve
    firsts = _groups(curve, most // _EACH)
    keep = np.unique(np.concatenate([
        firsts, np.append(firsts[1:], len(curve)) - 1,
        _first_equal(curve.temp_c, firsts, np.minimum.reduceat(curve.temp_c, firsts)),
        _first_equal(curve.temp_c, firsts, np.maximum.reduceat(curve.temp_c, firsts)),
    ]))  # fmt: skip
    breaks = np.searchsorted(keep, curve.breaks)
    return replace(curve, time_s=curve.time_s[keep], temp_c=curve.temp_c[keep], breaks=breaks)


def _groups(curve: Curve, spans: int) -> Places:
    """Index of the first reading of each span; a gap starts a new one."""
    width = (curve.end_s - curve.start_s) / spans
    span = np.minimum((curve.time_s - curve.start_s) // width, spans - 1)
    return np.union1d(np.concatenate([[0], np.flatnonzero(np.diff(span)) + 1]), curve.breaks)


def _first_equal(values: Floats, firsts: Places, wanted: Floats) -> Places:
    counts = np.diff(np.append(firsts, len(values)))
    hits = np.flatnonzero(values == np.repeat(wanted, counts))
    group = np.searchsorted(firsts, hits, "right") - 1
    return hits[np.unique(group, return_index=True)[1]]

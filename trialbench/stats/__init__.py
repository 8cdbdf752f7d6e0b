"""The engine: arrays and frames in, frozen results out. Knows nothing of trials.

    >>> from trialbench.stats import paired
    >>> paired([1.9, 0.8, 1.1], [0.7, -1.6, -0.2]).df
    2

Names are loaded when first used, so that importing this package costs nothing.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from trialbench.stats.families import holm
    from trialbench.stats.lots import RedrawResult, redraw
    from trialbench.stats.mixed import JointTest, MixedFit, fit_mixed
    from trialbench.stats.not_applicable import NotApplicable
    from trialbench.stats.numbers import BadNumbers
    from trialbench.stats.over import OverCooks, over_cooks
    from trialbench.stats.pairs import PairedResult, paired
    from trialbench.stats.taster_rows import CookDifference

_HOME = {
    "BadNumbers": "numbers",
    "CookDifference": "taster_rows",
    "JointTest": "mixed",
    "MixedFit": "mixed",
    "NotApplicable": "not_applicable",
    "OverCooks": "over",
    "PairedResult": "pairs",
    "RedrawResult": "lots",
    "fit_mixed": "mixed",
    "holm": "families",
    "over_cooks": "over",
    "paired": "pairs",
    "redraw": "lots",
}
__all__ = [
    "BadNumbers",
    "CookDifference",
    "JointTest",
    "MixedFit",
    "NotApplicable",
    "OverCooks",
    "PairedResult",
    "RedrawResult",
    "fit_mixed",
    "holm",
    "over_cooks",
    "paired",
    "redraw",
]


def __getattr__(name: str) -> object:
    if name not in _HOME:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"{__name__}.{_HOME[name]}"), name)

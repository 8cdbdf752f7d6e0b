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
    from trialbench.stats.adjustments import Adjusted, adjust, order_effects
    from trialbench.stats.cook_contrasts import CookContrast
    from trialbench.stats.design_precision import (
        Precision,
        Prices,
        case_chances,
        cheapest_designs,
        power_picture,
        precision,
    )
    from trialbench.stats.factorial_trials import Factorial, factorial
    from trialbench.stats.families import holm
    from trialbench.stats.lots import RedrawResult, redraw
    from trialbench.stats.mixed import JointTest, MixedFit, fit_mixed
    from trialbench.stats.model_by_counts import kitchen_model
    from trialbench.stats.next_piece import FuturePiece, future_piece, next_cook_day
    from trialbench.stats.not_applicable import NotApplicable
    from trialbench.stats.numbers import BadNumbers
    from trialbench.stats.ordered_settings import (
        BestSetting,
        Trend,
        TrendPair,
        compare_trends,
        trend,
    )
    from trialbench.stats.over import OverCooks, over_cooks
    from trialbench.stats.pairs import PairedResult, paired
    from trialbench.stats.pooled_days import PooledDays, pool_cook_days
    from trialbench.stats.pooling import Pooled, pool
    from trialbench.stats.scatter import Scatter, TrialDesign
    from trialbench.stats.several_methods import SeveralMethods, compare_methods
    from trialbench.stats.taster_rows import CookDifference
    from trialbench.stats.trial_simulation import Kitchen, Rounding, simulate_trials
    from trialbench.stats.typical_scatter import TYPICAL, TypicalScatter

_HOME = {
    "Adjusted": "adjustments",
    "BadNumbers": "numbers",
    "BestSetting": "ordered_settings",
    "CookContrast": "cook_contrasts",
    "CookDifference": "taster_rows",
    "Factorial": "factorial_trials",
    "FuturePiece": "next_piece",
    "JointTest": "mixed",
    "Kitchen": "trial_simulation",
    "MixedFit": "mixed",
    "NotApplicable": "not_applicable",
    "OverCooks": "over",
    "PairedResult": "pairs",
    "Pooled": "pooling",
    "PooledDays": "pooled_days",
    "Precision": "design_precision",
    "Prices": "design_precision",
    "RedrawResult": "lots",
    "Rounding": "trial_simulation",
    "Scatter": "scatter",
    "SeveralMethods": "several_methods",
    "TYPICAL": "typical_scatter",
    "Trend": "ordered_settings",
    "TrendPair": "ordered_settings",
    "TrialDesign": "scatter",
    "TypicalScatter": "typical_scatter",
    "adjust": "adjustments",
    "case_chances": "design_precision",
    "cheapest_designs": "design_precision",
    "compare_methods": "several_methods",
    "compare_trends": "ordered_settings",
    "factorial": "factorial_trials",
    "fit_mixed": "mixed",
    "future_piece": "next_piece",
    "holm": "families",
    "kitchen_model": "model_by_counts",
    "next_cook_day": "next_piece",
    "order_effects": "adjustments",
    "over_cooks": "over",
    "paired": "pairs",
    "pool": "pooling",
    "pool_cook_days": "pooled_days",
    "power_picture": "design_precision",
    "precision": "design_precision",
    "redraw": "lots",
    "simulate_trials": "trial_simulation",
    "trend": "ordered_settings",
}
_ROOMS = ("blinding", "boxes", "choice", "looking", "ordinal", "ranks", "tasters")
"""Modules that are used by their own name: `stats.choice.judge(9, 15)`."""
__all__ = [
    "TYPICAL",
    "Adjusted",
    "BadNumbers",
    "BestSetting",
    "CookContrast",
    "CookDifference",
    "Factorial",
    "FuturePiece",
    "JointTest",
    "Kitchen",
    "MixedFit",
    "NotApplicable",
    "OverCooks",
    "PairedResult",
    "Pooled",
    "PooledDays",
    "Precision",
    "Prices",
    "RedrawResult",
    "Rounding",
    "Scatter",
    "SeveralMethods",
    "Trend",
    "TrendPair",
    "TrialDesign",
    "TypicalScatter",
    "adjust",
    "case_chances",
    "cheapest_designs",
    "compare_methods",
    "compare_trends",
    "factorial",
    "fit_mixed",
    "future_piece",
    "holm",
    "kitchen_model",
    "next_cook_day",
    "order_effects",
    "over_cooks",
    "paired",
    "pool",
    "pool_cook_days",
    "power_picture",
    "precision",
    "redraw",
    "simulate_trials",
    "trend",
]


def __getattr__(name: str) -> object:
    if name in _ROOMS:
        return import_module(f"{__name__}.{name}")
    if name not in _HOME:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"{__name__}.{_HOME[name]}"), name)

"""One good call of each public function of the models, contrasts and plans; what is an answer."""

from __future__ import annotations

import dataclasses
from functools import cache

import numpy as np
import pandas as pd
import pytest

from trialbench import stats
from trialbench.model.message import Message, say
from trialbench.stats import power
from trialbench.stats.numbers import BadNumbers


def scores():
    """Four cooks of two methods in two media, two pieces each, four tasters."""
    rows = [
        (f"d{day}", method, unit, taster)
        for day in range(4)
        for method in "AB"
        for unit in ("u", "v")
        for taster in ("kim", "lou", "sam", "val")
    ]
    frame = pd.DataFrame(rows, columns=["cook", "method", "unit", "taster"])
    lot = np.random.default_rng(1)
    frame["score"] = np.round(lot.normal(5, 1, len(frame)) + (frame["method"] == "A"), 1)
    frame["mass"] = np.round(lot.normal(900, 20, len(frame)), 0)
    frame["temp"] = np.where(frame["unit"] == "u", 60.0, 70.0) + 10 * (frame["taster"] > "l")
    frame["medium"] = np.where(frame["unit"] == "u", "salt", "brine")
    frame["place"] = frame.groupby(["cook", "taster"]).cumcount() + 1
    return frame


SCORES = scores()
COLUMNS = {"frame": SCORES, "value": "score", "cook": "cook", "unit": "unit", "taster": "taster"}
DESIGN = stats.TrialDesign(cooks=4, units=2, tasters=6)
SCATTER = stats.Scatter(cook_method=0.3, score=1.0)
KITCHEN = stats.Kitchen(
    design=DESIGN, scatter=SCATTER, scale=stats.Rounding(low=1, high=9, step=1, middle=5)
)
PRICES = stats.Prices(10.0, 5.0, 1.0)


@cache
def fitted():
    return stats.fit_mixed(SCORES, "score ~ method", ["taster", "cook", "cook:method"])


@cache
def over():
    return stats.over_cooks(method="method", step=0.1, **COLUMNS)


@cache
def redrawn():
    return stats.redraw([1.0, 2, 3, 4], list("ABAB"), list("1122"))


CALLS = {
    "adjust": (stats.adjust, {
        "frame": SCORES, "value": "score", "method": "method", "covariates": ["mass"],
        "random": ["taster", "cook:method"], "small_sample": "kenward-roger"}),
    "case_chances": (stats.case_chances, {
        "difference": 0.5, "cooks": 4, "sd": 0.6, "matters": 0.8}),
    "cheapest_designs": (stats.cheapest_designs, {
        "scatter": SCATTER, "prices": PRICES, "difference": 0.8, "units": [1, 2],
        "tasters": [2, 4], "servings": 1, "wanted": 0.8, "most_cooks": 20}),
    "compare_methods": (stats.compare_methods, {
        **COLUMNS, "method": "method", "step": 0.1, "matters": 1.0}),
    "compare_trends": (stats.compare_trends, {
        **COLUMNS, "method": "method", "setting": "temp", "unit": None, "taster": None}),
    "factorial": (stats.factorial, {
        **COLUMNS, "factors": ["method", "medium"], "unit": None, "step": 0.1, "matters": 1.0}),
    "fit_mixed": (stats.fit_mixed, {
        "frame": SCORES, "fixed": "score ~ method", "random": ["taster", "cook:method"]}),
    "future_piece": (stats.future_piece, {
        "fit": fitted(), "method": "method", "a": "A", "b": "B", "taster": "taster",
        "cook": "cook", "lot_number": 1}),
    "holm": (stats.holm, {"p_values": [0.01, 0.2, None]}),
    "kitchen_model": (stats.kitchen_model, {**COLUMNS, "method": "method", "covariates": ["mass"]}),
    "next_cook_day": (stats.next_cook_day, {"found": over()}),
    "order_effects": (stats.order_effects, {
        "frame": SCORES, "value": "score", "method": "method", "taster": "taster",
        "position": "place", "cook": "cook", "random": ["taster"]}),
    "over_cooks": (stats.over_cooks, {**COLUMNS, "method": "method", "step": 0.1}),
    "paired": (stats.paired, {"a": [1.0, 2, 3], "b": [0.5, 1, 2.5], "matters": 1.0}),
    "power_picture": (stats.power_picture, {
        "sd": 0.6, "differences": [0.5, 1.0], "cooks": [2, 3]}),
    "precision": (stats.precision, {
        "design": DESIGN, "scatter": SCATTER, "matters": 0.8, "wanted": 0.8}),
    "redraw": (stats.redraw, {
        "value": [1.0, 2, 3, 4], "label": list("ABAB"), "block": list("1122"),
        "cook": list("1122"), "assignments": [list("ABAB"), list("BABA")]}),
    "simulate_trials": (stats.simulate_trials, {
        "kitchen": KITCHEN, "difference": 0.5, "matters": 0.8, "lot_number": 1, "trials": 50}),
    "trend": (stats.trend, {
        **COLUMNS, "setting": "temp", "unit": None, "taster": None, "step": 0.1, "matters": 1.0,
        "points": 5}),
    "Kitchen": (stats.Kitchen, {"design": DESIGN, "scatter": SCATTER, "missing": 0.1}),
    "Prices": (stats.Prices, {"cook_day": 1.0, "piece": 2.0, "taster": 1.0}),
    "Prices.of": (PRICES.of, {"design": DESIGN, "methods": 2}),
    "Rounding": (stats.Rounding, {"low": 1, "high": 9, "step": 1, "middle": 5}),
    "Scatter": (stats.Scatter, {"cook": 0.1, "score": 1.0}),
    "Scatter.of_fit": (stats.Scatter.of_fit, {
        "fit": fitted(), "method": "method", "taster": "taster", "cook": "cook"}),
    "TrialDesign": (stats.TrialDesign, {"cooks": 4, "units": 1, "tasters": 2, "servings": 1}),
    "MixedFit.differences": (fitted().differences, {"factor": "method", "family": "tukey"}),
    "MixedFit.joint_columns": (fitted().joint_columns, {
        "name": "method", "columns": ["method[T.B]"]}),
    "MixedFit.joint_test": (fitted().joint_test, {"term": "method"}),
    "MixedFit.means": (fitted().means, {"factor": "method"}),
    "MixedFit.terms": (fitted().terms, {}),
    "MixedFit.variance_errors": (fitted().variance_errors, {}),
    "OverCooks.interval": (over().interval, {"alpha": 0.1}),
    "RedrawResult.cooks_needed": (redrawn().cooks_needed, {"alpha": 0.05}),
    "power.equality_multiplier": (power.equality_multiplier, {"cooks": 3}),
    "power.fewest_cooks": (power.fewest_cooks, {"difference": 0.8, "sd": 0.6}),
    "power.fewest_cooks_at_least_as_good": (
        power.fewest_cooks_at_least_as_good, {"matters": 0.8, "sd": 0.6}),
    "power.fewest_cooks_for_equality": (
        power.fewest_cooks_for_equality, {"matters": 0.8, "sd": 0.6}),
    "power.fewest_cooks_for_width": (power.fewest_cooks_for_width, {"half": 0.4, "sd": 0.6}),
    "power.half_width": (power.half_width, {"cooks": 4, "sd": 0.6}),
    "power.power": (power.power, {"cooks": 4, "difference": 0.8, "sd": 0.6}),
    "power.power_at_least_as_good": (
        power.power_at_least_as_good, {"cooks": 4, "matters": 0.8, "sd": 0.6}),
    "power.smallest_difference": (power.smallest_difference, {"cooks": 4, "sd": 0.6}),
}  # fmt: skip
PLAIN = (int, float, str, bool, type(None))
ON_FRAMES = tuple(name for name, (_, given) in CALLS.items() if "frame" in given)


def parts(value, where, *, mappings=True):
    """What an answer is made of, each with its place; results are frozen all the way down."""
    if dataclasses.is_dataclass(value) and not isinstance(value, Message):
        assert type(value).__dataclass_params__.frozen, where
        for field in dataclasses.fields(value):
            if not field.name.startswith("_"):
                own = getattr(value, field.name)
                yield from parts(own, f"{where}.{field.name}", mappings=mappings)
    elif isinstance(value, tuple | list):
        for each in value:
            yield from parts(each, where, mappings=mappings)
    elif mappings and isinstance(value, dict):
        for key, each in value.items():
            assert type(key) in (str, int), where
            yield from parts(each, f"{where}[{key!r}]")
    else:
        yield value, where


def check_plain(found, said):
    """Python's own numbers, texts and tables of them, all the way down."""
    for value, where in parts(found, said):
        if isinstance(value, pd.DataFrame):
            kinds = {str(kind) for kind in value.dtypes}
            assert kinds <= {"float64", "object", "str"}, (where, kinds)
        elif isinstance(value, Message):
            assert say(value)
        else:
            assert type(value) in PLAIN, (where, type(value))


def answered(function, given, said, check=check_plain):
    """The answer or None; fails for any error but one that says where and what is allowed."""
    try:
        found = function(**given)
    except BadNumbers as error:
        assert str(error) and error.where and error.allowed, said
        assert len(str(error)) < 400, said
        return None
    except (Exception, Warning) as error:
        pytest.fail(f"{said}: {type(error).__name__}: {error}")
    check(found, said)
    return found

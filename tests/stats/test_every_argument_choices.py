"""Choices, ranks, boxes, tasters, pools and looks: every argument wrong in turn, and odd tables.

Whatever is given, the answer is right, or `NotApplicable` with its reason, or `BadNumbers` that
says where and what is allowed. Python warnings fail a test everywhere here.
"""

import dataclasses
import inspect
import math
from functools import cache
from types import FunctionType

import numpy as np
import pandas as pd
import pytest

from tests.stats.every_call import PLAIN, answered, parts
from trialbench.model.message import Message, say
from trialbench.stats import (
    blinding,
    boxes,
    choice,
    looking,
    ordinal,
    pooled_days,
    pooling,
    ranks,
    tasters,
)
from trialbench.stats.choice_forms import FORMS, Form

ROOMS = (blinding, boxes, choice, looking, ordinal, pooled_days, pooling, ranks, tasters)


def _scores():
    rows = [
        (f"d{day}", method, unit, taster, 2 + (3 * day + 5 * tasting + 7 * piece) % 11 % 6)
        for day in range(4)
        for method in "AB"
        for piece, unit in enumerate(("u", "v"))
        for tasting, taster in enumerate(("kim", "lou", "sam", "val"))
    ]
    frame = pd.DataFrame(rows, columns=["cook", "method", "unit", "taster", "score"])
    frame["score"] += np.where((frame.method == "A") & (frame.index % 3 > 0), 1, 0)
    frame["trial"] = np.where(frame.cook < "d2", "may", "june")
    frame["warmth"] = np.arange(len(frame)) % 5 / 10
    return frame


SCORES = _scores()
RANKED = SCORES.groupby(["taster", "method"], as_index=False).score.mean()
COLUMNS = {"A": [1, 2, 3], "B": [2, 3, 1], "C": [3, 1, 2]}
OF_COOKS = {"frame": SCORES, "value": "score", "method": "method", "cook": "cook", "unit": "unit"}
OF_CELLS = {"frame": SCORES, "value": "score", "taster": "taster", "sample": "method"}


@cache
def _result(name):
    """A result whose methods are called."""
    function, given = CALLS[name]
    return function(**given)


def _of(name, method):
    def call(**given):
        return getattr(_result(name), method)(**given)

    return call


CALLS = {
    "blinding.by_method": (
        blinding.by_method, {"right": 5, "wrong": 3, "unsure": 2, "alpha": 0.05}),
    "blinding.overall": (blinding.overall, {"table": [[5, 3], [2, 6], [1, 2]], "alpha": 0.05}),
    "boxes.cochran_q": (boxes.cochran_q, {"table": {"A": [1, 0], "B": [0, 1], "C": [1, 1]}}),
    "boxes.mcnemar": (boxes.mcnemar, {"b": 3, "c": 5, "n": 12, "alpha": 0.05}),
    "boxes.penalty": (
        boxes.penalty,
        {"jar": [1, 3, 5, 3, 2, 3], "liking": [4, 7, 5, 6, 3, 8], "middle": 3.0, "pooled": False,
         "alpha": 0.05}),
    "boxes.Penalty.group": (_of("boxes.penalty", "group"), {"side": "too much"}),
    "choice.fewest_right": (
        choice.fewest_right, {"of": 12, "form": "triangle", "alpha": 0.05, "one_sided": True}),
    "choice.judge": (
        choice.judge,
        {"right": 8, "of": 12, "form": "tetrad", "one_sided": True, "alike_below": 0.3,
         "alpha": 0.05}),
    "choice.most_right_if_alike": (
        choice.most_right_if_alike, {"of": 20, "form": "triangle", "below": 0.3, "beta": 0.1}),
    "choice.over_cook_days": (
        choice.over_cook_days,
        {"first": [3, 4, 5, 6, 5, 4], "of": [8] * 6, "form": "preference", "neither": [1] * 6,
         "alpha": 0.05}),
    "choice.power": (
        choice.power,
        {"of": 24, "form": "3-afc", "share": 0.3, "alpha": 0.05, "one_sided": True}),
    "choice.preference": (choice.preference, {"a": 7, "b": 4, "neither": 2, "alpha": 0.05}),
    "choice.replicated": (
        choice.replicated,
        {"right": [1, 2, 3, 4], "of": [4, 4, 4, 4], "form": "triangle", "alpha": 0.05}),
    "choice.sequential_lines": (
        choice.sequential_lines, {"form": "triangle", "share": 0.3, "alpha": 0.05, "beta": 0.1}),
    "choice.SequentialLines.needed": (_of("choice.sequential_lines", "needed"), {"of": 12}),
    "choice.SequentialLines.allowed": (_of("choice.sequential_lines", "allowed"), {"of": 12}),
    "choice.SequentialLines.decide": (
        _of("choice.sequential_lines", "decide"), {"right": 5, "of": 12}),
    "choice.tasters_for": (
        choice.tasters_for,
        {"form": "triangle", "share": 0.3, "alpha": 0.05, "power": 0.8, "one_sided": True}),
    "choice_forms.Form.share_right": (FORMS["tetrad"].share_right, {"d_prime": 1.2}),
    "choice_forms.Form.slope": (FORMS["triangle"].slope, {"d_prime": 1.2}),
    "choice_forms.Form.d_prime": (FORMS["duo-trio"].d_prime, {"share_right": 0.7}),
    "choice_forms.Form.right_if": (FORMS["2-afc"].right_if, {"share_who_can_tell": 0.3}),
    "choice_forms.Form.who_can_tell": (FORMS["3-afc"].who_can_tell, {"share_right": 0.7}),
    "looking.look": (
        looking.look,
        {"differences": [0.4, 0.6, 0.2], "planned": 4, "alpha": 0.05, "least_variance": 0.0}),
    "looking.likelihood_ratio": (looking.likelihood_ratio, {"t": 2.0, "n": 5, "g": 1.0}),
    "looking.multiplier": (looking.multiplier, {"n": 8, "g": 1.0, "alpha": 0.05}),
    "looking.effect_variance": (looking.effect_variance, {"planned": 5, "alpha": 0.05}),
    "looking.first_possible": (looking.first_possible, {"planned": 5, "alpha": 0.05}),
    "ordinal.fit": (
        ordinal.fit,
        {"frame": SCORES, "fixed": "score ~ method", "random": "taster", "link": "logit",
         "alpha": 0.05}),
    "ordinal.OrdinalFit.coefficient": (_of("ordinal.fit", "coefficient"), {"term": "method[T.B]"}),
    "pooled_days.pool_cook_days": (
        pooled_days.pool_cook_days,
        {**OF_COOKS, "trial": "trial", "taster": "taster", "step": 0.5, "alpha": 0.05}),
    "pooled_days.pool_differences": (
        pooled_days.pool_differences,
        {"differences": {"may": [0.1, 0.4], "june": [0.2, 0.5, 0.0]}, "methods": ("A", "B"),
         "alpha": 0.05, "least_variance": 0.0}),
    "pooling.pool": (
        pooling.pool,
        {"effects": [0.1, 0.2, 0.3], "ses": [0.1, 0.2, 0.1], "between": "moments",
         "small_sample": True, "alpha": 0.05}),
    "ranks.doubled_ranks": (ranks.doubled_ranks, {"sizes": [3.0, 1.0, 1.0]}),
    "ranks.durbin": (
        ranks.durbin, {"frame": RANKED, "value": "score", "method": "method", "taster": "taster"}),
    "ranks.friedman": (ranks.friedman, {"table": COLUMNS, "alpha": 0.05}),
    "ranks.hodges_lehmann": (ranks.hodges_lehmann, {"differences": [1.0, 2.0, 4.0], "alpha": 0.3}),
    "ranks.page": (ranks.page, {"table": COLUMNS, "order": ["A", "B", "C"]}),
    "ranks.sign_p": (ranks.sign_p, {"differences": [1.0, 2.0, -4.0]}),
    "ranks.signed_rank_p": (ranks.signed_rank_p, {"differences": [1.0, 2.0, -4.0]}),
    "tasters.influence": (
        tasters.influence, {**OF_COOKS, "taster": "taster", "step": 0.5, "alpha": 0.05}),
    "tasters.intraclass": (tasters.intraclass, {**OF_CELLS, "alpha": 0.05}),
    "tasters.use": (tasters.use, OF_CELLS),
    "tasters.TasterUses.of": (_of("tasters.use", "of"), {"taster": "kim"}),
}  # fmt: skip

WRONG = {
    "text": "x", "blank": "", "None": None, "no list": [], "mixed list": [1, "q"], "-1": -1,
    "0": 0, "half": 0.5, "nan": math.nan, "inf": math.inf, "1e200": 1e200, "1e99": 1e99,
    "1e-300": 1e-300, "10^400": 10**400, "10^9": 10**9, "complex": 1 + 2j, "object": object(),
    "no dict": {}, "empty frame": SCORES.iloc[:0], "frame": SCORES, "True": True, "NA": pd.NA,
    "array": np.array([0.05]), "column": pd.Series([1.0]), "function": len, "bytes": b"1",
    "nested": [[1]], "infinite list": [math.inf, 1.0, 2.0], "huge list": [1e200, 1.0, 2.0],
    "missing list": [None, math.nan, pd.NA],
}  # fmt: skip


OF_ARRAYS = {"pooling.pooled_once"}
"""Takes arrays that `pool` has read."""


def _public_functions():
    for room in ROOMS:
        named = getattr(room, "__all__", None) or [
            name for name, thing in vars(room).items()
            if getattr(thing, "__module__", "") == room.__name__ and not name.startswith("_")
        ]  # fmt: skip
        for name in named:
            thing, short = getattr(room, name), room.__name__.rpartition(".")[2]
            if isinstance(thing, FunctionType):
                yield f"{short}.{name}", thing
            elif dataclasses.is_dataclass(thing):
                yield from _public_methods(f"{short}.{name}", thing)
    yield from _public_methods("choice_forms.Form", Form)


def _public_methods(name, kind):
    for own, thing in vars(kind).items():
        if isinstance(thing, FunctionType) and not own.startswith("_"):
            yield f"{name}.{own}", thing


def _public_results():
    for room in ROOMS:
        for name in getattr(room, "__all__", None) or vars(room):
            thing = getattr(room, name)
            if dataclasses.is_dataclass(thing) and (
                thing.__module__ == room.__name__ or hasattr(room, "__all__")
            ):
                yield thing


def check_finite(found, said):
    """Plain, finite and frozen all the way down, without tables."""
    for value, where in parts(found, said, mappings=False):
        if isinstance(value, Message):
            assert say(value)
        else:
            assert type(value) in PLAIN, (where, type(value))
            assert not isinstance(value, float) or math.isfinite(value), where


def _check_d_prime(found, said):
    """Endless where all are right, as its docstring says."""
    if found != math.inf:
        check_finite(found, said)


def assert_answered(function, given, said=""):
    """An answer, or a refusal that helps."""
    endless = function == FORMS["duo-trio"].d_prime
    answered(function, given, said, _check_d_prime if endless else check_finite)


def test_every_public_function_and_argument_stands_here():
    there = {name: own for name, own in _public_functions() if name not in OF_ARRAYS}
    assert set(there) == set(CALLS)
    for name, function in there.items():
        assert set(inspect.signature(function).parameters) - {"self"} == set(CALLS[name][1]), name


@pytest.mark.parametrize("name", CALLS)
def test_the_call_itself_is_answered(name):
    function, given = CALLS[name]
    check_finite(function(**given), name)


@pytest.mark.parametrize(
    ("name", "argument"), [(name, each) for name, (_, given) in CALLS.items() for each in given]
)
def test_a_wrong_argument_is_refused_or_answered(name, argument):
    function, given = CALLS[name]
    for called, wrong in WRONG.items():
        assert_answered(function, {**given, argument: wrong}, f"{name}({argument}={called})")


@pytest.mark.parametrize("kind", sorted(set(_public_results()), key=lambda kind: kind.__name__))
def test_a_result_says_its_null_hypothesis(kind):
    names = {field.name for field in dataclasses.fields(kind)}
    assert kind.__dataclass_params__.frozen
    if "notes" in names or "p" in names:
        assert "null_hypothesis" in names

"""Models, contrasts and plans: every argument wrong in turn, and tables of every odd kind.

Whatever is given, the answer is right, or `NotApplicable` with its reason, or `BadNumbers` that
says where and what is allowed. Python warnings fail a test everywhere here.
"""

import copy
import dataclasses
import datetime
import inspect
import math
import pickle
from decimal import Decimal

import numpy as np
import pandas as pd
import pytest

from tests.stats.every_call import CALLS, SCORES, answered, check_plain, fitted
from trialbench import stats
from trialbench.stats import NotApplicable, power

WRONG = [
    "x", "", "0.05", b"x", None, [], [1, "q"], (), {}, {"a": 1}, -1, 0, 1, 2.5, 7, math.nan,
    math.inf, -math.inf, 1e200, 1e100, 1e-300, 10**400, 1 + 2j, object(), True, pd.NA, pd.NaT,
    Decimal("0.1"), np.float64(0.2), np.array([1.0, 2.0]), np.array(3), datetime.date(2024, 5, 1),
    range(3), SCORES.iloc[:0], SCORES, len, "score ~ 1/0", "a`b", "{x}", ["cook", "cook"],
    [["cook"]], [None], "cook:", ":", 10**9 + 1,
]  # fmt: skip
ELSEWHERE = {"pool", "pool_cook_days"}
"""Public functions whose arguments are gone through beside choices and ranks."""
RESULTS = {
    "Adjusted", "BestSetting", "CookContrast", "CookDifference", "Factorial", "FuturePiece",
    "JointTest", "MixedFit", "NotApplicable", "OverCooks", "PairedResult", "Pooled", "PooledDays",
    "Precision", "RedrawResult", "SeveralMethods", "Trend", "TrendPair", "TypicalScatter",
}  # fmt: skip
ASKED = [
    (name, argument)
    for name, (function, _) in CALLS.items()
    for argument in inspect.signature(function).parameters
]


def test_every_public_name_is_gone_through_here_or_is_a_result():
    functions = {name for name in stats.__all__ if inspect.isroutine(getattr(stats, name))}
    made = {name for name in stats.__all__ if inspect.isclass(getattr(stats, name))}
    assert functions - ELSEWHERE <= CALLS.keys()
    assert made - RESULTS - {"BadNumbers"} <= CALLS.keys()
    own = [f for _, f in inspect.getmembers(power, inspect.isfunction)]
    of_power = {f.__name__ for f in own if f.__module__ == power.__name__}
    shown = {name for name in of_power if not name.startswith(("_", "check_"))}
    assert {f"power.{name}" for name in shown} <= CALLS.keys()


@pytest.mark.parametrize("name", CALLS)
def test_a_good_call_gives_plain_numbers(name):
    function, given = CALLS[name]
    found = function(**given)
    assert not isinstance(found, NotApplicable)
    check_plain(found, name)


@pytest.mark.parametrize(("name", "argument"), ASKED)
def test_an_argument_of_the_wrong_kind(name, argument):
    function, given = CALLS[name]
    for wrong in WRONG:
        answered(function, {**given, argument: wrong}, f"{name}({argument}={wrong!r:.60})")


def test_a_result_cannot_be_changed_and_can_be_copied():
    fit = fitted()
    for held in (fit.variances, fit.groups, fit.left_out):
        with pytest.raises(TypeError):
            held["taster"] = 1
    with pytest.raises(dataclasses.FrozenInstanceError):
        fit.n = 3
    for again in (copy.deepcopy(fit.variances), pickle.loads(pickle.dumps(fit.variances))):
        assert again == fit.variances
    copied = copy.deepcopy(fit)
    pd.testing.assert_frame_equal(copied.terms(), fit.terms())


@pytest.mark.parametrize("name", CALLS)
def test_an_answer_with_a_p_says_what_the_p_speaks_against(name):
    function, given = CALLS[name]
    found = function(**given)
    if isinstance(found, pd.DataFrame):
        assert "p" not in found or found.attrs["null_hypothesis"]
    elif dataclasses.is_dataclass(found):
        _says_its_null(found, name)


def _says_its_null(found, where):
    """The result, or each part of it that has a p, names the hypothesis."""
    if isinstance(found, pd.DataFrame):
        assert "p" not in found or found.attrs["null_hypothesis"], where
    if isinstance(found, tuple | dict):
        for each in found.values() if isinstance(found, dict) else found:
            _says_its_null(each, where)
    if dataclasses.is_dataclass(found) and not getattr(found, "null_hypothesis", None):
        fields = {field.name for field in dataclasses.fields(found)}
        assert not fields & {"p", "holm_p", "equivalence_p"}, where
        for name in fields:
            _says_its_null(getattr(found, name), f"{where}.{name}")


LISTS = [
    (name, argument)
    for name, (_, given) in CALLS.items()
    for argument, own in given.items()
    if isinstance(own, list)
]


@pytest.mark.parametrize(("name", "argument"), LISTS)
def test_a_list_with_something_of_the_wrong_kind_in_it(name, argument):
    function, given = CALLS[name]
    for wrong in WRONG:
        own = [*given[argument][:-1], wrong]
        answered(function, {**given, argument: own}, f"{name}({argument}=... {wrong!r:.60})")


def test_a_rule_for_draws_that_gives_no_yes_or_no():
    function, given = CALLS["redraw"]
    for wrong in WRONG:
        answered(function, {**given, "assignments": lambda _, kept=wrong: kept}, f"{wrong!r:.60}")

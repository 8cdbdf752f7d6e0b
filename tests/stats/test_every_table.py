"""Models and contrasts on tables of every odd kind, and formulas of every odd kind.

A table is read rightly, or refused by `BadNumbers` that says where and what is allowed.
"""

import dataclasses
import math
import re
from decimal import Decimal
from functools import cache

import numpy as np
import pandas as pd
import pytest

from tests.stats.every_call import CALLS, ON_FRAMES, SCORES, answered
from trialbench import stats
from trialbench.model.message import Message


def _with(**columns):
    return SCORES.assign(**columns)


def _typed(column, kind):
    return _with(**{column: SCORES[column].astype(kind)})


def _at(column, value, rows=(3, 40)):
    """Some rows of a column replaced."""
    own = SCORES[column].astype(object)
    own.iloc[list(rows)] = value
    return _with(**{column: own})


TWICE = pd.concat([SCORES, SCORES[["score", "method"]]], axis=1)
ONE = SCORES.iloc[:1]
ODD = {
    "no row": SCORES.iloc[:0],
    "no column": pd.DataFrame(index=range(4)),
    "one row": ONE,
    "two rows": SCORES.iloc[[0, 16]],
    "a row of each method and cook": SCORES.drop_duplicates(["cook", "method"]),
    "one method": SCORES[SCORES["method"] == "A"],
    "one cook": SCORES[SCORES["cook"] == "d1"],
    "one taster": SCORES[SCORES["taster"] == "kim"],
    "each method on its own days": SCORES[(SCORES["method"] == "A") == (SCORES["cook"] < "d2")],
    "twice the columns": TWICE,
    "numbers for names of columns": SCORES.rename(columns={"score": 1, "method": 2}),
    "columns in two floors": pd.concat({"a": SCORES}, axis=1),
    "a list of lists": SCORES.to_numpy().tolist(),
    "rows as mappings": SCORES.to_dict("records"),
    "an array": SCORES.to_numpy(),
    "a column": SCORES["score"],
    "unequal columns": {**SCORES.to_dict("list"), "score": [1.0, 2.0]},
    "a short taster column": {**SCORES.to_dict("list"), "taster": ["kim"]},
    "a number for a column": {**SCORES.to_dict("list"), "score": 5.0},
    "a text for a column": {**SCORES.to_dict("list"), "method": "AB"},
    "None for a column": {**SCORES.to_dict("list"), "cook": None},
    "a mapping for a column": {**SCORES.to_dict("list"), "cook": {"a": 1}},
    "a table for a column": {**SCORES.to_dict("list"), "method": SCORES},
}
for _column in ("score", "method", "cook", "taster", "mass", "temp", "place", "medium", "unit"):
    ODD |= {
        f"{_column} {what}": frame
        for what, frame in {
            "all missing": _with(**{_column: None}),
            "all NA": _with(**{_column: pd.array([pd.NA] * len(SCORES), dtype="Int64")}),
            "all blank": _with(**{_column: " "}),
            "all one number": _with(**{_column: 3}),
            "some missing": _at(_column, None),
            "some NaN": _at(_column, math.nan),
            "some infinite": _at(_column, math.inf),
            "some huge": _at(_column, 1e200),
            "some lists": _with(**{_column: [[1]] * len(SCORES)}),
            "some text": _at(_column, "rather good"),
            "some text of nan": _at(_column, "nan"),
            "1 and text of 1": _with(**{_column: [1, "1"] * (len(SCORES) // 2)}),
            "truth values": _with(**{_column: SCORES.index % 3 > 0}),
            "truth values with gaps": _with(
                **{_column: pd.array([True, False, pd.NA, True] * 16, dtype="boolean")}),
            "complex": _with(**{_column: SCORES.index * 1j}),
            "dates": _with(**{_column: pd.date_range("2024-01-01", periods=len(SCORES))}),
            "categories": _typed(_column, "category"),
            "categories of intervals": _with(**{_column: pd.cut(SCORES.index, 3)}),
            "categories without a row": _with(**{_column: pd.Categorical(
                SCORES["method"], ["C", "B", "A", "", " "])}),
            "categories of 1 and its text": _with(
                **{_column: pd.Categorical([1, "1"] * 32, [1, "1", 2])}),
            "sparse": _with(**{_column: pd.arrays.SparseArray(SCORES.index % 5 * 1.0)}),
            "decimals": _with(**{_column: [Decimal(i % 5) / 4 for i in SCORES.index]}),
            "as many names as rows": _with(**{_column: [f"n{i}" for i in SCORES.index]}),
            "tiny": _with(**{_column: SCORES.index % 7 * 1e-300}),
            "small": _with(**{_column: (SCORES.index % 7 + 1) * 1e-100}),
            "large": _with(**{_column: (SCORES.index % 7 - 3) * 1e99}),
            "far from zero": _with(**{_column: 1e15 + SCORES.index % 7}),
        }.items()
    }  # fmt: skip


ROLES_OF_ITS_OWN = {
    "adjust": ("mass",),
    "order_effects": ("place",),
    "kitchen_model": ("unit", "mass"),
}
"""What slow calls read by themselves; the rest is gone through with `fit_mixed`."""


def _speaks_of(name, given, what):
    """Whether the call reads the column that is odd (a whole table that is odd always counts)."""
    column = what.split()[0]
    own = ROLES_OF_ITS_OWN.get(name)
    if own is not None:
        return column not in SCORES.columns or column in own
    words = re.findall(r"\w+", repr({key: own for key, own in given.items() if key != "frame"}))
    return column not in SCORES.columns or column in words


@pytest.mark.parametrize("name", ON_FRAMES)
def test_a_table_of_an_odd_kind(name):
    function, given = CALLS[name]
    for what, frame in ODD.items():
        if _speaks_of(name, given, what):
            answered(function, {**given, "frame": frame}, f"{name} on {what}")


class Columns:
    """A table of another library: names in `columns`, each column by its name."""

    def __init__(self, frame):
        self._held = frame.to_dict("list")
        self.columns = list(self._held)

    def __getitem__(self, name):
        return tuple(self._held[name])


NAMES = ["cook", "method", "unit", "taster", "medium"]
SAME = {
    "a mapping of lists": SCORES.to_dict("list"),
    "a mapping of arrays": {name: SCORES[name].to_numpy() for name in SCORES},
    "another library's table": Columns(SCORES),
    "an index that repeats": SCORES.set_index(pd.Index([0, 1] * 32)),
    "an index of two floors": SCORES.set_index(["cook", "taster"], drop=False),
    "objects": SCORES.astype(object),
    "numbers as text": SCORES.astype({"score": str, "mass": str, "temp": str, "place": str}),
    "decimals": SCORES.assign(score=[Decimal(str(score)) for score in SCORES["score"]]),
    "dtypes with NA": SCORES.convert_dtypes(),
    "short floats": SCORES.astype({"score": "float32"}),
    "sparse": SCORES.assign(score=pd.arrays.SparseArray(SCORES["score"])),
    "categories": SCORES.astype(dict.fromkeys(NAMES, "category")),
    "categories without a row": SCORES.assign(
        **{name: pd.Categorical(SCORES[name], [*sorted(set(SCORES[name])), "zz"])
           for name in NAMES}),
    "blanks around names": SCORES.assign(method="  " + SCORES["method"], cook=SCORES["cook"] + " "),
    "another column twice": pd.concat(
        [SCORES, pd.DataFrame({"spare": 1, "kept": [[]] * 64})], axis=1).rename(
            columns={"kept": "spare"}),
    "rows without a score": pd.concat([SCORES, SCORES.assign(score=math.nan, place=math.nan)]),
}  # fmt: skip


def numbers_of(found):
    """Every number of an answer, in order."""
    if isinstance(found, pd.DataFrame):
        return found.select_dtypes("number").to_numpy().ravel().tolist()
    if dataclasses.is_dataclass(found) and not isinstance(found, Message):
        return [
            number
            for field in dataclasses.fields(found)
            if not field.name.startswith(("_", "n", "missing"))
            for number in numbers_of(getattr(found, field.name))
        ]
    if isinstance(found, tuple | list | dict):
        own = found.values() if isinstance(found, dict) else found
        return [number for each in own for number in numbers_of(each)]
    return [found] if isinstance(found, float) else []


@pytest.mark.parametrize("name", ON_FRAMES)
@pytest.mark.parametrize("what", SAME)
def test_the_same_scores_in_another_table_give_the_same_answer(name, what):
    function, given = CALLS[name]
    found = numbers_of(function(**{**given, "frame": SAME[what]}))
    assert found == pytest.approx(numbers_of(_plain_answer(name)), rel=1e-9, nan_ok=True)


@cache
def _plain_answer(name):
    function, given = CALLS[name]
    return function(**given)


@pytest.mark.parametrize("name", ON_FRAMES)
@pytest.mark.parametrize("called", ["my method", "class", "None", "10", "a+b", "método", "C"])
def test_columns_may_have_any_name(name, called):
    function, given = CALLS[name]
    if name == "fit_mixed":
        fit = function(SCORES.rename(columns={"method": called}), f"score ~ `{called}`", ["taster"])
        assert list(fit.differences(called)["a"]) == ["A"]
        assert fit.joint_test(called).df1 == 1
        return
    renamed = {**given, "frame": SCORES.rename(columns={"method": called, "score": f"s {called}"})}
    renamed |= {key: called for key, own in given.items() if str(own) == "method"}
    renamed["value"] = f"s {called}"
    if "factors" in given:
        renamed["factors"] = [called, "medium"]
    if "random" in given:
        renamed["random"] = [term.replace("method", called) for term in given["random"]]
    found = numbers_of(function(**renamed))
    assert found == pytest.approx(numbers_of(_plain_answer(name)), rel=1e-9, nan_ok=True)


@pytest.mark.parametrize("name", ["over_cooks", "compare_methods", "factorial", "trend"])
def test_columns_may_be_called_by_numbers(name):
    function, given = CALLS[name]
    places = {column: place for place, column in enumerate(SCORES.columns)}
    renamed = {
        key: places.get(own, own) if isinstance(own, str) else own for key, own in given.items()
    }
    if "factors" in given:
        renamed["factors"] = [places[own] for own in given["factors"]]
    renamed["frame"] = SCORES.rename(columns=places)
    found = numbers_of(function(**renamed))
    assert found == pytest.approx(numbers_of(_plain_answer(name)), rel=1e-9, nan_ok=True)


@pytest.mark.parametrize("scale", [1e-60, 1e60])
def test_very_small_and_very_large_scores_give_the_same_p(scale):
    scaled = SCORES.assign(score=SCORES["score"] * scale)
    for function, given in (CALLS["over_cooks"], CALLS["kitchen_model"], CALLS["factorial"]):
        sized = {key: own * scale for key, own in given.items() if key in ("step", "matters")}
        found = function(**{**given, "frame": scaled, **sized})
        plain = function(**given)
        if isinstance(found, stats.MixedFit):
            found, plain = (fit.differences("method")["p"].iloc[0] for fit in (found, plain))
        elif isinstance(found, stats.Factorial):
            found, plain = found.main[0].p, plain.main[0].p
        else:
            found, plain = found.p, plain.p
        assert found == pytest.approx(plain, rel=1e-6)


FORMULAS = [
    "", " ", "~", "score", "score ~", "~ method", "score ~ 0", "score ~ 1", "score ~ method | cook",
    "score + mass ~ method", "score ~ method ~ cook", "score ~ (method", "score ~ 1/0",
    "score ~ nothing", "score ~ nothing(mass)", "score ~ mass.nothing", "score ~ np.nothing(mass)",
    "score ~ mass[99]", "score ~ C(class)", "score ~ .", "score ~ 'A'", "score ~ 3",
    "score ~ lag(mass)", "score ~ np.log(mass - 900)", "np.log(score - 5) ~ method",
    "score ~ np.exp(mass)", "method ~ score", "C(method) ~ score", "score:mass ~ method",
    "score ~ poly(mass, 2)", "score ~ poly(mass, 99)", "score ~ bs(mass, df=4)", "score ~ {mass}",
    "score ~ I(mass - mass)", "score ~ score", "score ~ method:cook", "score ~ method - 1",
    "score ~ C(mass)", "score ~ center(mass) * method", "score ~ exec('1')", "score ~ mass ** 99",
    "\x00", "é ~ ü", "score ~ " + " + ".join(["method"] * 50),
    "score ~ " + "(" * 200,
]  # fmt: skip


@pytest.mark.parametrize("formula", FORMULAS)
def test_a_formula_of_an_odd_kind(formula):
    given = {"frame": SCORES, "fixed": formula, "random": ["taster"]}
    fit = answered(stats.fit_mixed, given, formula)
    if fit is not None:
        for call in (fit.terms, fit.variance_errors):
            answered(call, {}, formula)
        for column in ("method", "cook", "mass", "C(mass)", "poly(mass, 2)"):
            answered(fit.differences, {"factor": column}, f"{formula} by {column}")
            answered(fit.joint_test, {"term": column}, f"{formula} by {column}")


def test_curves_of_a_number_can_be_written_in_a_formula():
    powers = stats.fit_mixed(SCORES, "score ~ method + mass + I(mass ** 2)", ["taster"])
    curve = stats.fit_mixed(SCORES, "score ~ method + poly(mass, 2)", ["taster"])
    found, plain = curve.differences("method"), powers.differences("method")
    pd.testing.assert_frame_equal(found, plain, rtol=1e-6)


NUMBERS = [
    None, math.nan, 1.0, 2.0, 5, 0.1, "0.3", True, Decimal("0.3"), 1e100, -1e100, 1e99, 1e15,
    1e15 + 1, 1e-90, 1e-300,
]  # fmt: skip


@pytest.mark.parametrize("lot", range(20))
def test_numbers_of_very_different_size_beside_each_other(lot):
    drawn = np.random.default_rng(lot)
    rows = int(drawn.integers(2, 7))
    first, second = ([NUMBERS[i] for i in drawn.integers(0, 16, rows)] for _ in "ab")
    answered(stats.paired, {"a": first, "b": second, "matters": 1.0}, f"{first} {second}")
    frame = {"score": first, "mass": second, "method": ["A", "B"] * 3, "unit": ["u"] * 6}
    frame |= {name: drawn.integers(0, 3, 6).tolist() for name in ("cook", "taster", "medium")}
    frame = {name: own[:rows] for name, own in frame.items()}
    for name in ("adjust", "factorial", "fit_mixed", "kitchen_model", "over_cooks", "trend"):
        function, given = CALLS[name]
        setting = {"setting": "mass"} if "setting" in given else {}
        answered(function, {**given, "frame": frame, **setting}, f"{name} on {frame}")

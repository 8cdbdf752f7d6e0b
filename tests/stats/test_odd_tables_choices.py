"""Tables as they come: gaps, odd types of columns, extreme numbers, huge counts."""

import datetime
import math
from decimal import Decimal

import numpy as np
import pandas as pd
import pytest

from tests.stats.test_every_argument_choices import SCORES, assert_answered
from trialbench.stats import NotApplicable, blinding, boxes, choice, looking, ordinal, pool, ranks
from trialbench.stats.numbers import BadNumbers
from trialbench.stats.pooled_days import pool_cook_days, pool_differences
from trialbench.stats.tasters import influence, intraclass, use

ROWS = len(SCORES)
LISTS = {name: list(SCORES[name]) for name in SCORES}
SOME = SCORES.index % 9 > 0
NAMES = ["cook", "method", "unit", "taster", "trial"]


def _with(**columns):
    return SCORES.assign(**columns)


def _unused_levels():
    frame = SCORES.copy()
    for name in NAMES:
        frame[name] = pd.Categorical(frame[name], categories=[*sorted(set(frame[name])), "never"])
    return frame


SAME = {
    "lists": LISTS,
    "unused levels": _unused_levels(),
    "nullable": SCORES.convert_dtypes(),
    "text of numbers": _with(score=SCORES.score.astype(str)),
    "float32": _with(score=SCORES.score.astype("float32")),
    "decimals": _with(score=[Decimal(int(each)) for each in SCORES.score]),
    "one index": SCORES.set_index(np.zeros(ROWS, dtype=int)),
    "rows without a score or a name": pd.concat(
        [SCORES, SCORES.head(3).assign(score=np.nan, method=None, taster=None, trial=None)]
    ),
}
"""Other ways to write the same table."""

ODD = {
    "no rows": SCORES.iloc[:0],
    "one row": SCORES.iloc[:1],
    "one taster": SCORES[SCORES.taster == "kim"],
    "one method": SCORES[SCORES.method == "A"],
    "one cook": SCORES[SCORES.cook == "d0"],
    "three methods": _with(method=np.array(list("ABC"))[np.arange(ROWS) % 3]),
    "few rows": SCORES[SCORES.index % 5 > 2],
    "nobody scored both": SCORES[(SCORES.taster == "kim") == (SCORES.method == "A")],
    "all missing": _with(score=np.nan),
    "all missing, nullable": _with(score=pd.array([pd.NA] * ROWS, dtype="Int64")),
    "all alike": _with(score=5.0),
    "words for scores": _with(score="good"),
    "decimal commas": _with(score=SCORES.score.astype(str) + ",0"),
    "yes and no": _with(score=SCORES.score > 4),
    "dates for scores": _with(score=pd.Timestamp("2024-01-01")),
    "complex": _with(score=SCORES.score + 1j),
    "infinite": _with(score=[math.inf, *SCORES.score[1:]]),
    "1e99": _with(score=SCORES.score * 1e99),
    "1e101": _with(score=SCORES.score * 1e101),
    "1e-99": _with(score=SCORES.score * 1e-99),
    "1e-300": _with(score=SCORES.score * 1e-300),
    "far from 0": _with(score=SCORES.score + 1e15),
    "a name twice": pd.concat([SCORES, SCORES[["score"]]], axis=1),
    "all names twice": pd.concat([SCORES, SCORES], axis=1),
    "numbers for names": SCORES.rename(columns=dict(zip(SCORES, range(7), strict=False))),
    "two levels of names": pd.concat({"x": SCORES}, axis=1),
    "names in the index": SCORES.set_index(["cook", "method"]),
    "mixed labels": _with(taster=[1 if i % 4 == 0 else f"x{i % 4}" for i in range(ROWS)]),
    "number labels": _with(method=SCORES.method.map({"A": 1.5, "B": 2.0})),
    "true and false": _with(method=SCORES.method == "A"),
    "dates": _with(cook=[datetime.date(2024, 1, 1 + int(each[1:])) for each in SCORES.cook]),
    "lists for labels": _with(method=[[1]] * ROWS),
    "arrays for labels": _with(method=[np.array([1, 2])] * ROWS),
    "blank labels": _with(method=" "),
    **{f"no {name} in some rows": _with(**{name: SCORES[name].where(SOME)}) for name in NAMES},
    "NA labels": _with(method=SCORES.method.astype("string").where(SOME)),
    "gap in a covariate": _with(warmth=pd.array([pd.NA] + [1, 2] * (ROWS // 2), "Int64")[:ROWS]),
    "infinite covariate": _with(warmth=[math.inf] + [1.0] * (ROWS - 1)),
    "ragged scores": {**LISTS, "score": [1, 2]},
    "ragged methods": {**LISTS, "method": ["A", "B"]},
    "one number": {**LISTS, "score": 5},
    "one text": {**LISTS, "method": "ABAB"},
    "a column": SCORES.score,
    "an array": SCORES.to_numpy(),
    "a list": [1, 2],
}

READERS = {
    "use": lambda frame: use(frame, "score", "taster", "method"),
    "intraclass": lambda frame: intraclass(frame, "score", "taster", "cook"),
    "influence": lambda frame: influence(frame, "score", "method", "cook", "unit", step=0.5),
    "pool_cook_days": lambda frame: pool_cook_days(
        frame, "score", "method", "trial", "cook", "unit", taster="taster", step=0.5),
    "pool_cook_days, measured": lambda frame: pool_cook_days(
        frame, "score", "method", "trial", "cook"),
    "durbin": ranks.durbin,
    "ordinal.fit": lambda frame: ordinal.fit(frame, "score ~ method", "taster"),
    "ordinal.fit, covariate": lambda frame: ordinal.fit(
        frame, "score ~ method + warmth", None, "probit"),
    "friedman": ranks.friedman,
    "page": ranks.page,
    "cochran_q": boxes.cochran_q,
    "overall": blinding.overall,
}  # fmt: skip


@pytest.mark.parametrize("reader", READERS)
@pytest.mark.parametrize("odd", ODD)
def test_an_odd_table_is_refused_or_answered(reader, odd):
    assert_answered(lambda: READERS[reader](ODD[odd]), {})


OF_FRAMES = [name for name in READERS if name not in ("friedman", "page", "cochran_q", "overall")]


@pytest.mark.parametrize("reader", [name for name in OF_FRAMES if name != "durbin"])
@pytest.mark.parametrize("same", SAME)
def test_the_same_table_written_otherwise_gives_the_same(reader, same):
    found, plain = READERS[reader](SAME[same]), READERS[reader](SCORES)
    notes = {"notes"} if same.startswith("rows without") else set()
    for one, two in zip(*((each,) if not isinstance(each, tuple) else each
                          for each in (found, plain)), strict=True):  # fmt: skip
        for name in set(type(two).__slots__) - notes:
            assert getattr(one, name) == getattr(two, name), name


FORMULAS = [
    "", "score", "score ~", "~ method", "score ~ method +", "score ~ nope", "score ~ 1",
    "score ~ method | cook", "score ~ np.log(warmth - 5)", "score ~ C(warmth)", "score ~ 0",
    "score ~ method ~ cook", "score ~ 0 + method", "score ~ method*cook", "score ~ score",
    "score ~ (", "score ~ method:taster", "nope ~ method", "`score` ~ method", "score ~ .",
    "log(score) ~ method", "score ~ warmth[0]", "score ~ 1/0", "score ~ method + method",
    "score ~ {warmth*2}", "score ~ -method", "score ~ table", "score ~ warmth**2",
]  # fmt: skip


@pytest.mark.parametrize("formula", FORMULAS)
def test_an_odd_formula_is_refused_or_answered(formula):
    assert_answered(lambda: ordinal.fit(SCORES, formula, "taster"), {})


def test_a_covariate_may_be_in_any_unit():
    plain = ordinal.fit(SCORES, "score ~ warmth").coefficient("warmth")
    for times, plus in ((1e6, 3e7), (1e-8, 0.0), (1.0, -1e4)):
        own = ordinal.fit(_with(warmth=SCORES.warmth * times + plus), "score ~ warmth")
        assert own.coefficient("warmth").estimate * times == pytest.approx(plain.estimate, rel=1e-6)
        assert own.coefficient("warmth").p == pytest.approx(plain.p, rel=1e-6)


def test_a_pool_may_be_in_any_unit():
    plain = pool([0.3, 0.5, 0.1, 0.9], [0.2, 0.25, 0.3, 0.15])
    for times in (1e99, 1e-49):
        effects, ses = ([x * times for x in own] for own in ([0.3, 0.5, 0.1, 0.9],
                                                            [0.2, 0.25, 0.3, 0.15]))  # fmt: skip
        own = pool(effects, ses)
        assert own.low / times == pytest.approx(plain.low, rel=1e-9)
        assert own.p == pytest.approx(plain.p, rel=1e-9)
        assert math.isclose(own.I2, plain.I2, rel_tol=1e-9)


MOST = 10**9
EXTREME = {
    "all guess": lambda: choice.judge(MOST // 3, MOST),
    "all right": lambda: choice.judge(MOST, MOST),
    "nobody": lambda: choice.judge(0, 0),
    "more right than all": lambda: choice.judge(5, 3),
    "too many": lambda: choice.judge(5, 10**12),
    **{f"{right} of {of} {form} {alpha}": lambda right=right, of=of, form=form, alpha=alpha:
       choice.judge(right, of, form, False, 0.2, alpha=alpha)
       for form in choice.FORMS for of in (1, 7, 10**6) for right in (0, 1, of // 2, of)
       for alpha in (1.1e-12, 0.4999)},
    "fewest right": lambda: choice.fewest_right(MOST),
    "most right": lambda: choice.most_right_if_alike(MOST),
    "power": lambda: choice.power(MOST),
    "all can tell": lambda: choice.tasters_for(share=1.0),
    "nobody can tell": lambda: choice.tasters_for(share=1e-6),
    "preference": lambda: choice.preference(MOST // 3, MOST // 3 + 5, MOST // 3),
    "preference of one": lambda: choice.preference(1, MOST, MOST),
    "no preference": lambda: choice.preference(0, 0, 0),
    "many repeats": lambda: choice.replicated([10**6], [10**7]),
    "300 repeats": lambda: choice.replicated([0, 300, 0, 300, 150], 300),
    "many days": lambda: choice.over_cook_days([MOST // 2 + i for i in range(30)],
                                               [MOST - 7 * i for i in range(30)]),
    "too many days": lambda: choice.over_cook_days([3] * 401, [7] * 401),
    "no answers": lambda: choice.over_cook_days([0] * 6, [0] * 6),
    "first without answers": lambda: choice.over_cook_days([2, 3, 2], [0, 4, 4]),
    "lines for nothing": lambda: choice.sequential_lines(share=1e-9),
    "lines for everybody": lambda: choice.sequential_lines(share=1 - 1e-16, alpha=1e-300),
    "boxes": lambda: boxes.mcnemar(MOST // 2, MOST // 2, MOST),
    "guesses": lambda: blinding.overall([[MOST, 0], [0, MOST], [MOST, MOST]]),
    "unsure only": lambda: blinding.overall([[0, 0], [0, 0], [5, 5]]),
    "penalty of 1e99": lambda: boxes.penalty([1, 1, 3, 3], [1e99, -1e99, 1e99, 3e98]),
    "two tasters opposed": lambda: intraclass(
        {"s": [1, 2, 2, 1], "t": list("xxyy"), "m": list("abab")}, "s", "t", "m"),
    "looks": lambda: looking.look([1e100, -1e100, 5e99, 0, 0], 2000, alpha=1.1e-12),
    "equal looks": lambda: looking.look([0.0] * 4, 4),
    "trials alike": lambda: pool([1, 1, 1], [1, 1, 1], alpha=1.1e-12),
    "one exact trial": lambda: pool([1, 2, 3], [1e-16, 1, 1]),
    "no scatter": lambda: pool_differences({"a": [1, 1], "b": [2, 2]}),
    "days of 1e100": lambda: pool_differences({"a": [1e100, -1e100], "b": [1e99, 2e99]}),
    "a trial twice": lambda: pool_differences({1: [1, 2], "1": [2, 3]}),
    "twenty methods": lambda: ranks.friedman(np.arange(60).reshape(3, 20) % 7 % 2),
    "many rows": lambda: boxes.cochran_q(np.arange(8000).reshape(2000, 4) % 7 % 2),
    "many ordered rows": lambda: ranks.page(np.arange(9000).reshape(3000, 3) % 7),
    "large differences": lambda: ranks.hodges_lehmann([1e308, -1e308]),
    "many signs": lambda: ranks.sign_p([1.0] * 5000),
}  # fmt: skip


@pytest.mark.parametrize("extreme", EXTREME)
def test_an_extreme_is_refused_or_answered(extreme):
    assert_answered(EXTREME[extreme], {})


def test_averages_searched_for_are_those_of_the_list(monkeypatch):
    differences = [round(math.sin(i) * 3, 1) for i in range(80)]
    listed = ranks.hodges_lehmann(differences)
    monkeypatch.setattr("trialbench.stats.signed_ranks.MOST_PAIRS", 10)
    assert ranks.hodges_lehmann(differences) == pytest.approx(listed, abs=1e-12)


def test_what_has_no_answer_says_so():
    assert isinstance(choice.sequential_lines(share=1e-9), NotApplicable)
    opposed = EXTREME["two tasters opposed"]()
    assert opposed.agreement is None and opposed.consistency == -1.0 and opposed.notes
    with pytest.raises(BadNumbers, match="stands twice"):
        EXTREME["a trial twice"]()

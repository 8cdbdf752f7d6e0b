"""Settings and tables of the wrong kind: a clear error that says where and what is allowed."""

import numpy as np
import pandas as pd
import pytest

from trialbench import stats
from trialbench.stats import blinding, boxes, choice, looking, ordinal, ranks
from trialbench.stats.numbers import BadNumbers

EFFECTS, SES = [0.3, 0.5, 0.1], [0.2, 0.25, 0.3]
DAYS = [0.4, 0.6, 0.2, 0.5]


@pytest.mark.parametrize("wrong", ["0.05", None, [0.05], "high"])
@pytest.mark.parametrize(
    "call",
    [
        lambda a: stats.paired([1.0, 2.0, 3.0], [0.5, 1.0, 2.5], alpha=a),
        lambda a: stats.pool(EFFECTS, SES, alpha=a),
        lambda a: choice.judge(8, 12, alpha=a),
        lambda a: choice.tasters_for("triangle", a, 0.05, 0.8),
        lambda a: choice.most_right_if_alike(20, "triangle", 0.3, a),
        lambda a: looking.look(DAYS, 4, alpha=a),
    ],
)
def test_a_level_or_share_that_is_no_number_is_said(call, wrong):
    with pytest.raises(BadNumbers) as said:
        call(wrong)
    assert said.value.where and said.value.allowed


@pytest.mark.parametrize("wrong", ["1", [1], "much"])
def test_a_size_that_is_no_number_is_said(wrong):
    with pytest.raises(BadNumbers) as said:
        stats.paired([1.0, 2.0, 3.0], [0.5, 1.0, 2.5], matters=wrong)
    assert said.value.where == "matters"


@pytest.mark.parametrize("wrong", [None, 5, "scores"])
@pytest.mark.parametrize(
    "call",
    [
        lambda x: stats.paired(x, [1.0]),
        lambda x: stats.pool(x, SES),
        lambda x: stats.pool(EFFECTS, x),
        lambda x: boxes.penalty(x, [1.0, 2.0]),
        lambda x: looking.look(x, 4),
        blinding.overall,
        lambda x: ordinal.fit(x, "rating ~ method"),
        lambda x: ranks.durbin(x, "value", "method", "taster"),
    ],
)
def test_what_is_no_list_and_no_table_is_said(call, wrong):
    with pytest.raises(BadNumbers) as said:
        call(wrong)
    assert said.value.where and said.value.allowed


def test_an_order_that_is_no_list_is_said():
    table = {"A": [1, 2, 3], "B": [2, 3, 1], "C": [3, 1, 2]}
    with pytest.raises(BadNumbers):
        ranks.page(table, order=5)


def test_pooling_by_moments_gives_plain_numbers():
    found = stats.pool(EFFECTS, SES, between="moments")
    shown = [found.between_variance, found.estimate, found.se, found.low, found.high]
    assert all(type(number) is float for number in shown)
    assert not isinstance(found.between_variance, np.generic)


SCORES = {
    "score": [5.0, 6.0, 4.0, 7.0, 5.5, 6.5, 4.5, 6.0],
    "method": list("ABABABAB"),
    "cook": list("11223344"),
}


DOUBLED = ["score", "score", "method", "cook"]


def _fit(frame=SCORES, fixed="score ~ method", random=("cook",)):
    return stats.fit_mixed(frame, fixed=fixed, random=list(random))


@pytest.mark.parametrize(
    "call",
    [
        lambda: _fit({**SCORES, "score": [1.0, 2.0]}),
        lambda: _fit(
            pd.DataFrame([[1.0, 2.0, "A", "1"]], columns=["score", "score", "method", "cook"])
        ),
        lambda: _fit({**SCORES, "score": [1e200, *SCORES["score"][1:]]}),
        lambda: _fit({**SCORES, "score": [1 + 2j, *SCORES["score"][1:]]}),
        lambda: _fit({**SCORES, "score": [float("inf"), *SCORES["score"][1:]]}),
        lambda: _fit(None),
        lambda: _fit(random=[3]),
        lambda: _fit().joint_test(None),
        lambda: _fit().differences(None),
        lambda: ordinal.fit(SCORES, None),
        lambda: ordinal.fit({**SCORES, "method": ["A"]}, "score ~ method"),
        lambda: choice.judge(8, 12, form=[]),
        lambda: stats.pool(EFFECTS, [1e-100, 0.2, 0.3]),
    ],
)
def test_models_and_pools_say_what_they_cannot_read(call):
    with pytest.raises(BadNumbers) as said:
        call()
    assert said.value.where and said.value.allowed


def test_scores_typed_as_text_fit_like_numbers():
    texts = {**SCORES, "score": [str(score) for score in SCORES["score"]]}
    assert _fit(texts).loglik_reml == _fit().loglik_reml

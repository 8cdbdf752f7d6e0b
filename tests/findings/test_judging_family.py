"""One outcome decides; the others are read as one family."""

from __future__ import annotations

import pytest

from tests.findings.tables_made_up import asked, columns_of, days
from trialbench.findings.judging import judge, judge_family

CLEAR, SOME, NONE = (2.0, 2.1, 1.9, 2.05), (1.0, 2.0, 0.4, 1.2), (0.5, -0.4, 0.2, -0.1)


def _asked(gaps, outcome, **more):
    return columns_of(days(*gaps)), asked("cook", "taster", outcome=outcome, **more)


def test_holm_over_the_others_and_the_deciding_one_left_out():
    others = [_asked(CLEAR, "loss", better="lower"), _asked(SOME, "salt"), _asked(NONE, "bark")]
    family = judge_family(_asked(NONE, "juiciness", matters=1.0), others)
    alone = [judge(*each).comparison.p for each in others]
    loss, salt, bark = family.others
    assert loss.holm_p == pytest.approx(3 * alone[0])
    assert salt.holm_p == pytest.approx(2 * alone[1])
    assert bark.holm_p == pytest.approx(max(2 * alone[1], alone[2]))
    assert (loss.also, loss.favours) == (True, "B")
    assert (salt.also, alone[1] < 0.05 < salt.holm_p) == (False, True)
    assert bark.favours is None
    assert loss.comparison.low == judge(*others[0]).comparison.low
    assert family.deciding.case == "no_difference_that_matters"


def test_nothing_is_said_of_the_others_before_the_cooks_are_in():
    family = judge_family(
        _asked(CLEAR, "juiciness", matters=1.0, planned_cooks=6), [_asked(CLEAR, "loss")]
    )
    other = family.others[0]
    assert (other.also, other.holm_p, other.comparison.p) == (False, None, None)
    assert other.comparison.low is not None


def test_one_recipe_twice_has_no_winner_anywhere():
    family = judge_family(
        _asked(CLEAR, "juiciness", same_recipe=True), [_asked(CLEAR, "loss", same_recipe=True)]
    )
    assert family.deciding.case == "same_recipe"
    assert not family.others[0].also and family.others[0].favours is None


def test_json_of_a_family_is_plain():
    family = judge_family(_asked(CLEAR, "juiciness"), [_asked(NONE, "loss")])
    value = family.others[0].to_json()
    assert value["outcome"] == "loss" and value["comparison"]["a"] == "A"

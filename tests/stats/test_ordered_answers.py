"""Ordered answers: known answers, derivatives, invariances, and answers that give no estimate."""

from __future__ import annotations

import math

import numpy as np
import pandas as pd
import pytest

from trialbench.stats import BadNumbers, NotApplicable, ordinal
from trialbench.stats.ordinal_likelihood import Answers, gradient, hessian, log_likelihood


def _drawn(lot_number=1, tasters=12, repeats=6, gap=0.8, sd=0.9, link="logit") -> pd.DataFrame:
    lot = np.random.default_rng(lot_number)
    own = lot.normal(0, sd, tasters)
    rows = []
    for t in range(tasters):
        for m in "AB":
            noise = lot.logistic(size=repeats) if link == "logit" else lot.normal(size=repeats)
            latent = own[t] + gap * (m == "B") + noise
            rows += [(f"t{t}", m, int(np.digitize(x, [-1.2, 0.1, 1.3])) + 1) for x in latent]
    return pd.DataFrame(rows, columns=["taster", "method", "answer"])


def _answers(frame: pd.DataFrame, link: str, deep: bool) -> Answers:
    ordered = frame.sort_values("taster", kind="stable")
    who = pd.factorize(ordered.taster)[0].astype(np.int64) if deep else None
    design = (ordered.method == "B").to_numpy(dtype=float)[:, None]
    return Answers(ordered.answer.to_numpy() - 1, design, 4, link, who)


@pytest.mark.parametrize("link", ["logit", "probit"])
@pytest.mark.parametrize("deep", [False, True])
def test_gradient_and_curvature_are_those_of_the_likelihood(link, deep):
    answers = _answers(_drawn(), link, deep)
    at = np.array([-1.0, 0.2, 1.4, 0.5, *([-0.2] if deep else [])])
    numeric = []
    for i in range(len(at)):
        step = np.eye(len(at))[i] * 1e-5
        up, down = log_likelihood(answers, at + step), log_likelihood(answers, at - step)
        numeric.append((up - down) / 2e-5)
    assert gradient(answers, at) == pytest.approx(np.array(numeric), rel=1e-6, abs=1e-5)
    curve = hessian(answers, at)
    assert np.allclose(curve, curve.T) and np.linalg.eigvalsh(curve)[-1] < 0


def test_the_integral_over_a_taster_is_right():
    """One taster's likelihood by a fine sum over u."""
    frame = _drawn(tasters=1)
    answers = _answers(frame, "logit", True)
    at = np.array([-1.0, 0.2, 1.4, 0.5, math.log(1.3)])
    u = np.linspace(-9, 9, 40_001)
    edges = np.concatenate(([-np.inf], at[:3], [np.inf]))
    total = np.zeros_like(u)
    for category, x in zip(answers.category, answers.design[:, 0], strict=True):
        shift = 0.5 * x + 1.3 * u
        upper, lower = (1 / (1 + np.exp(np.minimum(shift - e, 700))) for e in
                        (edges[category + 1], edges[category]))  # fmt: skip
        total += np.log(upper - lower)
    area = np.sum(np.exp(total - u**2 / 2)) * (u[1] - u[0]) / math.sqrt(2 * math.pi)
    assert log_likelihood(answers, at) == pytest.approx(math.log(area), rel=1e-10)


@pytest.mark.parametrize("link", ["logit", "probit"])
def test_it_finds_what_was_drawn(link):
    frame = _drawn(2, tasters=60, repeats=10, link=link)
    found = ordinal.fit(frame, "answer ~ method", "taster", link)
    term = found.coefficient("method[T.B]")
    assert abs(term.estimate - 0.8) < 3 * term.se
    assert abs(found.taster_sd - 0.9) < 3 * found.taster_sd_se
    assert found.taster_p < 1e-6 and found.highest_slope < 1e-8
    flat = ordinal.fit(frame, "answer ~ method", None, link)
    assert flat.log_likelihood < found.log_likelihood
    assert abs(flat.coefficient("method[T.B]").estimate) < abs(term.estimate)


def test_names_order_and_direction_of_the_scale():
    frame = _drawn(3)
    found = ordinal.fit(frame, "answer ~ method", "taster")
    other = frame.sample(frac=1, random_state=5)
    other = other.assign(
        taster=other.taster.str.replace("t", "Z"), method=other.method.map({"A": "b", "B": "a"}),
        answer=other.answer * 10 + 3,
    )  # fmt: skip
    again = ordinal.fit(other, "answer ~ method", "taster")
    assert again.log_likelihood == pytest.approx(found.log_likelihood, rel=1e-10)
    ours, theirs = found.coefficient("method[T.B]"), again.coefficient("method[T.b]")
    assert theirs.estimate == pytest.approx(-ours.estimate, rel=1e-6)
    assert theirs.se == pytest.approx(ours.se, rel=1e-6)
    assert again.taster_sd == pytest.approx(found.taster_sd, rel=1e-6)
    turned = ordinal.fit(frame.assign(answer=5 - frame.answer), "answer ~ method", "taster")
    assert turned.coefficient("method[T.B]").estimate == pytest.approx(-ours.estimate, rel=1e-6)
    assert again.categories == ("13", "23", "33", "43")


def test_two_categories_without_a_term_are_their_share():
    frame = pd.DataFrame({"y": [1] * 7 + [2] * 3})
    found = ordinal.fit(frame, "y ~ 1")
    assert found.thresholds[0].estimate == pytest.approx(math.log(7 / 3))
    assert found.thresholds[0].se == pytest.approx(math.sqrt(1 / 7 + 1 / 3), rel=1e-7)


def test_tasters_who_do_not_differ():
    frame = _drawn(4, tasters=6, sd=0.0)
    frame["taster"] = ["t1", "t2", "t3"] * 24
    found = ordinal.fit(frame, "answer ~ method", "taster")
    flat = ordinal.fit(frame, "answer ~ method")
    assert found.taster_sd == 0.0 and found.taster_p == 1.0
    assert found.log_likelihood == pytest.approx(flat.log_likelihood, rel=1e-14)
    assert "spread is 0" in str(found.notes[-1])


def test_no_answer_where_there_is_none():
    frame = _drawn(5)
    assert isinstance(ordinal.fit(frame.assign(answer=3), "answer ~ method"), NotApplicable)
    sorted_fully = frame.assign(answer=np.where(frame.method == "A", 1, 2))
    for random in (None, "taster"):
        none = ordinal.fit(sorted_fully, "answer ~ method", random)
        assert isinstance(none, NotApplicable) and "no finite estimate" in str(none)
    one_up = frame.assign(answer=np.where(frame.method == "A", frame.answer, 4))
    assert isinstance(ordinal.fit(one_up, "answer ~ method"), NotApplicable)
    gap = frame.astype({"answer": float})
    gap.loc[[0, 5], "answer"] = np.nan
    assert "2 rows" in str(ordinal.fit(gap, "answer ~ method", "taster").notes[0])


@pytest.mark.parametrize(
    ("fixed", "random", "link"),
    [("answer ~ nothing", None, "logit"), ("answer", None, "logit"),
     ("answer ~ method", "x", "logit"), ("answer ~ method", None, "log"),
     ("method ~ answer", None, "logit"),
     ("answer ~ method + again", None, "logit"), ("answer ~ (", None, "logit")],
)  # fmt: skip
def test_what_cannot_be_fitted_is_refused(fixed, random, link):
    frame = _drawn(6).assign(again=lambda f: (f.method == "B") * 2.0)
    with pytest.raises(BadNumbers) as told:
        ordinal.fit(frame, fixed, random, link)
    assert told.value.where and told.value.allowed

"""The next piece: chances against simulation of the model itself."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest
from scipy import stats

from tests.stats.reference_models import data
from trialbench.stats.mixed import fit_mixed
from trialbench.stats.next_piece import Chance, future_piece, next_cook_day
from trialbench.stats.not_applicable import NotApplicable
from trialbench.stats.numbers import BadNumbers
from trialbench.stats.over import over_cooks

COLUMNS = {"taster": "taster", "cook": "cook", "unit": "piece"}


@pytest.fixture(scope="module")
def fit():
    terms = ["taster", "cook", "piece", "taster:method"]
    return fit_mixed(data("sim_crossed"), "score ~ method", terms)


def test_pieces_and_palates_are_told_apart(fit):
    found = future_piece(fit, "method", "B", "A", lot_number=3, **COLUMNS)
    v, difference = fit.variances, found.difference
    assert difference == pytest.approx(6.3802498, rel=1e-6)
    for chance, spread in (
        (found.pieces, 2 * v["piece"]),
        (found.palates, 2 * v["taster:method"]),
        (found.one_bite, 2 * (v["piece"] + v["taster:method"] + v["residual"])),
    ):
        assert chance.chance == pytest.approx(stats.norm.cdf(difference / np.sqrt(spread)))
        assert 0 <= chance.low < chance.chance < chance.high <= 1
    assert found.one_bite.chance < min(found.pieces.chance, found.palates.chance)


def test_turning_the_question_round_gives_the_rest(fit):
    up = future_piece(fit, "method", "B", "A", lot_number=3, **COLUMNS)
    down = future_piece(fit, "method", "A", "B", lot_number=3, **COLUMNS)
    assert down.pieces.chance == pytest.approx(1 - up.pieces.chance)
    assert down.one_bite.low == pytest.approx(1 - up.one_bite.high, abs=0.02)


def test_the_same_lot_number_gives_the_same_interval(fit):
    one, other = (future_piece(fit, "method", "A", "B", lot_number=8, **COLUMNS) for _ in range(2))
    assert one == other


def test_the_interval_of_one_bite_covers_its_true_chance():
    lot = np.random.default_rng(21)
    true = stats.norm.cdf(1.0 / np.sqrt(2 * (0.25 + 1.0)))
    held = 0
    for _ in range(60):
        rows = []
        for cook in range(6):
            for method, gain in (("A", 0.0), ("B", 1.0)):
                for unit in range(2):
                    piece = 0.5 * lot.normal()
                    rows += [
                        (cook, method, f"{cook}{method}{unit}", t, gain + piece + lot.normal())
                        for t in range(4)
                    ]
        frame = pd.DataFrame(rows, columns=["cook", "method", "piece", "taster", "score"])
        fit = fit_mixed(frame, "score ~ method", ["piece"])
        found = future_piece(fit, "method", "B", "A", lot_number=1, **COLUMNS).one_bite
        held += found.low <= true <= found.high
    assert held >= 50  # 95 % of 60 is 57; below 50 has chance 0.0005 or less


def test_what_cannot_be_foretold(fit):
    with pytest.raises(BadNumbers, match="no pair"):
        future_piece(fit, "method", "A", "C", lot_number=1, **COLUMNS)
    flat = fit_mixed(data("sim_crossed").assign(score=5), "score ~ method", ["taster"])
    assert isinstance(future_piece(flat, "method", "A", "B", lot_number=1), NotApplicable)


def test_the_next_cook_day_holds_a_new_difference_as_often_as_it_says():
    lot = np.random.default_rng(6)
    held = above = 0
    for _ in range(400):
        days = lot.normal(0.5, 1, size=5)
        frame = {
            "cook": [*"abcd"] * 2,
            "method": ["A"] * 4 + ["B"] * 4,
            "score": [*days[:4], 0, 0, 0, 0],
        }
        found = next_cook_day(over_cooks(frame, "score", "method", "cook"), alpha=0.2)
        held += found.low <= days[4] <= found.high
        above += found.chance_a_above
    assert held / 400 == pytest.approx(0.8, abs=0.06)
    assert above / 400 == pytest.approx(stats.norm.cdf(0.5), abs=0.05)
    assert isinstance(next_cook_day(over_cooks({"cook": [1, 1], "method": ["A", "B"],
                                                "score": [1, 2]}, "score", "method", "cook")),
                      NotApplicable)  # fmt: skip


def test_no_scatter_seen_gives_no_chance_and_not_certainty():
    shift = {"A": 0.0, "B": 1.0}
    noise = [0.3, -0.2, 0.1, -0.4, 0.2, 0.0, -0.1, 0.1]
    rows = [
        (f"d{day}", method, f"t{taster}", 5 + shift[method] + taster + noise[(day + taster) % 8])
        for day in range(4)
        for method in "AB"
        for taster in range(4)
    ]
    frame = pd.DataFrame(rows, columns=["cook", "method", "taster", "score"])
    frame.loc[::3, "score"] += 0.25
    fit = fit_mixed(frame, "score ~ method", ["taster", "taster:method"])
    assert fit.variances["taster:method"] == 0.0
    found = future_piece(fit, "method", "B", "A", taster="taster", lot_number=1)
    assert isinstance(found.palates, NotApplicable)
    assert isinstance(found.one_bite, Chance) and 0 < found.one_bite.chance < 1

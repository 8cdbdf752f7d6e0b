"""A small version of the calibration, and that it would see a rule that claims too much."""

from __future__ import annotations

import numpy as np
import pytest

from tests.calibration import cells, designs
from tests.calibration.__main__ import main
from tests.calibration.judged import judged
from tests.calibration.rates import Rates, rates

TRIALS = 6_000


def test_no_claim_of_the_policy_is_false_more_often_than_it_says():
    found = list(judged(cells.few(), rates, 101, TRIALS))
    assert len(found) > 200
    assert [each.columns for each in found if each.failed] == []
    assert any(each.rates.share("equality shown") > 0.9 for each in found
               if "equality shown" in each.rates.counts)  # fmt: skip


def test_no_family_of_claims_is():
    found = list(judged(designs.families((2, 5)), designs.family_rates, 102, TRIALS))
    assert [each.columns for each in found if each.failed] == []


def test_skewed_cook_days_are_a_known_exception_that_is_seen():
    found = list(judged(cells.skewed((4,)), rates, 103, 40_000))
    assert any(each.over for each in found)
    assert not any(each.failed for each in found)


def test_tasters_taken_for_replicates_would_be_seen():
    def of_tasters(cell, lot_number, trials):
        lot = np.random.default_rng(lot_number)
        own = cell.kitchen.draw(lot, trials, 0.0).differences.mean(axis=1)
        t = own.mean(axis=1) / (own.std(axis=1, ddof=1) / np.sqrt(own.shape[1]))
        return Rates.summed([{"false winner": np.abs(t) > 2.571}])

    found = judged(cells.balanced((3,), (6,)), of_tasters, 104, TRIALS)
    assert any(each.failed for each in found)


def test_the_model_with_all_its_terms_is_careful_and_without_cook_by_method_is_not():
    whole, without = list(designs.model_cells())[2:4]
    assert designs.model_rates(whole, 105, 150).share("false winner, Kenward-Roger") < 0.06
    assert designs.model_rates(without, 106, 150).share("false winner, Kenward-Roger") > 0.08


def test_the_table_says_when_and_with_which_lot(tmp_path, monkeypatch):
    monkeypatch.setattr(cells, "direct", cells.few)
    monkeypatch.setattr(designs, "families", designs_few)
    monkeypatch.setattr(
        designs, "model_cells", lambda: [designs.ModelCell(3, 3, 2, ("cook",), 0, 0)]
    )
    file = tmp_path / "table.md"
    main(
        [
            str(file),
            "--trials",
            "500",
            "--fits",
            "5",
            "--lot",
            "7",
            "--cells",
            str(tmp_path / "c.csv"),
        ]
    )
    text = file.read_text()
    assert "lot number 7" in text
    assert "Policy number 1" in text
    assert "| balanced | 5 | 6 | 54 |" in text
    assert (tmp_path / "c.csv").read_text().startswith("family,cooks")


def designs_few():
    return [
        designs.Family("each pair, Holm", 3, (1.0,) * 3),
        designs.Family("two by two", 3, (1.0,) * 4),
    ]


def test_a_rate_is_judged_by_its_lower_limit():
    assert Rates({"false winner": (60, 1000)}).exceeding() == []
    assert Rates({"false winner": (90, 1000)}).exceeding() == ["false winner"]
    assert Rates({"false winner": (0, 10)}).lower("false winner") == pytest.approx(0)

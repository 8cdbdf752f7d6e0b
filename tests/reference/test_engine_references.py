"""The engine gives the reference values to the digits that were promised."""

from __future__ import annotations

import subprocess
import sys

import pytest

from tests.reference.digits import Agreement, everything, expected, table
from trialbench.stats import paired, redraw

LEAST = {"smallest_difference": 7.0, "power": 9.5, "one-sided power": 9.5}
"""Found by uniroot at its own tolerance; noncentral t. All else: ten digits."""


@pytest.mark.parametrize("found", everything(), ids=lambda a: f"{a.source} {a.case} {a.quantity}")
def test_digits(found: Agreement):
    assert found.digits >= LEAST.get(found.quantity, 10.0), (found.ours, found.theirs)


def test_the_table_of_digits_is_printed():
    done = subprocess.run(
        [sys.executable, "-m", "tests.reference.digits"], capture_output=True, text=True, check=True
    )
    assert "sign_flip_p" in done.stdout


def _example(name: str) -> dict:
    return next(e for e in expected("worked_examples.json")["worked_examples"] if e["id"] == name)


def test_ten_assessors_of_cooked_fish_with_the_printed_errors_put_right():
    case = _example("T-01")
    result = paired(case["inputs"]["A"], case["inputs"]["B"])
    wanted = case["expected"]
    assert result.estimate == wanted["mean_diff"]
    assert result.sd == pytest.approx(wanted["sd_diff"], rel=1e-12)
    assert result.t == pytest.approx(wanted["t"], rel=1e-12)
    assert result.p == pytest.approx(wanted["p_two_sided"], rel=1e-12)
    assert result.sign_flip_p == wanted["exact_signflip_p"]
    assert result.signed_rank_p == wanted["wilcoxon_exact_p"]


@pytest.mark.parametrize(("pairs", "p"), _example("T-04")["expected"].items())
def test_smallest_possible_p(pairs: str, p: float):
    numbers = list(range(1, int(pairs) + 1))
    result = paired([n + 2**n for n in numbers], numbers)
    assert result.smallest_possible_p == p
    assert result.sign_flip_p == p


def test_equivalence_from_published_summary_values():
    from trialbench.stats.pairs import equivalence_p

    case = _example("EQ-01")
    n, sd = case["inputs"]["n"], case["expected"]["sd_diff"]
    gap = case["inputs"]["m1"] - case["inputs"]["m2"]
    bound = case["expected"]["bound_raw"]
    p = equivalence_p(gap, sd / n**0.5, n - 1, bound)
    assert p == pytest.approx(case["expected"]["p_upper"], rel=1e-10)


def test_signed_ranks_tie_on_the_grid_of_the_written_decimals():
    milk = table("milk.csv")
    result = paired(milk["one"], milk["four"])
    assert result.signed_rank_p == pytest.approx(0.0188, abs=5e-5)
    raw = paired([a - b for a, b in zip(milk["one"], milk["four"], strict=True)], [0.0] * 17)
    assert raw.signed_rank_p == pytest.approx(result.signed_rank_p)


def test_sign_tests_of_cake_recipes():
    cake = table("cake.csv")
    sums: dict[tuple[str, float], float] = {}
    for recipe, replicate, angle in zip(
        cake["recipe"], cake["replicate"], cake["angle"], strict=True
    ):
        sums[recipe, replicate] = sums.get((recipe, replicate), 0.0) + angle
    for test in expected("worked_examples.json")["sign_tests_of_cake"]["tests"]:
        a, b = ([sums[test[side], float(r)] for r in range(1, 16)] for side in ("a", "b"))
        assert paired(a, b).sign_p == pytest.approx(test["p"], rel=1e-10)


def test_redraw_of_pieces_that_tasters_do_not_replicate():
    data = table("pseudorep_constructed.csv")
    cells: dict[tuple[float, str], list[float]] = {}
    for pair, method, score in zip(data["pair"], data["method"], data["score"], strict=True):
        cells.setdefault((pair, method), []).append(score)
    result = redraw(
        [sum(scores) / 6 for scores in cells.values()],
        [method for _, method in cells],
        [pair for pair, _ in cells],
    )
    assert (result.hits, result.assignments, result.p) == (8, 32, 0.25)
    assert result.smallest_possible_p == 0.0625

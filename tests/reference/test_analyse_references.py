"""The command line on reference data: what was agreed for PSR-01, and the cake trial."""

from __future__ import annotations

import csv
import json

import pytest

from tests.reference.digits import HERE, expected, table
from trialbench.cli import main


def _answer(capsys, *words: object) -> dict:
    assert main(["analyse", *map(str, words), "--json"]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    return json.loads(out)


def _get(answer: dict, dotted: str) -> object:
    for name in dotted.split("."):
        answer = answer[int(name)] if name.isdigit() else answer[name]
    return answer


def test_tasters_are_not_replicates(capsys):
    """PSR-01: thirty rows would say p = 0.004, six tasters 0.002; five pairs of pieces say 0.19."""
    file = expected("analyse_psr_01.json")
    words = file["command"].split()[2:-1]
    words[0] = HERE / "data" / words[0]
    answer = _answer(capsys, *words)
    for name, wanted in file["fields_to_hold"].items():
        found = _get(answer, name)
        for key, value in wanted.items() if isinstance(wanted, dict) else [(None, wanted)]:
            ours = found if key is None else found[key]
            if isinstance(value, float):
                assert ours == pytest.approx(value, rel=1e-10), (name, key)
            else:
                assert ours == value, (name, key)


def test_cake_recipes_over_replicates(capsys, tmp_path):
    """One row per replicate and recipe after averaging temperatures: the paired case of 14 df."""
    cake = table("cake.csv")
    cells: dict[tuple[object, object], list[float]] = {}
    for replicate, recipe, angle in zip(
        cake["replicate"], cake["recipe"], cake["angle"], strict=True
    ):
        cells.setdefault((replicate, recipe), []).append(angle)
    path = tmp_path / "cake.csv"
    with path.open("w", newline="", encoding="utf-8") as out:
        rows = csv.writer(out)
        rows.writerow(["replicate", "recipe", "angle"])
        rows.writerows([int(r), m, sum(x) / len(x)] for (r, m), x in cells.items())
    answer = _answer(
        capsys, path, "--value", "angle", "--method", "recipe", "--block", "replicate",
        "--compare", "A,B", "--matters", 2,
    )  # fmt: skip
    case = next(c for c in expected("paired.json")["cases"] if c["id"] == "cake_A_minus_B")
    t, found = case["paired_t"]["two_sided"], answer["comparisons"][0]
    names = {"estimate": "estimate", "se": "se", "df": "df", "t": "t", "p": "p", "low": "ci_low",
             "high": "ci_high"}  # fmt: skip
    for ours, theirs in names.items():
        assert found[ours] == pytest.approx(t[theirs], rel=1e-10)
    flips = case["signflip_exact_mean"]
    assert answer["redraw"]["assignments"] == flips["n_assignments"]
    assert answer["redraw"]["p"] == pytest.approx(flips["p_two_sided"], rel=1e-10)
    assert answer["scope"] == "method"
    assert answer["tasters"] is None
    assert found["others"] is None
    assert answer["case"] == "not_settled"

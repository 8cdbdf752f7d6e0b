"""The command line on tables of three methods or more: asked for, and never by itself."""

from __future__ import annotations

import csv
import json

import pytest

from tests.findings.several_made_up import SETTINGS, table
from trialbench.cli import BAD_INPUT, main

GAPS = {"A": 5.2, "B": 7.6, "C": 6.4, "D": 6.9}
CURVED = {"A": 4.0, "B": 6.0, "C": 7.0, "D": 6.6, "E": 4.4}
NAMED = ("--value", "value", "--method", "method", "--block", "cook", "--piece", "piece",
         "--taster", "taster", "--matters", "1", "--step", "1")  # fmt: skip


@pytest.fixture
def crossed(tmp_path):
    rows = table(GAPS, 1)
    rows["medium"] = ["stock" if m in "AB" else "bag" for m in rows["method"]]
    rows["heat"] = ["77" if m in "AC" else "88" for m in rows["method"]]
    return _written(tmp_path / "crossed.csv", rows)


def _written(path, rows):
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(rows)
        writer.writerows(zip(*rows.values(), strict=True))
    return path


def _json(capsys, *words):
    assert main(["analyse", *map(str, words), "--json"]) == 0
    return json.loads(capsys.readouterr().out)


def test_three_methods_are_never_compared_unasked(capsys, crossed):
    assert main(["analyse", str(crossed), *NAMED]) == BAD_INPUT
    assert "4 methods" in capsys.readouterr().err


def test_every_pair(capsys, crossed):
    answer = _json(capsys, crossed, *NAMED, "--every-pair")
    assert answer["shape"] == "pairs" and len(answer["claims"]) == 6
    assert {claim["comparison"]["df"] for claim in answer["claims"]} == {4}
    assert answer["n"]["cooks"] == 5 and answer["headline"].startswith("Value is higher")


def test_against_the_usual_one(capsys, crossed):
    answer = _json(capsys, crossed, *NAMED, "--usual", "A")
    assert [claim["comparison"]["b"] for claim in answer["claims"]] == ["B", "C", "D"]
    assert main(["analyse", str(crossed), *NAMED, "--usual", "Z"]) == BAD_INPUT
    assert "There is no method 'Z'." in capsys.readouterr().err


def test_crossed_factors(capsys, crossed):
    answer = _json(capsys, crossed, *NAMED, "--factors", "medium,heat")
    roles = [claim["role"] for claim in answer["claims"]]
    assert [roles.count(role) for role in ("main", "interaction", "simple")] == [2, 1, 4]
    heat = next(c for c in answer["claims"] if c["role"] == "main" and c["factor"] == "heat")
    assert heat["levels"] == [88.0, 77.0]
    assert heat["weights"] == {"A": -0.5, "B": 0.5, "C": -0.5, "D": 0.5}
    assert main(["analyse", str(crossed), *NAMED, "--factors", "medium"]) == BAD_INPUT
    assert "two factors" in capsys.readouterr().err


def test_along_settings(capsys, tmp_path):
    rows = table(CURVED, 1)
    rows["heat"] = [SETTINGS[m] for m in rows["method"]]
    path = _written(tmp_path / "heats.csv", rows)
    answer = _json(capsys, path, *NAMED, "--settings", "heat")
    assert [claim["role"] for claim in answer["claims"]] == ["trend", "bend"]
    assert answer["best"]["low"] < answer["best"]["setting"] < answer["best"]["high"]
    assert main(["analyse", str(path), *NAMED, "--settings", "heat"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[0].startswith("Value comes out best at about")
    assert lines[1].startswith("from 60 to 84: ") and "Holm p" in lines[1]

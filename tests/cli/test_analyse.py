"""`trialbench analyse`: options, JSON, plain text, and every way the input can be wrong."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from tests.findings.tables_made_up import days
from trialbench.cli import main

FIELDS = {
    "scope", "tasters", "unit", "headline", "case", "favours", "alpha", "matters", "policy",
    "comparisons", "redraw", "n", "notes",
}  # fmt: skip
NAMED = ("--value", "value", "--method", "method", "--block", "cook", "--taster", "taster")


@pytest.fixture
def trial(tmp_path) -> Path:
    """Five cooks, four tasters; A higher by about two points."""
    return _written(tmp_path, days(2.0, 2.1, 1.9, 2.05, 1.95))


def _written(folder: Path, rows: list[dict], cut: str = ",") -> Path:
    path = folder / "trial.csv"
    lines = [cut.join(rows[0])] + [cut.join(str(v) for v in row.values()) for row in rows]
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def _json(capsys, *words) -> dict:
    assert main(["analyse", *map(str, words), "--json"]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    return json.loads(out)


def _refused(capsys, *words) -> dict:
    assert main(["analyse", *map(str, words), "--json"]) == 2
    out, err = capsys.readouterr()
    assert out == "" and err.count("\n") == 1
    told = json.loads(err)
    assert set(told) == {"error", "where", "allowed"} and told["error"]
    return told


def test_json_has_every_field(capsys, trial):
    answer = _json(capsys, trial, *NAMED, "--matters", 1, "--step", 1, "--planned-cooks", 5)
    assert set(answer) >= FIELDS
    assert (answer["scope"], answer["tasters"], answer["case"]) == (
        "method", "others_like_them", "better_enough",
    )  # fmt: skip
    assert (answer["favours"], answer["policy"], answer["unit"]) == ("A", 1, "piece")
    assert set(answer["comparisons"][0]) >= {
        "a", "b", "estimate", "se", "df", "t", "p", "low", "high", "others",
    }  # fmt: skip
    assert set(answer["redraw"]) >= {"p", "smallest_possible_p", "assignments", "seed"}
    assert answer["n"] == {"cooks": 5, "units": 10, "pieces": 10, "tasters": 4, "scores": 40}
    assert answer["headline"].startswith("Value is higher with A than with B, by enough")


def test_plain_text_says_the_same(capsys, trial):
    assert main(["analyse", str(trial), *NAMED, "--matters", "1"]) == 0
    out, _ = capsys.readouterr()
    lines = out.splitlines()
    assert lines[0].startswith("Value is higher with A than with B, by enough to matter.")
    assert lines[1] == "A less B: 2  (95 % interval 1.9018 to 2.0982)"
    assert any(line.startswith("- Redraw:") for line in lines)


def test_plain_text_keeps_the_figures_of_very_small_numbers(capsys, tmp_path):
    rows = [{**row, "value": row["value"] * 1e-7} for row in days(2.0, 2.4, 1.2)]
    words = [str(_written(tmp_path, rows)), *NAMED, "--matters", "1e-7"]
    assert main(["analyse", *words]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[1] == "A less B: 0.000000187  (95 % interval 0.000000035 to 0.000000338)"
    assert lines[2].endswith("any gap below 0.00000003 or above 0.00000034.")
    assert "find a gap of 0.0000001;" in lines[3]


def test_servings_of_a_cook_tasting_alone(capsys, tmp_path):
    rows = [
        {"method": m, "serving": s, "value": 5 + s + 4 * (m == "A")}
        for m in "AB"
        for s in (1, 2, 3)
    ]
    named = ("--value", "value", "--method", "method", "--serving", "serving")
    answer = _json(capsys, _written(tmp_path, rows), *named, "--matters", 1)
    plain = answer["comparisons"][0]
    assert (answer["scope"], answer["tasters"], plain["df"]) == ("taster", "one", 4)
    assert answer["favours"] == "A" and "palate" in answer["headline"]


def test_kinds_of_question(capsys, trial):
    as_good = ("--kind", "at-least-as-good", "--matters", 1, "--easier")
    assert _json(capsys, trial, *NAMED, *as_good, "A")["case"] == "at_least_as_good"
    assert _json(capsys, trial, *NAMED, *as_good, "B")["case"] == "not_shown"
    assert _json(capsys, trial, *NAMED, "--same-recipe")["case"] == "same_recipe"
    assert _json(capsys, trial, *NAMED, "--better", "lower")["favours"] == "B"
    waiting = _json(capsys, trial, *NAMED, "--planned-cooks", 6)
    assert (waiting["case"], waiting["redraw"], waiting["favours"]) == ("no_claim", None, None)


def test_without_a_block_it_is_never_about_the_method(capsys, tmp_path):
    rows = [{**row, "piece": row["cook"]} for row in days(2.0, 2.1, 1.9)]
    answer = _json(
        capsys, _written(tmp_path, rows), "--value", "value", "--method", "method", "--piece",
        "piece", "--taster", "taster",
    )  # fmt: skip
    assert (answer["scope"], answer["n"]["cooks"], answer["n"]["units"]) == ("batch", 1, 6)


def test_two_of_three_methods(capsys, tmp_path):
    rows = days(2.0, 2.1, 1.9)
    path = _written(tmp_path, rows + [{**row, "method": "C, cold"} for row in rows[::2]])
    text = path.read_text(encoding="utf-8").replace("C, cold", '"C, cold"')
    path.write_text(text, encoding="utf-8")
    assert _refused(capsys, path, *NAMED)["error"] == "3 methods: A, B, C, cold."
    answer = _json(capsys, path, *NAMED, "--compare", "B,C, cold")
    assert (answer["comparisons"][0]["a"], answer["comparisons"][0]["b"]) == ("B", "C, cold")
    assert _json(capsys, path, *NAMED, "--compare", "B, A")["comparisons"][0]["a"] == "A"


def test_missing_values_are_counted_and_never_zero(capsys, tmp_path):
    rows = days(2.0, 2.1, 1.9)
    for place, blank in enumerate(("", "NA", "-")):
        rows[place * 8]["value"] = blank
    answer = _json(capsys, _written(tmp_path, rows), *NAMED)
    assert answer["n"]["scores"] == 24 - 6
    assert any(note.startswith("3 values are missing.") for note in answer["notes"])


@pytest.mark.parametrize(
    ("words", "said", "where"),
    [
        (("--value", "score"), "There is no column 'score'.", "score"),
        (("--taster", "who"), "There is no column 'who'.", "who"),
        (("--matters", "0"), "matters is 0.", "matters"),
        (("--matters", "-0.5"), "matters is -0.5.", "matters"),
        (("--matters", "much"), "Argument --matters: 'much' is not a number.", "command line"),
        (("--matters", "nan"), "matters is nan.", "matters"),
        (("--step", "0"), "step is 0.", "step"),
        (("--alpha", "1.5"), "alpha is 1.5.", "alpha"),
        (("--planned-cooks", "0"), "planned cooks is 0.", "planned_cooks"),
        (("--planned-cooks", "2.5"), "Argument --planned-cooks: '2.5' is not a whole number.",
         "command line"),
        (("--easier", "Z"), "The easier method 'Z' is not compared here.", "easier"),
        (("--compare", "A,Z"), "There is no method 'Z'.", "compare"),
        (("--compare", "A"), "'A' names one method.", "--compare"),
        (("--kind", "at-least-as-good", "--matters", "1"),
         "At least as good as what? The easier method is not named.", "easier"),
        (("--kind", "at-least-as-good", "--easier", "A"),
         "At least as good needs the smallest difference that matters.", "matters"),
        (("--faster",), "Unrecognized arguments: --faster.", "command line"),
    ],
)  # fmt: skip
def test_wrong_options(capsys, trial, words, said, where):
    told = _refused(capsys, trial, *NAMED, *words)
    assert (told["error"], told["where"]) == (said, where)
    assert told["allowed"]


def _table(folder: Path, text: str | bytes) -> Path:
    path = folder / "table.csv"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return path


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "table.csv is empty."),
        ("  \n\n", "table.csv is empty."),
        ("m,v\n", "table.csv has names and no rows."),
        ("m,v\nA,1\nA,2\n", "One method only: A."),
        ("m,v\nA,1\nB,6x\n", "'6x' in row 2 (line 3), column 'v', is not a number."),
        ("m,v\nA,1\n\nB,n/a\n", "'n/a' in row 2 (line 4), column 'v', is not a number."),
        ("m,v\nA,1\nB,inf\n", "'inf' in row 2 (line 3), column 'v', is not a number."),
        ("m,v\nA,1\nB,2\nA,1\n", "Rows 1 and 3 agree in every named column."),
        ("m,v\nA,1\nB,2,3\n", "Row 2 (line 3) has 3 cells, the first line names 2."),
        ("m,v,v\nA,1,1\nB,2,2\n", "More than one column is called 'v'."),
        ('m,v\n"A,1\nB,2\n', "table.csv is not a table: unexpected end of data."),
        (b"\x00\x01\x02PNG", "table.csv is not a table as text."),
        ("m,v\n,1\nB,2\n", "Row 1 has a value and no method in column 'm'."),
    ],
)
def test_wrong_tables(capsys, tmp_path, text, said):
    told = _refused(capsys, _table(tmp_path, text), "--value", "v", "--method", "m")
    assert told["error"] == said


def test_a_file_that_is_not_there(capsys, tmp_path):
    told = _refused(capsys, tmp_path / "none.csv", "--value", "v", "--method", "m")
    assert "cannot be read" in told["error"]
    assert "cannot be read" in _refused(capsys, tmp_path, "--value", "v", "--method", "m")["error"]


def test_plain_complaint_is_one_line(capsys, trial):
    assert main(["analyse", str(trial), *NAMED, "--matters", "0"]) == 2
    out, err = capsys.readouterr()
    assert (out, err) == ("", "trialbench: matters is 0. Allowed: a number above 0.\n")


@pytest.mark.parametrize(
    "text",
    [
        "m,p,v\nA,1,7.5\nA,2,8\nB,1,6.5\nB,2,6\n",
        "\ufeffm,p,v\r\nA,1,7.5\r\nA,2,8\r\nB,1,6.5\r\nB,2,6\r\n",
        "m;p;v\nA;1;7,5\nA;2;8\nB;1;6,5\nB;2;6\n",
        "m;p;v\nA;1;7.5\nA;2;8\nB;1;6.5\nB;2;6\n",
        "m\tp\tv\nA\t1\t7,5\nA\t2\t8\nB\t1\t6,5\nB\t2\t6\n",
        'p,"m",more,"v"\n1,"A","x, y"," 7.5"\n2, A,,+8\n1,B,,6.5e0\n2,B,,6\n\n',
        "m,p,v\nA,1,7.5\nA,2,8\nB,1,6.5\nB,2,6\n".encode("utf-16"),
    ],
)
def test_ways_to_write_a_table(capsys, tmp_path, text):
    path = _table(tmp_path, text)
    answer = _json(capsys, path, "--value", "v", "--method", "m", "--piece", "p")
    assert answer["comparisons"][0]["estimate"] == 1.5
    assert answer["comparisons"][0]["df"] == 2


@pytest.mark.parametrize(
    "text", ["m;v\nA;1,5\nB;1.5\n", 'm,v\nA,"1,5"\nB,2\n', "m;v\nA;1,5,0\nB;2\n"]
)
def test_commas_that_can_be_read_in_two_ways_are_refused(capsys, tmp_path, text):
    told = _refused(capsys, _table(tmp_path, text), "--value", "v", "--method", "m")
    assert told["where"] == "row 1 (line 2), column v"


def test_help_and_version(capsys):
    for words in (["analyse", "--help"], ["--help"], ["--version"]):
        with pytest.raises(SystemExit) as left:
            main(words)
        assert left.value.code == 0
    assert "trialbench analyse: what a table" in capsys.readouterr().out


def test_as_a_command_of_its_own(trial):
    done = subprocess.run(
        [sys.executable, "-W", "error", "-m", "trialbench", "analyse", trial, *NAMED, "--json"],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert (done.returncode, done.stderr) == (0, "")
    assert json.loads(done.stdout)["case"] == "better_size_open"


def test_unknown_words_before_the_window_opens(capsys):
    assert main(["--nothing"]) == 2
    assert capsys.readouterr().err.startswith("trialbench: Unrecognized arguments: --nothing.")

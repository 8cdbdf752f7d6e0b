"""A package that cannot be read says what, where, and what is allowed."""

from __future__ import annotations

import json

import pytest

from tests.examples import ribs
from trialbench.exchange.opened import open_package
from trialbench.exchange.package import package_files
from trialbench.model.errors import BadInput
from trialbench.model.records import Taster


@pytest.fixture(scope="module")
def files():
    return package_files(ribs.make().records())


@pytest.fixture
def folder(files, tmp_path):
    for name, data in files.items():
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_bytes(data)
    return tmp_path


def _edit(path, old, new, count=1):
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, count), encoding="utf-8")


def _fails(folder):
    with pytest.raises(BadInput) as caught:
        open_package(folder)
    return str(caught.value), caught.value.where, caught.value.allowed


def test_a_package_of_an_earlier_version_lacks_later_columns_and_is_read(folder):
    path = folder / "records" / "taster.csv"
    rows = [line.split(",") for line in path.read_text(encoding="utf-8").splitlines()]
    kept = [rows[0].index(name) for name in ("id", "alias", "position", "avoids")]
    path.write_text("".join(",".join(row[n] for n in kept) + "\n" for row in rows))
    (first, *_) = open_package(folder).of(Taster)
    assert (first.person, first.is_cook) == ("", False)


def test_a_missing_file(folder):
    (folder / "records" / "piece.csv").unlink()
    text, where, _ = _fails(folder)
    assert text == "records/piece.csv is missing from the package."
    assert where == "records/piece.csv"


def test_no_descriptor(tmp_path):
    text, where, _ = _fails(tmp_path)
    assert text == "datapackage.json is missing from the package."
    assert where == "datapackage.json"


def test_nothing_there(tmp_path):
    text, _, allowed = _fails(tmp_path / "nowhere")
    assert text.startswith("There is no package at") and "datapackage.json" in allowed


def test_no_archive(tmp_path):
    (tmp_path / "soup.zip").write_text("soup")
    assert "soup.zip is not a package" in _fails(tmp_path / "soup.zip")[0]


def test_a_column_that_is_not_known(folder):
    _edit(folder / "records" / "cook.csv", "remark", "weather")
    text, where, allowed = _fails(folder)
    assert text == "records/cook.csv has a column that is not known: weather."
    assert where == "records/cook.csv, row 1, column weather"
    assert "remark" in allowed


def test_a_column_too_few(folder):
    path = folder / "records" / "seal.csv"
    _edit(path, ",fingerprint", "")
    assert _fails(folder)[0] == "records/seal.csv lacks a column: fingerprint."


def test_a_bad_number_with_its_row_and_column(folder):
    path = folder / "records" / "measurement.csv"
    lines = path.read_text().splitlines()
    mass = lines[4].split(",")[5]
    lines[4] = lines[4].replace(f",{mass},", ",1.4 kg,", 1)
    path.write_text("\n".join(lines) + "\n")
    text, where, allowed = _fails(folder)
    assert where == "records/measurement.csv, row 5, column mass_g"
    assert text == f"{where}: 1.4 kg is not a number with a point as decimal sign."
    assert allowed == "a number with a point as decimal sign"


@pytest.mark.parametrize("word", ["nan", "inf", "1e999"])
def test_a_number_is_finite(folder, word):
    _edit(folder / "records" / "trial.csv", ",0.75,", f",{word},")
    assert "not a finite number" in _fails(folder)[0]


def test_a_truth_value(folder):
    _edit(folder / "records" / "trial.csv", ",true,", ",yes,")
    text, _, allowed = _fails(folder)
    assert "yes is not true or false" in text and allowed == "true or false"


def test_a_row_with_too_few_cells(folder):
    path = folder / "records" / "cook.csv"
    path.write_text(path.read_text() + "one,two\n")
    assert "records/cook.csv, row 5 has 2 cells; the header has" in _fails(folder)[0]


def test_an_id_twice(folder):
    path = folder / "records" / "cook.csv"
    path.write_text(path.read_text() + path.read_text().splitlines()[1] + "\n")
    assert _fails(folder)[0] == "records/cook.csv, row 5 has the id of row 2 again."


def test_a_reference_that_leads_nowhere(folder):
    path = folder / "records" / "cook.csv"
    first = path.read_text().splitlines()[1].split(",")
    _edit(path, first[1], "elsewhere")
    text, where, _ = _fails(folder)
    assert where == "cook.csv, row 2, column trial_id"
    assert "there is no trial elsewhere" in text


def test_text_that_is_not_utf8(folder):
    path = folder / "records" / "taster.csv"
    path.write_bytes(path.read_bytes() + b"x,\xff,1,\n")
    assert "records/taster.csv is not UTF-8 text (line 7)" in _fails(folder)[0]


def test_quotes_that_never_end(folder):
    path = folder / "records" / "taster.csv"
    path.write_text(path.read_text() + '"open,1,2,3\n')
    assert "records/taster.csv cannot be read near line" in _fails(folder)[0]


@pytest.mark.parametrize("text", ["", "[]", "{}", '{"resources": 3}', '{"resources": [{}]}'])
def test_a_descriptor_that_is_none(folder, text):
    (folder / "datapackage.json").write_text(text)
    assert "cannot be read as a data package" in _fails(folder)[0]


@pytest.mark.parametrize("path", ["../trial.csv", "/etc/hosts", "c:\\trial.csv"])
def test_files_outside_the_package_are_not_read(folder, path):
    descriptor = json.loads((folder / "datapackage.json").read_text())
    descriptor["resources"][0]["path"] = path
    (folder / "datapackage.json").write_text(json.dumps(descriptor))
    assert "names a file outside the package" in _fails(folder)[0]


def test_a_package_without_a_trial(folder):
    descriptor = json.loads((folder / "datapackage.json").read_text())
    descriptor["resources"] = [r for r in descriptor["resources"] if r["name"] == "scores"]
    (folder / "datapackage.json").write_text(json.dumps(descriptor))
    assert _fails(folder)[0] == "This package holds 0 trials."

"""Open packages: what is written is read back, the same trial gives the same bytes."""

from __future__ import annotations

import csv
import io
import json
import zipfile
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.examples import beans, ribs, thighs, turkey
from trialbench.exchange.bringing import AlreadyThere, read_package
from trialbench.exchange.data_file import write_data_csv
from trialbench.exchange.fields import NOT_WRITTEN, field_types, read_cell, write_cell
from trialbench.exchange.opened import is_package, open_package
from trialbench.exchange.package import package_files, write_package
from trialbench.findings.snapshot import NoSuchTrial, records_of
from trialbench.findings.tidy import csv_text
from trialbench.model.errors import FileTrouble
from trialbench.model.message import msg, say
from trialbench.model.records import KINDS, REFERENCES, Cover, Sample, Score, Sitting, Taster, Trial
from trialbench.model.steps import Step, added
from trialbench.notebook.notebook import Notebook

EXAMPLES = [turkey, beans, ribs, thighs]


@pytest.fixture(scope="module")
def ribs_draft():
    return ribs.make()


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda e: e.SLUG)
def test_a_package_read_back_is_the_same_trial(example, tmp_path):
    draft = example.make()
    write_package(draft, draft.trial.id, tmp_path / "trial")
    again = open_package(tmp_path / "trial")
    assert again.trial == draft.trial
    assert again.records.as_set() == draft.records().records.as_set()


def test_folder_and_zip_hold_the_same(ribs_draft, tmp_path):
    folder = write_package(ribs_draft, ribs_draft.trial.id, tmp_path / "ribs")
    archive = write_package(ribs_draft, ribs_draft.trial.id, tmp_path / "ribs.zip")
    assert open_package(folder).records.as_set() == open_package(archive).records.as_set()
    twin = write_package(ribs_draft, ribs_draft.trial.id, tmp_path / "twin.zip")
    assert archive.read_bytes() == twin.read_bytes()
    assert is_package(folder) and is_package(archive) and not is_package(tmp_path)


def test_a_zip_may_hold_one_folder(ribs_draft, tmp_path):
    path = tmp_path / "wrapped.zip"
    with zipfile.ZipFile(path, "w") as archive:
        for name, data in package_files(ribs_draft.records()).items():
            archive.writestr(f"pork-ribs/{name}", data)
    assert open_package(path).trial == ribs_draft.trial


_TEXT = st.text(st.characters(exclude_categories=("Cs",)), max_size=12)
_VALUES = {
    str: _TEXT,
    int: st.integers(-(10**12), 10**12),
    float: st.floats(allow_nan=False, allow_infinity=False),
    bool: st.booleans(),
}


@given(st.data())
def test_every_cell_of_every_kind_is_read_back(data):
    kind = data.draw(st.sampled_from(KINDS))
    name, (plain, optional) = data.draw(st.sampled_from(list(field_types(kind).items())))
    value = data.draw(_VALUES[plain] | st.none() if optional else _VALUES[plain])
    refers = name in REFERENCES.get(kind.kind, {})
    if optional and (value == NOT_WRITTEN or (refers and value == "")):
        return
    text = csv_text(["it", "end"], [{"it": write_cell(kind, name, value), "end": "end"}])
    cell = list(csv.reader(io.StringIO(text, newline=""), strict=True))[1][0]
    read = read_cell(kind, name, cell)
    assert read == value and type(read) is type(value)


def test_the_descriptor_names_every_file_and_column(ribs_draft):
    files = package_files(ribs_draft.records())
    descriptor = json.loads(files["datapackage.json"])
    assert descriptor["$schema"] == "https://datapackage.org/profiles/2.0/datapackage.json"
    assert {one["path"] for one in descriptor["resources"]} == set(files) - {"datapackage.json"}
    for one in descriptor["resources"]:
        header = files[one["path"]].decode().splitlines()[0].split(",")
        assert [field["name"] for field in one["schema"]["fields"]] == header
    assert "invented" in descriptor["description"]
    assert f"lot number {ribs.LOT_NUMBER}" in descriptor["description"]


def test_units_stand_in_the_column_names(ribs_draft):
    files = package_files(ribs_draft.records())
    assert "mass_g,temp_c" in files["records/measurement.csv"].decode().splitlines()[0]


def test_an_imported_trial_is_the_same_in_the_notebook(ribs_draft, tmp_path):
    path = write_package(ribs_draft, ribs_draft.trial.id, tmp_path / "ribs")
    with Notebook.open(tmp_path / "book.trialbench", backups=tmp_path / "backups") as book:
        step = read_package(path, book)
        assert step.origin == "import"
        book.apply(step)
        there = records_of(book, ribs_draft.trial.id)
    assert _own(there) == _own(ribs_draft.records())


def _own(records):
    return {record for record in records.records.as_set() if not isinstance(record, Cover)}


def test_bringing_the_same_trial_twice(ribs_draft, tmp_path):
    path = write_package(ribs_draft, ribs_draft.trial.id, tmp_path / "ribs")
    with Notebook.open(tmp_path / "book.trialbench", backups=tmp_path / "backups") as book:
        book.apply(read_package(path, book))
        before = book.snapshot().as_set()
        with pytest.raises(AlreadyThere, match="already has this trial: Pork ribs"):
            read_package(path, book)
        assert book.snapshot().as_set() == before
        book.apply(read_package(path, book, again="copy"))
        first, second = book.all(Trial)
        assert (first.number, second.number) == (ribs_draft.trial.number, first.number + 1)
        assert len(book.all(Taster)) == ribs.TABLE.tasters
        scores = [records_of(book, trial.id).of(Score) for trial in (first, second)]
        assert len(scores[0]) == len(scores[1]) and not set(scores[0]) & set(scores[1])
        write_package(book, second.id, tmp_path / "copy")
        open_package(tmp_path / "copy")


def test_two_examples_share_their_tasters(tmp_path):
    with Notebook.open(tmp_path / "book.trialbench", backups=tmp_path / "backups") as book:
        for example in EXAMPLES:
            draft = example.make()
            folder = write_package(draft, draft.trial.id, tmp_path / example.SLUG)
            book.apply(read_package(folder, book))
        assert sorted(t.alias for t in book.all(Taster)) == [f"Taster {n}" for n in range(1, 9)]
        assert [t.number for t in book.all(Trial)] == [1, 2, 3, 4]


def test_another_persons_alias_is_told_apart(ribs_draft, tmp_path):
    path = write_package(ribs_draft, ribs_draft.trial.id, tmp_path / "ribs")
    with Notebook.open(tmp_path / "book.trialbench", backups=tmp_path / "backups") as book:
        book.apply(Step(msg("Taster written"), added(Taster("someone-else", "Taster 1", 1))))
        book.apply(read_package(path, book))
        assert "Taster 1 (2)" in {t.alias for t in book.all(Taster)}


def test_a_sealed_key_stays_at_home(tmp_path):
    draft = ribs.make_sealed()
    held = {p.id for cook in draft.cooks() for p in draft.pieces(cook)}
    for sample in draft.all(Sample):
        assert sample.piece_id is None
        draft.write(Sample(sample.id, sample.sitting_id, sample.taster_id, sample.position,
                           sample.code, piece_id=next(iter(held))))  # fmt: skip
    for sitting in draft.all(Sitting):
        assert sitting.key_state == "sealed"
    files = package_files(draft.records())
    for place in ("records/sample.csv", "scores.csv"):
        text = files[place].decode()
        assert not any(piece in text for piece in held)
    assert all(not s.lot_number for s in _read(files, tmp_path).of(Sitting))
    label = say(read_package(tmp_path / "sealed.zip").label)
    assert label.endswith("the keys of 3 sittings stayed where they were sealed")


def _read(files, tmp_path):
    path = tmp_path / "sealed.zip"
    with zipfile.ZipFile(path, "w") as archive:
        for name, data in files.items():
            archive.writestr(name, data)
    return open_package(path)


def test_a_folder_with_other_things_is_left_alone(ribs_draft, tmp_path):
    (tmp_path / "letter.txt").write_text("dear cook")
    with pytest.raises(FileTrouble, match="holds other files"):
        write_package(ribs_draft, ribs_draft.trial.id, tmp_path)
    assert [p.name for p in tmp_path.iterdir()] == ["letter.txt"]


def test_an_earlier_package_is_replaced(ribs_draft, tmp_path):
    target = write_package(thighs.make(), thighs.make().trial.id, tmp_path / "out")
    assert (target / "records" / "left_out.csv").exists()
    write_package(ribs_draft, ribs_draft.trial.id, target)
    assert not (target / "records" / "left_out.csv").exists()
    assert open_package(target).trial == ribs_draft.trial


def test_no_such_trial_lists_the_trials(ribs_draft, tmp_path):
    with pytest.raises(NoSuchTrial, match="3 Pork ribs"):
        write_package(ribs_draft, "nothing", tmp_path / "out")


def test_a_place_that_cannot_be_written(ribs_draft, tmp_path):
    (tmp_path / "file").write_text("")
    with pytest.raises(FileTrouble, match="cannot be written"):
        write_package(ribs_draft, ribs_draft.trial.id, tmp_path / "file" / "trial")
    with pytest.raises(FileTrouble, match="cannot be written"):
        write_data_csv(ribs_draft, ribs_draft.trial.id, tmp_path / "file" / "data.csv")


def test_the_data_file_holds_every_number_once(ribs_draft, tmp_path):
    path: Path = write_data_csv(ribs_draft, ribs_draft.trial.id, tmp_path / "data.csv")
    with path.open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    scored = [row for row in rows if row["taster"]]
    assert len(scored) == 4 * 3 * 5 * 4
    missing = [row for row in scored if not row["value"]]
    assert len(missing) == 8
    assert {row["missing_reason"] for row in missing} == {"called away after the second sample"}
    assert len([row for row in rows if not row["taster"]]) == 12

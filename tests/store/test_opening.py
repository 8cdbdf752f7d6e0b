"""Opening: made when missing, refused when it is something else, read only when it must be."""

import os
import shutil
import sqlite3

import pytest

from trialbench.model.errors import DamagedFile, FileTrouble, HeldElsewhere, NewerFile
from trialbench.model.records import Cover, Taster
from trialbench.model.steps import Change
from trialbench.store import holder
from trialbench.store.opening import open_notebook_file
from trialbench.store.rows import write_changes
from trialbench.store.schema import FILE_FORM

NOW = "2026-03-07T12:00:00.000Z"


@pytest.fixture
def path(tmp_path):
    return tmp_path / "kitchen.trialbench"


def _names(folder):
    return [p.name for p in folder.iterdir()]


def _filled(path, tasters=1):
    file = open_notebook_file(path, NOW)
    with file.atomic() as db:
        write_changes(db, [Change(None, Cover("c", "Kitchen", NOW))])
        write_changes(db, [Change(None, Taster(f"t{n}", f"T{n}", n)) for n in range(tasters)])
    file.close()


def test_a_missing_file_is_made_whole_and_leaves_nothing_beside_it(path):
    file = open_notebook_file(path, NOW)
    assert not file.read_only
    assert file.load(Cover) == []
    for pragma, wanted in (("journal_mode", "delete"), ("synchronous", 2), ("foreign_keys", 1)):
        assert file.db.execute(f"PRAGMA {pragma}").fetchone()[0] == wanted
    file.close()
    assert _names(path.parent) == [path.name]
    db = sqlite3.connect(path)
    assert db.execute("PRAGMA user_version").fetchone()[0] == FILE_FORM
    db.close()


def test_what_was_written_is_there_after_reopening(path):
    _filled(path)
    file = open_notebook_file(path, NOW)
    assert file.load(Taster) == [Taster("t0", "T0", 0)]
    file.close()


def test_a_block_that_fails_writes_nothing(path):
    file = open_notebook_file(path, NOW)
    with pytest.raises(RuntimeError), file.atomic() as db:
        write_changes(db, [Change(None, Taster("t", "T", 1))])
        raise RuntimeError("in the middle")
    assert file.load(Taster) == []
    file.close()


def test_a_reference_that_leads_nowhere_is_trouble_at_the_commit(path):
    file = open_notebook_file(path, NOW)
    with pytest.raises(FileTrouble), file.atomic() as db:
        db.execute("INSERT INTO pair VALUES ('p', 'no such cook', 1, '')")
    assert file.db.execute("SELECT count(*) FROM pair").fetchone()[0] == 0
    file.close()


def test_the_second_window_reads_only_and_says_who_holds_it(path):
    first = open_notebook_file(path, NOW)
    second = open_notebook_file(path, NOW)
    assert isinstance(second.opened_with, HeldElsewhere)
    assert f"process {os.getpid()}" in str(second.opened_with)
    assert NOW in str(second.opened_with)
    with pytest.raises(HeldElsewhere), second.atomic():
        pass
    first.close()
    second.close()
    third = open_notebook_file(path, NOW)
    assert not third.read_only
    third.close()


def test_what_a_dead_window_left_behind_does_not_stand_in_the_way(path):
    _filled(path)
    path.with_name(path.name + ".held").write_text('{"host": "gone", "pid": 1, "since_utc": ""}')
    file = open_notebook_file(path, NOW)
    assert not file.read_only
    file.close()


def test_a_newer_file_is_read_and_not_written(path):
    _filled(path)
    db = sqlite3.connect(path)
    db.execute("ALTER TABLE taster ADD COLUMN palate TEXT")
    db.execute("CREATE TABLE pantry (id TEXT PRIMARY KEY) STRICT")
    db.execute("UPDATE notebook_meta SET value = '7.2.0' WHERE name = 'program'")
    db.execute("PRAGMA user_version = 7")
    db.commit()
    db.close()
    before = path.read_bytes()
    file = open_notebook_file(path, NOW)
    assert isinstance(file.opened_with, NewerFile)
    assert "7.2.0" in str(file.opened_with) and "file form 7" in str(file.opened_with)
    assert file.load(Taster) == [Taster("t0", "T0", 0)]
    with pytest.raises(NewerFile), file.atomic():
        pass
    file.close()
    assert path.read_bytes() == before
    assert _names(path.parent) == [path.name]


@pytest.mark.parametrize(
    "change",
    ["ALTER TABLE taster RENAME COLUMN alias TO name", "ALTER TABLE taster RENAME TO mouth"],
)
def test_a_newer_file_in_which_too_much_is_new_says_so(path, change):
    _filled(path)
    db = sqlite3.connect(path)
    db.execute(change)
    db.execute("PRAGMA user_version = 7")
    db.commit()
    db.close()
    file = open_notebook_file(path, NOW)
    with pytest.raises(NewerFile, match="newer version"):
        file.load(Taster)
    file.close()


def test_a_column_that_is_gone_is_damage(path):
    _filled(path)
    db = sqlite3.connect(path)
    db.execute("ALTER TABLE taster RENAME COLUMN alias TO name")
    db.close()
    file = open_notebook_file(path, NOW)
    with pytest.raises(DamagedFile):
        file.load(Taster)
    file.close()


def test_a_journal_left_by_a_file_that_is_gone_is_not_played(path):
    path.with_name(path.name + "-journal").write_bytes(b"\xd9\xd5\x05\xf9\x20\xa1\x63\xd7" * 90)
    _filled(path)
    file = open_notebook_file(path, NOW)
    assert len(file.load(Taster)) == 1
    file.close()
    assert _names(path.parent) == [path.name]


def _cut(path):
    with path.open("rb+") as file:
        file.truncate(path.stat().st_size * 2 // 3)


def _scrawled(path):
    size = path.stat().st_size
    with path.open("rb+") as file:
        for place in range(4096, size, 4096):
            file.seek(place)
            file.write(b"\xff" * 600)


def _no_head(path):
    with path.open("rb+") as file:
        file.write(b"not what it was " * 8)


@pytest.mark.parametrize("damage", [_cut, _scrawled, _no_head])
def test_a_damaged_file_is_refused_and_not_touched(path, damage):
    _filled(path, tasters=500)
    damage(path)
    before = path.read_bytes()
    with pytest.raises(DamagedFile) as error:
        open_notebook_file(path, NOW)
    assert error.value.cause
    assert path.read_bytes() == before
    assert _names(path.parent) == [path.name]


def test_another_programs_file_is_left_alone(path):
    db = sqlite3.connect(path)
    db.execute("CREATE TABLE recipes (name TEXT)")
    db.close()
    before = path.read_bytes()
    with pytest.raises(FileTrouble, match="not a notebook"):
        open_notebook_file(path, NOW)
    assert path.read_bytes() == before


def test_an_empty_file_becomes_a_notebook(path):
    path.touch()
    file = open_notebook_file(path, NOW)
    assert not file.read_only
    file.close()


def test_a_missing_folder_and_a_folder_in_its_place_are_said(tmp_path):
    with pytest.raises(FileTrouble, match="There is no folder") as error:
        open_notebook_file(tmp_path / "gone" / "kitchen.trialbench", NOW)
    assert error.value.cause
    with pytest.raises(FileTrouble, match="is a folder"):
        open_notebook_file(tmp_path, NOW)


def test_a_folder_that_may_not_be_written_gives_a_notebook_to_read(path, monkeypatch):
    _filled(path)

    def refused(*args):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(holder.os, "open", refused)
    file = open_notebook_file(path, NOW)
    assert "may not write" in str(file.opened_with)
    assert file.opened_with.cause == "Permission denied"
    assert file.load(Taster) == [Taster("t0", "T0", 0)]
    file.close()
    with pytest.raises(FileTrouble, match="may not write"):
        open_notebook_file(path.with_name("new.trialbench"), NOW)


def test_a_write_protected_file_is_read(path, monkeypatch):
    _filled(path)
    monkeypatch.setattr("trialbench.store.opening.os.access", lambda *args: False)
    file = open_notebook_file(path, NOW)
    assert "may only be read" in str(file.opened_with)
    file.close()


def test_a_full_disk_is_said_and_the_file_stays_whole(path):
    _filled(path)
    file = open_notebook_file(path, NOW)
    pages = file.db.execute("PRAGMA page_count").fetchone()[0]
    file.db.execute(f"PRAGMA max_page_count = {pages}")
    with pytest.raises(FileTrouble, match="disk is full") as error, file.atomic() as db:
        db.execute("INSERT INTO draft VALUES ('x', ?, '')", ("long " * 10_000,))
    assert "full" in error.value.cause
    assert not file.read_only
    with file.atomic() as db:
        db.execute("INSERT INTO draft VALUES ('x', 'short', '')")
    file.close()


def test_damage_met_while_writing_ends_the_writing(path):
    _filled(path, tasters=500)
    file = open_notebook_file(path, NOW)
    _cut(path)
    with pytest.raises(DamagedFile), file.atomic() as db:
        db.execute("UPDATE taster SET alias = alias || 'x'")
    assert file.read_only
    file.close()


def test_a_notebook_whose_name_needs_quoting_opens(tmp_path):
    path = tmp_path / "Küche 100% #1?.trialbench"
    _filled(path)
    assert path.exists()
    shutil.copy(path, tmp_path / "copy.trialbench")

"""From a form 0 made by hand to form 1: the copy, the note, history that can still be read."""

import sqlite3
import stat

import pytest

from trialbench.model.errors import FileTrouble
from trialbench.model.records import Taster
from trialbench.store import history_table
from trialbench.store.backup import backups_of
from trialbench.store.migrations import Migration, pending
from trialbench.store.opening import open_notebook_file
from trialbench.store.schema import APPLICATION_ID, SCHEMA

NOW = "2026-03-07T12:00:00.000Z"


def _name_the_tasters(db):
    db.execute("ALTER TABLE taster RENAME COLUMN nickname TO alias")


def _lift(kind, values):
    if kind == "taster":
        values = {("alias" if name == "nickname" else name): v for name, v in values.items()}
    return kind, values


TO_FORM_1 = Migration(
    1, "alias", "A taster's nickname is now called alias.", _name_the_tasters, _lift
)


@pytest.fixture
def form_0(tmp_path):
    path = tmp_path / "old.trialbench"
    db = sqlite3.connect(path)
    db.executescript(SCHEMA)
    db.execute("ALTER TABLE taster RENAME COLUMN alias TO nickname")
    db.execute(f"PRAGMA application_id = {APPLICATION_ID}")
    db.execute("INSERT INTO notebook_meta VALUES ('notebook_id', 'n0'), ('program', '0.0.1')")
    db.execute("INSERT INTO taster VALUES ('t1', 'Ann', 1, '')")
    db.execute(
        "INSERT INTO history VALUES (1, 's', ?, 0, ?, 'desk', 0, 0, ?)",
        (
            NOW,
            '{"text": "x", "args": [], "plural": null, "count": null}',
            '[{"kind":"taster","before":null,'
            '"after":{"id":"t1","nickname":"Ann","position":1,"avoids":""}}]',
        ),
    )
    db.commit()
    db.close()
    return path


def test_an_older_file_is_copied_and_raised_with_a_note(form_0, tmp_path):
    before = form_0.read_bytes()
    file = open_notebook_file(form_0, NOW, backups=tmp_path / "kept", migrations=[TO_FORM_1])
    assert file.load(Taster) == [Taster("t1", "Ann", 1)]
    notes = file.db.execute("SELECT form, name, note, made_utc FROM migration").fetchall()
    assert notes == [(1, "alias", TO_FORM_1.note, NOW)]
    assert file.db.execute("PRAGMA user_version").fetchone()[0] == 1
    (copy,) = backups_of("n0", tmp_path / "kept")
    assert copy.read_bytes() == before
    rows = list(history_table.changes_after(file.db, 0, [TO_FORM_1]))
    assert rows[0][2][0].after == Taster("t1", "Ann", 1)
    file.close()


def test_it_is_raised_once(form_0, tmp_path):
    for _ in range(2):
        file = open_notebook_file(form_0, NOW, backups=tmp_path / "kept", migrations=[TO_FORM_1])
        file.close()
    assert len(backups_of("n0", tmp_path / "kept")) == 1


def _breaks_half_way(db):
    _name_the_tasters(db)
    raise sqlite3.OperationalError("in the middle")


def _leaves_an_orphan(db):
    _name_the_tasters(db)
    db.execute("INSERT INTO pair VALUES ('p', 'nowhere', 1, '')")


@pytest.mark.parametrize("change", [_breaks_half_way, _leaves_an_orphan])
def test_a_migration_that_fails_leaves_the_older_form(form_0, tmp_path, change):
    broken = Migration(1, "broken", "", change)
    with pytest.raises(FileTrouble):
        open_notebook_file(form_0, NOW, backups=tmp_path / "kept", migrations=[broken])
    db = sqlite3.connect(form_0)
    assert db.execute("PRAGMA user_version").fetchone()[0] == 0
    assert db.execute("SELECT nickname FROM taster").fetchall() == [("Ann",)]
    assert db.execute("SELECT count(*) FROM pair").fetchone()[0] == 0
    db.close()
    assert sorted(p.name for p in tmp_path.iterdir()) == ["kept", form_0.name]


def test_an_older_file_that_may_not_be_written_says_so(form_0, tmp_path, monkeypatch):
    monkeypatch.setattr("trialbench.store.opening.os.access", lambda *args: False)
    with pytest.raises(FileTrouble, match="older file form 0"):
        open_notebook_file(form_0, NOW, backups=tmp_path / "kept", migrations=[TO_FORM_1])
    assert stat.S_ISREG(form_0.stat().st_mode)


def test_a_form_that_no_migration_reaches_is_said():
    with pytest.raises(FileTrouble, match="file form 0"):
        pending(0, [])

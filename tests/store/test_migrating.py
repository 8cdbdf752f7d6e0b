"""From file form 1, kept here as it was, to today: the copy, the note, history that can be read."""

import sqlite3
import stat
from pathlib import Path

import pytest

from trialbench.model.errors import FileTrouble
from trialbench.model.records import KINDS, Sitting, Taster, Trial
from trialbench.store import history_table
from trialbench.store.backup import backups_of
from trialbench.store.migrations import MIGRATIONS, Migration, pending
from trialbench.store.opening import open_notebook_file
from trialbench.store.rows import columns
from trialbench.store.schema import APPLICATION_ID, FILE_FORM, SCHEMA

NOW = "2026-03-07T12:00:00.000Z"
FORM_1 = Path(__file__).with_name("form_1.sql")


@pytest.fixture
def older(tmp_path):
    path = tmp_path / "old.trialbench"
    db = sqlite3.connect(path)
    db.executescript(FORM_1.read_text("utf-8"))
    db.execute(f"PRAGMA application_id = {APPLICATION_ID}")
    db.execute("PRAGMA user_version = 1")
    db.execute("INSERT INTO notebook_meta VALUES ('notebook_id', 'n0'), ('program', '0.0.1')")
    db.execute("INSERT INTO taster VALUES ('t1', 'Ann', 1, '')")
    db.execute(
        "INSERT INTO trial VALUES ('tr', 1, 'carrots', '', 'roasted', 'steamed', ?, 'better', '', "
        "NULL, 0.5, '0.5', NULL, 4, 1, 0, 'alone', NULL, 1, 0.05, 1, 0, '')",
        (NOW,),
    )
    db.execute(
        "INSERT INTO history VALUES (1, 's', ?, 0, ?, 'desk', 0, 1, ?)",
        (
            NOW,
            '{"text": "x", "args": [], "plural": null, "count": null}',
            '[{"kind":"taster","before":null,'
            '"after":{"id":"t1","alias":"Ann","position":1,"avoids":""}}]',
        ),
    )
    db.commit()
    db.close()
    return path


def test_an_older_file_is_copied_and_raised_with_a_note(older, tmp_path):
    before = older.read_bytes()
    file = open_notebook_file(older, NOW, backups=tmp_path / "kept")
    assert file.load(Taster) == [Taster("t1", "Ann", 1)]
    (trial,) = file.load(Trial)
    assert (trial.food, trial.matters, trial.shape, trial.usual_id) == ("carrots", 0.5, "two", None)
    assert file.load(Sitting) == []
    notes = file.db.execute("SELECT form, note, made_utc FROM migration").fetchall()
    assert notes == [(m.to_form, m.note, NOW) for m in MIGRATIONS]
    assert file.db.execute("PRAGMA user_version").fetchone()[0] == FILE_FORM
    (copy,) = backups_of("n0", tmp_path / "kept")
    assert copy.read_bytes() == before
    rows = list(history_table.changes_after(file.db, 0))
    assert rows[0][2][0].after == Taster("t1", "Ann", 1)
    file.close()


def _shape(db, kind):
    """What a table takes: columns in order with type, need and key, and where references lead."""
    table = db.execute(f"PRAGMA table_info({kind.kind})").fetchall()
    keys = db.execute(f"PRAGMA foreign_key_list({kind.kind})").fetchall()
    columns_of = [(c[1], c[2], bool(c[3]), c[5]) for c in table]
    return columns_of, sorted((key[3], key[2]) for key in keys)


def test_a_raised_file_has_the_tables_of_a_new_one(older, tmp_path):
    file = open_notebook_file(older, NOW, backups=tmp_path / "kept")
    new = sqlite3.connect(":memory:")
    new.executescript(SCHEMA)
    for kind in KINDS:
        assert _shape(file.db, kind) == _shape(new, kind), kind.kind
        assert tuple(c[0] for c in _shape(new, kind)[0]) == columns(kind)
    indexes = "SELECT name FROM sqlite_master WHERE type = 'index' AND sql NOT NULL ORDER BY name"
    assert file.db.execute(indexes).fetchall() == new.execute(indexes).fetchall()
    new.close()
    file.close()


def test_it_is_raised_once(older, tmp_path):
    for _ in range(2):
        open_notebook_file(older, NOW, backups=tmp_path / "kept").close()
    assert len(backups_of("n0", tmp_path / "kept")) == 1


def _rename(db):
    db.execute("ALTER TABLE taster RENAME COLUMN alias TO nickname")


def _lift(kind, values):
    if kind == "taster":
        values = {("nickname" if name == "alias" else name): v for name, v in values.items()}
    return kind, values


def test_history_is_read_through_every_lift_in_order(older, tmp_path):
    away = Migration(1, "away", "", _rename, _lift)
    back = Migration(
        FILE_FORM,
        "back",
        "",
        lambda db: None,
        lambda kind, values: (kind, {n.replace("nickname", "alias"): v for n, v in values.items()}),
    )
    db = sqlite3.connect(older)
    db.execute("UPDATE history SET file_form = 0")
    rows = list(history_table.changes_after(db, 0, [away, back]))
    assert rows[0][2][0].after == Taster("t1", "Ann", 1)
    db.close()


def _breaks_half_way(db):
    _rename(db)
    raise sqlite3.OperationalError("in the middle")


def _leaves_an_orphan(db):
    _rename(db)
    db.execute("INSERT INTO pair VALUES ('p', 'nowhere', 1, '')")


@pytest.mark.parametrize("change", [_breaks_half_way, _leaves_an_orphan])
def test_a_migration_that_fails_leaves_the_older_form(older, tmp_path, change):
    broken = Migration(2, "broken", "", change)
    with pytest.raises(FileTrouble):
        open_notebook_file(older, NOW, backups=tmp_path / "kept", migrations=[broken])
    db = sqlite3.connect(older)
    assert db.execute("PRAGMA user_version").fetchone()[0] == 1
    assert db.execute("SELECT alias FROM taster").fetchall() == [("Ann",)]
    assert db.execute("SELECT count(*) FROM pair").fetchone()[0] == 0
    db.close()
    assert sorted(p.name for p in tmp_path.iterdir()) == ["kept", older.name]


def test_an_older_file_that_may_not_be_written_says_so(older, tmp_path, monkeypatch):
    monkeypatch.setattr("trialbench.store.opening.os.access", lambda *args: False)
    with pytest.raises(FileTrouble, match="older file form 1"):
        open_notebook_file(older, NOW, backups=tmp_path / "kept")
    assert stat.S_ISREG(older.stat().st_mode)


def test_a_form_that_no_migration_reaches_is_said():
    with pytest.raises(FileTrouble, match="file form 0"):
        pending(0, [])

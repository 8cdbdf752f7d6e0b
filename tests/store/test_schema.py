"""The tables are the records: same names, same references, strict."""

import sqlite3
import typing
from dataclasses import fields

import pytest

from trialbench.model.records import KINDS, REFERENCES
from trialbench.store.schema import RECORD_TABLES, SCHEMA

_TYPES = {str: "TEXT", int: "INTEGER", bool: "INTEGER", float: "REAL"}


@pytest.fixture
def db():
    connection = sqlite3.connect(":memory:")
    connection.executescript(SCHEMA)
    yield connection
    connection.close()


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.kind)
def test_columns_are_the_fields_with_their_types(db, kind):
    hints = typing.get_type_hints(kind)
    wanted = []
    for field in fields(kind):
        options = typing.get_args(hints[field.name]) or (hints[field.name],)
        plain = next(t for t in options if t is not type(None))
        needed = type(None) not in options
        wanted.append((field.name, _TYPES[plain], needed))
    columns = db.execute(f"PRAGMA table_info({kind.kind})").fetchall()
    assert [(c[1], c[2], bool(c[3])) for c in columns] == wanted


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.kind)
def test_foreign_keys_are_the_references_of_the_record(db, kind):
    keys = db.execute(f"PRAGMA foreign_key_list({kind.kind})").fetchall()
    assert {key[3]: key[2] for key in keys} == REFERENCES.get(kind.kind, {})


def test_every_table_is_strict_and_every_key_waits_for_the_commit(db):
    tables = db.execute("SELECT name, strict FROM pragma_table_list WHERE schema = 'main'")
    assert {name for name, strict in tables if not strict} <= {"sqlite_schema"}
    keys = [
        row for row in db.execute("SELECT sql FROM sqlite_master") if "REFERENCES" in (row[0] or "")
    ]
    assert keys
    for (sql,) in keys:
        assert sql.count("REFERENCES") == sql.count("DEFERRABLE INITIALLY DEFERRED")


def test_there_is_a_table_for_every_kind_and_no_other():
    made = {line.split()[2] for line in RECORD_TABLES.splitlines() if line.startswith("CREATE T")}
    assert made == {kind.kind for kind in KINDS}

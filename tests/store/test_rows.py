"""Writing and reading a record is the identity, in its table and in history."""

import json
import sqlite3

import pytest
from hypothesis import given

from tests.store.any_record import records
from trialbench.model.records import Measurement
from trialbench.model.steps import Change
from trialbench.store.rows import (
    change_of,
    changes_as_json,
    read_all,
    record_of,
    row_of,
    write_changes,
)
from trialbench.store.schema import SCHEMA


def _empty():
    db = sqlite3.connect(":memory:")
    db.executescript(SCHEMA)
    return db


@given(records())
def test_a_record_comes_back_from_its_table_as_it_was(record):
    db = _empty()
    write_changes(db, [Change(None, record)])
    found = read_all(db, type(record))
    assert found == [record]
    assert [type(v) for v in row_of(found[0])] == [type(v) for v in row_of(record)]
    write_changes(db, [Change(record, None)])
    assert read_all(db, type(record)) == []
    db.close()


@given(records(), records())
def test_a_change_comes_back_from_history_as_it_was(first, second):
    changes = (Change(None, first), Change(second, None))
    entries = json.loads(changes_as_json(changes))
    assert tuple(change_of(e["kind"], e["before"], e["after"]) for e in entries) == changes


def test_what_is_not_a_number_is_not_written():
    nan = Measurement("m", "p", "c", "2026-01-01T00:00:00.000Z", 0, mass_g=float("nan"))
    with pytest.raises(ValueError, match="not a finite number"):
        row_of(nan)


def test_nothing_where_something_must_be_is_refused():
    with pytest.raises(TypeError, match=r"measurement\.piece_id is missing"):
        record_of(Measurement, {"id": "m", "piece_id": None, "checkpoint_id": "c",
                                "made_utc": "", "offset_min": 0})  # fmt: skip


def test_names_that_a_record_does_not_have_are_ignored_and_missing_ones_default():
    made = record_of(Measurement, {
        "id": "m", "piece_id": "p", "checkpoint_id": "c", "made_utc": "", "offset_min": 0,
        "from_the_future": 1,
    })  # fmt: skip
    assert made == Measurement("m", "p", "c", "", 0)

"""Save a copy: one moment of the notebook, in one move."""

import sqlite3

import pytest

from trialbench.model.errors import FileTrouble
from trialbench.model.records import Taster
from trialbench.model.steps import Change
from trialbench.store.backup import notebook_id, save_copy
from trialbench.store.opening import open_notebook_file
from trialbench.store.rows import write_changes

NOW = "2026-03-07T12:00:00.000Z"


@pytest.fixture
def file(tmp_path):
    file = open_notebook_file(tmp_path / "kitchen.trialbench", NOW)
    with file.atomic() as db:
        write_changes(db, [Change(None, Taster("t", "Ann", 1))])
    yield file
    file.close()


def test_a_copy_is_a_notebook_with_the_same_id(file, tmp_path):
    target = tmp_path / "copy.trialbench"
    target.write_text("something older")
    save_copy(file.db, file.path, target)
    assert notebook_id(target) == notebook_id(file.path) != "unknown"
    copy = open_notebook_file(target, NOW)
    assert copy.load(Taster) == [Taster("t", "Ann", 1)]
    copy.close()
    assert not list(tmp_path.glob("*.new"))


def test_a_copy_onto_itself_is_refused(file):
    with pytest.raises(FileTrouble, match="another name"):
        save_copy(file.db, file.path, file.path)


def test_a_folder_that_is_gone_is_said_and_leaves_nothing(file, tmp_path):
    with pytest.raises(FileTrouble):
        save_copy(file.db, file.path, tmp_path / "gone" / "copy.trialbench")
    db = sqlite3.connect(file.path)
    assert db.execute("SELECT count(*) FROM taster").fetchone() == (1,)
    db.close()

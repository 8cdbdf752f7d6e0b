"""A damaged notebook: what can be read is brought over, and the damaged file is not touched."""

import pytest

from trialbench.model.errors import DamagedFile, FileTrouble
from trialbench.model.message import msg
from trialbench.model.records import Cover, Seat, Sitting, Taster
from trialbench.model.steps import Change, Step
from trialbench.store import history_table
from trialbench.store.notebook_file import put_draft
from trialbench.store.opening import open_notebook_file
from trialbench.store.rescue import rescue
from trialbench.store.rows import write_changes

NOW = "2026-03-07T12:00:00.000Z"
COUNT = 600


@pytest.fixture
def path(tmp_path):
    path = tmp_path / "kitchen.trialbench"
    file = open_notebook_file(path, NOW)
    with file.atomic() as db:
        records = [Cover("c", "Kitchen", NOW)]
        records += [Taster(f"t{n:04d}", f"Taster {n}", n) for n in range(COUNT)]
        for number, record in enumerate(records, start=1):
            step = Step(msg("written"), (Change(None, record),))
            history_table.append(db, number, step, NOW, 0)
            write_changes(db, step.changes)
        put_draft(db, "here", "half a word", NOW)
    file.close()
    return path


def _pages_of(path, table):
    file = open_notebook_file(path, NOW)
    found = file.db.execute("SELECT rootpage FROM sqlite_master WHERE name = ?", (table,))
    page = found.fetchone()[0]
    file.close()
    return page


def _scrawl(path, page):
    with path.open("rb+") as file:
        file.seek((page - 1) * 4096)
        file.write(b"\xff" * 4096)


def test_a_lost_table_is_read_from_history(path):
    _scrawl(path, _pages_of(path, "taster"))
    before = path.read_bytes()
    with pytest.raises(DamagedFile):
        open_notebook_file(path, NOW)
    found = rescue(path, NOW)
    assert path.read_bytes() == before
    assert found.path == path.with_name("kitchen-rescued.trialbench")
    assert found.records["taster"] == COUNT
    assert found.from_history >= COUNT - 1
    fresh = open_notebook_file(found.path, NOW)
    assert fresh.load(Taster) == [Taster(f"t{n:04d}", f"Taster {n}", n) for n in range(COUNT)]
    assert fresh.drafts() == {"here": "half a word"}
    fresh.close()


def test_a_lost_history_leaves_the_records(path):
    _scrawl(path, _pages_of(path, "history"))
    found = rescue(path, NOW)
    assert found.records == {"cover": 1, "taster": COUNT}
    assert found.from_history == 0


def test_a_file_cut_short_gives_what_it_still_holds(path):
    with path.open("rb+") as file:
        file.truncate(path.stat().st_size * 4 // 5)
    found = rescue(path, NOW)
    assert COUNT // 4 < found.records["taster"] <= COUNT


def test_rows_behind_a_lost_page_are_found_one_by_one(path):
    file = open_notebook_file(path, NOW)
    with file.atomic() as db:
        db.execute("DELETE FROM history")
    file.close()
    page = _leaf_in_the_middle(path, _pages_of(path, "taster"))
    _scrawl(path, page)
    found = rescue(path, NOW)
    assert COUNT // 2 < found.records["taster"] < COUNT
    fresh = open_notebook_file(found.path, NOW)
    positions = {taster.position for taster in fresh.load(Taster)}
    fresh.close()
    assert {0, COUNT - 1} <= positions


def _leaf_in_the_middle(path, root):
    """SQLite file format, b-tree pages: cell count at 3, cell pointers from 12, child first."""
    page = path.read_bytes()[(root - 1) * 4096 : root * 4096]
    cells = int.from_bytes(page[3:5], "big")
    place = 12 + 2 * (cells // 2)
    cell = int.from_bytes(page[place : place + 2], "big")
    return int.from_bytes(page[cell : cell + 4], "big")


def test_rescued_records_lead_somewhere(path):
    file = open_notebook_file(path, NOW)
    file.db.execute("PRAGMA foreign_keys = OFF")
    with file.atomic() as db:
        orphan = Sitting("s", "no trial", "no cook", 1)
        write_changes(db, [Change(None, orphan), Change(None, Seat("x", "s", "t0000", 1))])
    file.close()
    found = rescue(path, NOW)
    assert found.dropped == 2
    assert "sitting" not in found.records and "seat" not in found.records


def test_rows_with_nothing_in_them_are_left_behind(path):
    """Pages that were lost read as rows of nothing."""
    file = open_notebook_file(path, NOW)
    db = file.db
    db.execute("PRAGMA ignore_check_constraints = ON")
    db.execute("PRAGMA writable_schema = ON")
    db.execute("UPDATE sqlite_master SET sql = replace(sql, ' NOT NULL', '')")
    file.close()
    file = open_notebook_file(path, NOW)
    file.db.execute("UPDATE taster SET alias = NULL WHERE position < 5")
    file.db.execute("UPDATE history SET label = NULL, changes = NULL WHERE number < 8")
    file.close()
    found = rescue(path, NOW)
    assert found.records["taster"] == COUNT - 5
    assert found.steps == COUNT + 1 - 7


def test_a_second_rescue_takes_another_name(path):
    assert rescue(path, NOW).path != rescue(path, NOW).path


def test_nothing_to_read_is_said(path):
    path.write_bytes(b"\x00" * 20_000)
    with pytest.raises(FileTrouble, match="Nothing can be read"):
        rescue(path, NOW)
    assert [p.name for p in path.parent.iterdir()] == [path.name]

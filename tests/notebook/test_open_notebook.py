"""The open notebook: cover, listeners, drafts, history by pages, trouble."""

import pytest

from tests.notebook.kitchen_book import begun, opened, planned
from trialbench.model.errors import FileTrouble, HeldElsewhere, Refused, Sealed
from trialbench.model.message import msg
from trialbench.model.records import Cover, Measurement, Piece, Taster, Trial, new_id
from trialbench.model.steps import Change, Step, added, removed
from trialbench.notebook import views
from trialbench.notebook.acts import question, tasters
from trialbench.notebook.clock import local_time
from trialbench.store.opening import connect


def test_a_new_notebook_has_its_cover_and_says_what_was_written(nb):
    assert views.cover(nb).name == "kitchen"
    assert nb.last_written.label == msg("Notebook begun")
    assert nb.last_written.offset_min == 60
    assert local_time(nb.last_written.made_utc, 60).hour == 13
    assert nb.trouble is None and not nb.read_only


def test_listeners_hear_the_kinds_after_the_step_is_in(nb):
    heard = []
    end = nb.subscribe(lambda kinds: heard.append((kinds, len(nb.all(Trial)))))
    begun(nb)
    assert heard == [(frozenset({"trial", "method", "checkpoint"}), 1)]
    end()
    end()
    begun(nb)
    assert len(heard) == 1


def test_history_comes_in_pages_newest_first(nb):
    for n in range(5):
        nb.apply(tasters.add_taster(nb, f"T{n}"))
    first = nb.history(limit=4)
    assert [row.number for row in first] == [6, 5, 4, 3]
    assert [row.number for row in nb.history(before=3, limit=4)] == [2, 1]
    assert str(first[0].label) == "T4 tastes"
    assert first[0].origin == "desk" and not first[0].barrier


def test_a_step_that_changes_nothing_writes_nothing(nb):
    number = nb.apply(tasters.add_taster(nb, "Ann"))
    taster = nb.all(Taster)[0]
    assert nb.apply(tasters.name_taster(nb, taster.id, "Ann")) == number
    assert nb.history(limit=1)[0].number == number


def test_a_draft_survives_and_goes_with_the_step_that_takes_it(tmp_path):
    with opened(tmp_path) as nb:
        nb.write_draft("trial:food", "pork sh")
        nb.write_draft("other", "x")
        nb.clear_draft("other")
    with opened(tmp_path) as nb:
        assert dict(nb.drafts) == {"trial:food": "pork sh"}
        nb.apply(question.begin_trial(nb, "pork shoulder"), clears_draft="trial:food")
        assert nb.draft("trial:food") is None
    with opened(tmp_path) as nb:
        assert nb.drafts == {}


def test_a_refused_step_leaves_its_draft(nb):
    nb.write_draft("here", "12 00")
    taster = Taster(new_id(), "Ann", 1)
    with pytest.raises(Refused):
        nb.apply(Step(msg("x"), removed(taster)), clears_draft="here")
    assert nb.draft("here") == "12 00"


def test_a_step_from_an_older_state_is_refused(nb):
    begun(nb)
    trial = nb.all(Trial)[0]
    step = question.set_words(nb, trial.id, "food", "ham")
    nb.apply(question.set_words(nb, trial.id, "food", "neck"))
    with pytest.raises(Refused, match="changed elsewhere"):
        nb.apply(step)
    assert nb.get(Trial, trial.id).food == "neck"


def test_what_others_refer_to_cannot_be_removed_nor_lead_nowhere(nb):
    begun(nb)
    trial = nb.all(Trial)[0]
    with pytest.raises(Refused, match="still needs this"):
        nb.apply(Step(msg("x"), removed(trial)))
    with pytest.raises(Refused, match="still needs this"):
        nb.apply(Step(msg("x"), added(Piece(new_id(), "no cook", 1, "P01"))))


def test_one_record_is_changed_once_in_a_step(nb):
    taster = Taster(new_id(), "Ann", 1)
    with pytest.raises(ValueError, match="twice"):
        nb.apply(Step(msg("x"), (*added(taster), Change(None, taster))))


def test_there_is_one_measurement_of_a_piece_at_a_checkpoint(nb):
    trial_id = planned(nb)
    piece, raw = views.all_pieces(nb, trial_id)[0], views.checkpoints(nb, trial_id)[0]
    first = Measurement(new_id(), piece.id, raw.id, "", 0, 1000.0)
    second = Measurement(new_id(), piece.id, raw.id, "", 0, 1001.0)
    with pytest.raises(Refused, match="one of these already"):
        nb.apply(Step(msg("x"), added(first, second)))
    nb.apply(Step(msg("x"), added(first)))
    with pytest.raises(Refused, match="one of these already"):
        nb.apply(Step(msg("x"), added(second)))
    nb.apply(Step(msg("x"), (*removed(first), *added(second))))


def test_a_barrier_is_not_taken_back(nb):
    step = Step(msg("Plan sealed"), added(Taster(new_id(), "Ann", 1)), barrier=True)
    nb.apply(step)
    with pytest.raises(Sealed, match="cannot be taken back"):
        nb.revert(step)


def test_a_full_disk_leaves_memory_and_file_as_they_were(nb):
    before, number = nb.snapshot().as_set(), nb.history(limit=1)[0].number
    pages = nb._file.db.execute("PRAGMA page_count").fetchone()[0]
    nb._file.db.execute(f"PRAGMA max_page_count = {pages}")
    heard = []
    nb.subscribe(heard.append)
    many = added(*(Taster(new_id(), "long " * 40, n) for n in range(500)))
    with pytest.raises(FileTrouble, match="disk is full"):
        nb.apply(Step(msg("x"), many))
    assert nb.snapshot().as_set() == before and heard == []
    assert nb.history(limit=1)[0].number == number
    assert "disk is full" in str(nb.trouble)
    nb._file.db.execute("PRAGMA max_page_count = 100000")
    nb.apply(Step(msg("x"), many))
    assert nb.trouble is None


def test_the_second_window_reads_and_follows(tmp_path):
    with opened(tmp_path) as first, opened(tmp_path) as second:
        assert isinstance(second.trouble, HeldElsewhere)
        with pytest.raises(HeldElsewhere):
            second.apply(tasters.add_taster(second, "Ann"))
        with pytest.raises(HeldElsewhere):
            second.write_draft("here", "x")
        assert not second.refresh()
        first.apply(tasters.add_taster(first, "Ann"))
        heard = []
        second.subscribe(heard.append)
        assert second.refresh()
        assert [t.alias for t in second.all(Taster)] == ["Ann"]
        assert len(heard) == 1 and "taster" in heard[0]


def test_two_writers_cannot_overwrite_each_other(tmp_path):
    """Where the system has no locks, the numbers of history still tell."""
    with opened(tmp_path) as first:
        second = opened(tmp_path)
        second._file.opened_with = None
        second._file.db.close()
        second._file.db = connect(second.path)
        first.apply(tasters.add_taster(first, "Ann"))
        with pytest.raises(FileTrouble) as error:
            second.apply(tasters.add_taster(second, "Ben"))
        assert "history.number" in error.value.cause
        second.close()
        assert [t.alias for t in first.all(Taster)] == ["Ann"]


def test_a_snapshot_stays_as_it_was(nb):
    then = nb.snapshot()
    nb.apply(tasters.add_taster(nb, "Ann"))
    assert then.all(Taster) == () and len(nb.all(Taster)) == 1
    assert then.get(Cover, views.cover(nb).id) == views.cover(nb)


def test_a_copy_opens_as_a_notebook(nb, tmp_path):
    nb.apply(tasters.add_taster(nb, "Ann"))
    nb.save_copy(tmp_path / "copy.trialbench")
    with opened(tmp_path, "copy.trialbench") as copy:
        assert copy.snapshot().as_set() == nb.snapshot().as_set()

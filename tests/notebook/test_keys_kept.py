"""The key of a sitting in the notebook: sealed and opened with its step, or not at all."""

from dataclasses import replace

import pytest

from tests.notebook.kitchen_book import KEY, opened, opened_key, planned, sealed_key, seated
from trialbench.model.errors import FileTrouble, Refused, Sealed
from trialbench.model.message import msg
from trialbench.model.records import KeyLook, Sample, Sitting
from trialbench.model.steps import Change, Step
from trialbench.notebook import views
from trialbench.notebook.acts import sitting


@pytest.fixture
def sitting_id(nb):
    return seated(nb, planned(nb))


def test_sealing_writes_samples_key_and_guard_together(nb, sitting_id):
    sealed_key(nb, sitting_id, "blue kettle")
    found = nb.get(Sitting, sitting_id)
    assert (found.key_state, found.key_guard) == ("sealed", "passphrase")
    assert len(nb.all(Sample)) == 4 and nb.history(limit=1)[0].barrier
    assert KEY not in nb.path.read_bytes()


def test_a_curtain_is_called_a_curtain(nb, sitting_id):
    sealed_key(nb, sitting_id)
    assert nb.get(Sitting, sitting_id).key_guard == "curtain"
    assert nb.curtain_keys(nb.get(Sitting, sitting_id).trial_id) == (KEY,)


def test_a_key_opens_after_reopening_with_its_passphrase_only(tmp_path):
    with opened(tmp_path) as nb:
        sitting_id = seated(nb, planned(nb))
        sealed_key(nb, sitting_id, "blue kettle")
    with opened(tmp_path) as nb:
        with pytest.raises(Refused, match="not the passphrase"):
            opened_key(nb, sitting_id, "red kettle")
        assert nb.get(Sitting, sitting_id).key_state == "sealed"
        assert nb.curtain_keys(nb.get(Sitting, sitting_id).trial_id) == ()
        assert opened_key(nb, sitting_id, "blue kettle") == KEY
        assert nb.get(Sitting, sitting_id).lot_number == 77
        assert all(sample.piece_id for sample in nb.all(Sample))


def test_a_key_is_sealed_once(nb, sitting_id):
    sealed_key(nb, sitting_id)
    with pytest.raises(Sealed):
        sealed_key(nb, sitting_id)


def test_a_key_that_is_not_the_one_in_the_step_is_refused(nb, sitting_id):
    found = nb.get(Sitting, sitting_id)
    shut = replace(found, key_state="sealed", key_fingerprint="0" * 64)
    step = Step(msg("x"), (Change(found, shut),), barrier=True)
    with pytest.raises(FileTrouble, match="fingerprint"):
        nb.seal_key(sitting_id, KEY, step)
    assert nb.get(Sitting, sitting_id) == found


def test_a_sitting_is_not_sealed_without_its_key(nb, sitting_id):
    found = nb.get(Sitting, sitting_id)
    step = Step(msg("x"), (Change(found, replace(found, key_state="sealed")),), barrier=True)
    with pytest.raises(ValueError, match="seal_key"):
        nb.apply(step)


def test_there_is_no_key_before_it_is_sealed(nb, sitting_id):
    with pytest.raises(Refused, match="no sealed key"):
        nb.key_for_server(sitting_id)


def test_the_servers_look_is_written_down_and_opens_nothing(nb, sitting_id):
    sealed_key(nb, sitting_id)
    assert nb.key_for_server(sitting_id) == KEY
    assert "server looked" in str(nb.history(limit=1)[0].label)
    assert nb.get(Sitting, sitting_id).key_state == "sealed"


def test_each_look_is_a_record_that_stays(nb, sitting_id):
    sealed_key(nb, sitting_id)
    before = nb.history(limit=1)[0].number
    nb.key_for_server(sitting_id)
    nb.key_for_server(sitting_id, printed=True)
    assert [look.reason for look in nb.all(KeyLook)] == ["plates shown", "plate map printed"]
    assert "plate map of sitting 1 on paper" in str(nb.history(limit=1)[0].label)
    look = nb.all(KeyLook)[0]
    with pytest.raises(Sealed, match="stays written down"):
        nb.apply(Step(msg("x"), (Change(look, None),)))
    nb.restore(before)
    assert len(nb.all(KeyLook)) == 2


def test_seats_and_samples_stay_once_the_key_is_sealed(nb, sitting_id):
    sealed_key(nb, sitting_id)
    seat = views.seats(nb, sitting_id)[0]
    for make in (
        lambda: sitting.unseat_taster(nb, seat.id),
        lambda: sitting.remove_sitting(nb, sitting_id),
    ):
        with pytest.raises(Sealed):
            make()
    sample = nb.all(Sample)[0]
    with pytest.raises(Sealed):
        nb.apply(Step(msg("x"), (Change(sample, replace(sample, code="999")),)))
    nb.apply(sitting.leave(nb, seat.id, "a train"))
    nb.apply(sitting.set_sitting(nb, sitting_id, "allergens", "wheat"))

"""A taster's name goes from everywhere that this program wrote it; the scores stay."""

import shutil

import pytest

from tests.notebook.kitchen_book import juiciness, opened, planned, sealed_key, seated
from trialbench.model.errors import Sealed
from trialbench.model.records import Score, Seat, Taster
from trialbench.notebook import views
from trialbench.notebook.acts import leaving_out, scores, sitting, tasters
from trialbench.store.backup import copy_before_migrating

NAME = "Wilhelmina"


@pytest.fixture
def told(tmp_path):
    """A notebook and a backup of it that speak of one taster in many places."""
    with opened(tmp_path) as nb:
        nb.apply(tasters.add_taster(nb, "Will", "walnuts"))
        taster = nb.all(Taster)[0]
        nb.apply(tasters.name_taster(nb, taster.id, NAME))
        trial_id = planned(nb)
        sitting_id = seated(nb, trial_id, count=1)
        samples, outcome = sealed_key(nb, sitting_id), juiciness(nb, trial_id)
        nb.apply(scores.set_score(nb, samples[0].id, outcome.id, "7"))
        why = f"{NAME} had a cold"
        nb.apply(scores.set_score_missing(nb, samples[1].id, outcome.id, why))
        nb.apply(sitting.leave(nb, views.seats(nb, sitting_id)[0].id, why))
        nb.apply(leaving_out.leave_out(nb, trial_id, "taster", taster.id, why))
        nb.write_draft(f"taster:{taster.id}:avoids", "almo")
        nb.write_draft("remark", f"ask {NAME}")
        nb.write_draft("other", "stays")
        copy_before_migrating(nb.path, 1, "2026-03-01", tmp_path / "backups")
        yield nb


def test_nothing_is_left_of_the_name(told, tmp_path):
    taster = told.all(Taster)[0]
    told.redact_taster(taster.id)
    told.close()
    files = [told.path, *(tmp_path / "backups").iterdir()]
    assert len(files) == 2
    for path in files:
        data = path.read_bytes()
        for word in (NAME, "Will", "walnuts", "almo"):
            assert word.encode() not in data, (path.name, word)


def test_the_scores_stay_under_taster_n(told, tmp_path):
    before = told.all(Score)[0]
    taster = told.all(Taster)[0]
    told.redact_taster(taster.id)
    assert told.get(Taster, taster.id) == Taster(taster.id, "Taster 1", 1)
    assert told.get(Score, before.id) == before
    assert told.all(Seat)[0].left_reason == "Taster 1 had a cold"
    assert dict(told.drafts) == {"other": "stays"}
    assert [str(row.label) for row in told.history(limit=2)][1].startswith("Taster 1 left out")
    state = told.snapshot().as_set()
    told.close()
    with opened(tmp_path) as again:
        assert again.snapshot().as_set() == state


def test_going_back_does_not_bring_the_name_back(told):
    taster = told.all(Taster)[0]
    number = told.history(limit=1)[0].number
    told.redact_taster(taster.id)
    told.restore(number)
    assert told.get(Taster, taster.id).alias == "Taster 1"


def test_another_notebooks_backup_is_left_alone(told, tmp_path):
    other = tmp_path / "backups" / "kitchen-0000-form1-x.trialbench"
    shutil.copy(told.path, other)
    told.redact_taster(told.all(Taster)[0].id)
    assert NAME.encode() in other.read_bytes()


def test_a_taster_who_sat_is_redacted_not_removed(nb):
    trial_id = planned(nb)
    sitting_id = seated(nb, trial_id)
    seat = views.seats(nb, sitting_id)[0]
    with pytest.raises(Exception, match="stays on the list"):
        nb.apply(tasters.remove_taster(nb, seat.taster_id))
    sealed_key(nb, sitting_id)
    with pytest.raises(Sealed):
        sitting.unseat_taster(nb, seat.id)

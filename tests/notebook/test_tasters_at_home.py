"""Tasters of a kitchen beside the invented ones of the examples."""

import pytest

from tests.notebook.kitchen_book import planned
from trialbench.exchange.bringing import read_package
from trialbench.model.errors import Refused
from trialbench.model.records import Seat, Sitting, Taster
from trialbench.notebook import views
from trialbench.notebook.acts import new_record, sitting, tasters
from trialbench.notebook.views.table import tasters_at_home
from trialbench.paths import example_trials


@pytest.fixture
def beside_an_example(nb):
    nb.apply(read_package(example_trials() / "turkey-breast-slow-or-hot-oven", nb))
    trial_id = planned(nb)
    step = sitting.make_sitting(nb, views.cooks(nb, trial_id)[0].id)
    nb.apply(step)
    return new_record(step, Sitting)


def test_the_first_taster_of_a_kitchen_is_number_one(nb, beside_an_example):
    assert views.seats(nb, beside_an_example.id) == ()
    nb.apply(tasters.seat_new_tasters(nb, beside_an_example.id, 2))
    names = [nb.get(Taster, s.taster_id).alias for s in views.seats(nb, beside_an_example.id)]
    assert names == ["Taster 1", "Taster 2"]
    nb.apply(tasters.seat_new_taster(nb, beside_an_example.id, ""))
    assert [t.alias for t in tasters_at_home(nb)] == ["Taster 1", "Taster 2", "Taster 3"]
    with pytest.raises(Refused, match="already"):
        tasters.seat_new_taster(nb, beside_an_example.id, "taster 2")


def test_two_of_one_alias_never_sit_at_one_trial(nb, beside_an_example):
    nb.apply(tasters.seat_new_tasters(nb, beside_an_example.id, 1))
    own = tasters_at_home(nb)[0]
    example = next(s for s in nb.all(Sitting) if s.trial_id != beside_an_example.trial_id)
    there = {nb.get(Taster, s.taster_id).alias for s in nb.all(Seat, sitting_id=example.id)}
    nb.apply(tasters.name_taster(nb, own.id, sorted(there)[0]))
    with pytest.raises(Refused, match="sits at this trial"):
        sitting.seat_taster(nb, example.id, own.id)

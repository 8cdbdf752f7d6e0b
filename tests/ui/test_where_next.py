"""From the contents a trial opens where there is something to do."""

from tests.notebook.kitchen_book import opened, planned, sealed_key, sealed_plan, seated
from trialbench.notebook import views
from trialbench.notebook.acts import cooking
from trialbench.ui.pages.where_next import page_to_open


def test_a_trial_that_is_cooked_opens_on_cook_whatever_is_not_complete(tmp_path):
    with opened(tmp_path) as nb:
        trial_id = planned(nb)
        assert page_to_open(nb, trial_id) == "methods"
        day = views.cooks(nb, trial_id)[0]
        raw, *_, last = views.checkpoints(nb, trial_id)
        pieces = views.pieces(nb, day.id)
        nb.apply(cooking.set_mass(nb, pieces[0].id, raw.id, "900"))
        assert page_to_open(nb, trial_id) == "cook"
        for piece in pieces:
            nb.apply(cooking.set_mass(nb, piece.id, last.id, "700"))
        assert page_to_open(nb, trial_id) == "tasting"
        sealed_key(nb, seated(nb, trial_id))
        assert page_to_open(nb, trial_id) == "tasting"


def test_a_sealed_plan_opens_on_cook(tmp_path):
    with opened(tmp_path) as nb:
        trial_id = planned(nb)
        sealed_plan(nb, trial_id)
        assert page_to_open(nb, trial_id) == "cook"

"""Outcomes that should come closest to a number, and where methods come from."""

import pytest

from tests.notebook.kitchen_book import begun
from trialbench.model.errors import Refused
from trialbench.model.records import Trial
from trialbench.notebook import views
from trialbench.notebook.acts import outcomes, question
from trialbench.notebook.acts.origins import write_origin
from trialbench.notebook.acts.targets import set_better, set_target
from trialbench.notebook.views import shapes


def decided(nb, word="saltier"):
    trial_id = begun(nb)
    nb.apply(question.set_came_out(nb, trial_id, word))
    return trial_id, views.deciding(nb, trial_id)


def test_the_cooks_word_can_name_a_target(nb):
    trial_id, salt = decided(nb, "closer to 5 in saltiness")
    assert (salt.name, salt.better, salt.target) == ("saltiness", "target", 5.0)
    nb.apply(question.set_came_out(nb, trial_id, "closest to 6"))
    salt = views.deciding(nb, trial_id)
    assert (salt.name, salt.target) == ("saltiness", 6.0)
    nb.apply(question.set_came_out(nb, trial_id, "saltier"))
    salt = views.deciding(nb, trial_id)
    assert (salt.better, salt.target) == ("more", None)


def test_a_target_of_nothing_is_refused(nb):
    trial_id = begun(nb)
    with pytest.raises(Refused, match="in what"):
        question.set_came_out(nb, trial_id, "closer to 5")
    with pytest.raises(Refused, match="takes 1 to 9"):
        question.set_came_out(nb, trial_id, "closer to 12 in saltiness")


def test_a_target_gives_the_question_its_word(nb):
    trial_id, salt = decided(nb)
    nb.apply(question.set_matters(nb, trial_id, "7 points"))
    nb.apply(set_better(nb, salt.id, "target"))
    assert not shapes.is_asked(nb, nb.get(Trial, trial_id))
    nb.apply(set_target(nb, salt.id, "5"))
    trial = nb.get(Trial, trial_id)
    # From 5 no score of 1 to 9 is farther than 4.
    assert (trial.came_out, trial.matters) == ("closer to 5 in saltiness", None)
    with pytest.raises(Refused, match="no two ways can differ"):
        question.set_matters(nb, trial_id, "4")
    nb.apply(question.set_matters(nb, trial_id, "1"))
    assert shapes.is_asked(nb, nb.get(Trial, trial_id))
    nb.apply(set_better(nb, salt.id, "less"))
    assert nb.get(Trial, trial_id).came_out == "less salty"


def test_a_target_of_something_else_leaves_the_question(nb):
    trial_id, _ = decided(nb, "juicier")
    nb.apply(outcomes.add_attribute(nb, trial_id, "saltiness"))
    salt = views.other_outcomes(nb, trial_id)[0]
    nb.apply(set_target(nb, salt.id, "5"))
    assert nb.get(Trial, trial_id).came_out == "juicier"
    assert views.other_outcomes(nb, trial_id)[0].target == 5.0


def test_a_method_says_where_this_trial_departs_from_it(nb):
    trial_id = begun(nb)
    b = views.methods(nb, trial_id)[1]
    nb.apply(write_origin(nb, b.id, "origin", "cited"))
    nb.apply(write_origin(nb, b.id, "origin_note", "a page of a letter"))
    nb.apply(write_origin(nb, b.id, "departs", "an hour less"))
    b = views.methods(nb, trial_id)[1]
    assert (b.origin, b.origin_note, b.departs) == ("cited", "a page of a letter", "an hour less")
    with pytest.raises(Refused):
        write_origin(nb, b.id, "origin", "stolen")

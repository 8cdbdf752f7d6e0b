"""Acts on the Question page."""

import pytest

from tests.notebook.kitchen_book import begun, planned, sealed_key, sealed_plan, seated
from trialbench.model.errors import Refused, Sealed
from trialbench.model.records import Checkpoint, Method, Outcome, Trial
from trialbench.notebook import views
from trialbench.notebook.acts import cover, decision, kinds, methods, outcomes, question, scores
from trialbench.notebook.acts.attribute_words import asked_by_name, asked_by_word


def test_a_trial_begins_with_two_methods_and_the_next_number(nb):
    begun(nb)
    trial_id = begun(nb)
    trial = nb.get(Trial, trial_id)
    assert (trial.number, trial.food) == (2, "pork shoulder")
    named = [(m.letter, m.name) for m in views.methods(nb, trial_id)]
    assert named == [("A", "held dry"), ("B", "held in its juices")]
    assert [c.name for c in views.checkpoints(nb, trial_id)] == ["raw", "served"]


def test_a_method_follows_its_way_until_it_is_named(nb):
    trial_id = begun(nb)
    nb.apply(question.set_words(nb, trial_id, "idea", "  in a  pan "))
    assert views.methods(nb, trial_id)[1].name == "in a pan"
    nb.apply(methods.name_method(nb, views.methods(nb, trial_id)[1].id, "Pan"))
    nb.apply(question.set_words(nb, trial_id, "idea", "in a covered pan"))
    assert views.methods(nb, trial_id)[1].name == "Pan"


def test_typing_in_one_field_is_one_burst(nb):
    trial_id = begun(nb)
    first = question.set_words(nb, trial_id, "food", "h")
    assert first.burst == question.set_words(nb, trial_id, "food", "ha").burst != ""
    assert first.burst != question.set_words(nb, trial_id, "idea", "h").burst


def test_words_that_are_too_long_are_refused(nb):
    with pytest.raises(Refused, match="longer than 80") as error:
        question.begin_trial(nb, "x" * 81)
    assert error.value.field == "trial.food" and error.value.way_out


@pytest.mark.parametrize(
    ("word", "name", "better"),
    [
        ("juicier", "juiciness", "more"),
        ("Juicier ", "juiciness", "more"),
        ("less salty", "saltiness", "less"),
        ("nuttier", "nuttiness", "more"),
        ("more floral", "floralness", "more"),
        ("less chewy", "chewiness", "less"),
        ("red", "red", "more"),
    ],
)
def test_the_cooks_word_becomes_what_is_scored(word, name, better):
    asked = asked_by_word(word)
    assert (asked.attribute.name, asked.better, asked.source) == (name, better, "attribute")


def test_a_name_of_the_library_brings_its_words():
    assert asked_by_name("juiciness").attribute.more_word == "juicier"
    assert asked_by_name("nuttiness").fields()["more_word"] == "more nuttiness"


def test_the_word_makes_the_outcome_that_decides_and_renames_it(nb):
    trial_id = begun(nb)
    nb.apply(question.set_came_out(nb, trial_id, "juicier"))
    first = views.deciding(nb, trial_id)
    assert (first.name, first.better) == ("juiciness", "more")
    nb.apply(question.set_came_out(nb, trial_id, "less salty"))
    second = views.deciding(nb, trial_id)
    assert (second.id, second.name, second.better) == (first.id, "saltiness", "less")
    nb.apply(question.set_came_out(nb, trial_id, ""))
    assert views.deciding(nb, trial_id) == second


def test_losing_less_is_weighed_not_tasted(nb):
    trial_id = begun(nb)
    nb.apply(question.set_came_out(nb, trial_id, "loses less"))
    outcome = views.deciding(nb, trial_id)
    assert (outcome.source, outcome.better, outcome.unit) == ("loss", "less", "%")
    raw, served = views.checkpoints(nb, trial_id)
    assert (outcome.from_checkpoint_id, outcome.to_checkpoint_id) == (raw.id, served.id)


@pytest.mark.parametrize(
    ("typed", "size", "scale"),
    [
        ("0.8 points in 10", 0.8, "line_10"),
        ("0,5", 0.5, "points_9"),
        ("1 point in 9", 1, "points_9"),
        ("half a point", 0.5, "points_9"),
        ("some", None, None),
        ("0", None, None),
        ("-1", None, None),
        ("10", None, None),
        ("0.8 points in 7", None, None),
        ("1,000.5", None, None),
    ],
)
def test_what_matters_is_read_with_its_scale(nb, typed, size, scale):
    trial_id = begun(nb)
    nb.apply(question.set_came_out(nb, trial_id, "juicier"))
    if size is None:
        with pytest.raises(Refused) as error:
            question.set_matters(nb, trial_id, typed)
        assert error.value.allowed and error.value.way_out
        return
    nb.apply(question.set_matters(nb, trial_id, typed))
    trial = nb.get(Trial, trial_id)
    assert (trial.matters, trial.matters_typed) == (size, typed)
    assert views.deciding(nb, trial_id).scale == scale


def test_what_matters_of_a_loss_is_percent(nb):
    trial_id = begun(nb)
    nb.apply(question.set_came_out(nb, trial_id, "loses less"))
    nb.apply(question.set_matters(nb, trial_id, "2 %"))
    assert nb.get(Trial, trial_id).matters == 2
    with pytest.raises(Refused):
        question.set_matters(nb, trial_id, "100 %")


def test_what_matters_of_a_weight_is_in_grams(nb):
    trial_id = begun(nb)
    nb.apply(outcomes.add_measured(nb, trial_id, "mass"))
    nb.apply(outcomes.set_decides(nb, views.outcomes(nb, trial_id)[0].id))
    nb.apply(cover.show_in(nb, "mass_unit", "oz"))
    nb.apply(question.set_matters(nb, trial_id, "2"))
    assert nb.get(Trial, trial_id).matters == pytest.approx(56.69904625)


def test_the_scale_that_was_scored_stays(nb):
    trial_id = planned(nb)
    samples = sealed_key(nb, seated(nb, trial_id))
    outcome = views.deciding(nb, trial_id)
    nb.apply(scores.set_score(nb, samples[0].id, outcome.id, "5"))
    with pytest.raises(Refused, match=r"scored from 0 to 10"):
        question.set_matters(nb, trial_id, "1 point in 9")
    with pytest.raises(Refused, match="scale stays"):
        outcomes.set_outcome(nb, outcome.id, "scale", "points_9")
    with pytest.raises(Refused, match="has scores"):
        outcomes.remove_outcome(nb, outcome.id)


def test_at_least_as_good_names_the_easier_one(nb):
    trial_id = begun(nb)
    a, b = views.methods(nb, trial_id)
    nb.apply(kinds.choose_question(nb, trial_id, "at_least_as_good"))
    assert nb.get(Trial, trial_id).easier_id == b.id
    nb.apply(kinds.choose_question(nb, trial_id, "at_least_as_good", a.id))
    assert nb.get(Trial, trial_id).easier_id == a.id
    nb.apply(kinds.choose_question(nb, trial_id, "better"))
    assert nb.get(Trial, trial_id).easier_id is None


def test_another_measure_decides_and_its_size_is_asked_anew(nb):
    trial_id = planned(nb)
    nb.apply(outcomes.add_measured(nb, trial_id, "loss"))
    loss = views.outcomes(nb, trial_id)[-1]
    assert loss.name == "loss of raw weight"
    nb.apply(outcomes.set_decides(nb, loss.id))
    trial = nb.get(Trial, trial_id)
    assert (trial.decides_id, trial.matters) == (loss.id, None)
    nb.apply(outcomes.remove_outcome(nb, loss.id))
    assert nb.get(Trial, trial_id).decides_id is None
    with pytest.raises(Refused, match="on the list already"):
        outcomes.add_attribute(nb, trial_id, "Juiciness")


def test_a_loss_needs_two_weighings(nb):
    trial_id = begun(nb)
    raw = nb.all(Checkpoint)[0]
    with pytest.raises(Refused, match="two weighings"):
        outcomes.add_measured(nb, trial_id, "loss", raw.id, raw.id)


def test_a_third_method_takes_over_what_is_parted_and_can_go_again(nb):
    trial_id = planned(nb)
    before = nb.snapshot().as_set()
    nb.apply(methods.add_method(nb, trial_id, "in foil"))
    third = views.methods(nb, trial_id)[-1]
    assert third.letter == "C"
    hold = views.stages(nb, trial_id)[-1]
    assert len(views.parts(nb, hold.id, "medium")) == 3
    nb.apply(methods.remove_method(nb, third.id))
    assert nb.snapshot().as_set() == before
    with pytest.raises(Refused, match="stays"):
        methods.remove_method(nb, nb.all(Method)[0].id)


def test_once_sealed_question_and_deciding_outcome_stay(nb):
    trial_id = planned(nb)
    sealed_plan(nb, trial_id)
    outcome = views.deciding(nb, trial_id)
    for make in (
        lambda: question.set_words(nb, trial_id, "idea", "x"),
        lambda: question.set_matters(nb, trial_id, "1"),
        lambda: kinds.choose_question(nb, trial_id, "same_recipe"),
        lambda: outcomes.set_outcome(nb, outcome.id, "better", "less"),
        lambda: outcomes.remove_outcome(nb, outcome.id),
        lambda: methods.add_method(nb, trial_id, "x"),
        lambda: methods.name_method(nb, nb.all(Method)[0].id, "x"),
    ):
        with pytest.raises(Sealed, match="plan is sealed"):
            make()
    nb.apply(outcomes.set_outcome(nb, outcome.id, "asked_as", "How juicy?"))
    nb.apply(question.set_words(nb, trial_id, "remark", "rain"))
    nb.apply(methods.set_origin(nb, nb.all(Method)[0].id, "learned", "a cook's letter"))
    nb.apply(outcomes.add_attribute(nb, trial_id, "bark"))
    assert len(nb.all(Outcome)) == 2


def test_every_decision_is_kept_and_the_last_one_holds(nb):
    trial_id = begun(nb)
    nb.apply(decision.decide(nb, trial_id, "again", "too few days"))
    nb.apply(decision.decide(nb, trial_id, "change"))
    assert views.decision(nb, trial_id).choice == "change"
    assert decision.decide(nb, trial_id, "change").changes == ()
    with pytest.raises(Refused):
        decision.decide(nb, trial_id, "maybe")
    nb.apply(decision.hand_on(nb, trial_id, "md", "Juicier", "{}"))
    assert views.handed_on(nb, trial_id)[0].headline == "Juicier"

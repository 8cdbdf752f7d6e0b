"""What is varied, and the methods that follow from it."""

import pytest

from tests.notebook.kitchen_book import begun
from trialbench.model.errors import Refused
from trialbench.model.records import Factor, Method, Stage, Trial
from trialbench.notebook import views
from trialbench.notebook.acts import (
    ideas,
    kinds,
    methods,
    new_record,
    plan,
    question,
    shapes,
    stages,
)
from trialbench.notebook.views import shapes as seen


def asked(nb, *levels, food="octopus arms"):
    """A trial that asks which setting, with one thing varied at these levels."""
    step = question.begin_trial(nb, food, "simmered in stock", question="which_setting")
    nb.apply(step)
    trial_id = new_record(step, Trial).id
    factor = seen.factors(nb, trial_id)[0]
    for typed in levels:
        nb.apply(shapes.add_level(nb, factor.id, typed))
    return trial_id


def crossed(nb):
    trial_id = asked(nb, "stock", "sealed bag in water")
    nb.apply(shapes.name_factor(nb, seen.factors(nb, trial_id)[0].id, "medium"))
    nb.apply(shapes.vary(nb, trial_id, "temperature"))
    second = seen.factors(nb, trial_id)[1]
    for typed in ("77 °C", "88"):
        nb.apply(shapes.add_level(nb, second.id, typed))
    return trial_id


def named(nb, trial_id):
    return [(m.letter, m.name) for m in views.methods(nb, trial_id)]


def test_every_setting_makes_a_method(nb):
    trial_id = asked(nb, "60 °C", "65 °C", "70 °C")
    assert named(nb, trial_id) == [("A", "60 °C"), ("B", "65 °C"), ("C", "70 °C")]
    trial, factor = nb.get(Trial, trial_id), seen.factors(nb, trial_id)[0]
    assert (trial.shape, factor.ordered) == ("ordered", True)
    assert [level.number for level in seen.levels(nb, factor.id)] == [60.0, 65.0, 70.0]


def test_words_make_levels_in_no_order(nb):
    trial_id = asked(nb, "dry", "covered")
    assert nb.get(Trial, trial_id).shape == "levels"
    assert named(nb, trial_id) == [("A", "dry"), ("B", "covered")]


def test_two_things_are_crossed_and_the_unit_is_said_once(nb):
    trial_id = crossed(nb)
    assert named(nb, trial_id) == [
        ("A", "stock, 77 °C"),
        ("B", "stock, 88 °C"),
        ("C", "sealed bag in water, 77 °C"),
        ("D", "sealed bag in water, 88 °C"),
    ]
    trial = nb.get(Trial, trial_id)
    assert (trial.shape, trial.idea) == ("crossed", "medium and temperature")
    assert views.title(trial) is not None
    a = views.methods(nb, trial_id)[0]
    assert [level.text for level in seen.levels_of_method(nb, a.id)] == ["stock", "77 °C"]


def test_a_line_holds_what_is_varied_and_follows_it(nb):
    trial_id = crossed(nb)
    medium, temperature = seen.factors(nb, trial_id)
    nb.apply(shapes.set_line(nb, medium.id, "simmer", "medium"))
    stage = views.stages(nb, trial_id)[0]
    nb.apply(shapes.set_line(nb, temperature.id, stage.id, "set_temp_c"))
    held = [
        (
            views.resolved_stage(nb, stage, m.id).medium,
            views.resolved_stage(nb, stage, m.id).set_temp_c,
        )
        for m in views.methods(nb, trial_id)
    ]
    assert held == [
        ("stock", 77.0), ("stock", 88.0),
        ("sealed bag in water", 77.0), ("sealed bag in water", 88.0),
    ]  # fmt: skip
    assert views.difference(nb, stage.id, "set_temp_c").role == "question"
    level = seen.levels(nb, temperature.id)[1]
    nb.apply(shapes.set_level(nb, level.id, "90"))
    b = views.methods(nb, trial_id)[1]
    assert b.name == "stock, 90 °C"
    assert views.resolved_stage(nb, stage, b.id).set_temp_c == 90.0


def test_what_is_not_varied_is_equal_by_construction(nb):
    trial_id = asked(nb, "60 °C", "65 °C")
    roast = stages.add_stage(nb, trial_id, "roast")
    nb.apply(roast)
    stage_id = new_record(roast, Stage).id
    nb.apply(stages.part_line(nb, stage_id, "vessel"))
    a = views.methods(nb, trial_id)[0]
    nb.apply(stages.set_value(nb, stage_id, "vessel", "a pan", a.id))
    factor = seen.factors(nb, trial_id)[0]
    nb.apply(shapes.set_line(nb, factor.id, stage_id, "set_temp_c"))
    nb.apply(shapes.add_level(nb, factor.id, "70 °C"))
    c = views.methods(nb, trial_id)[2]
    resolved = views.resolved_stage(nb, views.stages(nb, trial_id)[0], c.id)
    assert (resolved.vessel, resolved.set_temp_c) == ("a pan", 70.0)


def test_a_level_taken_away_takes_its_methods_and_the_letters_close_up(nb):
    trial_id = crossed(nb)
    medium, _ = seen.factors(nb, trial_id)
    nb.apply(shapes.remove_level(nb, seen.levels(nb, medium.id)[0].id))
    assert named(nb, trial_id) == [
        ("A", "sealed bag in water, 77 °C"),
        ("B", "sealed bag in water, 88 °C"),
    ]
    nb.apply(shapes.remove_factor(nb, medium.id))
    assert named(nb, trial_id) == [("A", "77 °C"), ("B", "88 °C")]
    assert nb.get(Trial, trial_id).shape == "ordered"


def test_cook_days_follow_the_number_of_methods(nb):
    trial_id = asked(nb, "60 °C", "65 °C")
    nb.apply(plan.set_plan(nb, trial_id, "planned_cooks", "3"))
    assert len(views.all_pieces(nb, trial_id)) == 6
    factor = seen.factors(nb, trial_id)[0]
    nb.apply(shapes.add_level(nb, factor.id, "70 °C"))
    assert len(views.all_pieces(nb, trial_id)) == 9


@pytest.mark.parametrize(
    ("levels", "typed", "said"),
    [
        (("60 °C",), "60", "stands here already"),
        (("dry", "covered"), "Dry", "stands here already"),
        (("60 °C",), "hot", "is no number"),
        (("60 °C",), "45 min", "not in one unit"),
        (("1", "2", "3", "4", "5", "6"), "7", "make 7 methods"),
        (("dry",), " ", "Nothing is written"),
    ],
)
def test_a_setting_that_cannot_be_is_refused(nb, levels, typed, said):
    trial_id = asked(nb, *levels)
    factor = seen.factors(nb, trial_id)[0]
    with pytest.raises(Refused, match=said) as error:
        shapes.add_level(nb, factor.id, typed)
    assert error.value.way_out


def test_three_times_three_is_too_many(nb):
    trial_id = crossed(nb)
    medium, temperature = seen.factors(nb, trial_id)
    nb.apply(shapes.add_level(nb, temperature.id, "99"))
    with pytest.raises(Refused, match=r"3 × 3 make 9 methods"):
        shapes.add_level(nb, medium.id, "oil")
    with pytest.raises(Refused, match="crosses two things"):
        shapes.vary(nb, trial_id, "time")


def test_after_the_draw_no_method_comes_or_goes(nb):
    from dataclasses import replace

    from trialbench.model.message import msg
    from trialbench.model.steps import Change, Step

    trial_id = asked(nb, "60 °C", "65 °C", "70 °C")
    nb.apply(plan.set_plan(nb, trial_id, "planned_cooks", "2"))
    a = views.methods(nb, trial_id)[0]
    piece = views.all_pieces(nb, trial_id)[0]
    nb.apply(Step(msg("Lots drawn"), (Change(piece, replace(piece, method_id=a.id)),)))
    factor = seen.factors(nb, trial_id)[0]
    level = seen.levels(nb, factor.id)[0]
    with pytest.raises(Refused, match="Lots are drawn"):
        shapes.remove_level(nb, level.id)
    with pytest.raises(Refused, match="Lots are drawn"):
        shapes.add_level(nb, factor.id, "80 °C")
    with pytest.raises(Refused, match="Lots are drawn"):
        kinds.choose_question(nb, trial_id, "better")
    nb.apply(shapes.set_level(nb, level.id, "61 °C"))
    assert views.methods(nb, trial_id)[0].name == "61 °C"


def test_a_name_that_the_cook_gave_stays(nb):
    trial_id = asked(nb, "60 °C", "65 °C")
    a = views.methods(nb, trial_id)[0]
    nb.apply(methods.name_method(nb, a.id, "Low"))
    factor = seen.factors(nb, trial_id)[0]
    nb.apply(shapes.set_level(nb, seen.levels(nb, factor.id)[0].id, "58 °C"))
    assert named(nb, trial_id) == [("A", "Low"), ("B", "65 °C")]


def test_ordered_is_refused_for_words(nb):
    trial_id = asked(nb, "dry", "covered")
    factor = seen.factors(nb, trial_id)[0]
    with pytest.raises(Refused, match="is no number"):
        shapes.set_ordered(nb, factor.id, True)
    with pytest.raises(Refused, match="cannot be read"):
        shapes.set_line(nb, factor.id, "roast", "duration_s")


def test_going_to_settings_and_back_keeps_the_ways(nb):
    trial_id = begun(nb)
    nb.apply(kinds.choose_question(nb, trial_id, "which_setting"))
    assert named(nb, trial_id) == [("A", "held dry"), ("B", "held in its juices")]
    nb.apply(shapes.name_factor(nb, seen.factors(nb, trial_id)[0].id, "holding"))
    nb.apply(shapes.add_level(nb, seen.factors(nb, trial_id)[0].id, "held in foil"))
    nb.apply(kinds.choose_question(nb, trial_id, "better"))
    trial = nb.get(Trial, trial_id)
    assert (trial.usual, trial.idea, trial.shape) == ("held dry", "held in its juices", "several")
    assert nb.all(Factor, trial_id=trial_id) == ()
    assert [m.name for m in views.methods(nb, trial_id)][2] == "held in foil"
    with pytest.raises(Refused, match="one recipe twice takes two"):
        kinds.choose_question(nb, trial_id, "same_recipe")


def test_one_recipe_twice_has_labels_for_names(nb):
    trial_id = begun(nb)
    nb.apply(kinds.choose_question(nb, trial_id, "same_recipe"))
    assert named(nb, trial_id) == [("A", "First label"), ("B", "Second label")]
    nb.apply(question.set_came_out(nb, trial_id, "juicier"))
    assert seen.is_asked(nb, nb.get(Trial, trial_id))
    nb.apply(kinds.choose_question(nb, trial_id, "better"))
    assert views.methods(nb, trial_id)[0].name == "held dry"


def test_another_idea_is_one_method_more(nb):
    trial_id = begun(nb)
    nb.apply(plan.set_plan(nb, trial_id, "planned_cooks", "2"))
    nb.apply(ideas.add_idea(nb, trial_id, "held in foil"))
    assert nb.get(Trial, trial_id).shape == "several"
    assert len(views.all_pieces(nb, trial_id)) == 6
    c = views.methods(nb, trial_id)[2]
    with pytest.raises(Refused, match="is compared already"):
        ideas.add_idea(nb, trial_id, "Held dry")
    nb.apply(shapes.set_usual(nb, trial_id, c.id))
    assert seen.control(nb, nb.get(Trial, trial_id)).letter == "C"
    nb.apply(ideas.name_idea(nb, c.id, ""))
    trial = nb.get(Trial, trial_id)
    assert (trial.shape, trial.usual_id, trial.compares) == ("two", None, "all_pairs")
    assert len(views.all_pieces(nb, trial_id)) == 4
    for n in range(4):
        nb.apply(ideas.add_idea(nb, trial_id, f"way {n}"))
    with pytest.raises(Refused, match="up to 6 methods"):
        ideas.add_idea(nb, trial_id, "one more")


def test_a_reference_sample_and_the_control(nb):
    trial_id = asked(nb, "dry", "covered", "in foil")
    nb.apply(shapes.set_reference(nb, trial_id, " the shop’s  ham "))
    nb.apply(shapes.set_compares(nb, trial_id, "with_usual"))
    trial = nb.get(Trial, trial_id)
    assert trial.reference == "the shop’s ham"
    assert nb.get(Method, trial.usual_id).letter == "A"
    factor = seen.factors(nb, trial_id)[0]
    nb.apply(shapes.remove_level(nb, seen.levels(nb, factor.id)[0].id))
    assert nb.get(Trial, trial_id).compares == "all_pairs"


def held_in_a_line(nb):
    trial_id = crossed(nb)
    _, temperature = seen.factors(nb, trial_id)
    nb.apply(shapes.set_line(nb, temperature.id, "simmer", "set_temp_c"))
    return trial_id, views.stages(nb, trial_id)[0]


def test_writing_in_its_line_writes_the_setting(nb):
    trial_id, stage = held_in_a_line(nb)
    b = views.methods(nb, trial_id)[1]
    nb.apply(stages.set_value(nb, stage.id, "set_temp_c", "90", b.id))
    assert [m.name for m in views.methods(nb, trial_id)][1::2] == [
        "stock, 90 °C",
        "sealed bag in water, 90 °C",
    ]
    d = views.methods(nb, trial_id)[3]
    assert views.resolved_stage(nb, stage, d.id).set_temp_c == 90.0
    with pytest.raises(Refused, match="is what this trial varies"):
        stages.set_value(nb, stage.id, "set_temp_c", "", b.id)


def test_its_line_is_not_joined_or_given_away(nb):
    trial_id, stage = held_in_a_line(nb)
    a = views.methods(nb, trial_id)[0]
    with pytest.raises(Refused, match="stays parted"):
        stages.join_line(nb, stage.id, "set_temp_c", a.id)
    with pytest.raises(Refused, match="stays parted"):
        stages.give_stage(nb, stage.id, a.id)
    nb.apply(stages.remove_stage(nb, stage.id))
    temperature = seen.factors(nb, trial_id)[1]
    assert (temperature.stage_id, temperature.field) == (None, "")
    nb.apply(shapes.set_line(nb, temperature.id, "", ""))


def test_out_of_its_line_the_line_is_written_once(nb):
    trial_id, stage = held_in_a_line(nb)
    temperature = seen.factors(nb, trial_id)[1]
    nb.apply(shapes.set_line(nb, temperature.id, "", ""))
    stage = views.stages(nb, trial_id)[0]
    assert stage.set_temp_c == 77.0 and views.parts(nb, stage.id) == ()
    assert views.difference(nb, stage.id, "set_temp_c") is None


def test_a_fahrenheit_setting_goes_to_its_line_in_celsius(nb):
    trial_id = asked(nb, "170 °F", "190")
    factor = seen.factors(nb, trial_id)[0]
    nb.apply(shapes.set_line(nb, factor.id, "simmer", "set_temp_c"))
    stage = views.stages(nb, trial_id)[0]
    numbers = [part.number for part in views.parts(nb, stage.id)]
    assert numbers == pytest.approx([76.6667, 87.7778], abs=1e-3)
    assert [m.name for m in views.methods(nb, trial_id)] == ["170 °F", "190 °F"]


def test_times_are_in_order_in_any_unit_of_time(nb):
    trial_id = asked(nb, "45 min", "1 h 30 min")
    factor = seen.factors(nb, trial_id)[0]
    assert [level.number for level in seen.levels(nb, factor.id)] == [2700.0, 5400.0]
    with pytest.raises(Refused, match="stands here already"):
        shapes.add_level(nb, factor.id, "90 min")


def test_without_settings_two_methods_wait_for_some(nb):
    trial_id = asked(nb, "60 °C", "65 °C", "70 °C")
    factor = seen.factors(nb, trial_id)[0]
    for level in seen.levels(nb, factor.id):
        nb.apply(shapes.remove_level(nb, level.id))
    assert named(nb, trial_id) == [("A", "simmered in stock"), ("B", "")]
    nb.apply(shapes.add_level(nb, factor.id, "dry"))
    nb.apply(shapes.add_level(nb, factor.id, "covered"))
    assert named(nb, trial_id) == [("A", "dry"), ("B", "covered")]
    assert not seen.factors(nb, trial_id)[0].ordered

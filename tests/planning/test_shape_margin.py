"""The margin of a question with settings, further ideas, a target, a reference sample."""

import pytest

from tests.notebook.kitchen_book import begun, opened
from trialbench.model.message import say
from trialbench.model.records import Trial
from trialbench.notebook import views
from trialbench.notebook.acts import ideas, kinds, new_record, question, shapes, stages, targets
from trialbench.notebook.views import shapes as seen
from trialbench.planning.methods_margin import margin_of_methods
from trialbench.planning.question_margin import OwnNoise, margin_of_question


@pytest.fixture
def book(tmp_path):
    with opened(tmp_path) as book:
        yield book


def settings(book, *typed):
    step = question.begin_trial(book, "brisket", "held dry", question="which_setting")
    book.apply(step)
    trial_id = new_record(step, Trial).id
    factor = seen.factors(book, trial_id)[0]
    for text in typed:
        book.apply(shapes.add_level(book, factor.id, text))
    return trial_id, factor.id


def told(margin, line):
    return [say(note.label) for note in margin.notes if note.line == line]


def standing(book, trial_id):
    return say(margin_of_question(book, trial_id).standing)


def test_settings_are_asked_for_step_by_step(book):
    trial_id, factor_id = settings(book)
    assert standing(book, trial_id) == "What would you set differently?"
    book.apply(shapes.name_factor(book, factor_id, "temperature"))
    assert standing(book, trial_id) == "At which settings would you try it?"
    assert told(margin_of_question(book, trial_id), "varied 1") == [
        "temperature: two settings or more"
    ]
    for text in ("60 °C", "65"):
        book.apply(shapes.add_level(book, factor_id, text))
    assert told(margin_of_question(book, trial_id), "varied 1") == [
        "temperature: in no line of the methods yet",
        "temperature: two steps",
    ]
    book.apply(question.set_came_out(book, trial_id, "more tender"))
    book.apply(question.set_matters(book, trial_id, "1"))
    assert standing(book, trial_id).startswith("One thing changes, at settings")
    book.apply(shapes.vary(book, trial_id, "time"))
    second = seen.factors(book, trial_id)[1]
    for text in ("4 h", "6 h"):
        book.apply(shapes.add_level(book, second.id, text))
    assert standing(book, trial_id) == "Two things change, crossed, and nothing else."


def test_a_stage_of_the_methods_can_hold_it(book):
    trial_id, factor_id = settings(book, "60 °C", "65 °C")
    book.apply(stages.add_stage(book, trial_id, "trim"))
    book.apply(stages.add_stage(book, trial_id, "hold"))
    (note,) = [n for n in margin_of_methods(book, trial_id).notes if "in no line" in say(n.label)]
    assert [say(verb.label) for verb in note.verbs] == ["Put it in 2 Hold"]
    book.apply(shapes.set_line(book, *note.verbs[0].args))
    assert not [n for n in margin_of_methods(book, trial_id).notes if "in no line" in say(n.label)]
    assert seen.factors(book, trial_id)[0].id == factor_id


def test_more_ideas_say_what_they_cost(book):
    trial_id = begun(book)
    book.apply(ideas.add_idea(book, trial_id, "in foil"))
    book.apply(ideas.add_idea(book, trial_id, "in steam"))
    (note,) = [n for n in margin_of_question(book, trial_id).notes if n.line == "compares"]
    words = " ".join(say(sentence) for sentence in note.sentences)
    assert "6 comparisons; against my way alone it is 3" in words
    book.apply(shapes.set_compares(book, trial_id, "with_usual"))
    (note,) = [n for n in margin_of_question(book, trial_id).notes if n.line == "compares"]
    assert len(note.sentences) == 1


def test_a_target_that_is_not_said_is_missed(book):
    trial_id = begun(book)
    book.apply(question.set_came_out(book, trial_id, "saltier"))
    salt = views.deciding(book, trial_id)
    book.apply(targets.set_better(book, salt.id, "target"))
    assert told(margin_of_question(book, trial_id), "decides") == ["Closest to what: not said"]
    book.apply(targets.set_target(book, salt.id, "5"))
    assert told(margin_of_question(book, trial_id), "decides") == []


def test_the_size_is_asked_as_a_cook_would_and_the_noise_stands_beside_it(book):
    trial_id = begun(book)
    book.apply(question.set_came_out(book, trial_id, "juicier"))
    (note,) = [n for n in margin_of_question(book, trial_id).notes if n.line == "matters"]
    assert "half a point in 9?" in say(note.sentences[1])
    noise = OwnNoise("other", 16, 0.6, "liking", scale="0 to 10")
    (note,) = [n for n in margin_of_question(book, trial_id, noise).notes if n.line == "matters"]
    assert "on another scale (0 to 10)" in say(note.sentences[2])
    book.apply(question.set_matters(book, trial_id, "half a point"))
    same = OwnNoise("other", 16, 0.6, "juiciness")
    (note,) = [n for n in margin_of_question(book, trial_id, same).notes if n.line == "matters"]
    assert "can come of nothing at all" in say(note.sentences[1])


def test_a_second_trial_of_a_food_is_told_of_the_reference_sample(book):
    first = begun(book)
    assert told(margin_of_question(book, first), "chapter") == []
    second = begun(book)
    assert told(margin_of_question(book, second), "chapter") == ["A reference sample: none"]
    book.apply(shapes.set_reference(book, second, "boiled ham"))
    margin = margin_of_question(book, second)
    assert told(margin, "chapter") == []
    assert told(margin, "reference") == ["The reference sample: what it is for"]


def test_one_recipe_twice_misses_neither_idea_nor_size(book):
    trial_id = begun(book)
    book.apply(kinds.choose_question(book, trial_id, "same_recipe"))
    book.apply(question.set_came_out(book, trial_id, "juicier"))
    assert standing(book, trial_id).startswith("Nothing changes.")
    assert margin_of_question(book, trial_id).notes == ()

"""What differs between methods is found, sized, and either asked, kept or taken out."""

from __future__ import annotations

import pytest

from tests.planning.kitchen import kitchen, shoulder
from trialbench.model.message import say
from trialbench.model.records import Cover, Difference, Method, Part, Stage, Trial
from trialbench.notebook.acts import stages as acts
from trialbench.planning.differences import differences_of
from trialbench.planning.methods_margin import margin_of_methods
from trialbench.planning.parting import cord_of


def margin(plan):
    return margin_of_methods(plan.book, "t")


def note(plan, line, mark="differs"):
    found = [n for n in margin(plan).notes if n.line == line and n.mark == mark]
    assert len(found) == 1, [n.line for n in margin(plan).notes]
    return found[0]


def told(found):
    return [say(found.label), *map(say, found.sentences), *(say(v.label) for v in found.verbs)]


def said(plan, stage_id, field, role):
    return plan.after(acts.set_role(plan.book, stage_id, field, role))


def test_three_lines_differ_and_the_idea_names_the_question():
    found = differences_of(shoulder().book, "t")
    assert [(d.stage.id, d.field, d.role, d.suggested) for d in found] == [
        ("rest", "duration_s", "", ""),
        ("hold", "medium", "", "question"),
        ("hold", "cover", "", "rider"),
    ]
    assert found[1].line == "stage:hold:medium"


def test_the_margin_reads_as_a_cook_would_say_it():
    plan = said(shoulder(), "hold", "medium", "question")
    assert say(margin(plan).standing) == (
        "Three lines differ. One is the question; two came with it."
    )
    assert told(note(plan, "stage:rest:duration_s")) == [
        "3 Rest: differs, not asked for",
        "25 min longer in A.",
        "If B wins, the shorter rest may be why.",
        "Rest both for 45 min",
        "Keep the difference, as a rider",
    ]
    assert told(note(plan, "stage:hold:cover"))[0] == "4 Hold, covered: comes with the question"
    assert told(note(plan, "stage:hold:cover"))[3:] == [
        "Name the cover in the finding",
        "Hold both uncovered",
    ]
    assert told(note(plan, "stage:hold:medium", "passage")) == [
        "4 Hold, in: the question",
        "It is air in A, its own juices in B.",
    ]
    assert told(note(plan, "stage:sear:end_feel", "missing")) == [
        "5 Sear: no sign that it is done",
        "On two cook days you would stop at two colours.",
        "Write what the crust looks like",
    ]
    assert told(note(plan, "next stage", "passage")) == [
        "In all: 25 min longer in A",
        "To come to the table together, B starts 25 min later, or waits as long.",
    ]


def test_the_verbs_of_a_note_are_acts_that_take_the_difference_away():
    plan = shoulder()
    equal, keep = note(plan, "stage:rest:duration_s").verbs
    assert (equal.name, keep.name) == ("join_line", "set_role")
    joined = plan.after(acts.join_line(plan.book, *equal.args))
    assert len(differences_of(joined.book, "t")) == 2
    assert joined.book.get(Stage, "rest").duration_s == 2700
    kept = plan.after(acts.set_role(plan.book, *keep.args))
    assert differences_of(kept.book, "t")[0].role == "rider"
    assert told(note(kept, "stage:rest:duration_s"))[:4] == [
        "3 Rest: a rider",
        "25 min longer in A.",
        "If B wins, the shorter rest may be why.",
        "The finding names it.",
    ]


def test_what_the_cook_says_stands_against_what_the_idea_names():
    plan = said(shoulder(), "rest", "duration_s", "question")
    found = differences_of(plan.book, "t")
    assert [d.suggested for d in found] == ["question", "", ""]
    assert [d.asked for d in found] == [True, False, False]


def test_without_a_question_the_margin_asks_for_one():
    plan = shoulder().changed(Trial, "t", usual="", idea="")
    assert say(margin(plan).standing) == "Three lines differ. Which one is the question?"


@pytest.mark.parametrize(
    ("field", "a", "b", "unit", "sentence"),
    [
        ("set_temp_c", 120, 135, "C", "15 °C warmer in B."),
        ("set_temp_c", 120, 135, "F", "27 °F warmer in B."),
        ("end_core_c", 92, 90, "C", "The core goes 2 °C higher in A."),
        ("salt_g_per_kg", 12, 14.5, "C", "12 g for each kilogram in A, 14.5 g in B."),
        ("duration_s", 3600, None, "C", "Nothing is written for B."),
    ],
)
def test_each_kind_of_figure_says_how_far_apart(field, a, b, unit, sentence):
    plan = kitchen().with_records(
        Stage("roast", "t", 1, "roast", duration_s=None if field == "duration_s" else 3600),
        Part("pa", "roast", "mA", field, number=a),
        Part("pb", "roast", "mB", field, number=b),
    )
    plan = plan.changed(Cover, "cover", temperature_unit=unit)
    found = [n for n in margin(plan).notes if n.line == f"stage:roast:{field}"]
    only = said(plan, "roast", field, "rider")
    assert found
    assert say(note(only, f"stage:roast:{field}").sentences[0]) == sentence


def test_one_difference_is_the_question_by_itself():
    plan = kitchen().with_records(
        Stage("roast", "t", 1, "roast", set_temp_c=120, duration_s=3600),
        Stage("own", "t", 2, "smoke", method_id="mB", set_temp_c=90, duration_s=3600),
    )
    assert say(margin(plan).standing) == "One line differs. Is it the question?"
    asked = said(plan, "own", "", "question")
    assert say(margin(asked).standing) == "One line differs, and it is the question."
    found = differences_of(plan.book, "t")
    assert [(d.field, d.suggested) for d in found] == [("", "question")]
    asked = note(plan, "stage:own", "passage")
    assert asked.verbs[0].args == ("own", "", "question")
    kept = said(plan, "own", "", "rider")
    assert "Only B has it." in told(note(kept, "stage:own"))


def test_one_recipe_twice_may_not_differ():
    plan = shoulder().changed(Trial, "t", question="same_recipe")
    assert say(margin(plan).standing).endswith("One recipe cooked twice has none.")
    assert told(note(plan, "stage:rest:duration_s"))[0] == "3 Rest: differs, and should not"
    same = kitchen().with_records(Stage("roast", "t", 1, "roast", duration_s=3600))
    same = same.changed(Trial, "t", question="same_recipe")
    assert say(margin(same).standing) == "A and B are one recipe, as they should be."


def test_three_methods_list_their_values():
    plan = kitchen(methods="ABC").with_records(
        Stage("rest", "t", 1, "rest"),
        *(Part(f"p{m}", "rest", f"m{m}", "duration_s", number=n)
          for m, n in zip("ABC", (600, 1200, 1800), strict=True)),
    )  # fmt: skip
    only = said(plan, "rest", "duration_s", "rider")
    assert told(note(only, "stage:rest:duration_s"))[1:] == [
        "It is 10 min in A, 20 min in B, 30 min in C.",
        "If one comes out juicier, the rest may be why.",
        "The finding names it.",
        "Rest all for 10 min",
    ]


def test_an_end_that_nobody_wrote_is_missing():
    plan = kitchen().with_records(Stage("roast", "t", 1, "roast", set_temp_c=120))
    assert told(note(plan, "stage:roast:end_feel", "missing"))[0] == "1 Roast: no end is written"
    ended = plan.changed(Stage, "roast", end_core_c=92)
    assert all(n.mark != "missing" for n in margin(ended).notes)


def test_a_last_stage_that_differs_warns_of_warmth_at_the_bite():
    plan = kitchen().with_records(
        Stage("roast", "t", 1, "roast", duration_s=3600),
        Part("pa", "roast", "mA", "set_temp_c", number=120),
        Part("pb", "roast", "mB", "set_temp_c", number=200),
    )
    labels = [say(n.label) for n in margin(plan).notes]
    assert "At the table: equally warm" in labels


def test_an_empty_page_says_what_goes_there():
    assert say(margin(kitchen()).standing).startswith("Write what happens")


def test_the_cord_parts_before_the_rest_and_joins_for_the_sear():
    cord = cord_of(shoulder().book, "t")
    assert (cord.letters, cord.parts_at, cord.joins_at) == ("AB", 2, 4)
    assert [s.apart for s in cord.stretches] == [False, False, True, True, False]
    says = [[(letters, say(words)) for letters, words in s.says] for s in cord.stretches]
    assert says == [
        [("AB", "24 h")],
        [("AB", "to 92 °C core, about 9 h")],
        [("A", "45 min"), ("B", "20 min")],
        [("AB", "65 °C, 8 h")],
        [("AB", "12 min")],
    ]


def test_a_cord_that_never_joins_ends_apart():
    plan = kitchen().with_records(Stage("own", "t", 1, "smoke", method_id="mA", duration_s=600))
    cord = cord_of(plan.book, "t")
    assert (cord.parts_at, cord.joins_at) == (0, 1)
    assert cord.stretches[0].says == (("A", "10 min"),)
    same = kitchen().with_records(Stage("s", "t", 1, "salt", duration_s=600))
    assert cord_of(same.book, "t").parts_at is None


def test_a_role_of_a_line_that_no_longer_differs_is_not_counted():
    plan = said(shoulder(), "rest", "duration_s", "rider").without("rest_a", "rest_b")
    assert plan.of(Difference)
    assert len(differences_of(plan.book, "t")) == 2
    assert plan.book.get(Method, "mA").letter == "A"

"""What goes on, in or under the food, by weight; and the kitchen's feel card."""

import pytest

from tests.notebook.kitchen_book import begun, sealed_plan
from trialbench.model.errors import Refused, Sealed
from trialbench.model.records import Addition, Difference, Feel, Stage
from trialbench.notebook import views
from trialbench.notebook.acts import additions, feel, methods, new_record, stages
from trialbench.notebook.acts.addition_words import read_addition, shown_addition


@pytest.fixture
def trial_id(nb):
    return begun(nb)


@pytest.fixture
def smoke(nb, trial_id):
    step = stages.add_stage(nb, trial_id, "smoke")
    nb.apply(step)
    return new_record(step, Stage).id


def _added(nb, stage_id, typed):
    nb.apply(additions.add_addition(nb, stage_id, typed))
    return views.slots(nb, stage_id)[-1]


def _shown(nb, stage_id, position):
    slot = views.slot(nb, stage_id, position)
    letters = {m.letter: m.id for m in views.methods(nb, nb.get(Stage, stage_id).trial_id)}
    return {letter: shown_addition(slot.of(each)) for letter, each in letters.items()}


@pytest.mark.parametrize(
    ("typed", "role", "name", "g_per_kg", "mass_g", "salt"),
    [
        ("rub paprika mix, 20 g/kg, 12 % salt", "rub", "paprika mix", 20, None, 12),
        ("paprika rub 20,5 g per kg", "rub", "paprika rub", 20.5, None, None),
        ("oak chips, 300 g", "wood", "oak chips", None, 300, None),
        ("fuel: charcoal 2 kg", "fuel", "charcoal", None, 2000, None),
        ("brine 500 g/kg, salt 6 %", "brine", "", 500, None, 6),
        ("beef stock 1.5 kg", "medium", "beef stock", None, 1500, None),
        ("garlic 5 g for each kg", "", "garlic", 5, None, None),
        ("salt 12 g/kg", "", "salt", 12, None, 100),
    ],
)
def test_an_addition_is_read_as_a_cook_writes_it(typed, role, name, g_per_kg, mass_g, salt):
    read = read_addition(typed)
    assert (read.role, read.name, read.g_per_kg) == (role, name, g_per_kg)
    assert (read.mass_g, read.salt_percent) == (mass_g, salt)


@pytest.mark.parametrize(
    ("typed", "way_out"),
    [
        ("stock 2 l", "Weigh it"),
        ("brine 60 g/l", "Weigh it"),
        ("oak 20 g/kg", "fire"),
        ("rub 9000 g/kg", "again"),
        ("   ", "word"),
    ],
)
def test_what_is_not_weighed_is_refused_with_the_way_out(typed, way_out):
    with pytest.raises(Refused) as error:
        read_addition(typed)
    assert way_out in str(error.value.way_out)


def test_what_is_shown_can_be_typed_again(nb, smoke):
    for typed in (
        "paprika mix, 20 g/kg, 12 % salt",
        "oak, 300 g",
        "charcoal, 2 kg",
        "salt, 12 g/kg",
    ):
        slot = _added(nb, smoke, typed)
        shown = shown_addition(slot.records[0])
        assert shown == typed
        again = read_addition(shown, slot.role)
        assert (again.g_per_kg, again.mass_g) == (slot.records[0].g_per_kg, slot.records[0].mass_g)


def test_a_line_is_parted_written_once_a_method_and_joined(nb, trial_id, smoke):
    _added(nb, smoke, "wood oak 300 g")
    a, b = views.methods(nb, trial_id)
    nb.apply(stages.part_line(nb, smoke, "addition 1"))
    assert views.differing(nb, trial_id) == ()
    nb.apply(stages.set_value(nb, smoke, "addition 1", "beech 300 g", b.id))
    assert _shown(nb, smoke, 1) == {"A": "oak, 300 g", "B": "beech, 300 g"}
    assert [field for _, field in views.differing(nb, trial_id)] == ["addition 1"]
    nb.apply(stages.set_role(nb, smoke, "addition 1", "rider"))
    nb.apply(additions.set_addition(nb, smoke, 1, "", b.id))
    assert _shown(nb, smoke, 1) == {"A": "oak, 300 g", "B": ""}
    with pytest.raises(Refused, match="Say for which"):
        additions.set_addition(nb, smoke, 1, "ash")
    nb.apply(stages.join_line(nb, smoke, "addition 1", a.id))
    assert not views.slot(nb, smoke, 1).parted and not nb.all(Difference)


def test_joining_on_nothing_takes_the_line_away(nb, trial_id, smoke):
    _added(nb, smoke, "wood oak 300 g")
    b = views.methods(nb, trial_id)[1]
    nb.apply(stages.part_line(nb, smoke, "addition 1"))
    nb.apply(additions.set_addition(nb, smoke, 1, "", b.id))
    nb.apply(additions.join_addition(nb, smoke, 1, b.id))
    assert views.slots(nb, smoke) == ()


def test_a_slot_keeps_its_number_when_another_goes(nb, smoke):
    for typed in ("rub pepper 5 g/kg", "wood oak", "fuel gas"):
        _added(nb, smoke, typed)
    nb.apply(additions.remove_addition(nb, smoke, 2))
    assert [(s.position, s.role) for s in views.slots(nb, smoke)] == [(1, "rub"), (3, "fuel")]
    nb.apply(additions.set_addition(nb, smoke, 1, "pepper 6 g/kg"))
    assert views.slot(nb, smoke, 1).records[0].g_per_kg == 6
    with pytest.raises(Refused, match="fire"):
        additions.set_addition_role(nb, smoke, 1, "wood")
    nb.apply(additions.set_addition_role(nb, smoke, 1, "other"))
    assert views.slot(nb, smoke, 1).role == "other"


def test_a_stage_goes_with_its_additions_and_a_new_method_gets_what_the_first_has(
    nb, trial_id, smoke
):
    _added(nb, smoke, "wood oak 300 g")
    nb.apply(stages.part_line(nb, smoke, "addition 1"))
    nb.apply(methods.add_method(nb, trial_id, "third"))
    assert _shown(nb, smoke, 1)["C"] == "oak, 300 g"
    third = views.methods(nb, trial_id)[2]
    nb.apply(methods.remove_method(nb, third.id))
    assert len(nb.all(Addition)) == 2
    b = views.methods(nb, trial_id)[1]
    nb.apply(stages.give_stage(nb, smoke, b.id))
    assert [a.method_id for a in nb.all(Addition)] == [None]
    nb.apply(stages.remove_stage(nb, smoke))
    assert nb.all(Addition) == ()


def test_additions_are_sealed_with_the_plan(nb, trial_id, smoke):
    _added(nb, smoke, "wood oak 300 g")
    sealed_plan(nb, trial_id)
    with pytest.raises(Sealed):
        additions.set_addition(nb, smoke, 1, "beech 300 g")
    with pytest.raises(Sealed):
        additions.add_addition(nb, smoke, "fuel gas")


def test_the_number_of_a_feel_word_writes_it(nb, smoke):
    nb.apply(stages.set_value(nb, smoke, "end_feel", "3"))
    assert nb.get(Stage, smoke).end_feel == "3"
    nb.apply(feel.begin_card(nb))
    card = views.feel_card(nb)
    assert len(card) == 5 and all(word.meaning for word in card)
    nb.apply(feel.set_feel(nb, card[2].id, "word", "probe tender"))
    nb.apply(stages.set_value(nb, smoke, "end_feel", "3"))
    assert nb.get(Stage, smoke).end_feel == "probe tender"
    with pytest.raises(Refused):
        feel.set_feel(nb, card[2].id, "word", " ")
    assert feel.begin_card(nb).changes == () and len(nb.all(Feel)) == 5


def test_the_feel_card_goes_with_no_trial(nb, trial_id):
    nb.apply(feel.begin_card(nb))
    assert tuple(views.OneTrial(nb, trial_id).of(Feel)) == ()


@pytest.mark.parametrize(
    ("field", "typed", "value"),
    [
        ("slice_mm", "6", 6.0),
        ("slice_mm", "0,6 cm", 6.0),
        ("knife_to_mouth_min", "4", 4.0),
        ("knife_to_mouth_min", "90 s", 1.5),
        ("place", "the big oven", "the big oven"),
    ],
)
def test_how_it_is_served_and_where_it_stands_is_read(nb, smoke, field, typed, value):
    nb.apply(stages.set_value(nb, smoke, field, typed))
    assert getattr(nb.get(Stage, smoke), field) == value


@pytest.mark.parametrize(
    ("field", "typed"), [("slice_mm", "0"), ("slice_mm", "thick"), ("knife_to_mouth_min", "3 d")]
)
def test_what_no_knife_does_is_refused(nb, smoke, field, typed):
    with pytest.raises(Refused):
        stages.set_value(nb, smoke, field, typed)


def test_the_recipe_and_the_search_know_what_goes_on(nb, trial_id, smoke):
    from trialbench.findings.snapshot import records_of
    from trialbench.planning.written_lines import lines_with, written_lines
    from trialbench.report.recipe import recipe_lines

    _added(nb, smoke, "wood oak 300 g")
    _added(nb, smoke, "garlic 5 g/kg")
    a = views.methods(nb, trial_id)[0]
    said = [str(line) for line in recipe_lines(records_of(nb, trial_id), a)]
    assert said == ["Smoke. Wood: oak, 300 g. With garlic, 5 g/kg."]
    assert lines_with(written_lines(nb, trial_id), "oak")

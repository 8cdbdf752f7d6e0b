"""Acts on the Methods page: together, parted, joined, own."""

import pytest

from tests.notebook.kitchen_book import begun, planned, sealed_plan
from trialbench.model.errors import Refused, Sealed
from trialbench.model.records import Checkpoint, Part, Piece, Stage
from trialbench.notebook import views
from trialbench.notebook.acts import checkpoints, cooking, cover, new_record, stages


@pytest.fixture
def trial_id(nb):
    return begun(nb)


def _stage(nb, trial_id, kind="hold", **options):
    step = stages.add_stage(nb, trial_id, kind, **options)
    nb.apply(step)
    return new_record(step, Stage)


@pytest.mark.parametrize(
    ("field", "typed", "value"),
    [
        ("set_temp_c", "65", 65.0),
        ("set_temp_c", "150 °F", pytest.approx(65.5556, abs=1e-4)),
        ("duration_s", "1 h 40 min", 6000.0),
        ("salt_g_per_kg", "15 g", 15.0),
        ("salt_g_per_kg", "15 g/kg", 15.0),
        ("medium", "Its Own Juices", "its own juices"),
        ("medium", "hay", "hay"),
        ("end_feel", " probe  tender ", "probe tender"),
        ("set_temp_c", "", None),
        ("cover", "", ""),
    ],
)
def test_a_value_is_read_as_typed(nb, trial_id, field, typed, value):
    stage = _stage(nb, trial_id)
    nb.apply(stages.set_value(nb, stage.id, field, typed))
    assert getattr(nb.get(Stage, stage.id), field) == value


def test_a_bare_temperature_is_in_the_unit_of_the_screen(nb, trial_id):
    nb.apply(cover.show_in(nb, "temperature_unit", "F"))
    stage = _stage(nb, trial_id)
    nb.apply(stages.set_value(nb, stage.id, "set_temp_c", "212"))
    assert nb.get(Stage, stage.id).set_temp_c == pytest.approx(100)


@pytest.mark.parametrize(
    ("field", "typed"),
    [("set_temp_c", "hot"), ("duration_s", "40"), ("duration_s", "90 d"), ("salt_g_per_kg", "900")],
)
def test_what_cannot_be_is_refused(nb, trial_id, field, typed):
    stage = _stage(nb, trial_id)
    with pytest.raises(Refused) as error:
        stages.set_value(nb, stage.id, field, typed)
    assert error.value.field == f"stage.{field}" and error.value.allowed


def test_a_line_parts_and_joins(nb, trial_id):
    stage = _stage(nb, trial_id)
    a, b = views.methods(nb, trial_id)
    nb.apply(stages.set_value(nb, stage.id, "duration_s", "45 min"))
    nb.apply(stages.part_line(nb, stage.id, "duration_s"))
    assert views.differing(nb, trial_id) == ()
    with pytest.raises(Refused, match="Say for which method"):
        stages.set_value(nb, stage.id, "duration_s", "20 min")
    nb.apply(stages.set_value(nb, stage.id, "duration_s", "20 min", b.id))
    assert views.differing(nb, trial_id) == ((nb.get(Stage, stage.id), "duration_s"),)
    durations = [views.method_stages(nb, m.id)[0].duration_s for m in (a, b)]
    assert durations == [2700, 1200]
    nb.apply(stages.set_role(nb, stage.id, "duration_s", "rider"))
    assert views.difference(nb, stage.id, "duration_s").role == "rider"
    nb.apply(stages.join_line(nb, stage.id, "duration_s", b.id))
    assert nb.get(Stage, stage.id).duration_s == 1200
    assert nb.all(Part) == () and views.difference(nb, stage.id, "duration_s") is None
    with pytest.raises(Refused, match="not parted"):
        stages.join_line(nb, stage.id, "duration_s", b.id)


def test_a_role_can_be_changed_and_taken_back(nb, trial_id):
    stage = _stage(nb, trial_id)
    for role in ("question", "rider", None):
        nb.apply(stages.set_role(nb, stage.id, "", role))
        found = views.difference(nb, stage.id, "")
        assert (found.role if found else None) == role


def test_stages_are_counted_anew_when_one_comes_or_goes(nb, trial_id):
    hold = _stage(nb, trial_id)
    salt = _stage(nb, trial_id, "salt", position=1)
    rest = _stage(nb, trial_id, "rest", position=2)
    assert [s.id for s in views.stages(nb, trial_id)] == [salt.id, rest.id, hold.id]
    nb.apply(stages.move_stage(nb, hold.id, 1))
    assert [s.id for s in views.stages(nb, trial_id)] == [hold.id, salt.id, rest.id]
    nb.apply(stages.remove_stage(nb, salt.id))
    assert [s.position for s in views.stages(nb, trial_id)] == [1, 2]


def test_an_own_stage_keeps_what_its_method_had(nb, trial_id):
    stage = _stage(nb, trial_id)
    a, b = views.methods(nb, trial_id)
    nb.apply(stages.part_line(nb, stage.id, "set_temp_c"))
    nb.apply(stages.set_value(nb, stage.id, "set_temp_c", "70", b.id))
    nb.apply(stages.give_stage(nb, stage.id, b.id))
    assert nb.get(Stage, stage.id).set_temp_c == 70 and nb.all(Part) == ()
    assert [len(views.method_stages(nb, m.id)) for m in (a, b)] == [0, 1]
    nb.apply(checkpoints.lay_out_checkpoints(nb, trial_id))
    (held,) = nb.all(Checkpoint, stage_id=stage.id)
    assert [views.is_weighed_at(nb, Piece("p", "c", 1, "P", method_id=m.id), held)
            for m in (a, b)] == [False, True]  # fmt: skip
    assert views.differing(nb, trial_id)[0][1] == ""
    with pytest.raises(Refused, match="parted here already"):
        stages.part_line(nb, stage.id, "set_temp_c")
    nb.apply(stages.give_stage(nb, stage.id, None))
    assert [len(views.method_stages(nb, m.id)) for m in (a, b)] == [1, 1]


def test_weighings_follow_from_the_stages(nb, trial_id):
    for kind in ("trim", "salt", "roast", "wrap", "roast", "rest", "slice"):
        _stage(nb, trial_id, kind)
    nb.apply(checkpoints.lay_out_checkpoints(nb, trial_id))
    names = [c.name for c in views.checkpoints(nb, trial_id)]
    assert names == [
        "raw",
        "trimmed",
        "salted",
        "roasted",
        "roasted 2",
        "rested",
        "sliced",
        "served",
    ]
    kinds = [c.checkpoint_kind for c in views.checkpoints(nb, trial_id)]
    assert kinds == ["raw", "trimmed", "stage", "stage", "stage", "rested", "sliced", "served"]
    assert checkpoints.lay_out_checkpoints(nb, trial_id).changes == ()


def test_a_weighing_goes_with_its_stage_unless_it_was_used(nb):
    trial_id = planned(nb)
    salt = views.stages(nb, trial_id)[0]
    piece = views.all_pieces(nb, trial_id)[0]
    salted = nb.all(Checkpoint, stage_id=salt.id)[0]
    step = cooking.set_mass(nb, piece.id, salted.id, "2 000")
    nb.apply(step)
    nb.apply(stages.remove_stage(nb, salt.id))
    assert nb.get(Checkpoint, salted.id).stage_id is None
    hold = views.stages(nb, trial_id)[0]
    held = nb.all(Checkpoint, stage_id=hold.id)[0]
    nb.apply(stages.remove_stage(nb, hold.id))
    assert nb.find(Checkpoint, held.id) is None
    nb.apply(checkpoints.lay_out_checkpoints(nb, trial_id))
    assert "salted" in [c.name for c in views.checkpoints(nb, trial_id)]


def test_own_weighings_have_names_of_their_own(nb, trial_id):
    nb.apply(checkpoints.add_checkpoint(nb, trial_id, "glazed"))
    assert [c.name for c in views.checkpoints(nb, trial_id)] == ["raw", "glazed", "served"]
    with pytest.raises(Refused, match="already"):
        checkpoints.add_checkpoint(nb, trial_id, "Glazed")
    glazed = views.checkpoints(nb, trial_id)[1]
    nb.apply(checkpoints.name_checkpoint(nb, glazed.id, "brushed"))
    nb.apply(checkpoints.lay_out_checkpoints(nb, trial_id))
    assert [c.name for c in views.checkpoints(nb, trial_id)] == [
        "raw", "brushed", "trimmed", "served"
    ]  # fmt: skip
    nb.apply(checkpoints.remove_checkpoint(nb, glazed.id))
    assert nb.find(Checkpoint, glazed.id) is None


def test_once_sealed_no_line_changes(nb):
    trial_id = planned(nb)
    sealed_plan(nb, trial_id)
    stage = views.stages(nb, trial_id)[0]
    for make in (
        lambda: stages.add_stage(nb, trial_id, "rest"),
        lambda: stages.remove_stage(nb, stage.id),
        lambda: stages.move_stage(nb, stage.id, 2),
        lambda: stages.set_value(nb, stage.id, "duration_s", "1 h"),
        lambda: stages.part_line(nb, stage.id, "duration_s"),
        lambda: stages.set_role(nb, stage.id, "medium", "rider"),
    ):
        with pytest.raises(Sealed, match="plan is sealed"):
            make()

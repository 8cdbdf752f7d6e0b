"""A stage written in one go: the kind, its figures in their units, and the rest as its note."""

import pytest

from trialbench.model.errors import Refused
from trialbench.planning.stage_typed import kind_and_rest, values_in


@pytest.mark.parametrize(
    ("typed", "kind", "values"),
    [
        ("Roast", "roast", {}),
        ("wat", "water bath", {}),
        ("roast 220 C 25 min", "roast", {"set_temp_c": 220.0, "duration_s": 1500.0}),
        (
            "Roast at 428 °F for 1 h 10 min, in the middle",
            "roast",
            {"set_temp_c": 220.0, "duration_s": 4200.0, "note": "in the middle"},
        ),
        (
            "Braise at 95,5 C until core 92 C",
            "braise",
            {"set_temp_c": 95.5, "end_core_c": 92.0},
        ),
        ("Fry until the edges are brown", "fry", {"end_feel": "the edges are brown"}),
        ("Steam 8 minutes", "steam", {"duration_s": 480.0}),
        ("Trim: 2 cm sticks", "trim", {"note": "2 cm sticks"}),
        ("Prepare for 10 min", "prepare", {"note": "for 10 min"}),
    ],
)
def test_a_line_is_read_as_a_stage(typed, kind, values):
    known = kind_and_rest(typed)
    assert known is not None and known[0] == kind
    read = values_in(*known)
    assert read == pytest.approx(values) if "note" not in values else read == values


@pytest.mark.parametrize("typed", ["", "Peel and cut", "roasted peppers", "s"])
def test_a_line_that_begins_with_no_kind_names_none(typed):
    assert kind_and_rest(typed) is None


def test_a_figure_that_no_kitchen_has_is_refused():
    with pytest.raises(Refused):
        values_in("roast", "at 9000 C")

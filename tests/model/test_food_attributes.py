"""The short list of what tells why, by food."""

import pytest

from trialbench.model.attributes import ATTRIBUTES
from trialbench.model.food_attributes import _ANY, _FITTING, fitting


@pytest.mark.parametrize(
    ("food", "first"),
    [
        ("White beans", "creaminess"),
        ("octopus arms", "tenderness"),
        ("Smoked chicken thighs", "tenderness"),
        ("potatoes", "crispness"),
        ("pork shoulder", "tenderness"),
        ("peppercorn ice", "liking"),
        ("", "liking"),
    ],
)
def test_a_food_offers_what_fits_it(food, first):
    assert fitting(food)[0] == first


def test_everything_offered_is_in_the_library_and_three_to_five():
    known = {attribute.name for attribute in ATTRIBUTES}
    for names in (_ANY, *(names for _, names in _FITTING)):
        assert set(names) <= known and 3 <= len(names) <= 5

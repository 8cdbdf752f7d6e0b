"""What the properties refuse, and water against itself."""

from __future__ import annotations

import pytest

from trialbench.thermal import BadFigures, properties


@pytest.mark.parametrize(
    ("composition", "temp_c", "where"),
    [
        ({"water": 0.5}, 20, "composition"),
        ({"water": 1.1, "fat": -0.1}, 20, "composition"),
        ({}, 20, "composition"),
        ({"water": 0.9, "love": 0.1}, 20, "composition"),
        ({"water": 1.0}, -1, "temp_c"),
        ({"water": 1.0}, 151, "temp_c"),
    ],
)
def test_what_has_no_properties_is_refused(composition, temp_c, where):
    with pytest.raises(BadFigures) as refused:
        properties(composition, temp_c)
    assert refused.value.where == where


def test_one_component_alone_has_one_conductivity():
    found = properties({"water": 1.0}, 25)
    assert found.k_parallel == pytest.approx(found.k_series)
    assert found.cp == pytest.approx(4.177, abs=0.003)  # steam tables, from memory: 4.18

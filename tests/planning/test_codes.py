"""Codes say nothing: which are given, and that each comes as often as the others."""

from __future__ import annotations

from collections import Counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.planning.kitchen import kitchen
from trialbench.model.errors import Refused
from trialbench.model.message import say
from trialbench.model.records import Part, Sitting, Stage
from trialbench.planning.codes import code_pool, draw_codes, temperatures_of
from trialbench.planning.lots import Lots


def test_633_codes_have_three_different_figures_and_are_no_run():
    # 9 x 9 x 8 codes with three different figures, less 7 runs up and 8 runs down.
    pool = code_pool()
    assert len(pool) == len(set(pool)) == 648 - 15
    assert not {"100", "200", "333", "122", "131", "123", "987", "210", "012"} & set(pool)
    assert {"419", "956", "217", "135", "124"} <= set(pool)


@given(st.integers(0, 2**53), st.integers(0, 620), st.sets(st.integers(100, 999), max_size=13))
@settings(max_examples=40, deadline=None)
def test_codes_are_unique_and_avoid_the_trials_own_numbers(lot, count, avoid):
    codes = draw_codes(count, Lots(lot, "codes"), avoid)
    assert len(set(codes)) == count
    assert all(len(code) == 3 and int(code) not in avoid for code in codes)
    assert codes == draw_codes(count, Lots(lot, "codes"), avoid)


def test_no_code_comes_more_often_than_another():
    seen = Counter(code for lot in range(633) for code in draw_codes(20, Lots(lot, "codes")))
    # 20 expected of each; chi-square on 632 df has 0.999 point 746 (normal approximation).
    assert sum((seen[code] - 20) ** 2 / 20 for code in code_pool()) < 746


def test_temperatures_of_the_trial_are_no_codes_in_either_unit():
    plan = kitchen().with_records(
        Stage("roast", "t", 1, "roast", set_temp_c=120, end_core_c=92.5),
        Stage("hold", "t", 2, "hold"),
        Part("pa", "hold", "mA", "set_temp_c", number=65),
        Part("pb", "hold", "mB", "set_temp_c", number=163),
        Part("pc", "hold", "mB", "duration_s", number=247),
        Sitting("s1", "t", "c1", 1, served_temp_c=58),
    )
    found = temperatures_of(plan)
    # 120 °C = 248 °F; 92.5 °C = 198.5 °F, read as 198 or 199; 163 °C = 325.4 °F, 325 or 326.
    assert {120, 248, 92, 93, 198, 199, 65, 149, 163, 325, 326, 58} <= found
    assert 247 not in found
    assert not {"248", "163", "325", "198"} & set(code_pool(found))


def test_too_many_samples_are_refused_with_a_way_out():
    with pytest.raises(Refused, match="700 samples are more than the 633 codes") as found:
        draw_codes(700, Lots(1, "codes"))
    assert "two sittings" in say(found.value.way_out)

"""The unit: pieces, loads, pairs, servings; unit means, counts and the redraw test."""

from __future__ import annotations

import pytest

from tests.findings.tables_made_up import asked, columns_of, days
from trialbench.findings.finding import Finding
from trialbench.findings.judging import judge


def found(rows: list[dict], *columns: str, **more) -> Finding:
    return judge(columns_of(rows), asked(*columns, **more))


def _pieces(cooks: int = 3, pieces: int = 4) -> list[dict]:
    """Pieces 0, 1 of each method share load x, the others stand alone; two pairs a cook."""
    return [
        {
            "cook": f"k{k}", "method": m, "piece": f"p{u}", "load": "x" if u < 2 else "",
            "pair": f"r{u}", "taster": f"t{t}",
            "value": float(3 + (m == "A") * (1 + 0.2 * k) + u * u + t + (k == 2) * u),
        }
        for k in range(cooks) for m in "AB" for u in range(pieces) for t in range(3)
    ]  # fmt: skip


def test_pieces_of_a_load_are_averaged_before_units():
    rows = _pieces()
    finding = found(rows, "cook", "piece", "load", "taster")
    assert finding.unit == "piece or load"
    assert (finding.counts.units, finding.counts.pieces, finding.counts.scores) == (18, 24, 72)
    shared = next(u for u in finding.unit_means if u.is_load)
    assert (shared.unit, shared.cook, shared.method) == ("x", "k0", "A")
    assert shared.mean == pytest.approx(4 + 0.5 + 1)


def test_load_and_piece_names_count_within_cook_and_method():
    rows = [row for row in _pieces() if row["load"]]
    finding = found(rows, "cook", "piece", "load", "taster")
    assert (finding.unit, finding.counts.units) == ("load", 6)
    bare = found(rows, "cook", "piece", "taster")
    assert (bare.unit, bare.counts.units) == ("piece", 12)


def test_a_load_does_not_weigh_more_for_holding_more_servings():
    base = {"cook": "k", "method": "A", "load": "x", "taster": "t"}
    rows = [
        {**base, "piece": "1", "serving": s, "value": v} for s, v in (("1", 2.0), ("2", 4.0))
    ] + [{**base, "piece": "2", "serving": "1", "value": 9.0}]
    rows += [{**base, "method": "B", "piece": "1", "serving": "1", "value": 1.0}]
    rows += [{**row, "cook": "l"} for row in rows]
    finding = found(rows, "cook", "piece", "load", "taster", "serving")
    assert finding.cook_differences[0].difference == (3.0 + 9.0) / 2 - 1.0


def test_without_piece_and_load_there_is_one_unit_a_cook_and_method():
    finding = found(days(1.0, 2.0, 3.0), "cook", "taster")
    assert (finding.unit, finding.counts.units, finding.counts.pieces) == ("piece", 6, 6)


def test_a_load_column_alone_leaves_the_number_of_pieces_open():
    rows = [{**row, "load": "x"} for row in days(1.0, 2.0, 3.0)]
    finding = found(rows, "cook", "load", "taster")
    assert (finding.unit, finding.counts.units, finding.counts.pieces) == ("load", 6, None)


def test_pairs_shape_the_redraw_and_never_the_degrees_of_freedom():
    rows = _pieces()
    paired = found(rows, "cook", "piece", "pair", "taster")
    free = found(rows, "cook", "piece", "taster")
    assert paired.comparison == free.comparison
    assert paired.comparison.df == 2
    assert (paired.redraw.assignments, free.redraw.assignments) == (2**12, 70**3)
    whole = found(rows, "cook", "piece", "pair", "taster", draw_within_pairs=False)
    assert whole.redraw == free.redraw


def test_pairs_that_a_load_runs_across_do_not_block_the_redraw():
    finding = found(_pieces(), "cook", "piece", "pair", "load", "taster")
    assert finding.redraw.assignments == 20**3
    assert {unit.pair for unit in finding.unit_means} == {None}


def test_each_cook_shows_its_means_pairs_and_tasters():
    day = found(_pieces(), "cook", "piece", "pair", "taster").cook_differences[1]
    assert (day.tasters, day.units_a, day.units_b) == (3, 4, 4)
    assert day.mean_a - day.mean_b == pytest.approx(day.difference)
    assert [pair.pair for pair in day.pairs] == ["r0", "r1", "r2", "r3"]
    assert [pair.difference for pair in day.pairs] == pytest.approx([1.2] * 4)


def test_the_statistic_of_the_redraw_is_the_estimate():
    """One unit a cook and method: the cook differences with either sign, gaps in scores or not."""
    rows = [r for r in days(1.0, -2.0, 3.0) if (r["cook"], r["taster"], r["method"]) !=
            ("k1", "t3", "B")]  # fmt: skip
    finding = found(rows, "cook", "taster")
    for cook, gap in (("k0", 1.0), ("k1", -2.0), ("k2", 3.0)):
        means = {u.method: u.mean for u in finding.unit_means if u.cook == cook}
        assert means["A"] - means["B"] == pytest.approx(gap)
    assert finding.redraw.hits == 6


def test_the_redraw_overrules_only_where_its_floor_is_low_enough():
    gaps = [0.45, 0.5, 0.5, 0.55, 0.5, 0.45, 0.55, 0.5]
    pieces = [
        {"cook": f"k{k}", "method": m, "piece": f"p{u}", "value": 4.0 * u + (m == "A") * gap}
        for k, gap in enumerate(gaps) for m in "AB" for u in range(2)
    ]  # fmt: skip
    # Within cooks the pieces differ far more than the methods: only the draw knows.
    loud = found(pieces, "cook", "piece", matters=0.2)
    assert loud.redraw.may_speak and loud.redraw.p > 0.05
    assert (loud.case, loud.favours, loud.redraw.overruled) == ("not_settled", None, True)
    assert "speaks against" in str(loud.notes[0])
    small = found(pieces, "cook", "piece", matters=2.0)
    assert small.case == "no_difference_that_matters"
    few = found([row for row in pieces if row["cook"] < "k2"], "cook", "piece", matters=0.05)
    assert few.redraw.cooks_needed == 3 and not few.redraw.overruled
    as_good = found(pieces, "cook", "piece", matters=0.2, kind="at-least-as-good", easier="A")
    assert (as_good.case, as_good.favours) == ("at_least_as_good", None)
    twice = found(pieces, "cook", "piece", matters=0.2, same_recipe=True)
    assert twice.case == "same_recipe" and not twice.redraw.overruled


def test_seven_cooks_of_one_pair_may_speak_and_six_may_not():
    assert found(days(*[1.0] * 6, 1.1), "cook", "taster").redraw.may_speak
    six = found(days(*[1.0] * 5, 1.1), "cook", "taster").redraw
    assert not six.may_speak and six.cooks_needed == 7


def test_only_draws_that_the_plan_allowed():
    rows = [{**row, "piece": f"{row['method']}1"} for row in days(1.0, 2.0, 1.5)]
    ways = [
        {(f"k{k}", f"{u}1"): ("A" if (u == "A") == (flip == "0") else "B")
         for k, flip in enumerate(f"{way:03b}") for u in "AB"}
        for way in (0, 7, 1, 6)
    ]  # fmt: skip
    finding = found(rows, "cook", "piece", "taster", assignments=tuple(ways))
    assert (finding.redraw.assignments, finding.redraw.hits) == (4, 2)
    other = found(rows, "cook", "piece", "taster", assignments=({("k9", "A1"): "A"},))
    assert other.redraw.assignments == 8

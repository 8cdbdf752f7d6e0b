"""What a plan can show is reckoned as the policy says, and said in the cook's words."""

from __future__ import annotations

import csv
import itertools
import math
from pathlib import Path
from statistics import fmean, variance

import pytest

from tests.planning.kitchen import LATER, NOON, kitchen
from trialbench.model.message import msg, say
from trialbench.model.records import Load, Outcome, Pair, Piece, Trial
from trialbench.notebook.acts import plan as plan_acts
from trialbench.notebook.acts import question as question_acts
from trialbench.planning.draw import draw_lots
from trialbench.planning.feasibility import (
    feasibility_of,
    floor_cooks_of,
    floor_of,
    plan_figures,
    ways_by_figures,
)
from trialbench.planning.plan_margin import margin_of_plan
from trialbench.planning.seal import seal_plan
from trialbench.planning.spread import (
    Parts,
    PastTrial,
    Spread,
    own_spread,
    typical_shares,
    typical_spread,
)
from trialbench.planning.units import scope_sentence, unit_sentence

FRIES = Path(__file__).parents[1] / "reference" / "data" / "fries.csv"
SD_64 = Spread(0.64, msg("Spread from cook day to cook day in trial 9, 11: 0.64 points."), 6)


def found(plan, own=SD_64):
    return feasibility_of(plan_figures(plan.book, "t", own))


def notes(plan, own=SD_64):
    return margin_of_plan(plan.book, "t", found(plan, own)).notes


def told(plan, line, own=SD_64):
    return [
        [say(n.label), *map(say, n.sentences), *(say(v.label) for v in n.verbs)]
        for n in notes(plan, own)
        if n.line == line
    ]


def test_the_curve_is_that_of_the_printed_plan():
    """LOOK 6: sd 0.64 finds 2.09 ... 0.64 points at 3 to 10 cook days; 8 settle a gap of 0.8."""
    curve = found(kitchen()).curve
    assert [round(d, 2) for _, d in curve.points] == [
        2.09, 1.36, 1.08, 0.92, 0.81, 0.74, 0.68, 0.64,
    ]  # fmt: skip
    assert curve.planned == curve.points[1]
    assert found(kitchen()).cooks_for_matters == 8


def test_the_margin_says_what_the_design_can_find():
    assert [
        "4 cook days: what they can find",
        "4 cook days find 1.4 points or more, eight times in ten.",
        "You said 0.8 matters: that takes 8.",
        "Make it 8 cook days",
        "Keep 4 and look for 1.4",
    ] in told(kitchen(), "feasibility")
    standing = margin_of_plan(kitchen().book, "t", found(kitchen())).standing
    assert say(standing) == "Can this trial give an answer? Yes, if the gap is large."


def test_the_verbs_of_the_margin_are_acts():
    plan = kitchen()
    verbs = {v.name: v for n in notes(plan) for v in n.verbs}
    more = plan.after(plan_acts.set_plan(plan.book, *verbs["set_plan"].args))
    assert more.trial.planned_cooks == 8
    other = plan.after(question_acts.set_matters(plan.book, *verbs["set_matters"].args))
    assert other.trial.matters == pytest.approx(1.4)


def test_five_cook_days_of_one_pair_have_a_floor_of_0_0625():
    plan = kitchen(cooks=5, pairs=1)
    assert floor_of(plan_figures(plan.book, "t")) == 2 / 32
    assert [
        "Redraw test: its floor",
        "5 cook days drawn so: the redraw test cannot go below 0.0625; the interval decides.",
        "It is heard from 7 cook days on.",
    ] in told(plan, "feasibility")


def test_the_redraw_test_is_heard_from_seven_cook_days_of_one_pair():
    seven = kitchen(cooks=7, pairs=1)
    assert floor_of(plan_figures(seven.book, "t")) == 2 / 128
    assert floor_cooks_of(plan_figures(seven.book, "t")) == 7
    assert any("and is heard" in line for note in told(seven, "feasibility") for line in note)


def test_places_that_pairs_exchange_raise_the_floor():
    """Four of eight pairs with A on the upper rack: 2/70 = 0.029; five cook days reach 0.017."""
    plan = kitchen(places=("upper rack", "lower rack"))
    plan = plan.after(draw_lots(plan, lot_number=1, when=NOON))
    figures = plan_figures(plan.book, "t")
    assert figures.ways == 70
    assert floor_of(figures) == 2 / 70
    assert floor_cooks_of(figures) == 5
    assert any("below 0.029" in line for note in told(plan, "feasibility") for line in note)


def test_figures_and_laid_out_pieces_count_the_same_draws():
    for pairs, each in ((1, 1), (2, 1), (0, 1), (0, 2), (0, 3)):
        plan = kitchen(cooks=3, pairs=pairs, each=each)
        figures = plan_figures(plan.book, "t")
        assert figures.ways == ways_by_figures(figures.units, 3, places=False)


def test_shared_loads_are_one_unit_a_method_and_day():
    plan = kitchen(pairs=0, each=4).changed(Trial, "t", loads="shared")
    figures = plan_figures(plan.book, "t")
    assert (figures.units.unit, figures.units.each) == ("load", 1)
    assert floor_of(figures) == 2 / 2**4
    assert say(unit_sentence(figures.units)) == (
        "4 pieces of a method share a pan, bag or cooker: they count as one."
    )


def test_loads_that_were_laid_out_are_counted():
    plan = kitchen(pairs=0, each=4, loads=True)
    figures = plan_figures(plan.book, "t")
    assert (figures.units.unit, figures.units.each) == ("load", 2)
    assert len(plan.of(Load)) == 16


@pytest.mark.parametrize(
    ("layout", "tasters", "scope", "words"),
    [
        ({"cooks": 4}, 8, "method", "4 cook days, each with all methods"),
        ({"cooks": 2}, 8, "method", "rests on two cook days"),
        ({"cooks": 1, "pairs": 2}, 8, "batch", "2 of each method: this tells you about that day"),
        ({"cooks": 1, "pairs": 1}, 8, "batch", "these two pieces, not about the method."),
        ({"cooks": 1, "pairs": 0}, 8, "batch", "these 2 pieces, not about the method."),
        ({"cooks": 1, "pairs": 1}, 2, "none", "no interval can come of it"),
        ({"cooks": 1, "pairs": 1}, 1, "none", "no interval can come of it"),
    ],
)
def test_what_the_answer_would_hold_for(layout, tasters, scope, words):
    units = plan_figures(kitchen(**layout, tasters=tasters).book, "t").units
    assert units.scope == scope
    assert words in say(scope_sentence(units))


def test_one_taster_with_repeated_servings_speaks_for_one_taster():
    plan = kitchen(cooks=1, pairs=1, tasters=1).changed(Trial, "t", servings=6)
    units = plan_figures(plan.book, "t").units
    assert units.scope == "taster"
    assert "this taster and these pieces" in say(scope_sentence(units))


def test_one_pair_on_one_cook_day_in_the_printed_words():
    plan = kitchen(cooks=1, pairs=1)
    assert told(plan, "figures")[0][1] == (
        "One pair on one cook day: this tells you about these two pieces, not about the method."
    )
    assert all("what they can find" not in note[0] for note in told(plan, "feasibility"))


def test_a_weight_from_one_of_each_has_no_error():
    plan = kitchen(cooks=1, pairs=1).changed(
        Outcome, "juiciness", source="loss", scale="", low=None, high=None, step=None
    )
    assert plan_figures(plan.book, "t").units.scope == "none"


def test_equality_is_out_of_reach_with_few_cook_days():
    """Policy 6.10: 4 cook days need half-widths of 1.18 sd(D) inside d; 0.64 gives 0.755."""
    near = kitchen().changed(Trial, "t", matters=0.76)
    far = kitchen().changed(Trial, "t", matters=0.75)
    label = "“No difference that matters”: seldom"
    assert all(note[0] != label for note in told(near, "feasibility"))
    note = next(note for note in told(far, "feasibility") if note[0] == label)
    assert note[1] == (
        "4 cook days can leave it open. If nothing differs, they show it 3 times in 10; its "
        "interval fits from 5 cook days on."
    )
    low = kitchen(cooks=2).changed(Trial, "t", matters=0.3)
    hopeless = next(n for n in told(low, "feasibility") if "out of reach" in n[0])
    assert "1 time in 10" not in hopeless[1] and "in 100" in hopeless[1]


def test_at_least_as_good_has_its_own_number_of_cook_days():
    plan = kitchen().changed(Trial, "t", question="at_least_as_good", easier_id="mB")
    note = next(n for n in told(plan, "feasibility") if n[0].startswith("At least as good"))
    few = found(plan).as_good_cooks
    assert few == 6
    assert f"that takes {few}" in note[1] and note[2] == f"Make it {few} cook days"
    assert all("You said" not in line for n in told(plan, "feasibility") for line in n)


def test_a_difference_far_too_small_takes_more_than_forty():
    plan = kitchen().changed(Trial, "t", matters=0.1)
    note = next(n for n in told(plan, "feasibility") if "what they can find" in n[0])
    assert "You said 0.1 matters: that takes more than 40." in note
    assert not any(text.startswith("Make it") for text in note)


def test_a_kitchens_own_spread_is_pooled_over_its_trials():
    outcome = kitchen().book.get(Outcome, "juiciness")
    first = PastTrial(9, 3, 2, 1.0, 1, 8, 1, Parts(0.5, score=1.0))
    second = PastTrial(11, 2, 1, 0.0, 1, 8, 1, Parts(0.0))
    own = own_spread([first, second], outcome, tasters=8)
    assert own.sd == pytest.approx(math.sqrt((2 * 1.0 + 1 * 0.0) / 3))
    assert own.df == 3 and not own.typical
    assert say(own.origin) == (
        "Your own spread from cook day to cook day, from trial 9, 11, 5 cook days: 0.82 points."
    )
    assert own_spread([PastTrial(1, 1, 0, 0.0, 1, 8, 1, Parts(0.0))], outcome) is None


def test_an_own_spread_follows_tasters_and_pieces_by_its_parts():
    outcome = kitchen().book.get(Outcome, "juiciness")
    parts = Parts(0.3, unit=0.4, score=1.0)
    past = [PastTrial(9, 8, 7, parts.sd(2, 8) ** 2, 2, 8, 1, parts)]
    assert own_spread(past, outcome, units=2, tasters=8).sd == pytest.approx(parts.sd(2, 8))
    four = own_spread(past, outcome, units=1, tasters=4)
    assert four.sd == pytest.approx(math.sqrt(2 * (0.09 + 0.16 + 1 / 4)))
    assert say(four.origin).endswith("Reckoned for 4 tasters; 8 sat there.")


def test_a_borrowed_spread_says_so_and_follows_the_tasters():
    outcome = kitchen().book.get(Outcome, "juiciness")
    shares = typical_shares()
    eight = typical_spread(outcome, 8)
    assert eight.typical
    assert eight.sd == pytest.approx(10 * math.sqrt(shares.cook**2 + shares.taster**2 / 8))
    assert eight.sd < typical_spread(outcome, 4).sd
    assert say(eight.origin).startswith("Spread borrowed from open tasting data, for 8 tasters")
    source = next(n.source for n in notes(kitchen(), None) if n.source is not None)
    assert "borrowed" in say(source)


def test_no_spread_is_made_up_for_a_mass():
    plan = kitchen().changed(Outcome, "juiciness", source="mass", scale="", low=None, high=None)
    figures = plan_figures(plan.book, "t")
    assert figures.spread is None
    assert feasibility_of(figures).curve is None
    assert say(margin_of_plan(plan.book, "t", feasibility_of(figures)).standing).endswith(
        "Nobody knows the spread yet."
    )


def test_the_borrowed_table_is_what_the_open_data_give():
    """Recomputed from tests/reference/data/fries.csv (see resources/planning for the recipe)."""
    with FRIES.open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    table = Path(__file__).parents[2] / "resources" / "planning" / "typical_spread.csv"
    lines = [t for t in table.read_text("utf-8").splitlines() if not t.startswith("#")]
    for kept in csv.DictReader(lines):
        if kept["data"] == "fries":
            cook, taster = _shares(rows, kept["outcome"])
            assert round(cook, 4) == pytest.approx(float(kept["cook_share"]), abs=1e-9)
            assert round(taster, 4) == pytest.approx(float(kept["taster_share"]), abs=1e-9)


def _shares(rows, attribute):
    """Cook and taster shares of the range 15 from rows of week, treatment, subject, replicate."""
    scores = {}
    for row in rows:
        if row[attribute] not in ("", "NA"):
            key = (int(row["week"]), row["treatment"], row["subject"])
            scores.setdefault(key, []).append(float(row[attribute]))
    weeks, subjects = range(1, 11), {key[2] for key in scores}
    twice = [(v[0] - v[1]) ** 2 / 2 for v in scores.values() if len(v) == 2]
    residuals, spreads, count = [], [], 0
    for a, b in itertools.combinations("123", 2):
        here = [s for s in sorted(subjects)
                if all((w, t, s) in scores for w in weeks for t in (a, b))]  # fmt: skip
        d = [[fmean(scores[w, a, s]) - fmean(scores[w, b, s]) for s in here] for w in weeks]
        by_week, by_taster = [fmean(row) for row in d], [fmean(col) for col in zip(*d, strict=True)]
        whole, count = fmean(by_week), len(here)
        squares = sum(
            (d[w][s] - by_week[w] - by_taster[s] + whole) ** 2
            for w in range(10)
            for s in range(count)
        )
        residuals.append(squares / (9 * (count - 1)))
        spreads.append(variance(by_week))
    residual = fmean(residuals)
    cook = max(0.0, fmean(spreads) - residual / count)
    return math.sqrt(cook) / 15, math.sqrt(residual + fmean(twice)) / 15


def test_cook_days_lack_sources_and_lots():
    plan = kitchen(cooks=2)
    bare = plan.changed(Pair, "c1p1", source="").changed(Pair, "c1p2", source="")
    assert told(bare, "cook:c1") == [[
        "Day 1: no source written",
        "The pieces of a pair come from one animal, lot or batch. Write which.",
        "Name the 2 sources",
    ]]  # fmt: skip
    assert told(bare, "cook:c2") == []
    two = plan.changed(Piece, "c1x0", source="animal 1").changed(Piece, "c1x1", source="animal 2")
    two = two.changed(Pair, "c1p1", source="")
    assert told(two, "cook:c1")[0][0] == "Day 1, pair 1: several sources"
    assert told(plan, "draw")[0][0] == "Lots: not drawn yet"
    # Nobody has bought yet for the day after the next.
    later = plan.changed(Pair, "c2p1", source="")
    assert told(later, "cook:c2") == []


def test_repeated_draws_are_counted_in_the_margin():
    plan = kitchen()
    once = plan.after(draw_lots(plan, lot_number=1, when=NOON))
    assert told(once, "draw") == []
    twice = once.after(draw_lots(once, lot_number=2, when=NOON, reason="P03 was still frozen"))
    assert told(twice, "draw")[0][0] == "Draw 2: counted in the open"
    bare = once.changed(Piece, "c4x0", method_id=None)
    assert told(bare, "draw")[0][0] == "1 piece without a method"


def test_a_sealed_plan_is_told_what_it_finds_and_offered_no_change():
    drawn = kitchen().after(draw_lots(kitchen(), lot_number=7, when=NOON))
    sealed = drawn.after(seal_plan(drawn, LATER))
    names = [verb.name for note in notes(sealed) for verb in note.verbs]
    assert "set_plan" in [verb.name for note in notes(drawn) for verb in note.verbs]
    assert set(names) <= {"go_to"}
    assert any("eight times in ten" in say(s) for n in notes(sealed) for s in n.sentences)


def test_two_halves_of_one_named_animal_are_one_source():
    named = kitchen().changed(Pair, "c1p1", source="bird 1")
    halves = named.changed(Piece, "c1x0", source="bird 1, left half")
    halves = halves.changed(Piece, "c1x1", source="bird 1, right half")
    assert told(halves, "cook:c1") == []

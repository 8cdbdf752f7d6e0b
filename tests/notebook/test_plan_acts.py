"""Acts on the Plan page: figures, and what is laid out to match them."""

from dataclasses import replace

import pytest

from tests.notebook.kitchen_book import (
    begun,
    opened_key,
    planned,
    sealed_key,
    sealed_plan,
    seated,
)
from trialbench.model.errors import Refused, Sealed, TwoReadings
from trialbench.model.message import msg
from trialbench.model.records import Cook, Draw, Load, Lot, Pair, Piece, Trial, new_id
from trialbench.model.steps import Change, Step, added
from trialbench.notebook import views
from trialbench.notebook.acts import cooking, loads, plan, scores


def _labels(nb, trial_id):
    return [p.label for p in views.all_pieces(nb, trial_id)]


def test_pieces_and_pairs_follow_the_figures(nb):
    trial_id = begun(nb)
    nb.apply(plan.set_plan(nb, trial_id, "planned_cooks", "3"))
    assert _labels(nb, trial_id) == ["P01", "P02", "P03", "P04", "P05", "P06"]
    nb.apply(plan.set_plan(nb, trial_id, "pieces_each", "2"))
    nb.apply(plan.set_plan(nb, trial_id, "paired", "yes"))
    assert len(_labels(nb, trial_id)) == 12 and len(nb.all(Pair)) == 6
    for cook in views.cooks(nb, trial_id):
        counts = [len(nb.all(Piece, pair_id=pair.id)) for pair in views.pairs(nb, cook.id)]
        assert counts == [2, 2]
    piece = views.all_pieces(nb, trial_id)[0]
    assert [p.label for p in views.partners(nb, piece)] == ["P02"]
    nb.apply(plan.set_plan(nb, trial_id, "paired", "no"))
    nb.apply(plan.set_plan(nb, trial_id, "planned_cooks", "1"))
    assert nb.all(Pair) == () and _labels(nb, trial_id) == ["P01", "P02", "P03", "P04"]
    assert plan.lay_out_cooks(nb, trial_id).changes == ()


def test_what_is_known_of_a_piece_stays_when_the_figures_change(nb):
    trial_id = begun(nb)
    nb.apply(plan.set_plan(nb, trial_id, "planned_cooks", "2"))
    piece = views.all_pieces(nb, trial_id)[0]
    nb.apply(plan.set_piece(nb, piece.id, "place", "upper rack"))
    nb.apply(plan.set_plan(nb, trial_id, "pieces_each", "2"))
    assert nb.get(Piece, piece.id).place == "upper rack"


@pytest.mark.parametrize(
    ("field", "typed"),
    [("planned_cooks", "0"), ("planned_cooks", "61"), ("planned_cooks", "2.5"),
     ("pieces_each", "x"), ("servings", "7"), ("planned_tasters", "-1"), ("loads", "both"),
     ("paired", "perhaps"), ("alpha", "0.1")],
)  # fmt: skip
def test_figures_outside_their_limits_are_refused(nb, field, typed):
    trial_id = begun(nb)
    with pytest.raises(Refused):
        plan.set_plan(nb, trial_id, field, typed)


def test_nothing_is_laid_out_without_a_number_of_cook_days(nb):
    with pytest.raises(Refused, match="How many cook days"):
        plan.lay_out_cooks(nb, begun(nb))


def _weigh(nb, trial_id, number):
    cook = views.cooks(nb, trial_id)[number - 1]
    piece, raw = views.pieces(nb, cook.id)[0], views.checkpoints(nb, trial_id)[0]
    nb.apply(cooking.set_mass(nb, piece.id, raw.id, "2 405"))
    return cook


def test_a_cook_day_with_weights_is_never_touched(nb):
    trial_id = planned(nb, cooks="3")
    cook = _weigh(nb, trial_id, 2)
    before = views.pieces(nb, cook.id)
    nb.apply(plan.set_plan(nb, trial_id, "pieces_each", "2"))
    assert views.pieces(nb, cook.id) == before
    labels = _labels(nb, trial_id)
    assert len(labels) == len(set(labels)) == 10
    with pytest.raises(Refused, match="Cook day 2 was begun"):
        plan.set_plan(nb, trial_id, "planned_cooks", "1")
    nb.apply(plan.set_plan(nb, trial_id, "planned_cooks", "2"))
    assert len(views.cooks(nb, trial_id)) == 2


def test_lots_are_to_be_drawn_again_where_a_cook_day_changes(nb):
    trial_id = planned(nb)
    pieces = views.all_pieces(nb, trial_id)
    draw = Draw(new_id(), trial_id, 1, 5, nb.now().utc, 0, "cook")
    lots = [Lot(new_id(), draw.id, p.id, p.method_id) for p in pieces]
    nb.apply(Step(msg("Lots drawn"), added(draw, *lots)))
    nb.apply(plan.set_plan(nb, trial_id, "planned_cooks", "3"))
    methods = [p.method_id for p in views.all_pieces(nb, trial_id)]
    assert None not in methods[:4] and methods[4:] == [None, None]
    nb.apply(plan.set_plan(nb, trial_id, "pieces_each", "2"))
    assert {p.method_id for p in views.all_pieces(nb, trial_id)} == {None}
    nb.apply(plan.set_plan(nb, trial_id, "planned_cooks", "1"))
    assert views.draws(nb, trial_id) == (draw,)
    assert set(views.lots(nb, draw.id)) == {p.id for p in pieces[:2]}


def test_once_sealed_the_planned_days_stay_and_others_can_be_added(nb):
    trial_id = planned(nb)
    sealed_plan(nb, trial_id)
    piece = views.all_pieces(nb, trial_id)[0]
    for make in (
        lambda: plan.set_plan(nb, trial_id, "planned_cooks", "3"),
        lambda: plan.set_plan(nb, trial_id, "servings", "2"),
        lambda: plan.set_piece(nb, piece.id, "place", "lower rack"),
    ):
        with pytest.raises(Sealed, match="plan is sealed"):
            make()
    with pytest.raises(Sealed):
        nb.apply(Step(msg("x"), (Change(piece, replace(piece, method_id=None)),)))
    with pytest.raises(Sealed):
        nb.apply(Step(msg("x"), added(Piece(new_id(), piece.cook_id, 3, "P99"))))
    nb.apply(plan.add_cook(nb, trial_id))
    (more,) = views.added_cooks(nb, trial_id)
    assert (more.number, more.after_opening) == (3, False)
    extra = views.pieces(nb, more.id)
    assert [p.label for p in extra] == ["P05", "P06"]
    method = views.methods(nb, trial_id)[0]
    draw = Draw(new_id(), trial_id, 1, 9, nb.now().utc, 0, "cook")
    lot = Lot(new_id(), draw.id, extra[0].id, method.id)
    drawn = Change(extra[0], replace(extra[0], method_id=method.id))
    nb.apply(Step(msg("Lots drawn"), (*added(draw, lot), drawn)))
    again = Draw(new_id(), trial_id, 2, 9, nb.now().utc, 0, "cook")
    lot = Lot(new_id(), again.id, extra[0].id, method.id)
    with pytest.raises(Sealed):
        nb.apply(Step(msg("x"), added(again, lot)))


def test_a_cook_day_added_with_a_key_open_is_marked(nb):
    trial_id = planned(nb)
    sealed_plan(nb, trial_id)
    sitting_id = seated(nb, trial_id)
    samples = sealed_key(nb, sitting_id)
    for sample in samples:
        nb.apply(scores.set_score(nb, sample.id, nb.get(Trial, trial_id).decides_id, "5"))
    opened_key(nb, sitting_id)
    nb.apply(plan.add_cook(nb, trial_id))
    assert views.added_cooks(nb, trial_id)[0].after_opening


def test_cook_days_have_days_and_pieces_labels_of_their_own(nb):
    trial_id = planned(nb)
    cook = views.cooks(nb, trial_id)[0]
    nb.apply(plan.set_cook(nb, cook.id, "date", "2026-03-14"))
    nb.apply(plan.set_cook(nb, cook.id, "date", "Sunday, 15 March"))
    assert nb.get(Cook, cook.id).date == "2026-03-15"
    with pytest.raises(Refused, match="is no day"):
        plan.set_cook(nb, cook.id, "date", "the Ides of March")
    with pytest.raises(TwoReadings, match="Friday 3 July"):
        plan.set_cook(nb, cook.id, "date", "7/3/2026")
    first, second = views.pieces(nb, cook.id)
    with pytest.raises(Refused, match="already"):
        plan.set_piece(nb, first.id, "label", second.label)


def test_a_load_holds_one_method_of_one_cook_day(nb):
    trial_id = planned(nb, each="2")
    one, two = views.cooks(nb, trial_id)
    a1, b1, a2, _ = views.pieces(nb, one.id)
    nb.apply(loads.make_load(nb, one.id, [a1.id, a2.id], "the blue pan"))
    load = nb.all(Load)[0]
    assert [p.id for p in views.pieces_of_load(nb, load.id)] == [a1.id, a2.id]
    with pytest.raises(Refused, match="holds both methods"):
        loads.join_load(nb, b1.id, load.id)
    with pytest.raises(Refused, match="another cook day"):
        loads.join_load(nb, views.pieces(nb, two.id)[0].id, load.id)
    with pytest.raises(Refused, match="needs a piece"):
        loads.make_load(nb, one.id, [], "x")
    nb.apply(loads.name_load(nb, load.id, "the red pan", "pan"))
    nb.apply(loads.leave_load(nb, a1.id))
    assert nb.get(Load, load.id).name == "the red pan"
    nb.apply(loads.leave_load(nb, a2.id))
    assert nb.all(Load) == ()


def test_a_load_goes_and_its_pieces_stay(nb):
    trial_id = planned(nb, each="2")
    cook = views.cooks(nb, trial_id)[0]
    a1, _, a2, _ = views.pieces(nb, cook.id)
    before = nb.snapshot().as_set()
    nb.apply(loads.make_load(nb, cook.id, [a1.id, a2.id], ""))
    assert nb.all(Load)[0].name == "load 1"
    nb.apply(loads.remove_load(nb, nb.all(Load)[0].id))
    assert nb.snapshot().as_set() == before

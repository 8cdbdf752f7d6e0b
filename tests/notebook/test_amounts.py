"""Target grams from the trimmed weight, and what was weighed onto a piece beside them."""

from dataclasses import replace

import pytest

from tests.notebook.kitchen_book import planned
from trialbench.model.errors import Refused
from trialbench.model.quantities import show_typed_mass, typed_step_g
from trialbench.model.records import Amount, Cook, Measurement
from trialbench.model.steps import Change, Step
from trialbench.notebook import views
from trialbench.notebook.acts import additions, amounts, cooking, stages


@pytest.fixture
def trial_id(nb):
    trial_id = planned(nb)
    salt = views.stages(nb, trial_id)[0]
    nb.apply(stages.set_value(nb, salt.id, "salt_g_per_kg", "12"))
    nb.apply(additions.add_addition(nb, salt.id, "rub paprika 20 g/kg, 10 % salt"))
    return trial_id


def _first(nb, trial_id):
    return views.all_pieces(nb, trial_id)[0]


def _weigh(nb, trial_id, kind, piece, typed):
    point = next(c for c in views.checkpoints(nb, trial_id) if c.checkpoint_kind == kind)
    nb.apply(cooking.set_mass(nb, piece.id, point.id, typed))


def test_the_target_follows_from_the_trimmed_weight(nb, trial_id):
    salt, rub = views.to_weigh(nb, trial_id)
    piece = _first(nb, trial_id)
    assert views.target_g(nb, salt, piece) is None
    _weigh(nb, trial_id, "trimmed", piece, "902.5")
    assert views.target_g(nb, salt, piece) == pytest.approx(10.83)
    assert views.target_g(nb, rub, piece) == pytest.approx(18.05)
    assert (salt.key, rub.key) == (f"{salt.stage.id}:salt", f"{salt.stage.id}:1")


def test_each_method_has_its_own_target_and_a_piece_without_one_none(nb, trial_id):
    salt = views.to_weigh(nb, trial_id)[0]
    a, b = views.methods(nb, trial_id)
    nb.apply(stages.part_line(nb, salt.stage.id, "salt_g_per_kg"))
    nb.apply(stages.set_value(nb, salt.stage.id, "salt_g_per_kg", "15", b.id))
    of = {p.method_id: p for p in views.all_pieces(nb, trial_id)[:2]}
    rates = [views.rate_g_per_kg(nb, salt, of[m.id]) for m in (a, b)]
    assert rates == [12, 15]
    undrawn = replace(of[a.id], method_id=None)
    assert views.rate_g_per_kg(nb, salt, undrawn) is None


def test_what_was_weighed_is_written_changed_and_cleared(nb, trial_id):
    salt, rub = views.to_weigh(nb, trial_id)
    piece = _first(nb, trial_id)
    _weigh(nb, trial_id, "trimmed", piece, "1000")
    nb.apply(amounts.set_amount(nb, piece.id, salt.key, "12.1"))
    nb.apply(amounts.set_amount(nb, piece.id, rub.key, "0.02 kg"))
    found = views.amount(nb, salt, piece.id)
    assert (found.role, found.mass_g, found.typed) == ("salt", 12.1, "12.1 g")
    assert views.amount(nb, rub, piece.id).mass_g == 20
    nb.apply(amounts.set_amount_missing(nb, piece.id, salt.key, "scale empty"))
    assert views.amount(nb, salt, piece.id).missing_reason == "scale empty"
    nb.apply(amounts.clear_amount(nb, piece.id, salt.key))
    assert [a.role for a in nb.all(Amount)] == ["rub"]


@pytest.mark.parametrize("typed", ["121", "0.5", "much"])
def test_a_slip_of_the_figure_is_refused(nb, trial_id, typed):
    salt, piece = views.to_weigh(nb, trial_id)[0], _first(nb, trial_id)
    _weigh(nb, trial_id, "trimmed", piece, "1000")
    with pytest.raises(Refused):
        amounts.set_amount(nb, piece.id, salt.key, typed)
    nb.apply(amounts.set_amount(nb, piece.id, salt.key, "0"))
    assert views.amount(nb, salt, piece.id).mass_g == 0


def test_what_no_method_writes_is_refused(nb, trial_id):
    salt, piece = views.to_weigh(nb, trial_id)[0], _first(nb, trial_id)
    nb.apply(stages.set_value(nb, salt.stage.id, "salt_g_per_kg", ""))
    with pytest.raises(Refused, match="No method says"):
        amounts.set_amount(nb, piece.id, salt.key, "12")


def test_it_is_due_until_the_piece_was_weighed_again(nb, trial_id):
    salt, piece = views.to_weigh(nb, trial_id)[0], _first(nb, trial_id)
    assert not views.is_amount_due(nb, salt, piece)
    _weigh(nb, trial_id, "trimmed", piece, "1000")
    assert views.is_amount_due(nb, salt, piece)
    _weigh(nb, trial_id, "stage", piece, "1010")
    assert not views.is_amount_due(nb, salt, piece)


def test_the_first_weight_dates_the_cook_day_and_later_ones_do_not(nb, trial_id):
    first, second = views.pieces(nb, views.cooks(nb, trial_id)[0].id)
    assert nb.get(Cook, first.cook_id).date == ""
    _weigh(nb, trial_id, "raw", first, "1000")
    assert nb.get(Cook, first.cook_id).date == "2026-03-07"
    cook = nb.get(Cook, first.cook_id)
    nb.apply(Step(nb.history(limit=1)[0].label, (Change(cook, replace(cook, date="")),)))
    _weigh(nb, trial_id, "raw", second, "1000")
    assert nb.get(Cook, first.cook_id).date == "" and len(nb.all(Measurement)) == 2


@pytest.mark.parametrize(
    ("mass_g", "typed", "unit", "shown"),
    [
        (510.5, "510.5 g", "g", "510.5"),
        (510.5, "510,5 g", "g", "510.5"),
        (2405, "2405 g", "g", "2\u2009405"),
        (2405, "2.405 kg", "g", "2\u2009405"),
        (12.1, "12.1", "g", "12.1"),
        (512, "18.06 oz", "oz", "18.06"),
        (512, "512 g", "oz", "18.1"),
        (700, "", "g", "700"),
    ],
)
def test_a_weight_keeps_the_decimals_it_was_typed_with(mass_g, typed, unit, shown):
    assert show_typed_mass(mass_g, typed, unit) == shown


@pytest.mark.parametrize(
    ("typed", "mass_g", "step_g"),
    [("12.0 g", 12, 0.1), ("12 g", 12, 1), ("1.02 kg", 1020, 10), ("", 900, 1), ("", 12, 0.1)],
)
def test_the_last_place_of_what_was_typed_is_its_step(typed, mass_g, step_g):
    assert typed_step_g(typed, mass_g) == pytest.approx(step_g)

"""What to buy: raw weight from portions and yield, additions by weight, money; assumptions said."""

from __future__ import annotations

import pytest

from tests.notebook.kitchen_book import begun, opened
from trialbench.model.errors import Refused
from trialbench.model.message import msg, say
from trialbench.model.records import Addition, Price, new_id
from trialbench.model.steps import Step, added
from trialbench.notebook import views
from trialbench.notebook.acts import buying as acts
from trialbench.notebook.acts import matching, plan, stages
from trialbench.planning.buying import buying_of


@pytest.fixture
def nb(tmp_path):
    with opened(tmp_path) as notebook:
        yield notebook


@pytest.fixture
def trial_id(nb):
    """Five cook days of two pieces each way and a spare, salted and held in stock by one way."""
    found = begun(nb)
    for kind in ("salt", "roast", "hold"):
        nb.apply(stages.add_stage(nb, found, kind))
    salt, roast, hold = views.stages(nb, found)
    nb.apply(stages.set_value(nb, salt.id, "salt_g_per_kg", "15"))
    _, b = views.methods(nb, found)
    charcoal = Addition(new_id(), roast.id, 1, "fuel", "charcoal", mass_g=3000)
    stock = Addition(new_id(), hold.id, 1, "medium", "stock", b.id, g_per_kg=400)
    nb.apply(Step(msg("Additions"), added(charcoal, stock)))
    figures = {"planned_cooks": "5", "pieces_each": "2", "planned_tasters": "8", "spares": "1"}
    for field, typed in figures.items():
        nb.apply(plan.set_plan(nb, found, field, typed))
    return found


def line(found, name):
    return next(x for x in found.lines if name in (x.name, say(x.said)))


def test_what_is_not_known_is_asked_for_and_nothing_is_made_up(nb, trial_id):
    found = buying_of(nb, trial_id)
    assert found.blanks == ("portion_g", "yield_percent")
    assert found.piece_g is None and found.at_stake is None
    assert line(found, "pork shoulder").day is None
    assert line(found, "charcoal").whole == 15.0


def test_raw_weight_follows_from_portions_and_yield(nb, trial_id):
    nb.apply(acts.set_portion(nb, trial_id, "30 g"))
    nb.apply(acts.set_yield(nb, trial_id, "50 %"))
    found = buying_of(nb, trial_id)
    # 8 portions of 30 g are 240 g served of each piece: 480 g raw; 4 pieces and a spare a day.
    assert found.piece_g == 480
    food = line(found, "pork shoulder")
    assert (food.day, food.whole) == (pytest.approx(2.4), pytest.approx(12.0))
    assert say(food.said) == "4 pieces a day and 1 spare"
    # 15 g/kg on 4 pieces (a spare is not salted); 400 g/kg on the two pieces of B.
    assert line(found, "salt").day == pytest.approx(4 * 0.48 * 0.015)
    assert line(found, "stock").whole == pytest.approx(5 * 2 * 0.48 * 0.4)
    assert any("8 portions" in say(said) for said in found.assumed)


def test_pieces_that_were_bought_count_with_their_weight(nb, trial_id):
    day = views.cooks(nb, trial_id)[0]
    for piece, grams in zip(views.pieces(nb, day.id), ("1000", "1200", "1100", "1100"),
                            strict=True):  # fmt: skip
        nb.apply(matching.set_match(nb, piece.id, "bought_g", grams))
    found = buying_of(nb, trial_id)
    assert found.piece_g == 1100 and found.blanks == ()
    # 4.4 kg are there; 21 pieces (25 with the spares, less 4) at 1.1 kg are to come.
    assert line(found, "pork shoulder").whole == pytest.approx(4.4 + 21 * 1.1)
    assert any("still to buy" in say(said) for said in found.assumed)


def test_what_has_a_price_is_at_stake_and_what_has_none_is_named(nb, trial_id):
    nb.apply(acts.set_portion(nb, trial_id, "30"))
    nb.apply(acts.set_yield(nb, trial_id, "50"))
    nb.apply(acts.set_currency(nb, "EUR"))
    nb.apply(acts.set_price(nb, trial_id, "food", "pork shoulder", "10 a kg"))
    nb.apply(acts.set_price(nb, trial_id, "fuel", "charcoal", "3/kg"))
    nb.apply(acts.set_price(nb, trial_id, "cook_day", "", "20"))
    found = buying_of(nb, trial_id)
    assert found.at_stake == pytest.approx(120 + 45 + 100)
    assert found.at_stake_a_day == pytest.approx(24 + 9 + 20)
    assert [x.name for x in found.unpriced] == ["salt", "stock"] and found.currency == "EUR"
    nb.apply(acts.set_price(nb, trial_id, "food", "pork shoulder", "8 each"))
    assert line(buying_of(nb, trial_id), "pork shoulder").cost == 25 * 8
    nb.apply(acts.set_price(nb, trial_id, "food", "pork shoulder", ""))
    assert line(buying_of(nb, trial_id), "pork shoulder").price is None


@pytest.mark.parametrize(("typed", "amount", "per"), [
    ("9,50", 9.5, "kg"), ("12 a kg", 12, "kg"), ("3 each", 3, "piece"), ("4/kg", 4, "kg"),
    ("7 per piece", 7, "piece"), ("1 200", 1200, "kg"),
])  # fmt: skip
def test_prices_are_read_as_they_are_said(nb, trial_id, typed, amount, per):
    nb.apply(acts.set_price(nb, trial_id, "food", "pork shoulder", typed))
    (price,) = nb.all(Price)
    assert (price.amount, price.per) == (amount, per)


@pytest.mark.parametrize("typed", ["cheap", "5 a taster", "-3", "3 4 5 a kilo of gold"])
def test_a_price_that_is_none_is_refused(nb, trial_id, typed):
    with pytest.raises(Refused):
        acts.set_price(nb, trial_id, "food", "pork shoulder", typed)


def test_a_portion_and_a_yield_that_cannot_be_are_refused(nb, trial_id):
    for act, typed in ((acts.set_portion, "0"), (acts.set_yield, "0"), (acts.set_yield, "900")):
        with pytest.raises(Refused):
            act(nb, trial_id, typed)

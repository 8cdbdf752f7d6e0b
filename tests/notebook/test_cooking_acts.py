"""Weights and temperatures: what can be, and what is refused where it stands."""

import pytest

from tests.notebook.kitchen_book import begun, planned
from trialbench.model.errors import Refused
from trialbench.model.records import Measurement
from trialbench.notebook import views
from trialbench.notebook.acts import checkpoints, cooking, cover, plan, stages


class Stove:
    """The first piece of a trial and its weighings by name."""

    def __init__(self, nb, trial_id):
        self.nb, self.trial_id = nb, trial_id
        self.piece = views.all_pieces(nb, trial_id)[0]
        self.points = {c.name: c.id for c in views.checkpoints(nb, trial_id)}

    def weigh(self, name, typed, **options):
        self.nb.apply(cooking.set_mass(self.nb, self.piece.id, self.points[name], typed, **options))

    def mass_g(self, name):
        return views.mass_g(self.nb, self.piece.id, self.points[name])


@pytest.fixture
def stove(nb):
    return Stove(nb, planned(nb))


@pytest.fixture
def pot(nb):
    """Beans: soaked and boiled."""
    trial_id = begun(nb, food="white beans")
    for kind in ("soak", "boil", "rest"):
        nb.apply(stages.add_stage(nb, trial_id, kind))
    nb.apply(plan.set_plan(nb, trial_id, "planned_cooks", "1"))
    nb.apply(checkpoints.lay_out_checkpoints(nb, trial_id))
    return Stove(nb, trial_id)


def test_a_digit_too_many_is_refused_in_words(stove):
    stove.weigh("raw", "2 405")
    stove.weigh("salted", "2 436")
    with pytest.raises(Refused) as error:
        stove.weigh("held", "16 390")
    assert str(error.value) == (
        "16\u2009390 g is more than P01 weighed raw, 2\u2009405 g. Not written.".replace(
            "raw, 2\u2009405", "salted, 2\u2009436"
        )
    )
    assert str(error.value.way_out) == "Weigh P01 again, or leave it empty."
    assert error.value.field == "measurement.mass_g" and error.value.typed == "16 390"
    assert stove.mass_g("held") is None


def test_salt_and_glaze_may_add_a_little(stove):
    stove.weigh("raw", "1 000")
    stove.weigh("salted", "1 060")
    with pytest.raises(Refused, match="more than P01 weighed"):
        stove.weigh("held", "1 600")


def test_beans_may_drink_water_but_not_a_bucket(pot):
    pot.weigh("raw", "400")
    pot.weigh("soaked", "820")
    pot.weigh("boiled", "872")
    with pytest.raises(Refused):
        pot.weigh("rested", "1 500")
    with pytest.raises(Refused):
        pot.weigh("boiled", "8 720")
    pot.weigh("rested", "860")
    assert pot.nb.all(Measurement)[0].mass_g == 400
    loss = views.loss_so_far(pot.nb, pot.piece)
    assert loss.loss_percent == pytest.approx(-115)


def test_a_digit_too_few_is_refused_too(stove):
    stove.weigh("raw", "2 405")
    with pytest.raises(Refused, match="less than an eighth of what P01 weighed raw"):
        stove.weigh("held", "163")


def test_an_earlier_weight_must_fit_the_later_one(stove):
    stove.weigh("held", "1 639")
    with pytest.raises(Refused, match="too little: P01 weighed held"):
        stove.weigh("raw", "240")
    with pytest.raises(Refused, match="too much: P01 weighed held"):
        stove.weigh("raw", "24 050")
    stove.weigh("raw", "2 405")


@pytest.mark.parametrize("typed", ["0", "-5", "x", "1,000.5", "300 kg", ""])
def test_what_is_no_weight_is_refused(stove, typed):
    with pytest.raises(Refused) as error:
        stove.weigh("raw", typed)
    assert error.value.field == "measurement.mass_g"
    assert error.value.allowed and error.value.way_out


def test_ounces_are_read_and_kept_as_typed(stove):
    stove.nb.apply(cover.show_in(stove.nb, "mass_unit", "oz"))
    stove.weigh("raw", "85,5")
    found = views.measurement(stove.nb, stove.piece.id, stove.points["raw"])
    assert found.mass_g == pytest.approx(85.5 * 28.349523125)
    assert found.typed == "85,5 oz"
    stove.weigh("salted", "5 lb 6 oz")
    found = views.measurement(stove.nb, stove.piece.id, stove.points["salted"])
    assert found.typed == "5 lb 6 oz"
    stove.weigh("held", "1 600", unit="g")
    assert stove.mass_g("held") == 1600


def test_missing_is_missing_with_a_reason(stove):
    place = (stove.piece.id, stove.points["raw"])
    with pytest.raises(Refused, match="Why is P01 raw missing"):
        cooking.set_missing(stove.nb, *place, "  ")
    stove.weigh("raw", "2 405")
    stove.nb.apply(cooking.set_missing(stove.nb, *place, "scale was off"))
    found = views.measurement(stove.nb, *place)
    assert (found.mass_g, found.missing_reason) == (None, "scale was off")
    stove.weigh("raw", "2 405")
    assert views.measurement(stove.nb, *place).missing_reason == ""
    stove.nb.apply(cooking.clear_measurement(stove.nb, *place))
    assert stove.nb.all(Measurement) == ()


def test_a_core_temperature_stands_beside_the_weight(stove):
    place = (stove.piece.id, stove.points["held"])
    stove.weigh("held", "1 600")
    stove.nb.apply(cooking.set_core_temp(stove.nb, *place, "70"))
    found = views.measurement(stove.nb, *place)
    assert (found.mass_g, found.temp_c) == (1600, 70)
    with pytest.raises(Refused, match="no core temperature"):
        cooking.set_core_temp(stove.nb, *place, "700")


def test_the_same_weight_again_is_no_step(stove):
    stove.weigh("raw", "2 405")
    step = cooking.set_mass(stove.nb, stove.piece.id, stove.points["raw"], "2 405")
    assert step.changes == ()


def test_every_loss_names_its_base(stove):
    for name, typed in (("raw", "2 000"), ("salted", "2 030"), ("held", "1 400")):
        stove.weigh(name, typed)
    nb, piece, points = stove.nb, stove.piece, stove.points
    loss = views.loss(nb, piece.id, points["raw"], points["held"])
    assert (loss.base, loss.until) == ("raw", "held")
    assert (loss.loss_g, loss.loss_percent, loss.yield_percent) == (600, 30, 70)
    assert views.loss(nb, piece.id, points["raw"], points["served"]) is None
    assert views.loss_so_far(nb, piece).loss_percent == 30
    assert views.loss_so_far(nb, piece, points["salted"]).base == "salted"

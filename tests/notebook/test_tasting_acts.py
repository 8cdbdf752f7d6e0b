"""Acts at the table: tasters, seats, score cards, leaving out."""

import pytest

from tests.notebook.kitchen_book import (
    juiciness,
    opened_key,
    planned,
    sealed_key,
    seated,
    with_tenderness,
)
from trialbench.model.errors import Refused, Sealed
from trialbench.model.records import Sitting, Taster
from trialbench.notebook import views
from trialbench.notebook.acts import leaving_out, outcomes, scores, sitting, tasters


@pytest.fixture
def table(nb):
    """Trial, sitting, the four samples of two tasters."""
    trial_id = planned(nb)
    sitting_id = seated(nb, trial_id)
    return trial_id, sitting_id, sealed_key(nb, sitting_id)


def _all_in(nb, trial_id, samples, typed="5"):
    for sample in samples:
        for outcome in views.attributes(nb, trial_id):
            nb.apply(scores.set_score(nb, sample.id, outcome.id, typed))


def test_a_score_outside_its_line_is_refused_in_words(nb, table):
    trial_id, _, samples = table
    outcome = juiciness(nb, trial_id)
    with pytest.raises(Refused) as error:
        scores.set_score(nb, samples[0].id, outcome.id, "11")
    assert str(error.value) == "This line takes 0 to 10. You wrote 11."
    with pytest.raises(Refused, match=r"steps of 0\.1"):
        scores.set_score(nb, samples[0].id, outcome.id, "5.25")
    with pytest.raises(Refused, match="not a number"):
        scores.set_score(nb, samples[0].id, outcome.id, "five")
    nb.apply(scores.set_score(nb, samples[0].id, outcome.id, "6,7"))
    found = views.score(nb, samples[0].id, outcome.id)
    assert (found.number, found.typed, found.changed_after_opening) == (6.7, "6,7", False)


def test_points_have_no_halves(nb, table):
    trial_id, _, samples = table
    nb.apply(outcomes.add_attribute(nb, trial_id, "liking"))
    liking = views.attributes(nb, trial_id)[-1]
    for typed in ("0", "10", "4.5"):
        with pytest.raises(Refused):
            scores.set_score(nb, samples[0].id, liking.id, typed)
    nb.apply(scores.set_score(nb, samples[0].id, liking.id, "9"))


def test_a_card_is_in_when_every_line_is_written_or_says_why_not(nb, table):
    trial_id, sitting_id, samples = table
    tenderness = with_tenderness(nb, trial_id)
    outcome = juiciness(nb, trial_id)
    nb.apply(scores.set_score(nb, samples[0].id, outcome.id, "5"))
    assert views.cards_in(nb, sitting_id).filled == 0
    nb.apply(scores.set_score_missing(nb, samples[0].id, tenderness.id, "forgot"))
    assert views.cards_in(nb, sitting_id).filled == 1
    seat = views.seats(nb, sitting_id)[1]
    nb.apply(sitting.leave(nb, seat.id, "a train"))
    cards = views.cards_in(nb, sitting_id)
    assert (cards.all, cards.filled, cards.left, cards.open) == (4, 1, 2, 1)
    nb.apply(sitting.come_back(nb, seat.id))
    assert views.cards_in(nb, sitting_id).open == 3


def test_a_score_after_opening_is_marked_for_good(nb, table):
    trial_id, sitting_id, samples = table
    _all_in(nb, trial_id, samples)
    opened_key(nb, sitting_id)
    outcome = juiciness(nb, trial_id)
    nb.apply(scores.set_score(nb, samples[0].id, outcome.id, "6"))
    nb.apply(scores.set_score(nb, samples[0].id, outcome.id, "5"))
    assert views.score(nb, samples[0].id, outcome.id).changed_after_opening
    assert scores.set_score(nb, samples[1].id, outcome.id, "5").changes == ()
    assert [s.sample_id for s in views.marked_scores(nb, trial_id)] == [samples[0].id]
    with pytest.raises(Sealed, match="A key is open"):
        outcomes.add_attribute(nb, trial_id, "tenderness")
    nb.apply(outcomes.add_measured(nb, trial_id, "loss"))


def test_samples_are_found_by_their_code(nb, table):
    _, sitting_id, samples = table
    assert views.sample_by_code(nb, sitting_id, f" {samples[2].code} ") == samples[2]
    assert views.sample_by_code(nb, sitting_id, "999") is None


def test_the_next_sitting_seats_who_sat_before(nb, table):
    trial_id, _, _ = table
    nb.apply(tasters.add_taster(nb, "Newcomer"))
    second = seated(nb, trial_id, number=2)
    assert len(views.seats(nb, second)) == 2
    assert nb.get(Sitting, second).number == 2
    newcomer = nb.all(Taster)[-1]
    nb.apply(sitting.seat_taster(nb, second, newcomer.id))
    assert sitting.seat_taster(nb, second, newcomer.id).changes == ()
    nb.apply(sitting.unseat_taster(nb, views.seats(nb, second)[0].id))
    assert [s.position for s in views.seats(nb, second)] == [1, 2]
    nb.apply(sitting.remove_sitting(nb, second))
    assert nb.find(Sitting, second) is None


def test_how_it_was_served_is_written_and_checked(nb, table):
    _, sitting_id, _ = table
    for field, typed, value in (
        ("served_temp_c", "58", 58),
        ("slice_mm", "8", 8),
        ("knife_to_mouth_min", "3", 3),
        ("allergens", "wheat, in the bread", "wheat, in the bread"),
        ("date", "2026-03-14", "2026-03-14"),
        ("slice_mm", "", None),
    ):
        nb.apply(sitting.set_sitting(nb, sitting_id, field, typed))
        assert getattr(nb.get(Sitting, sitting_id), field) == value
    for field, typed in (("served_temp_c", "158"), ("slice_mm", "0"), ("date", "some day"),
                         ("key_state", "open")):  # fmt: skip
        with pytest.raises(Refused):
            sitting.set_sitting(nb, sitting_id, field, typed)


def test_tasters_have_names_of_their_own(nb):
    nb.apply(tasters.add_tasters(nb, 2))
    nb.apply(tasters.add_taster(nb, "Ann", "nuts"))
    assert [t.alias for t in nb.all(Taster)] == ["Taster 1", "Taster 2", "Ann"]
    with pytest.raises(Refused, match="already"):
        tasters.add_taster(nb, "ann")
    ann = nb.all(Taster)[2]
    nb.apply(tasters.set_avoids(nb, ann.id, "nuts, shellfish"))
    assert "shellfish" not in str(nb.last_written.label)
    nb.apply(tasters.remove_taster(nb, ann.id))
    assert len(nb.all(Taster)) == 2


def test_leaving_out_needs_a_reason_and_is_marked_with_a_key_open(nb, table):
    trial_id, sitting_id, samples = table
    first, second = views.all_pieces(nb, trial_id)[:2]
    with pytest.raises(Refused) as error:
        leaving_out.leave_out(nb, trial_id, "piece", first.id, " ")
    assert str(error.value) == (
        "Leaving out P01 needs a reason. Both answers will be shown, with it and without it."
    )
    nb.apply(leaving_out.leave_out(nb, trial_id, "piece", first.id, "fell on the floor"))
    with pytest.raises(Refused, match="left out already"):
        leaving_out.leave_out(nb, trial_id, "piece", first.id, "again")
    _all_in(nb, trial_id, samples)
    opened_key(nb, sitting_id)
    nb.apply(leaving_out.leave_out(nb, trial_id, "piece", second.id, "too salty"))
    assert [left.after_opening for left in views.left_out(nb, trial_id)] == [False, True]
    record = views.left_out(nb, trial_id, first.id)[0]
    nb.apply(leaving_out.change_reason(nb, record.id, "fell, and was rinsed"))
    nb.apply(leaving_out.take_back_in(nb, record.id))
    assert len(views.left_out(nb, trial_id)) == 1

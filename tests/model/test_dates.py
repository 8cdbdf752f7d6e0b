"""Days in words."""

from trialbench.model.dates import said_day


def test_a_day_is_said_as_a_kitchen_says_it():
    assert str(said_day("2026-04-25")) == "Saturday 25 April"
    assert str(said_day("2026-11-02T08:00:00", with_year=True)) == "Monday 2 November 2026"


def test_what_is_no_day_stays_as_it_was_typed():
    assert said_day("next week") == "next week"
    assert said_day("") == ""

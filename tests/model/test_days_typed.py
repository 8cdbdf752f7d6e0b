"""Days as they are typed in a kitchen; what can be read in two ways is asked."""

from datetime import date

import pytest

from trialbench.model.days_typed import read_day
from trialbench.model.errors import Refused, TwoReadings

TODAY = date(2026, 3, 7)


@pytest.mark.parametrize(
    ("typed", "day"),
    [
        ("2026-03-07", "2026-03-07"),
        ("7.3.2026", "2026-03-07"),
        ("07.03.26", "2026-03-07"),
        ("7.3.", "2026-03-07"),
        ("7 March", "2026-03-07"),
        ("March 7, 2025", "2025-03-07"),
        ("7th mar", "2026-03-07"),
        ("Saturday 7 March", "2026-03-07"),
        ("13/3/2026", "2026-03-13"),
        ("3/13/2026", "2026-03-13"),
        ("3/3/2026", "2026-03-03"),
        ("today", "2026-03-07"),
        ("yesterday", "2026-03-06"),
        ("28 December", "2025-12-28"),
        ("2 August", "2026-08-02"),
    ],
)
def test_a_day_is_read_as_it_is_said(typed, day):
    assert read_day(typed, TODAY).isoformat() == day


@pytest.mark.parametrize("typed", ["7/3/2026", "7-3", "07/03/26"])
def test_a_day_with_two_readings_is_asked(typed):
    with pytest.raises(TwoReadings) as asked:
        read_day(typed, TODAY)
    assert [text for _, text in asked.value.readings] == ["2026-03-07", "2026-07-03"]
    assert "7 March" in str(asked.value.readings[0][0])


@pytest.mark.parametrize("typed", ["2026-02-30", "31.4.2026", "soon", "7", "7 Ju", "35 March"])
def test_what_is_no_day_is_refused_with_examples(typed):
    with pytest.raises(Refused, match="7 March or 2026-03-07") as refused:
        read_day(typed, TODAY)
    assert not isinstance(refused.value, TwoReadings)

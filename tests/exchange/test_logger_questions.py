"""What has two readings is asked; answers that make no sense are refused by name."""

from __future__ import annotations

import datetime as dt

import pytest

from trialbench.exchange.logger_file import Answers, NotAnswered, look, read
from trialbench.model.errors import BadInput

UTC = Answers(zone="UTC")


def asked(text: str) -> list[str]:
    return [question.id for question in look(text.encode()).questions]


def log(*times: str, heading: str = "time,core (°C)") -> str:
    return "\n".join([heading, *(f"{t},{20 + n}.5" for n, t in enumerate(times))]) + "\n"


def test_day_and_month_are_asked_until_a_figure_exceeds_twelve():
    both = log("03/04/2025 10:00:00", "03/04/2025 10:01:00")
    question = look(both.encode()).questions[0]
    assert question.id == "date_order" and [value for value, _ in question.options] == [
        "day", "month"]  # fmt: skip
    assert str(question.asks) == (
        "03/04/2025 10:00:00 can be read in more than one way. Which comes first?"
    )
    assert question.likely is None
    # the day after decides: there is no 13th month
    assert asked(log("12/04/2025 23:59:00", "13/04/2025 00:00:00")) == ["zone"]
    assert asked(log("04/12/2025 23:59:00", "04/13/2025 00:00:00")) == ["zone"]
    # the same day either way is no question
    assert asked(log("04/04/2025 10:00:00", "04/04/2025 10:01:00")) == ["zone"]
    points = look(log("03.04.2025 10:00:00", "03.04.2025 10:01:00").encode()).questions[0]
    assert points.id == "date_order" and points.likely == "day"


def test_two_figures_of_a_year_can_be_read_in_three_ways():
    (order, _) = look(log("01/02/03 10:00:00", "01/02/03 10:01:00").encode()).questions
    assert [value for value, _ in order.options] == ["day", "month", "year"]
    assert asked(log("29/03/25 10:00:00", "30/03/25 10:01:00"))[0] == "date_order"
    assert asked(log("29-Mar-25 10:00:00", "30-Mar-25 10:01:00")) == ["zone"]


def test_dates_of_no_one_form_are_refused():
    mixed = log(*(f"{d}/2025 10:00:00" for d in ("13/01", "01/13", "14/02", "02/14")))
    with pytest.raises(BadInput, match="cannot be read in one order"):
        look(mixed.encode())


def test_a_missing_unit_is_asked_with_the_range_and_never_guessed():
    bare = look(log("2025-03-29 10:00:00", "2025-03-29 10:01:00", heading="time,core").encode())
    unit = next(question for question in bare.questions if question.id == "unit")
    assert str(unit.asks) == "No unit is written for core. The numbers go from 20.5 to 21.5."
    assert unit.likely is None
    with pytest.raises(NotAnswered) as refused:
        read(bare, UTC)
    assert [question.id for question in refused.value.questions] == ["unit"]
    warm = read(bare, Answers(zone="UTC", unit="F"))
    assert warm["core"].temp_c[0] == pytest.approx((20.5 - 32) * 5 / 9)


def test_letters_that_name_probes_are_no_units():
    rows = "2025-03-29 10:00:00,1.5,2.5,3.5\n" * 2
    text = "time,Probe_A,Probe_B,Probe_C\n" + rows
    reading = look(text.encode())
    assert [(c.name, c.unit) for c in reading.channels] == [
        ("Probe_A", None), ("Probe_B", None), ("Probe_C", None)]  # fmt: skip
    kelvin = look(text.replace("Probe_A", "CH1 (K)").encode())
    assert kelvin.channels[0].unit is None  # the type of the wire, more likely


def test_a_channel_can_be_overruled():
    text = log("2025-03-29 10:00:00", "2025-03-29 10:01:00")
    found = read(text.encode(), Answers(zone="UTC", units={"core": "F"}))
    assert found["core"].temp_c[0] == pytest.approx((20.5 - 32) * 5 / 9)


def test_clock_or_elapsed_is_asked_only_where_both_can_be():
    assert asked(log("0:00:00", "0:01:30"))[0] == "clock"
    assert asked(log("18:30:00", "18:31:30")) == ["first_date", "zone"]
    assert asked(log("23:59:00", "00:00:30")) == ["first_date", "zone"]
    assert asked(log("0:00:00", "0:01:30", heading="elapsed,core (°C)")) == ["start"]
    assert asked(log("0:00:00", "30:01:30")) == ["start"]
    assert "two_parts" in asked(log("0:00", "1:30"))
    # a time of day needs a date and a zone, and then nothing about hours or minutes
    with pytest.raises(NotAnswered) as refused:
        read(log("0:00", "1:30").encode(), Answers(clock="clock"))
    assert [question.id for question in refused.value.questions] == ["first_date", "zone"]


def test_the_hour_that_comes_twice_is_told_by_the_jump_back():
    """26 October 2025: 03:00 summer time in Madrid is 02:00 again."""
    times = [f"2025-10-26 {clock}" for clock in
             ("02:30:00", "02:45:00", "02:00:00", "02:15:00", "03:00:00")]  # fmt: skip
    found = read(log(*times).encode(), Answers(zone="Europe/Madrid"))
    first = dt.datetime(2025, 10, 26, 0, 30, tzinfo=dt.UTC).timestamp()
    assert found["core"].time_s - first == pytest.approx([0, 900, 1800, 2700, 5400])
    assert found["core"].left_out == ()
    # a file that begins in the second of the two hours
    later = read(log(*times[2:]).encode(), Answers(zone="Europe/Madrid"))
    assert later["core"].time_s[0] - first == 1800


def test_an_hour_that_does_not_exist_says_that_the_clock_stood():
    text = log("2025-03-30 01:55:00", "2025-03-30 02:05:00")
    with pytest.raises(BadInput, match="2025-03-30 02:05 does not exist in Europe/Madrid") as no:
        read(text.encode(), Answers(zone="Europe/Madrid"))
    assert "+01:00" in no.value.allowed
    assert len(read(text.encode(), Answers(zone="+01:00"))["core"].time_s) == 2


@pytest.mark.parametrize(
    ("text", "answers", "where"),
    [
        (log("2025-03-29 10:00:00", "2025-03-29 10:01:00"), {"zone": "Moon/Sea"}, "zone"),
        (log("2025-03-29 10:00:00", "2025-03-29 10:01:00"), {"zone": "+ab"}, "zone"),
        (log("2025-03-29 10:00:00", "2025-03-29 10:01:00"), {"zone": "../etc"}, "zone"),
        (log("18:30:00", "18:31:00"), {"zone": "UTC", "first_date": "soon"}, "first_date"),
        (log("0:00:00", "0:01:00", heading="elapsed,c (°C)"), {"start": "2025-03-29"}, "start"),
        (log("0:00:00", "0:01:00", heading="elapsed,c (°C)"), {"start": "x"}, "start"),
        (log("1", "2", heading="No,c (°C)"), {"interval_s": 0}, "interval_s"),
        (log("2025-03-29 10:00:00", "2025-03-29 10:01:00"), {"date_order": "week"}, "date_order"),
        (log("2025-03-29 10:00:00", "2025-03-29 10:01:00"), {"units": {"x": "C"}}, "units"),
        (log("2025-03-29 10:00:00", "2025-03-29 10:01:00"), {"units": {"core": "R"}}, "units"),
        (log("45745.1", "45745.2"), {"zone": "UTC", "days_from": "1066"}, "days_from"),
    ],
)
def test_answers_that_cannot_be_are_refused_by_name(text, answers, where):
    with pytest.raises(BadInput) as refused:
        read(text.encode(), Answers(**answers))
    assert refused.value.where == where and refused.value.allowed

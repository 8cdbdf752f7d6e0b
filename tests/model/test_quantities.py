"""Quantities as typed and as shown."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trialbench.model.errors import Refused
from trialbench.model.numbers import figure, parse_number, shortest
from trialbench.model.quantities import (
    parse_duration_s,
    parse_mass_g,
    parse_temp_c,
    print_duration,
    print_mass,
    print_temp,
    show_duration,
    show_mass,
    show_temp,
)


@pytest.mark.parametrize(
    ("typed", "number"),
    [("1,5", 1.5), ("1.5", 1.5), ("2 405", 2405), ("2\u2009405", 2405), ("\u22120.4", -0.4)],
)
def test_numbers_read_point_and_comma_alike(typed, number):
    assert parse_number(typed) == number


@pytest.mark.parametrize("typed", ["1.234,5", "1,2,3", "", "abc", "1e5", "nan", "inf", "--2"])
def test_ambiguous_or_foreign_text_is_refused(typed):
    with pytest.raises(Refused):
        parse_number(typed)


@pytest.mark.parametrize(
    ("typed", "unit", "grams"),
    [
        ("2405", "g", 2405),
        ("2,4 kg", "g", 2400),
        ("10", "oz", 283.49523125),
        ("5 lb 4 oz", "g", 2381.3599425),
        ("100 g", "oz", 100),
    ],
)
def test_masses(typed, unit, grams):
    assert parse_mass_g(typed, unit) == pytest.approx(grams, abs=1e-9)


@pytest.mark.parametrize("typed", ["-5", "5 stones", "g", "1 2 oz 3", "5 lb 4"])
def test_impossible_masses_are_refused(typed):
    with pytest.raises(Refused):
        parse_mass_g(typed)


@pytest.mark.parametrize(
    ("typed", "unit", "celsius"),
    [
        ("120", "C", 120),
        ("212 °F", "C", 100),
        ("140", "F", 60),
        ("65C", "F", 65),
        ("57,5", "C", 57.5),
    ],
)
def test_temperatures(typed, unit, celsius):
    assert parse_temp_c(typed, unit) == pytest.approx(celsius)


@pytest.mark.parametrize("typed", ["-300", "2000", "hot", "12:30"])
def test_impossible_temperatures_are_refused(typed):
    with pytest.raises(Refused):
        parse_temp_c(typed)


@pytest.mark.parametrize(
    ("typed", "seconds", "shown"),
    [
        ("24 h", 86400, "24 h"),
        ("45 min", 2700, "45 min"),
        ("2:40", 9600, "2 h 40 min"),
        ("1.5 h", 5400, "1 h 30 min"),
        ("3 d", 259200, "3 d"),
        ("90 s", 90, "1 min 30 s"),
    ],
)
def test_durations(typed, seconds, shown):
    assert parse_duration_s(typed) == seconds
    assert show_duration(seconds) == shown


@pytest.mark.parametrize("typed", ["45", "soon", "3 moons", ""])
def test_a_time_without_unit_is_refused(typed):
    with pytest.raises(Refused):
        parse_duration_s(typed)


@given(st.floats(0, 1e6), st.sampled_from(["g", "oz"]))
def test_a_printed_mass_reads_back(mass_g, unit):
    assert parse_mass_g(print_mass(mass_g, unit), unit) == pytest.approx(mass_g, abs=1e-6)


@given(st.floats(-200, 1400), st.sampled_from(["C", "F"]))
def test_a_printed_temperature_reads_back(temp_c, unit):
    assert parse_temp_c(print_temp(temp_c, unit), unit) == pytest.approx(temp_c, abs=1e-6)


@given(st.integers(0, 10**7))
def test_a_printed_time_reads_back(seconds):
    assert parse_duration_s(print_duration(seconds)) == seconds


@given(st.floats(-1e9, 1e9))
def test_a_printed_number_reads_back(value):
    assert parse_number(shortest(value, 9)) == pytest.approx(value, abs=1e-8)


def test_figures_round_half_away_from_zero_and_never_show_minus_zero():
    assert figure(0.25, 1) == "0.3"
    assert figure(-0.04, 1) == "0.0"
    assert figure(1.25, 1, sign=True) == "+1.3"
    assert figure(-12345.6, 0) == "\u221212\u2009346"
    assert show_mass(16390) == "16\u2009390"
    assert show_mass(56.699046, "oz", with_unit=True) == "2.0 oz"
    assert show_temp(57) == "57 °C"
    assert show_temp(57, "F") == "134.6 °F"


@pytest.mark.parametrize("typed", ["2,310", "2.310 g", " 12,500 "])
def test_a_weight_with_a_sign_before_three_figures_is_asked_and_never_guessed(typed):
    with pytest.raises(Refused, match="two ways"):
        parse_mass_g(typed)
    assert parse_mass_g("2,310 kg") == pytest.approx(2310)
    assert parse_mass_g("2,31") == pytest.approx(2.31)
    assert parse_mass_g("0.125 g") == pytest.approx(0.125)

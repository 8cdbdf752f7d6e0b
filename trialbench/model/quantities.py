"""Masses, temperatures and times as typed, and as shown: SI inside, the kitchen's units outside.

1 oz = 28.349523125 g and 1 lb = 16 oz (international avoirdupois, 1959 agreement, NIST Handbook
44, appendix C); °F = °C x 9/5 + 32.
"""

from __future__ import annotations

import re

from trialbench.model.errors import Refused
from trialbench.model.message import Message, msg
from trialbench.model.numbers import figure, parse_number, shortest

G_PER_OZ = 28.349523125
OZ_PER_LB = 16
ABSOLUTE_ZERO_C = -273.15

_UNIT_G = {
    "": None,
    "g": 1.0,
    "kg": 1000.0,
    "oz": G_PER_OZ,
    "lb": G_PER_OZ * OZ_PER_LB,
    "lbs": G_PER_OZ * OZ_PER_LB,
}
_MASS_PART = re.compile(r"([^a-zA-Z]+)([a-zA-Z]*)\s*")
_TEMPERATURE = re.compile(r"(.*?)\s*(°|º|degrees?)?\s*([cCfF])?\s*")
_TIME_PART = re.compile(r"([\d.,\s]+)([a-zA-Z]+)\s*")
_CLOCK_TIME = re.compile(r"(\d{1,3}):([0-5]\d)(?::([0-5]\d))?")
_UNIT_S = {
    "s": 1, "sec": 1, "secs": 1, "second": 1, "seconds": 1,
    "m": 60, "min": 60, "mins": 60, "minute": 60, "minutes": 60,
    "h": 3600, "hr": 3600, "hrs": 3600, "hour": 3600, "hours": 3600,
    "d": 86400, "day": 86400, "days": 86400,
}  # fmt: skip


def _refused(typed: str, field: str, allowed: Message) -> Refused:
    return Refused(
        msg("{typed} cannot be read here. Not written.", typed=typed.strip() or "\u2013"),
        field=field,
        typed=typed,
        allowed=allowed,
        way_out=msg("Write it again, or leave it empty."),
    )


_THOUSANDS = re.compile(r"[1-9]\d{0,2}[.,]\d{3}")
"""Grams with three decimals: no kitchen scale shows them, many people write thousands so."""


def _two_weights(typed: str, number: str, field: str) -> Refused:
    large, small = re.sub(r"[.,]", "", number), shortest(float(number.replace(",", ".")))
    return Refused(
        msg("{typed} can be read in two ways. Not written.", typed=typed.strip()),
        field=field,
        typed=typed,
        allowed=msg("no sign between thousands"),
        way_out=msg("Write {large} g, or {small} g.", large=large, small=small),
    )


def parse_mass_g(typed: str, unit: str = "g", *, field: str = "") -> float:
    """Grams from "2 405", "2.4 kg", "5 lb 4.2 oz"; a bare number is in `unit` (g or oz).

    Raises Refused for anything else and for a mass below 0.
    """
    text = typed.strip()
    parts = _MASS_PART.findall(text)
    if not parts or "".join(a + b for a, b in parts).replace(" ", "") != text.replace(" ", ""):
        raise _refused(typed, field, msg("a weight in g, kg, oz or lb"))
    total = 0.0
    for number, name in parts:
        name = name.lower()
        if name not in _UNIT_G or (not name and len(parts) > 1):
            raise _refused(typed, field, msg("a weight in g, kg, oz or lb"))
        factor = _UNIT_G[name] or _UNIT_G[unit] or 1.0
        if factor == 1.0 and _THOUSANDS.fullmatch(number.strip()):
            raise _two_weights(typed, number.strip(), field)
        total += parse_number(number, field=field) * factor
    if total < 0:
        raise Refused(
            msg("{typed} is less than nothing. Not written.", typed=text),
            field=field,
            typed=typed,
            allowed=msg("0 g and more"),
            way_out=msg("Weigh it again, or leave it empty."),
        )
    return total


def show_mass(mass_g: float, unit: str = "g", *, with_unit: bool = False) -> str:
    """A mass for a page: whole grams (tenths below 100 g), or ounces with one decimal."""
    if unit == "oz":
        text = figure(mass_g / G_PER_OZ, 1)
    else:
        text = figure(mass_g, 0 if abs(mass_g) >= 100 or mass_g == int(mass_g) else 1)
    return f"{text} {unit}" if with_unit else text


_UNIT_AT_END = re.compile(r"(.*?)\s*(kg|g|oz|lbs?)?", re.IGNORECASE | re.DOTALL)


def _typed_decimals(typed: str) -> tuple[int, str] | None:
    """How many decimals were typed, and the unit; None for nothing, or for two units ("5 lb 4")."""
    found = _UNIT_AT_END.fullmatch(typed.strip())
    if found is None or not found[1] or any(sign.isalpha() for sign in found[1]):
        return None
    _, _, decimals = found[1].replace(",", ".").partition(".")
    return len(decimals.strip()), (found[2] or "").lower()


def show_typed_mass(mass_g: float, typed: str, unit: str = "g") -> str:
    """A mass for a page, never with fewer decimals than were typed in the unit of the page."""
    said = _typed_decimals(typed)
    if said is None or not said[0] or (said[1] or unit) != unit:
        return show_mass(mass_g, unit)
    return figure(mass_g / (G_PER_OZ if unit == "oz" else 1), max(said[0], unit == "oz"))


def typed_step_g(typed: str, mass_g: float) -> float:
    """The last place of a mass as it was typed, in grams: "12.0 g" is read to 0.1 g, "1.02 kg" to
    10 g. Nothing typed: 1 g from 100 g on, 0.1 g below.
    """
    said = _typed_decimals(typed)
    if said is None:
        return 1.0 if mass_g >= 100 else 0.1
    decimals, unit = said
    return float((_UNIT_G[unit] or 1.0) * 10.0**-decimals)


def print_mass(mass_g: float, unit: str = "g") -> str:
    """A mass as text that `parse_mass_g` reads back to the same value within 1e-6 g."""
    return f"{shortest(mass_g if unit == 'g' else mass_g / G_PER_OZ, 9)} {unit}"


def f_from_c(temp_c: float) -> float:
    """Degrees Fahrenheit."""
    return temp_c * 9 / 5 + 32


def c_from_f(temp_f: float) -> float:
    """Degrees Celsius."""
    return (temp_f - 32) * 5 / 9


def parse_temp_c(typed: str, unit: str = "C", *, field: str = "") -> float:
    """Celsius from "120", "120 °C", "250F"; a bare number is in `unit`. Raises Refused."""
    found = _TEMPERATURE.fullmatch(typed.strip())
    if not found:
        raise _refused(typed, field, msg("a temperature in °C or °F"))
    number = parse_number(found[1], field=field)
    value = c_from_f(number) if (found[3] or unit).upper() == "F" else number
    if value < ABSOLUTE_ZERO_C or value > 1500:
        raise Refused(
            msg("{typed} is no temperature of a kitchen. Not written.", typed=typed.strip()),
            field=field,
            typed=typed,
            allowed=msg("-273 to 1500 °C"),
            way_out=msg("Read it again, or leave it empty."),
        )
    return value


def show_temp(temp_c: float, unit: str = "C", *, decimals: int = 0) -> str:
    """A temperature with its unit; tenths only where they were written."""
    value = f_from_c(temp_c) if unit == "F" else temp_c
    text = figure(value, decimals) if decimals else figure(value, 0 if near_whole(value) else 1)
    return f"{text} °{unit}"


def near_whole(value: float) -> bool:
    """Whether a tenth would only show a zero."""
    return abs(value - round(value)) < 0.05


def print_temp(temp_c: float, unit: str = "C") -> str:
    """A temperature as text that `parse_temp_c` reads back to the same value within 1e-6 K."""
    return f"{shortest(f_from_c(temp_c) if unit == 'F' else temp_c, 9)} °{unit}"


def parse_duration_s(typed: str, *, field: str = "") -> float:
    """Seconds from "24 h", "45 min", "1 h 40 min", "2:40" (hours and minutes), "2 d".

    A bare number is refused, because minutes and hours are both likely. Raises Refused.
    """
    text = typed.strip().lower()
    clock = _CLOCK_TIME.fullmatch(text)
    if clock:
        return int(clock[1]) * 3600.0 + int(clock[2]) * 60 + int(clock[3] or 0)
    parts = _TIME_PART.findall(text)
    whole = "".join(a + b for a, b in parts).replace(" ", "")
    if not parts or whole != text.replace(" ", "") or any(u not in _UNIT_S for _, u in parts):
        raise _refused(typed, field, msg("a time with its unit: 45 min, 8 h, 2:40, 2 d"))
    return sum(parse_number(number, field=field) * _UNIT_S[unit] for number, unit in parts)


_THICK = re.compile(r"(.*?)\s*(mm|cm)?", re.IGNORECASE | re.DOTALL)
_MOST_MM = 500.0


def parse_thickness_mm(typed: str, *, field: str = "") -> float:
    """Millimetres from "6", "6 mm", "1.5 cm"; a bare number is in mm. Raises Refused."""
    found = _THICK.fullmatch(typed.strip())
    assert found is not None
    value = parse_number(found[1], field=field) * (10 if (found[2] or "").lower() == "cm" else 1)
    if not 0 < value <= _MOST_MM:
        raise _refused(typed, field, msg("a thickness in mm or cm: 6 mm"))
    return value


def parse_minutes(typed: str, *, field: str = "") -> float:
    """Minutes from "4", "4 min", "90 s"; a bare number is in minutes. Raises Refused."""
    text = typed.strip()
    if any(sign.isalpha() or sign == ":" for sign in text):
        value = parse_duration_s(text, field=field) / 60
    else:
        value = parse_number(text, field=field)
    if not 0 <= value <= 24 * 60:
        raise _refused(typed, field, msg("a time up to a day: 4 min"))
    return value


def show_duration(duration_s: float) -> str:
    """A time as a cook says it: "24 h", "1 h 40 min", "45 min", "30 s"."""
    seconds = round(duration_s)
    days, hours = divmod(seconds, 86400)
    if days >= 2 and hours == 0:
        return f"{days} d"
    hours, rest = divmod(seconds, 3600)
    minutes, rest = divmod(rest, 60)
    parts = [(hours, "h"), (minutes, "min"), (rest, "s")]
    return " ".join(f"{n} {u}" for n, u in parts if n) or "0 min"


def print_duration(duration_s: float) -> str:
    """A time as text that `parse_duration_s` reads back to the same value (whole seconds)."""
    return show_duration(duration_s)

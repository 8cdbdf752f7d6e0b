"""An addition as a cook writes it: "paprika rub, 20 g/kg, 12 % salt"; "oak, 300 g"; and back."""

from __future__ import annotations

import re
from dataclasses import dataclass

from trialbench.model.errors import Refused
from trialbench.model.message import msg
from trialbench.model.numbers import parse_number, shortest
from trialbench.model.quantities import parse_mass_g
from trialbench.model.records import Addition
from trialbench.model.words import ADDITION_ROLES, FOR_THE_FIRE
from trialbench.notebook.acts.writing import line, out_of_range

_FIGURE = r"\d+(?:[.,]\d+)?"
_EACH_KG = r"(?:/\s*kg|per\s+(?:kg|kilogram)|for\s+(?:each|every|a)\s+(?:kg|kilogram))"
_RATE = re.compile(rf"({_FIGURE})\s*g\s*{_EACH_KG}\b", re.I)
_SALT = re.compile(rf"({_FIGURE})\s*%\s*(?:of\s+)?salt\b|\bsalt\s+({_FIGURE})\s*%", re.I)
_MASS = re.compile(rf"({_FIGURE}\s*(?:g|kg|oz|lbs?))\b(?!\s*/)", re.I)
_VOLUME = re.compile(rf"{_FIGURE}\s*(?:ml|cl|dl|l|litres?|liters?|cups?|tbsp|tsp)\b", re.I)
_SHARE = re.compile(rf"{_FIGURE}\s*%|{_FIGURE}\s*g\s*/\s*\w+", re.I)
_MOST_G_PER_KG = 5000.0

_KNOWN: dict[str, tuple[str, ...]] = {
    "fuel": ("charcoal", "briquettes", "coal", "gas", "propane", "pellets", "embers"),
    "wood": ("wood", "oak", "beech", "alder", "hickory", "maple", "birch", "apple", "cherry",
             "chips", "chunks", "logs"),
    "medium": ("stock", "water", "oil", "butter", "lard", "fat", "milk", "wine"),
    "brine": ("brine",),
    "rub": ("rub",),
}  # fmt: skip
"""Words that say by themselves what they are."""


@dataclass(frozen=True, slots=True)
class ReadAddition:
    """What was typed: `role` is "" where the words do not say it."""

    role: str
    name: str
    g_per_kg: float | None = None
    mass_g: float | None = None
    salt_percent: float | None = None


def read_addition(typed: str, role: str = "") -> ReadAddition:
    """Read a line. `role` is what it is known to be. Raises Refused for what cannot be weighed so.

    A volume is refused: what goes on the food is written by weight.
    """
    text = line(typed, "addition.name", most=300, needed=True)
    word, rest = _role_word(text)
    if word and (not role or word == role):
        role, text = word, rest
    rate, text = _taken(_RATE, text)
    salt, text = _taken(_SALT, text)
    mass, text = _taken(_MASS, text)
    _check_left(text, typed)
    name = " ".join(text.split()).strip(" ,.:;")
    name = re.sub(r"\s+,", ",", name)
    read = ReadAddition(
        role or _said_by(name),
        name,
        _rate(rate, typed) if rate else None,
        parse_mass_g(mass, field="addition.mass_g") if mass else None,
        _percent(salt, typed) if salt else (100.0 if name.casefold() == "salt" else None),
    )
    if read.role in FOR_THE_FIRE and read.g_per_kg is not None:
        raise Refused(
            msg("{what} is weighed for the fire, not for each kilogram of food. Not written.",
                what=ADDITION_ROLES[read.role]),
            field="addition.g_per_kg",
            typed=typed,
            allowed=msg("a weight: 300 g, 2 kg"),
            way_out=msg("Write what goes on the fire: 2 kg."),
        )  # fmt: skip
    return read


def shown_addition(addition: Addition | None) -> str:
    """An addition as it stands on its line and can be typed there again; "" for none."""
    if addition is None:
        return ""
    parts = [addition.name]
    if addition.g_per_kg is not None:
        parts.append(f"{shortest(addition.g_per_kg)} g/kg")
    if addition.mass_g is not None:
        whole_kg = addition.mass_g >= 1000 and addition.mass_g % 100 == 0
        parts.append(
            f"{shortest(addition.mass_g / 1000)} kg"
            if whole_kg
            else f"{shortest(addition.mass_g)} g"
        )
    if addition.salt_percent is not None and addition.name.casefold() != "salt":
        parts.append(str(msg("{share} % salt", share=shortest(addition.salt_percent))))
    return ", ".join(filter(None, parts))


def _role_word(text: str) -> tuple[str, str]:
    for role, word in ADDITION_ROLES.items():
        for known in {role, str(word)}:
            found = re.match(rf"{re.escape(known)}(?:\s+of)?(?!\w)[\s:,]*", text, re.I)
            if found and known != "other":
                return role, text[found.end() :]
    return "", text


def _said_by(name: str) -> str:
    words = re.findall(r"\w+", name.casefold())
    # The last word is the thing itself: "oak chips" is wood, "apple butter" is not.
    for word in reversed(words):
        for role, known in _KNOWN.items():
            if word in known:
                return role
    return ""


def _taken(pattern: re.Pattern[str], text: str) -> tuple[str, str]:
    found = pattern.search(text)
    if found is None:
        return "", text
    value = next(group for group in found.groups() if group)
    return value, f"{text[: found.start()]} {text[found.end() :]}"


def _check_left(text: str, typed: str) -> None:
    volume, share = _VOLUME.search(text), _SHARE.search(text)
    if volume is None and share is None:
        return
    said = volume or share
    assert said is not None
    raise Refused(
        msg("{what} is no weight. Additions are weighed. Not written.", what=said[0]),
        field="addition.name",
        typed=typed,
        allowed=msg("g/kg of trimmed weight, g or kg, and % salt"),
        way_out=msg("Weigh it: 20 g/kg, or 1.5 kg."),
    )


def _rate(text: str, typed: str) -> float:
    value = parse_number(text, field="addition.g_per_kg")
    if not 0 < value <= _MOST_G_PER_KG:
        raise out_of_range(typed, "addition.g_per_kg", 0, _MOST_G_PER_KG)
    return value


def _percent(text: str, typed: str) -> float:
    value = parse_number(text, field="addition.salt_percent")
    if not 0 <= value <= 100:
        raise out_of_range(typed, "addition.salt_percent", 0, 100)
    return value

"""How the levels of a factor stand in a sentence: "88 °C", "in stock", "11 °C more"."""

from __future__ import annotations

import math
from collections.abc import Sequence

from trialbench.findings.contrasts import Contrast, FactorLevel, MethodPlan, PlanFactor
from trialbench.model.message import Message, msg
from trialbench.model.numbers import shortest
from trialbench.model.quantities import show_duration
from trialbench.planning.stage_words import TEMPERATURES, temperature_gap, value_words

Text = Message | str

_NUMBERS = (*TEMPERATURES, "duration_s", "salt_g_per_kg", "slice_mm", "knife_to_mouth_min")
_SHORT: dict[str, Message] = {"sealed bag in water": msg("sealed bag")}
_WHERE: dict[str, Message] = {
    "dry oven": msg("in the oven"),
    "sealed bag in water": msg("in a sealed bag"),
    "pan": msg("in the pan"),
    "fridge": msg("in the fridge"),
}


def level_name(factor: PlanFactor, level: FactorLevel, unit: str = "C") -> Text:
    """The level by itself, as in a table: "88 °C", "stock"."""
    if level.number is not None and factor.field in _NUMBERS:
        return value_words(factor.field, level.number, unit)
    if level.text:
        return _SHORT.get(level.text) or value_words(factor.field, level.text, unit)
    return shortest(level.number or 0.0)


def where(factor: PlanFactor, level: FactorLevel, unit: str = "C") -> Text:
    """The level as a place in a sentence: "in stock", "at 88 °C", "for 4 h"."""
    name = level_name(factor, level, unit)
    match factor.field:
        case "medium":
            return _WHERE.get(level.text) or msg("in {what}", what=name)
        case "vessel":
            return msg("in {what}", what=name)
        case "set_temp_c":
            return msg("at {what}", what=name)
        case "end_core_c":
            return msg("to a core of {what}", what=name)
        case "duration_s":
            return msg("for {what}", what=name)
        case "cover":
            return name
        case "slice_mm":
            return msg("in slices of {what}", what=name)
    return msg("with {what}", what=name)


def how_much_more(
    factor: PlanFactor, high: FactorLevel, low: FactorLevel, unit: str = "C"
) -> Message | None:
    """How far one numeric level is above another: "11 °C more"; None where they are words."""
    if high.number is None or low.number is None:
        return None
    gap = high.number - low.number
    if factor.field in TEMPERATURES:
        return msg("{gap} more", gap=temperature_gap(gap, unit))
    if factor.field == "duration_s":
        return msg("{gap} longer", gap=show_duration(gap))
    if factor.field == "salt_g_per_kg":
        return msg("{gap} g more for each kilogram", gap=shortest(gap))
    if factor.field == "slice_mm":
        return msg("{gap} mm more", gap=shortest(gap))
    return None


def held(plan: MethodPlan, contrast: Contrast) -> Text | None:
    """Where a simple effect is told: "in stock"; None where nothing is held."""
    places = [
        where(plan.factors[n], plan.factors[n].levels[place], plan.temperature_unit)
        for n, place in contrast.at
    ]
    return spaced(places) if places else None


def levels_of(plan: MethodPlan, contrast: Contrast) -> tuple[FactorLevel, FactorLevel]:
    """The levels a and b of an effect."""
    levels = plan.factors[contrast.factor].levels
    return levels[int(contrast.a)], levels[int(contrast.b)]


def setting_step(plan: MethodPlan) -> float:
    """How finely settings are said: 1, 2 or 5 times a power of ten, a 40th of what was tried."""
    numbers = [level.number or 0.0 for level in plan.factors[0].levels]
    span = max(numbers) - min(numbers)
    if plan.factors[0].field == "duration_s":
        return 60.0 if span > 1200 else 1.0
    power = 10.0 ** math.floor(math.log10(span / 40))
    return max(each * power for each in (1.0, 2.0, 5.0) if each * power <= span / 40 * (1 + 1e-9))


def at_setting(plan: MethodPlan, setting: float, way: int = 0) -> Text:
    """A setting of an ordered trial, also one that was not tried: "84 °C".

    `way` -1 rounds down, 1 up, so that a limit never says more than was found.
    """
    step = setting_step(plan)
    steps = setting / step
    whole = round(steps) if way == 0 else math.ceil(steps) if way > 0 else math.floor(steps)
    level = FactorLevel(round(whole * step, 9))
    return level_name(plan.factors[0], level, plan.temperature_unit)


def spaced(words: Sequence[Text]) -> Text:
    """Words one after the other with a space."""
    if len(words) == 1:
        return words[0]
    return msg("{first} {rest}", first=words[0], rest=spaced(words[1:]))


def both(words: Sequence[Text]) -> Text:
    """ "A", "A and B", "A, B and C"."""
    if len(words) == 1:
        return words[0]
    if len(words) == 2:
        return msg("{first} and {last}", first=words[0], last=words[1])
    return msg("{first}, {rest}", first=words[0], rest=both(words[1:]))

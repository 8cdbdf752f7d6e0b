"""The trade's words for stages, media and covers, with what the program knows of each."""

from __future__ import annotations

from dataclasses import dataclass

from trialbench.model.message import Message, msg


@dataclass(frozen=True, slots=True)
class StageWord:
    """A kind of stage. `warm` stages keep food warm for long and carry a caution."""

    name: str
    label: Message
    warm: bool = False


STAGE_KINDS: dict[str, StageWord] = {
    word.name: word
    for word in (
        StageWord("prepare", msg("Prepare")),
        StageWord("trim", msg("Trim")),
        StageWord("salt", msg("Salt")),
        StageWord("soak", msg("Soak")),
        StageWord("smoke", msg("Smoke")),
        StageWord("roast", msg("Roast")),
        StageWord("braise", msg("Braise")),
        StageWord("simmer", msg("Simmer")),
        StageWord("boil", msg("Boil")),
        StageWord("confit", msg("Confit")),
        StageWord("water bath", msg("Water bath")),
        StageWord("steam", msg("Steam")),
        StageWord("bake", msg("Bake")),
        StageWord("fry", msg("Fry")),
        StageWord("sear", msg("Sear")),
        StageWord("wrap", msg("Wrap")),
        StageWord("rest", msg("Rest")),
        StageWord("hold", msg("Hold"), warm=True),
        StageWord("chill", msg("Chill")),
        StageWord("reheat", msg("Reheat")),
        StageWord("slice", msg("Slice")),
        StageWord("serve", msg("Serve")),
    )
}

MEDIA: dict[str, Message] = {
    "air": msg("air"),
    "dry oven": msg("dry oven"),
    "smoke": msg("smoke"),
    "steam": msg("steam"),
    "water": msg("water"),
    "salt water": msg("salt water"),
    "stock": msg("stock"),
    "its own juices": msg("its own juices"),
    "fat": msg("fat"),
    "sealed bag in water": msg("sealed bag in water"),
    "pan": msg("pan"),
    "fridge": msg("fridge"),
}

COVERS: dict[str, Message] = {
    "uncovered": msg("uncovered"),
    "loosely covered": msg("loosely covered"),
    "lid on": msg("lid on"),
    "wrapped in paper": msg("wrapped in paper"),
    "wrapped in foil": msg("wrapped in foil"),
    "in a sealed bag": msg("in a sealed bag"),
}

STAGE_FIELDS: dict[str, Message] = {
    "medium": msg("in"),
    "set_temp_c": msg("at"),
    "duration_s": msg("for"),
    "end_core_c": msg("until core"),
    "end_feel": msg("until"),
    "cover": msg("covered"),
    "vessel": msg("held in"),
    "salt_g_per_kg": msg("salt"),
    "slice_mm": msg("sliced"),
    "knife_to_mouth_min": msg("eaten after"),
    "place": msg("takes"),
    "note": msg("and"),
}
"""The fields of a stage that can part, in the order of the line, with the word before them."""

ADDITION_ROLES: dict[str, Message] = {
    "rub": msg("rub"),
    "brine": msg("brine"),
    "medium": msg("medium"),
    "fuel": msg("fuel"),
    "wood": msg("wood"),
    "other": msg("with"),
}
"""What goes on, in or under the food, with the word that stands before it."""

FOR_THE_FIRE = frozenset({"fuel", "wood"})
"""Additions that are weighed for the fire and not for each kilogram of food."""

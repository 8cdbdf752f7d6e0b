"""The cooker, bath or box that a stage takes: as written, else what its kind and medium suggest."""

from __future__ import annotations

from trialbench.model.message import msg, say
from trialbench.model.records import Stage

_BY_MEDIUM = {
    "dry oven": msg("Oven"),
    "smoke": msg("Smoker"),
    "steam": msg("Steamer"),
    "sealed bag in water": msg("Bath"),
    "pan": msg("Pan"),
    "fridge": msg("Fridge"),
}
_BY_KIND = {
    "smoke": msg("Smoker"),
    "roast": msg("Oven"),
    "bake": msg("Oven"),
    "braise": msg("Oven"),
    "confit": msg("Oven"),
    "water bath": msg("Bath"),
    "steam": msg("Steamer"),
    "simmer": msg("Stove"),
    "boil": msg("Stove"),
    "fry": msg("Stove"),
    "sear": msg("Pan"),
    "hold": msg("Box"),
    "chill": msg("Fridge"),
    "soak": msg("Fridge"),
    "reheat": msg("Oven"),
    "serve": msg("Table"),
}
_AT_HAND = msg("Board")

TABLE = _BY_KIND["serve"]
"""Where everything comes to."""

NEEDS_NO_NAME = frozenset({"prepare", "trim", "salt", "wrap", "rest", "slice", "serve"})
"""Stages for which nobody asks where they are done."""


def place_of(stage: Stage) -> tuple[str, bool]:
    """The name of a place, with a capital, and whether it was written."""
    written = " ".join(stage.place.split())
    if written:
        return written[:1].upper() + written[1:], True
    by_medium = None if stage.stage_kind in ("hold", "rest") else _BY_MEDIUM.get(stage.medium)
    return say(by_medium or _BY_KIND.get(stage.stage_kind, _AT_HAND)), False

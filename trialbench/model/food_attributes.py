"""What kitchens look at first in a food, to offer a short list (common practice, no source)."""

from __future__ import annotations

import re

_FITTING: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("bean|lentil|chickpea|pulse|pea", ("creaminess", "softness", "mealiness", "saltiness")),
    ("bread|loaf|loaves|focaccia|bun|pizza|baguette|roll",
     ("crispness", "rise", "softness", "flavour", "browning")),
    ("cake|biscuit|cookie|pastry|pie|tart|brownie|scone",
     ("sweetness", "crispness", "rise", "softness", "browning")),
    ("rib|brisket|pulled|smoked|barbecue",
     ("tenderness", "juiciness", "smokiness", "bark", "saltiness")),
    ("octopus|squid|cuttlefish|prawn|shrimp|lobster|crab|mussel|clam|scallop",
     ("tenderness", "juiciness", "firmness", "saltiness", "flavour")),
    ("fish|salmon|cod|trout|tuna|mackerel|bass|bream|hake",
     ("juiciness", "firmness", "saltiness", "flavour")),
    ("chicken|turkey|duck|goose|poultry|thigh|wing|quail",
     ("juiciness", "tenderness", "crispness", "saltiness", "flavour")),
    ("potato|fries|chip", ("crispness", "softness", "browning", "greasiness", "saltiness")),
    ("egg|omelette|custard|flan", ("creaminess", "softness", "saltiness", "flavour")),
    ("rice|pasta|noodle|risotto|polenta", ("firmness", "creaminess", "saltiness", "flavour")),
    ("soup|sauce|broth|stock|gravy|stew|curry",
     ("flavour", "saltiness", "sourness", "creaminess")),
    ("tomato|carrot|onion|cabbage|aubergine|mushroom|vegetable|pepper|squash|pumpkin|beet",
     ("softness", "sweetness", "flavour", "saltiness", "browning")),
    ("chocolate|ice cream|sorbet|jam|caramel|coffee|tea",
     ("sweetness", "bitterness", "flavour", "creaminess")),
    ("pork|beef|lamb|veal|ham|steak|shoulder|meat|venison|burger|sausage|belly|loin|roast|goat",
     ("tenderness", "juiciness", "flavour", "saltiness", "seasoning")),
)  # fmt: skip
_ANY = ("liking", "flavour", "saltiness", "tenderness")


def fitting(food: str) -> tuple[str, ...]:
    """Names of attributes that tell why in such a food, three to five, what fits best first."""
    said = food.casefold()
    for words, names in _FITTING:
        if re.search(rf"\b(?:{words})(?:s|es)?\b", said):
            return names
    return _ANY

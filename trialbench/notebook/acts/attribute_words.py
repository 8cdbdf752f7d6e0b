"""From the cook's word ("juicier", "less salty") or a name ("saltiness") to what is scored."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

from trialbench.model.attributes import Attribute, attribute_for_word, attribute_named

LOSS_WORDS = frozenset({"lost less", "loses less", "less loss", "heavier"})
"""Words that ask for a weight and not for a mouth."""

_TARGET = re.compile(r"close(?:r|st) to (?P<number>[\d.,]+)(?: (?:in|of) (?P<name>.+))?")

_NO_COMPARISON = frozenset(
    {"bitter", "tender", "butter", "pepper", "ginger", "water", "leather", "rubber", "copper"}
)
"""Words that end like a comparison and are none."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What a word asks for: the attribute, which way is better, and the source of an outcome."""

    attribute: Attribute
    better: str
    source: str = "attribute"
    target: float | None = None

    def fields(self) -> dict[str, Any]:
        """The fields of an Outcome that follow from it."""
        of_mouth = self.source == "attribute"
        return {
            "name": self.attribute.name,
            "source": self.source,
            "scale": self.attribute.scale if of_mouth else "",
            "unit": "points" if of_mouth else "%",
            "better": self.better,
            "target": self.target,
            "more_word": self.attribute.more_word,
            "less_word": self.attribute.less_word,
            "asked_as": self.attribute.asked_as,
            "low_anchor": self.attribute.low_anchor,
            "high_anchor": self.attribute.high_anchor,
        }


def asked_by_word(word: str) -> Asked:
    """What a word of comparison asks for: "juicier" more juiciness, "less salty" less saltiness.

    A word outside the library is taken apart by its ending.
    """
    word = " ".join(word.casefold().split())
    if word in LOSS_WORDS:
        return Asked(_own("loss", "more loss", "less loss"), "less", "loss")
    known = attribute_for_word(word)
    if known is not None:
        return Asked(*known)
    if word.startswith("less "):
        plain = word.removeprefix("less ")
        return Asked(_own(_noun(plain), f"more {plain}", word), "less")
    if word.startswith("more "):
        plain = word.removeprefix("more ")
        return Asked(_own(_noun(plain), word, f"less {plain}"), "more")
    if word.endswith("ier"):
        stem = word.removesuffix("ier")
        return Asked(_own(f"{stem}iness", word, f"less {stem}y"), "more")
    quality = _without_ending(word)
    if quality is not None:
        return Asked(_own(quality, word, f"less {quality}"), "more")
    return Asked(_own(word, f"more {word}", f"less {word}"), "more")


def asked_target(word: str) -> tuple[str, str] | None:
    """The number and the name of "closer to 5 in saltiness", the name "" where none is said."""
    found = _TARGET.fullmatch(" ".join(word.casefold().split()))
    return (found["number"], found["name"] or "") if found else None


def asked_by_name(name: str) -> Asked:
    """What a name asks for: "saltiness" as in the library, else a line of its own."""
    known = attribute_named(name)
    if known is not None:
        return Asked(known, known.better)
    return Asked(_own(name, f"more {name}", f"less {name}"), "more")


def _own(name: str, more_word: str, less_word: str) -> Attribute:
    return Attribute(name, more_word, less_word, "", "", "")


def _without_ending(word: str) -> str | None:
    """ "soft inside" of "softer inside"; None where the first word is no comparison."""
    first, _, rest = word.partition(" ")
    if not first.endswith("er") or len(first) < 5 or first in _NO_COMPARISON:
        return None
    stem = first.removesuffix("er")
    if stem.endswith("i"):
        stem = f"{stem[:-1]}y"
    elif len(stem) > 3 and stem[-1] == stem[-2] and stem[-1] in "tngdbp":
        stem = stem[:-1]
    return " ".join(filter(None, (stem, rest)))


def _noun(plain: str) -> str:
    if plain.endswith(("ness", "ity")):
        return plain
    return f"{plain[:-1]}iness" if plain.endswith("y") else f"{plain}ness"

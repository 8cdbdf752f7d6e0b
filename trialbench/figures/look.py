"""How figures look: colours from the tokens, fonts from files, one style a medium.

Styles: "light" and "dark" for the screen, the same "field" for a picture on field, "paper" for
print (white ground, the light inks).
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from functools import cache
from typing import Literal

from trialbench import paths

Style = Literal["light", "dark", "light field", "dark field", "paper"]

SANS = "Fira Sans"
SERIF = "Vollkorn"
PX_PER_INCH = 96.0
PT_PER_PX = 72.0 / PX_PER_INCH
"""Sizes in figures are written in pixels at 96 to the inch, as in the look's own pictures."""


@dataclass(frozen=True, slots=True)
class Colours:
    """The inks of one style, as "#RRGGBB"."""

    page: str
    margin: str
    ink: str
    pencil: str
    rule: str
    rail: str
    ruling: str
    methods: tuple[tuple[str, str], ...]
    tints: tuple[tuple[str, str], ...] = ()

    def tint_of(self, letter: str) -> str:
        """The ground of a method's field; that of the margin from the fifth on."""
        return dict(self.tints).get(letter, self.margin)

    def of_method(self, letter: str) -> str:
        """The colour of a method; ink from the fifth on."""
        return dict(self.methods).get(letter, self.ink)


@cache
def colours(style: Style) -> Colours:
    """The colours of a style, from resources/look/tokens.json."""
    text = paths.resource("look", "tokens.json").read_text(encoding="utf-8")
    tokens = json.loads(text)["colour"]["dark" if style.startswith("dark") else "light"]
    return Colours(
        page=_ground(style, tokens),
        margin=tokens["margin"],
        ink=tokens["ink"],
        pencil=tokens["pencil"],
        rule=tokens["rule"],
        rail=tokens["rail"],
        ruling=tokens["ruling"],
        methods=tuple((letter.upper(), tokens[f"method_{letter}"]) for letter in "abcd"),
        tints=tuple((letter.upper(), tokens[f"tint_{letter}"]) for letter in "abcd"),
    )


def _ground(style: Style, tokens: dict[str, str]) -> str:
    if style == "paper":
        return "#FFFFFF"
    return tokens["field" if style.endswith("field") else "page"]


@cache
def load_fonts() -> None:
    """Make the shipped fonts known to matplotlib, by file."""
    from matplotlib import font_manager

    for file in sorted(paths.resource("fonts").glob("*.ttf")):
        font_manager.fontManager.addfont(str(file))

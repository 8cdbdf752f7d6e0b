"""A small library of what can be scored, with the words of its sentences and its score card.

Words, questions and anchors are our own; which attributes kitchens score follows common practice.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Attribute:
    """One thing to score. `more_word` and `less_word` are the words of a sentence ("juicier").

    `scale` is a word of model.scales, `better` which way is usually wanted: more | less | neither.
    `also` are further words by which a cook asks for it.
    """

    name: str
    more_word: str
    less_word: str
    asked_as: str
    low_anchor: str
    high_anchor: str
    better: str = "more"
    scale: str = "points_9"
    also: tuple[str, ...] = ()


ATTRIBUTES: tuple[Attribute, ...] = (
    Attribute("liking", "better liked", "less liked", "How much do you like it?",
              "dislike extremely", "like extremely", scale="hedonic_9",
              also=("better", "nicer", "tastier", "liked more")),
    Attribute("juiciness", "juicier", "less juicy", "How juicy is it?", "dry", "very juicy",
              also=("moister", "less dry")),
    Attribute("tenderness", "more tender", "less tender", "How tender is it?", "tough",
              "very tender", also=("tenderer", "less tough")),
    Attribute("crispness", "crisper", "less crisp", "How crisp is it?", "soft", "very crisp",
              also=("crispier", "crunchier")),
    Attribute("softness", "softer", "less soft", "How soft is it?", "hard", "very soft"),
    Attribute("firmness", "firmer", "less firm", "How firm is it?", "soft", "very firm"),
    Attribute("creaminess", "creamier", "less creamy", "How creamy is it?", "grainy",
              "very creamy", also=("smoother",)),
    Attribute("flavour", "fuller in flavour", "weaker in flavour", "How strong is the flavour?",
              "none", "very strong", also=("more flavour", "more flavourful")),
    Attribute("seasoning", "deeper seasoned", "less deeply seasoned",
              "How deep does the seasoning go?", "only outside", "all through",
              also=("better seasoned",)),
    Attribute("saltiness", "saltier", "less salty", "How salty is it?", "not at all",
              "very salty", better="neither"),
    Attribute("sweetness", "sweeter", "less sweet", "How sweet is it?", "not at all",
              "very sweet", better="neither"),
    Attribute("sourness", "sourer", "less sour", "How sour is it?", "not at all", "very sour",
              better="neither"),
    Attribute("bitterness", "more bitter", "less bitter", "How bitter is it?", "not at all",
              "very bitter", better="less"),
    Attribute("smokiness", "smokier", "less smoky", "How smoky is it?", "not at all",
              "very smoky", better="neither"),
    Attribute("greasiness", "greasier", "less greasy", "How greasy is it?", "not at all",
              "very greasy", better="less"),
    Attribute("mealiness", "mealier", "less mealy", "How mealy is it?", "not at all",
              "very mealy", better="less"),
    Attribute("browning", "browner", "less brown", "How brown is it?", "pale", "very brown",
              better="neither"),
    Attribute("bark", "darker in bark", "lighter in bark", "How much bark has it?", "none",
              "a thick bark"),
    Attribute("rise", "higher risen", "less risen", "How well has it risen?", "flat",
              "very high", also=("higher",)),
)  # fmt: skip
"""In the order in which they are offered: what most trials look at first."""


def attribute_named(name: str) -> Attribute | None:
    """The attribute of that name, or None."""
    wanted = " ".join(name.casefold().split())
    return next((a for a in ATTRIBUTES if a.name == wanted), None)


def attribute_for_word(word: str) -> tuple[Attribute, str] | None:
    """What a word of comparison asks for, and whether the cook wants more or less of it."""
    wanted = " ".join(word.casefold().split())
    for attribute in ATTRIBUTES:
        if wanted in (attribute.more_word, *attribute.also):
            return attribute, "more"
        if wanted == attribute.less_word:
            return attribute, "less"
    return None

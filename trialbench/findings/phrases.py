"""How methods, outcomes and sizes are put into words, for sentences that say who came out how."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from trialbench.findings.finding import Finding, Scope, Who
from trialbench.model.message import Message, msg
from trialbench.model.numbers import figure, shortest
from trialbench.planning.number_words import counted, in_words

Form = Literal["plain", "adjective", "verb"]
Text = Message | str

HIGHER, LOWER = msg("higher"), msg("lower")


@dataclass(frozen=True, slots=True)
class Names:
    """How methods and the outcome are called on the page.

    `methods` pairs each label with its short name. `more` and `less` say how the method with the
    higher and the lower number comes out; `form` tells how they stand in a sentence: plain
    ("Liking is higher with B than with A"), adjective ("B is juicier than A"), verb ("B loses less
    than A"). `measure` is what the numbers count ("points", "% of raw"), `decimals` how many are
    shown, `food` opens the headline where given.
    """

    methods: tuple[tuple[str, str], ...] = ()
    outcome: str = "score"
    more: Text = HIGHER
    less: Text = LOWER
    form: Form = "plain"
    measure: str = ""
    decimals: int = 1
    food: str = ""

    def of(self, label: str) -> str:
        """The short name of a method; its label where none was given."""
        return dict(self.methods).get(label, label)

    def word(self, up: bool) -> Text:
        """The word for the method with the higher (or lower) number."""
        return self.more if up else self.less

    def figure(self, value: float) -> str:
        """A size without what it counts."""
        return figure(value, self.decimals)

    def size(self, value: float, decimals: int | None = None) -> str:
        """A size with what it counts: "0.8 points"."""
        return counted(figure(value, self.decimals if decimals is None else decimals), self.measure)

    def difference(self, value: float) -> str:
        """A size with its sign and what it counts: "+0.8 points"."""
        return counted(figure(value, self.decimals, sign=True), self.measure)

    def as_typed(self, value: float) -> str:
        """A size that was decided, with as many decimals as it needs."""
        return counted(shortest(value, 12), self.measure)


def opening(text: str) -> str:
    """A name at the beginning of a sentence; a single letter stays as it is."""
    return text[:1].upper() + text[1:] if len(text) > 1 else text


def is_up(finding: Finding, label: str) -> bool:
    """True where this method has the higher estimate."""
    estimate = finding.comparison.estimate or 0.0
    return (estimate > 0) == (label == finding.comparison.a)


def compares(
    names: Names, first: str, second: str, *, up: bool, past: bool, opens: bool = True
) -> Message:
    """ "B is juicier than A", in the past tense where nothing is said of the next time.

    `opens`: it begins a sentence.
    """
    word, one, two = names.word(up), names.of(first), names.of(second)
    opened, outcome = (opening(one), opening(names.outcome)) if opens else (one, names.outcome)
    if names.form == "adjective" and past:
        return msg("{one} came out {word} than {two}", one=opened, word=word, two=two)
    if names.form == "adjective":
        return msg("{one} is {word} than {two}", one=opened, word=word, two=two)
    if names.form == "verb" and not past:
        return msg("{one} {word} than {two}", one=opened, word=word, two=two)
    if names.form == "verb":
        word = HIGHER if up else LOWER
    if past:
        return msg(
            "{outcome} came out {word} with {one} than with {two}",
            outcome=outcome, word=word, one=one, two=two,
        )  # fmt: skip
    return msg(
        "{outcome} is {word} with {one} than with {two}",
        outcome=outcome, word=word, one=one, two=two,
    )  # fmt: skip


def would_be(names: Names, label: str, *, up: bool) -> Message:
    """ "A is juicier", as a clause after "that"."""
    if names.form == "adjective":
        return msg("{one} is {word}", one=names.of(label), word=names.word(up))
    if names.form == "verb":
        return msg("{one} {word}", one=names.of(label), word=names.word(up))
    return msg(
        "{outcome} is {word} with {one}",
        outcome=names.outcome, word=names.word(up), one=names.of(label),
    )  # fmt: skip


def for_whom(scope: Scope, tasters: Who | None, count: int) -> Message | None:
    """For whom a finding of `count` tasters holds; None where nobody tasted."""
    said = in_words(count)
    if scope == "taster":
        return msg("and for nobody else")
    if tasters == "one":
        return msg("for this one taster")
    if tasters == "these":
        return msg("for these {count} tasters", count=said)
    if tasters == "others_like_them":
        if scope == "batch":
            return msg("for these {count} tasters and others like them", count=said)
        return msg("for these {count} tasters and probably for others like them", count=said)
    return None


def by_more_than(names: Names, label: str, size: str, *, up: bool) -> Message:
    """ "A is juicier by more than 0.3 points"."""
    return msg("{clause} by more than {size}", clause=would_be(names, label, up=up), size=size)


def outward(value: float, decimals: int, *, up: bool) -> float:
    """A limit rounded so that it never rules out more than was found (up: away from below)."""
    scale = 10.0**decimals
    # A limit that is a whole step already stays where it is.
    steps = round(value * scale, 6)
    return (math.ceil(steps) if up else math.floor(steps)) / scale


def p_text(p: float) -> str:
    """A p as it is printed: two figures that count, never "0.000"."""
    if p < 0.001:
        return "p < 0.001"
    return f"p = {figure(p, 3 if p < 0.1 else 2)}"

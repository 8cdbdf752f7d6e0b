"""How much would change the recipe, as it is said: "0.8 points in 10", "half a point", "2 %"."""

from __future__ import annotations

import re

from trialbench.model.errors import Refused
from trialbench.model.message import Message, msg
from trialbench.model.numbers import parse_number
from trialbench.model.records import Checkpoint, Outcome
from trialbench.notebook.records_read import Reads

_IN_WORDS = (
    (re.compile(r"^(?:one|a) and a half\b"), "1.5"),
    (re.compile(r"^(?:a )?half(?: of)?(?: an?\b)?"), "0.5 "),
    (re.compile(r"^three quarters(?: of)?(?: an?\b)?"), "0.75 "),
    (re.compile(r"^(?:a |one )?quarter(?: of)?(?: an?\b)?"), "0.25 "),
    (re.compile(r"^(?:an?|one)\b"), "1"),
    (re.compile(r"^two\b"), "2"),
    (re.compile(r"^three\b"), "3"),
)
_TOP_WORDS = {"eight": 8, "nine": 9, "ten": 10}
_SIZE = re.compile(
    r"(?P<number>[^a-z%]+?)\s*(?P<unit>points?|per ?cent|%|percentage points?)?"
    r"(?:\s*(?:in|of|on|out of)\s+(?P<rest>\S.*))?\s*"
)


def read_size(book: Reads, outcome: Outcome | None, typed: str) -> tuple[float, int | None]:
    """The size and, where it was said, the top of the scale it is meant on ("in 10").

    Raises Refused for what cannot be read, for percent of a scale of points, and for a percentage
    of another base than the outcome's.
    """
    found = _SIZE.fullmatch(_in_figures(typed))
    if not found:
        raise _refused(
            msg("{typed} cannot be read here. Not written.", typed=typed),
            typed,
            msg("a number, with points, percent or grams: 0.8 points in 10"),
        )
    number = parse_number(found["number"], field="trial.matters")
    rest = found["rest"] or ""
    top = int(rest) if rest.isdigit() else _TOP_WORDS.get(rest)
    _check_unit(book, outcome, found["unit"] or "", typed)
    if rest and top is None:
        _check_base(book, outcome, rest, typed)
    return number, top


def _in_figures(typed: str) -> str:
    text = " ".join(typed.casefold().split())
    for words, number in _IN_WORDS:
        if words.search(text):
            return words.sub(number, text, count=1).replace("  ", " ")
    return text


def _check_unit(book: Reads, outcome: Outcome | None, unit: str, typed: str) -> None:
    scored = outcome is not None and outcome.source == "attribute"
    if outcome is not None and scored and unit.startswith(("per", "%")):
        raise _refused(
            msg("{name} is scored in points. You wrote {typed}.", name=outcome.name, typed=typed),
            typed,
            msg("points of its scale: 0.8 points"),
        )


def _check_base(book: Reads, outcome: Outcome | None, rest: str, typed: str) -> None:
    """A percentage may name its base, and then the one that is reckoned with."""
    first = book.find(Checkpoint, outcome.from_checkpoint_id) if outcome is not None else None
    if first is not None and rest.removesuffix("weight").strip() == first.name.casefold():
        return
    allowed = msg("% of {base}", base=first.name) if first else msg("a number and its unit")
    raise _refused(
        msg("{typed} names another base than is reckoned with. Not written.", typed=typed),
        typed,
        allowed,
    )


def _refused(said: Message, typed: str, allowed: Message) -> Refused:
    return Refused(
        said,
        field="trial.matters",
        typed=typed,
        allowed=allowed,
        way_out=msg("Write the smallest difference that would change the recipe."),
    )

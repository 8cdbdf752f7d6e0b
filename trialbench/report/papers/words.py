"""What every paper is given: its words said, its size, and the signs of methods where it may."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from typing import Any

from trialbench import __version__, paths
from trialbench.figures.look import colours
from trialbench.findings.snapshot import TrialRecords
from trialbench.model.dates import said_day
from trialbench.model.message import Message, msg, say
from trialbench.model.records import Cook, Method
from trialbench.notebook import views
from trialbench.report.words import Text, tied

Values = dict[str, Any]

PAPER_SIZES = {"a4": "a4", "letter": "us-letter"}
"""Our word to the typesetter's."""

_TOO_LONG = re.compile(r"\S{19,}")
_PIECE_OF_WORD = 12
_MAY_BREAK = "\u200b"
_SIGNED = "ABCD"


def said(text: Text) -> str:
    """A text for paper: numbers stay with their units; a word too long for a cell may break."""
    return _TOO_LONG.sub(_with_breaks, tied(text))


def _with_breaks(found: re.Match[str]) -> str:
    word = found.group()
    if "\u00a0" in word or "\u2009" in word or "\u202f" in word:
        return word
    starts = range(0, len(word), _PIECE_OF_WORD)
    return _MAY_BREAK.join(word[start : start + _PIECE_OF_WORD] for start in starts)


def all_said(texts: Iterable[Text]) -> list[str]:
    """Each of them for paper."""
    return [said(text) for text in texts]


def framed(title: Text, size: str) -> Values:
    """What stands on every paper: its title, its size, the foot."""
    return {
        "title": say(title),
        "paper": PAPER_SIZES[size],
        "foot": f"Trialbench {__version__}",
        "page": say(msg("page")),
    }


def methods_shown(methods: Sequence[Method]) -> tuple[list[Values], dict[str, str]]:
    """The methods with their inks, and the pictures of their signs by file name."""
    inks, pictures, shown = colours("paper"), {}, []
    for method in methods:
        ink, sign = inks.of_method(method.letter), None
        if method.letter in _SIGNED:
            sign = f"sign-{method.letter}.svg"
            pictures[sign] = _sign(method.letter, ink)
        shown.append(
            {
                "letter": method.letter,
                "name": said(method.name),
                "said": say(msg("method {letter}", letter=method.letter)),
                "ink": ink,
                "tint": inks.tint_of(method.letter),
                "sign": sign,
            }
        )
    return shown, pictures


def _sign(letter: str, ink: str) -> str:
    file = paths.resource("look", "signs", f"sign-{letter.lower()}.svg")
    return file.read_text(encoding="utf-8").replace("currentColor", ink)


def day_name(cook: Cook) -> Message:
    """ "Cook day 2"."""
    return msg("Cook day {number}", number=cook.number)


def day_lines(records: TrialRecords, cook: Cook) -> list[str]:
    """Under the name of a cook day: the trial, and its date where it has one."""
    lines: list[Text] = [views.title(records.trial)]
    if cook.date:
        lines.append(said_day(cook.date, with_year=True))
    return all_said(lines)

"""Counts as a sentence says them: "Three lines differ", "1 point"."""

from __future__ import annotations

from trialbench.model.message import Message, msg, say

_WORDS = (
    msg("none"), msg("one"), msg("two"), msg("three"), msg("four"), msg("five"), msg("six"),
    msg("seven"), msg("eight"), msg("nine"), msg("ten"),
)  # fmt: skip
_FIRST_WORDS = (
    msg("None"), msg("One"), msg("Two"), msg("Three"), msg("Four"), msg("Five"), msg("Six"),
    msg("Seven"), msg("Eight"), msg("Nine"), msg("Ten"),
)  # fmt: skip


def in_words(count: int, *, first: bool = False) -> Message | str:
    """The count in words up to ten, in figures above; `first` opens a sentence."""
    words = _FIRST_WORDS if first else _WORDS
    return words[count] if 0 <= count < len(words) else str(count)


def counted(text: str, measure: Message | str) -> str:
    """A printed figure with what it counts: "0.8 points", "1 point"."""
    unit = say(measure)
    if unit == "points" and text.lstrip("+-\u2212") == "1":
        unit = say(msg("point"))
    return f"{text} {unit}".strip()

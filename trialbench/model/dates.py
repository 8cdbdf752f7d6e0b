"""Days as a kitchen says them: "Saturday 25 April"."""

from __future__ import annotations

from datetime import date

from trialbench.model.message import Message, msg, say

_DAYS = (
    msg("Monday"), msg("Tuesday"), msg("Wednesday"), msg("Thursday"), msg("Friday"),
    msg("Saturday"), msg("Sunday"),
)  # fmt: skip
_MONTHS = (
    msg("January"), msg("February"), msg("March"), msg("April"), msg("May"), msg("June"),
    msg("July"), msg("August"), msg("September"), msg("October"), msg("November"),
    msg("December"),
)  # fmt: skip


def said_day(text: str, *, with_year: bool = False) -> Message | str:
    """A day in ISO 8601 as words; any other text as it is."""
    try:
        day = date.fromisoformat(text[:10])
    except ValueError:
        return text
    words = msg(
        "{weekday} {day} {month}",
        weekday=_DAYS[day.weekday()],
        day=day.day,
        month=_MONTHS[day.month - 1],
    )
    return msg("{day} {year}", day=words, year=day.year) if with_year else words


def weekday_named(word: str) -> int | None:
    """The weekday of a name or its first three letters or more, 0 for Monday; None for others."""
    return _named(word, _DAYS)


def month_named(word: str) -> int | None:
    """The month of a name or its first three letters or more, 1 for January; None for others."""
    found = _named(word, _MONTHS)
    return None if found is None else found + 1


def _named(word: str, names: tuple[Message, ...]) -> int | None:
    """English and the language of the screen are both read."""
    start = word.casefold()
    if len(start) < 3:
        return None
    for number, name in enumerate(names):
        if name.text.casefold().startswith(start) or say(name).casefold().startswith(start):
            return number
    return None

"""How acts read what was typed, and how they make a step of it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Any, TypeVar

from trialbench.model.errors import Refused, Sealed
from trialbench.model.message import Message, msg
from trialbench.model.numbers import parse_number
from trialbench.model.records import Record
from trialbench.model.steps import Change, Step
from trialbench.notebook.records_read import Reads
from trialbench.notebook.sealed import why_sealed

R = TypeVar("R", bound=Record)

MOST_LETTERS = 2000


def line(typed: str, field: str, *, most: int = MOST_LETTERS, needed: bool = False) -> str:
    """Text as it is kept: spaces in order. Raises Refused when too long, or empty but needed."""
    text = " ".join(typed.split())
    if len(text) > most:
        raise Refused(
            msg("This is longer than {most} letters. Not written.", most=most),
            field=field,
            typed=typed,
            allowed=msg("up to {most} letters", most=most),
            way_out=msg("Write it shorter; a remark can hold the rest."),
        )
    if needed and not text:
        raise Refused(
            msg("Nothing is written here yet."),
            field=field,
            typed=typed,
            allowed=msg("some words"),
            way_out=msg("Write a word or two."),
        )
    return text


def reason(typed: str, field: str, why: Message) -> str:
    """A reason that must be there; `why` says so. Raises Refused."""
    text = line(typed, field)
    if not text:
        raise Refused(
            why,
            field=field,
            typed=typed,
            allowed=msg("a few words"),
            way_out=msg("Write what happened."),
        )
    return text


def whole(typed: str, field: str, low: int, high: int) -> int:
    """A whole number from `low` to `high`. Raises Refused."""
    number = parse_number(typed, field=field)
    if number != int(number) or not low <= number <= high:
        raise out_of_range(typed, field, low, high)
    return int(number)


def out_of_range(typed: str, field: str, low: float, high: float) -> Refused:
    """The error for a number outside its limits."""
    return Refused(
        msg(
            "This takes {low} to {high}. You wrote {typed}.",
            low=f"{low:g}",
            high=f"{high:g}",
            typed=typed.strip(),
        ),
        field=field,
        typed=typed,
        allowed=msg("{low} to {high}", low=f"{low:g}", high=f"{high:g}"),
        way_out=msg("Write it again, or leave it empty."),
    )


def one_of(value: str, field: str, allowed: Iterable[str]) -> str:
    """A word of a list. Raises Refused."""
    words = tuple(allowed)
    if value in words:
        return value
    raise Refused(
        msg("{typed} is not one of the choices here.", typed=value),
        field=field,
        typed=value,
        allowed=", ".join(words),
        way_out=msg("Choose one of them."),
    )


def made(book: Reads, label: Message, changes: Iterable[Change], burst: str = "") -> Step:
    """The step, when nothing in it is sealed. Raises Sealed."""
    kept = tuple(change for change in changes if change.before != change.after)
    for change in kept:
        why = why_sealed(book, change, kept)
        if why is not None:
            raise Sealed(why)
    return Step(label, kept, burst=burst)


def rewritten(record: R, **values: Any) -> Change:
    """The record with some fields written anew."""
    return Change(record, replace(record, **values))


def rewrite(book: Reads, record: Record, label: Message, **values: Any) -> Step:
    """The step that writes some fields of one record anew; typing in one field is one burst."""
    burst = f"{record.id}:{','.join(sorted(values))}"
    return made(book, label, [rewritten(record, **values)], burst)


def moved(records: tuple[R, ...], record: R, position: int) -> list[Change]:
    """Changes that put `record` at `position` (from 1) among `records` and count them anew."""
    rest = [r for r in records if r.id != record.id]
    rest.insert(max(0, min(position - 1, len(rest))), record)
    return numbered(rest)


def numbered(records: Iterable[R]) -> list[Change]:
    """Changes that give the records the positions 1, 2, 3 ..."""
    return [
        Change(r, replace(r, position=n))  # type: ignore[call-arg]
        for n, r in enumerate(records, start=1)
        if r.values()["position"] != n
    ]
